//! Mesh of a clip or mount for the contact solver, with its key.

use gripwright_mechanics::MeshedClip;

use crate::once_map::BitKey;

/// Mesh of a clip or mount, with all numbers that decide it.
#[derive(Clone, Debug)]
pub(crate) struct SolverClip {
    pub(crate) clip: MeshedClip,
    pub(crate) key: BitKey,
}
