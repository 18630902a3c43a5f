//! What holds a barrel or body against displacements aside and turns.

use gripwright_mechanics::ForceTravel;

/// Forces aside over travel at unit modulus and unit length, and the greatest moment about the axis.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SideGrip {
    pub(crate) aside: [ForceTravel; 2],
    /// Moment over the turn (rad), one way and the other; empty for a round section.
    pub(crate) roll: Vec<ForceTravel>,
    pub(crate) round_nmm_per_mm: f64,
}
