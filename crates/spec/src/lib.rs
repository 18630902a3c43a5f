//! Specs: TOML text becomes a checked [`Spec`], or a list of diagnostics that says how to mend it.

mod checked;

pub use checked::*;
