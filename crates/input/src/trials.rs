//! Trials files: what happened when coupons were tried, as CSV or TOML. Forgiving to read, strict in what it means.

mod cell;
pub(crate) mod csv_table;
pub(crate) mod row_reader;
pub(crate) mod toml_rows;
pub(crate) mod trial;
pub(crate) mod trials_reader;
pub(crate) mod written_table;
