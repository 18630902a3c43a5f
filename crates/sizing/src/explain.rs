//! Explains why there is no design and which single change would help.

pub(crate) mod holder_faults;
pub(crate) mod keep_out_remedies;
pub(crate) mod layout_faults;
pub(crate) mod no_design;
pub(crate) mod notes;
pub(crate) mod remedies;
