//! Reading of a spec with its material library and the outlines of measured bodies.

use gripwright_input::{LoadedSpec, MAX_FILE_BYTES, MaterialLibrary, read_spec_bytes, requested_library};

use crate::{
    body_survey,
    casting_chain::mould_spreads,
    problems::{FileProblem, Problems},
    spec_files::{SpecFileError, SpecFiles},
};

/// Reads and checks a spec. `file` is its path as messages show it; `files` supplies the files that it names.
pub(crate) fn read_spec(bytes: &[u8], file: &str, files: &dyn SpecFiles) -> Result<LoadedSpec, Problems> {
    let materials = match requested_library(&String::from_utf8_lossy(bytes)) {
        Some(name) => extended_library(&name, files)?,
        None => MaterialLibrary::built_in(),
    };
    let mut loaded = read_spec_bytes(bytes, file, &materials).map_err(|found| Problems::in_bytes(found, bytes))?;
    body_survey::draw_measured_sections(&mut loaded, files).map_err(|d| Problems::in_bytes(vec![*d], bytes))?;
    if let Some(settings) = &loaded.spec.casting {
        let written = ["mould.seat_spread", "mould.wall_spread"].map(|key| loaded.source.is_written(key));
        loaded.spec.mould = mould_spreads(&loaded.spec, settings, written);
    }
    Ok(loaded)
}

fn extended_library(name: &str, files: &dyn SpecFiles) -> Result<MaterialLibrary, Problems> {
    let shown = files.shown_path(name);
    let bytes =
        files.read(name, MAX_FILE_BYTES).map_err(|error| unreadable_toml(&shown, "material.library", &error))?;
    MaterialLibrary::built_in().extended(&bytes, &shown).map_err(|found| Problems::in_bytes(found, &bytes))
}

/// Returns the problem of a spec or material library that cannot be read. `key` is the key of the spec that names it,
/// empty for the spec itself.
pub fn unreadable_toml(file: &str, key: &str, error: &SpecFileError) -> Problems {
    let (message, hint) = match error {
        SpecFileError::IsFolder => (format!("`{file}` is a folder"), "name the spec file inside it"),
        SpecFileError::NotRegular => (format!("`{file}` cannot be read: {error}"), "save it as a file of its own"),
        SpecFileError::Unreadable(cause) => {
            (format!("`{file}` cannot be read: {cause}"), "`gripwright new FILE` writes a spec to start from")
        }
    };
    Problems::in_file(file, FileProblem { code: "unreadable", key, message, allowed: "a readable TOML file", hint })
}
