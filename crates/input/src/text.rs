//! Files as text: positions of values, diagnostics that point at them, quantities with units, and the TOML parser.

pub(crate) mod diagnostic;
pub(crate) mod diagnostic_text;
pub(crate) mod file_text;
pub(crate) mod quantity;
pub(crate) mod source;
pub(crate) mod suggestion;
pub(crate) mod toml_parser;
pub(crate) mod value_tree;
