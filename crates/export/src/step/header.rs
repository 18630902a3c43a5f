//! Header section and closing lines of a STEP file.

use std::fmt::Write as _;

use super::literals::quoted;

/// AP214, the schema that readers of the last twenty years support; the string is that of its EXPRESS long form.
const SCHEMA: &str = "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }";

/// Text after the last instance.
pub(super) const CLOSING: &str = "ENDSEC;\nEND-ISO-10303-21;\n";

/// Content of the header section.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StepHeader {
    /// Name of the file.
    pub file_name: String,
    /// Short description of the content.
    pub description: String,
    /// Date and time, ISO 8601, written unchanged.
    pub time_stamp: String,
    /// Program that made the shapes, with its version.
    pub originating_system: String,
}

impl StepHeader {
    /// Text before the first instance.
    pub(super) fn opening(&self) -> String {
        let mut text = String::from("ISO-10303-21;\nHEADER;\n");
        let description = quoted(&self.description);
        let file_name = quoted(&self.file_name);
        let time_stamp = quoted(&self.time_stamp);
        let system = quoted(&self.originating_system);
        // '2;1' is edition 2, conformance class 1: readers expect it of a file with one schema and one data section.
        let written = write!(
            text,
            "FILE_DESCRIPTION(({description}),'2;1');\n\
             FILE_NAME({file_name},{time_stamp},(''),(''),{system},{system},'');\n\
             FILE_SCHEMA(('{SCHEMA}'));\n\
             ENDSEC;\nDATA;\n"
        );
        debug_assert!(written.is_ok(), "writing into a String cannot fail");
        text
    }
}
