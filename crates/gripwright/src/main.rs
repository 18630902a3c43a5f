//! The gripwright command line.
fn main() {}
