//! Loads on a tool and the reactions of clips and mount in the plane of the side view, as results.

use serde::Serialize;

/// Force on a tool in the side view, safety included.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct SideForce {
    /// Cause: `work` or `weight`.
    pub cause: &'static str,
    /// Place along the tool's axis, from over the mount's middle, mm.
    pub at_mm: f64,
    /// Force out of the mouth, across the tool, N.
    pub out_n: f64,
}

/// Reaction in the side view: what a clip exerts on the tool, or the body on the mount.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct SideReaction {
    /// Place along the tool's axis, or for the mount along the body, mm.
    pub at_mm: f64,
    /// Force toward the body, N: across the tool, or across the body.
    pub toward_body_n: f64,
    /// Force along the axis that `at_mm` runs along, N.
    pub along_n: f64,
    /// Moment in the plane of the side view about that place, N mm; positive turns +y toward +z.
    pub moment_nmm: f64,
}

/// Loads and reactions of the tool that loads a holder most: its load and its weight both out of the mouths.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct SideLoads {
    /// Letter of the size.
    #[serde(rename = "size")]
    pub letter: char,
    /// Name of the tool.
    pub tool: String,
    /// Loads.
    pub loads: Vec<SideForce>,
    /// Reactions of the clips, in the order of the stations.
    pub clips: Vec<SideReaction>,
    /// Reaction of the body on the mount, at the mount's middle.
    pub mount: SideReaction,
}
