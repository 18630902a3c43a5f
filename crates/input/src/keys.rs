//! Descriptions of the keys of a spec, and the reader that reads described keys from a table.

pub(crate) mod keep_out;
pub(crate) mod key;
pub(crate) mod key_lookup;
pub(crate) mod measured_profile;
pub(crate) mod profile_shape;
pub(crate) mod spec;
pub(crate) mod table_reader;
