//! What the whole-program and outside checks share.

mod random_specs;

pub use random_specs::{random_layout, random_spec};
