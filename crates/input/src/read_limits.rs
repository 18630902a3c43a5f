//! Limits of what is read from specs, material libraries, trials files and calibrations.

/// Largest file of text, bytes.
pub const MAX_FILE_BYTES: usize = 1024 * 1024;
/// Most problems of one file that are listed.
pub const MOST_PROBLEMS: usize = 200;
/// Most errors of the syntax of TOML that are listed.
pub const MOST_SYNTAX_PROBLEMS: usize = 50;
/// Most columns of a trials file.
pub const MOST_COLUMNS: usize = 200;
/// Most rows of a trials file, without the head.
pub const MOST_ROWS: usize = 20_000;
