//! Trials files: outcomes of coupon trials, as CSV or TOML.
//!
//! Reading is tolerant of layout and spelling; values that contradict the spec or each other are refused.

mod cell;
pub(crate) mod csv_table;
pub(crate) mod row_reader;
pub(crate) mod toml_rows;
pub(crate) mod trial;
pub(crate) mod trials_reader;
pub(crate) mod written_table;
