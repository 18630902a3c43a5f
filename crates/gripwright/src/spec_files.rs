//! Access to the files that a spec names: the library reads no files itself.

use std::collections::BTreeMap;

/// Files that a spec names: its material library, drawings and scans of the body, and its calibration.
///
/// Names are those written in the spec, relative to its folder.
pub trait SpecFiles {
    /// Returns the path of a file as messages show it.
    fn shown_path(&self, name: &str) -> String;

    /// Returns the contents of a file, cut off after `most_bytes + 1` bytes, so that the caller can tell that it is too
    /// long.
    fn read(&self, name: &str, most_bytes: usize) -> Result<Vec<u8>, SpecFileError>;
}

/// Reason why a file that a spec names could not be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SpecFileError {
    /// The name is that of a folder.
    #[error("it is a folder")]
    IsFolder,
    /// The name is that of a pipe or a device, which may go on for ever.
    #[error("it is not a regular file")]
    NotRegular,
    /// Reading failed; the message of the system.
    #[error("{0}")]
    Unreadable(String),
}

/// Files in memory, by the names that the spec uses. An empty map serves a spec that names no file.
impl SpecFiles for BTreeMap<String, Vec<u8>> {
    fn shown_path(&self, name: &str) -> String {
        name.to_owned()
    }

    fn read(&self, name: &str, most_bytes: usize) -> Result<Vec<u8>, SpecFileError> {
        let bytes = self.get(name).ok_or_else(|| SpecFileError::Unreadable("there is no such file".to_owned()))?;
        Ok(bytes.iter().take(most_bytes.saturating_add(1)).copied().collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_in_memory_are_cut_off_one_byte_past_the_limit() {
        let files = BTreeMap::from([("scan.stl".to_owned(), vec![7; 10])]);
        assert_eq!(files.read("scan.stl", 20), Ok(vec![7; 10]));
        assert_eq!(files.read("scan.stl", 4), Ok(vec![7; 5]));
        assert!(matches!(files.read("other.stl", 4), Err(SpecFileError::Unreadable(_))));
    }
}
