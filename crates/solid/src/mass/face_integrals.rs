//! Contribution of one face to the integrals over a boundary.

use crate::brep::Point3;

/// Integrals over one face: its area, ∫ x·n dA and ∫ x (x·n) dA.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct FaceIntegrals {
    pub(super) area: f64,
    pub(super) flux: f64,
    pub(super) moment: Point3,
}
