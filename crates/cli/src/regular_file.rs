//! Reading of files: only regular ones, and no more of them than the caller can use.

use std::{fs::File, io::Read, path::Path};

use gripwright::SpecFileError;

/// Reads a regular file, or a link to one, up to one byte more than `most_bytes`, so that the caller can tell that it is
/// too long. Pipes and devices are refused: they may wait or go on for ever.
pub(crate) fn read_at_most(path: &Path, most_bytes: usize) -> Result<Vec<u8>, SpecFileError> {
    let unreadable = |cause: std::io::Error| SpecFileError::Unreadable(cause.to_string());
    let kind = path.metadata().map_err(unreadable)?;
    if kind.is_dir() {
        return Err(SpecFileError::IsFolder);
    }
    if !kind.is_file() {
        return Err(SpecFileError::NotRegular);
    }
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(unreadable)?;
    file.take(most_bytes as u64 + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    Ok(bytes)
}
