//! Reads a spec and the library of materials that it asks for.

use std::{fs::File, io, io::Read, ops::Range, path::Path};

use gripwright_input::{Diagnostic, Loaded, MOST_BYTES, MaterialLibrary, Severity, read_bytes, requested_library};

use crate::{
    failure::{Failure, Problems},
    measured,
};

/// Reads and checks the spec at `path`.
pub(crate) fn load(path: &Path) -> Result<Loaded, Failure> {
    let name = path.display().to_string();
    let bytes = read_file(path, "")?;
    let text = String::from_utf8_lossy(&bytes).into_owned();
    let materials = match requested_library(&text) {
        Some(library) => own_library(path, &library)?,
        None => MaterialLibrary::built_in(),
    };
    let bad = |diagnostics| Failure::BadInput(Problems { diagnostics, text });
    let mut loaded = match read_bytes(&bytes, &name, &materials) {
        Ok(loaded) => loaded,
        Err(diagnostics) => return Err(bad(diagnostics)),
    };
    match measured::survey(&mut loaded, path) {
        Ok(()) => Ok(loaded),
        Err(diagnostic) => Err(bad(vec![*diagnostic])),
    }
}

/// A library is named relative to the spec, so that both can move together.
fn own_library(spec: &Path, library: &str) -> Result<MaterialLibrary, Failure> {
    let path = spec.parent().unwrap_or(Path::new("")).join(library);
    let bytes = read_file(&path, "material.library")?;
    MaterialLibrary::built_in().extended(&bytes, &path.display().to_string()).map_err(|diagnostics| {
        let text = String::from_utf8_lossy(&bytes).into_owned();
        Failure::BadInput(Problems { diagnostics, text })
    })
}

/// Reads at most one byte more than a spec may have: enough for the spec's own check to refuse it.
fn read_file(path: &Path, key: &str) -> Result<Vec<u8>, Failure> {
    let unreadable = |message: String, hint: &str| {
        Failure::BadInput(Problems {
            diagnostics: vec![Diagnostic {
                severity: Severity::Error,
                code: "unreadable",
                file: path.display().to_string(),
                line: 1,
                column: 1,
                span: Range { start: 0, end: 0 },
                path: key.to_owned(),
                message,
                allowed: Some("a readable TOML file".to_owned()),
                hints: vec![hint.to_owned()],
            }],
            text: String::new(),
        })
    };
    if path.is_dir() {
        return Err(unreadable(format!("`{}` is a folder", path.display()), "name the spec file inside it"));
    }
    let mut bytes = Vec::new();
    File::open(path).and_then(|file| file.take(MOST_BYTES as u64 + 1).read_to_end(&mut bytes)).map_err(|e| {
        unreadable(
            format!("`{}` cannot be read: {e}", path.display()),
            "`gripwright new FILE` writes a spec to start from",
        )
    })?;
    Ok(bytes)
}

/// Bytes of an input file, one more at most than any of them may have.
pub(crate) fn read_bytes_of(path: &Path) -> io::Result<Vec<u8>> {
    if path.is_dir() {
        return Err(io::Error::new(io::ErrorKind::IsADirectory, "it is a folder"));
    }
    let mut bytes = Vec::new();
    File::open(path)?.take(MOST_BYTES as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}
