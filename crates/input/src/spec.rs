//! Reading of a spec: from text to checked values, one file per table, and checks of the values against each other.

pub(crate) mod barrel;
pub(crate) mod body;
pub(crate) mod casting;
pub(crate) mod casting_process;
pub(crate) mod consistency;
pub(crate) mod keep_out;
pub(crate) mod layout_checks;
pub(crate) mod measured_body;
pub(crate) mod sleeve_checks;
pub(crate) mod spec_reader;
pub(crate) mod temperature_checks;
pub(crate) mod tool_section;
pub(crate) mod tools;
