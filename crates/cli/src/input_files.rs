//! Reading of input files: the spec, and the files that it names beside it.

use std::{
    fs::File,
    io::Read,
    path::{Path, PathBuf},
};

use gripwright::{Project, SpecFileError, SpecFiles, input::MAX_FILE_BYTES, unreadable_toml};

use crate::failure::Failure;

/// Reads and checks the spec at `path`, with the files that it names.
pub(crate) fn read_project(path: &Path) -> Result<Project, Failure> {
    Ok(Project::read(&spec_bytes(path)?, &path.display().to_string(), &SpecFolder::of(path))?)
}

/// Reads and checks the spec at `path`, with the files that it names but its calibration.
pub(crate) fn read_uncalibrated_project(path: &Path) -> Result<Project, Failure> {
    Ok(Project::read_uncalibrated(&spec_bytes(path)?, &path.display().to_string(), &SpecFolder::of(path))?)
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
        read_at_most(&self.path(name), most_bytes)
    }
}

/// Reads a file up to one byte more than `most_bytes`, so that the caller can tell that it is too long.
pub(crate) fn read_at_most(path: &Path, most_bytes: usize) -> Result<Vec<u8>, SpecFileError> {
    if path.is_dir() {
        return Err(SpecFileError::IsFolder);
    }
    let mut bytes = Vec::new();
    let file = File::open(path);
    file.and_then(|file| file.take(most_bytes as u64 + 1).read_to_end(&mut bytes))
        .map_err(|cause| SpecFileError::Unreadable(cause.to_string()))?;
    Ok(bytes)
}
