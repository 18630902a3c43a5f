//! State of an arm in an accepted equilibrium: all that is needed to go on from it.

use gripwright_section::Point;

use super::block_chain::NodeVector;

/// An accepted equilibrium of an arm.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct ArmState {
    /// Travel of the rigid section, mm.
    pub(crate) travel: f64,
    /// Displacements of the nodes behind the clamp.
    pub(crate) moved: Vec<NodeVector>,
    pub(crate) drags: Drags,
    /// Contact normal at the lip; `None` where it does not touch.
    pub(crate) lip_normal: Option<Point>,
}

/// Friction forces at the places that are pressed, by the index of the place (floor, face, lip), in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Drags(pub(crate) Vec<(usize, f64)>);

impl Drags {
    /// Friction force at a place; zero where nothing presses.
    pub(crate) fn at(&self, index: usize) -> f64 {
        self.0.binary_search_by_key(&index, |(place, _)| *place).map_or(0.0, |found| self.0[found].1)
    }
}
