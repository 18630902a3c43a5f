//! Result data of sizing; nothing here computes a design.

pub(crate) mod records;
