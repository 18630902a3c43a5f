//! Files as text: where each value stands, what is wrong with it, and how quantities are written.

pub(crate) mod diagnostic;
pub(crate) mod file_text;
pub(crate) mod quantity;
pub(crate) mod render;
pub(crate) mod source;
pub(crate) mod suggestion;
pub(crate) mod toml_parser;
pub(crate) mod value_tree;
