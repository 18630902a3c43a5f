//! Files that a spec names, kept as they were read, so that a report alone can repeat its run.

use std::{cell::RefCell, collections::BTreeMap};

use crate::spec_files::{SpecFileError, SpecFiles};

/// Files as a spec names them, by their names.
pub(crate) type NamedFiles = BTreeMap<String, Vec<u8>>;

/// Access to files that keeps a copy of all that is read.
pub(crate) struct RecordedFiles<'a> {
    files: &'a dyn SpecFiles,
    read: RefCell<NamedFiles>,
}

impl<'a> RecordedFiles<'a> {
    pub(crate) fn new(files: &'a dyn SpecFiles) -> Self {
        Self { files, read: RefCell::default() }
    }

    pub(crate) fn into_read(self) -> NamedFiles {
        self.read.into_inner()
    }
}

impl SpecFiles for RecordedFiles<'_> {
    fn shown_path(&self, name: &str) -> String {
        self.files.shown_path(name)
    }

    fn read(&self, name: &str, most_bytes: usize) -> Result<Vec<u8>, SpecFileError> {
        let bytes = self.files.read(name, most_bytes)?;
        self.read.borrow_mut().insert(name.to_owned(), bytes.clone());
        Ok(bytes)
    }
}
