//! The frame around the data: header section and closing lines.

use std::fmt::Write as _;

use super::{StepHeader, literals::quoted};

/// AP214, the schema that every reader of the last twenty years knows; the string is that of its EXPRESS long form.
const SCHEMA: &str = "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }";

/// What follows the last instance.
pub(super) const CLOSING: &str = "ENDSEC;\nEND-ISO-10303-21;\n";

/// Everything before the first instance.
pub(super) fn opening(header: &StepHeader) -> String {
    let mut text = String::from("ISO-10303-21;\nHEADER;\n");
    let description = quoted(&header.description);
    let file_name = quoted(&header.file_name);
    let time_stamp = quoted(&header.time_stamp);
    let system = quoted(&header.originating_system);
    // '2;1' is edition 2, conformance class 1: what readers expect of a file with one schema and one data section.
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
