//! Mean rotations of the elements of an arm.

use super::block_chain::NodeVector;

/// Mean rotation of an element, with its sine and cosine: every part of an evaluation needs them.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct ElementTurn {
    pub(crate) turn_rad: f64,
    pub(crate) sin: f64,
    pub(crate) cos: f64,
}

impl ElementTurn {
    /// Sets the turns to those of the elements between the clamp and the nodes behind it.
    pub(crate) fn update(turns: &mut Vec<Self>, moved: &[NodeVector]) {
        turns.clear();
        let mut before = 0.0;
        turns.extend(moved.iter().map(|after| {
            let turn_rad = 0.5 * (before + after[2]);
            before = after[2];
            // Half the work of the system's, and the same bits on every system.
            let (sin, cos) = libm::sincos(turn_rad);
            Self { turn_rad, sin, cos }
        }));
    }
}
