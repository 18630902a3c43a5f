//! Code shared by the workspace tests: readers of Rust source, generators of random specs, and targets of the fuzzer.

pub mod function_sizes;
pub mod fuzz;
pub mod module_graph;
mod random_bodies;
mod random_specs;
mod random_sweeps;
pub mod rust_source;

pub use random_bodies::{DRAWING, random_body};
pub use random_specs::{random_layout, random_spec};
pub use random_sweeps::random_sweep;
