//! Tests of the program as a whole: exit codes, files and printed text.
#![expect(clippy::expect_used, clippy::unwrap_used, reason = "a test may stop at the first surprise")]

mod bad_input;
mod calibration;
mod card;
mod cautions;
mod demos;
mod hostile_names;
mod inches;
mod materials;
mod measured;
mod mould;
mod narrow_terminal;
mod owned_files;
mod program;
mod report;
mod shell_support;
mod sides;
mod snapshots;
mod unwritable;
