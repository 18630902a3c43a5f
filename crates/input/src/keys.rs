//! Descriptions of the keys of a spec, and the reader that reads described keys from a table.

pub(crate) mod casting_keys;
pub(crate) mod casting_process_keys;
pub(crate) mod keep_out_keys;
pub(crate) mod key;
pub(crate) mod key_lookup;
pub(crate) mod material_keys;
pub(crate) mod measured_profile_keys;
pub(crate) mod profile_shape;
pub(crate) mod spec_keys;
pub(crate) mod table_reader;
