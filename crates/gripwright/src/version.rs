//! Name and version of the program, as its files state them.

pub(crate) const MADE_BY: &str = concat!("gripwright ", env!("CARGO_PKG_VERSION"));
