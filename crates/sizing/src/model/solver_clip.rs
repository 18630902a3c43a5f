//! Clip or mount as the contact solver takes it.

use gripwright_mechanics::MeshedClip;

use crate::once_map::BitKey;

/// A clip or mount as the solver takes it, with all numbers that it was drawn after.
#[derive(Clone, Debug)]
pub(crate) struct SolverClip {
    pub(crate) clip: MeshedClip,
    pub(crate) key: BitKey,
}
