//! Strains along an arm at its worst moment, as a result.

use serde::Serialize;

/// Strains along the arm that a tool strains most, or the body, at the moment of the greatest strain.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct StrainProfile {
    /// Letter of the size, or M.
    #[serde(rename = "size")]
    pub letter: char,
    /// Name of the tool at its greatest diameter; absent for the mount on the greatest body.
    pub tool: Option<String>,
    /// Friction at which it is strained most.
    pub friction: f64,
    /// Height of the axis over that of the seat in the drawing at that moment, mm.
    pub axis_mm: f64,
    /// True if it is on the way in.
    pub on_the_way_in: bool,
    /// Permissible strain.
    pub strain_limit: f64,
    /// Length of centreline from the clamp (mm), strain of the inner face and of the outer face; tension is positive.
    pub along: Vec<[f64; 3]>,
}
