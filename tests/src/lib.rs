//! Harness of the whole-program tests.
