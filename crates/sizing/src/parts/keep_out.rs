//! Keep-outs: clearance of the parts, and pockets that relieve the web.

pub(crate) mod clearance;
pub(crate) mod holder_solids;
pub(crate) mod relief;
