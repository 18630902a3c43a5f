//! What the whole-program and outside checks share.

mod random_specs;
mod random_sweeps;

pub use random_specs::{random_layout, random_spec};
pub use random_sweeps::random_sweep;
