//! Reading of input files: the spec, and the files that it names beside it.

use std::{
    io::{self, IsTerminal},
    path::{Path, PathBuf},
};

use gripwright::{Project, SpecFileError, SpecFiles, input::MAX_FILE_BYTES, unreadable_toml};

use crate::{failure::Failure, output_folder::settle_beside, regular_file::read_at_most, terminal::print_stderr};

/// Reads and checks the spec at `path`, with the files that it names.
pub(crate) fn read_project(path: &Path) -> Result<Project, Failure> {
    let project = Project::read(&spec_bytes(path)?, &path.display().to_string(), &SpecFolder::of(path))?;
    Ok(project.with_refusal_notice(tell_of_refusal))
}

/// Reads and checks the spec at `path`, with the files that it names but its calibration.
pub(crate) fn read_uncalibrated_project(path: &Path) -> Result<Project, Failure> {
    Ok(Project::read_uncalibrated(&spec_bytes(path)?, &path.display().to_string(), &SpecFolder::of(path))?)
}

/// Tells a person at a terminal why a spec is refused, while changes that free it are looked for.
fn tell_of_refusal(verdict: &str) {
    if io::stderr().is_terminal() {
        print_stderr(&format!(
            "No design: {verdict}. Looking for changes that would free it, up to some seconds ...\n"
        ));
    }
}

fn spec_bytes(path: &Path) -> Result<Vec<u8>, Failure> {
    // A byte more than a spec may have is enough for the spec's own check to refuse it.
    let bytes = read_at_most(path, MAX_FILE_BYTES);
    Ok(bytes.map_err(|error| unreadable_toml(&path.display().to_string(), "", &error))?)
}

/// Folder of a spec, to which the names in the spec are relative, so that all its files can move together.
pub(crate) struct SpecFolder(PathBuf);

impl SpecFolder {
    /// Returns the folder of the spec at `spec`.
    pub(crate) fn of(spec: &Path) -> Self {
        Self(spec.parent().unwrap_or(Path::new("")).to_path_buf())
    }

    /// Returns the path of a file that the spec names.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }
}

impl SpecFiles for SpecFolder {
    fn shown_path(&self, name: &str) -> String {
        self.path(name).display().to_string()
    }

    fn read(&self, name: &str, most_bytes: usize) -> Result<Vec<u8>, SpecFileError> {
        let path = self.path(name);
        settle_beside(&path);
        read_at_most(&path, most_bytes)
    }
}
