//! Outlines of the parts: holder, web, sleeve, keep-outs.

pub(crate) mod holder;
pub(crate) mod keep_out;
pub(crate) mod layout;
pub(crate) mod sleeve;
pub(crate) mod web_windows;
