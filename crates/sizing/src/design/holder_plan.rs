//! Plan of a holder: outlines, stations, web.

use gripwright_input::{GrippingFaces, Parting};
use gripwright_mechanics::WebBending;
use gripwright_section::Outline;
use serde::Serialize;

use crate::design::clearance::KeepOutPlan;

/// Everything that is needed to build one holder.
///
/// Both outlines are in their own drawing: axis at the origin, mouth toward +y, pad at the bottom.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct HolderPlan {
    /// Name of the part.
    pub name: String,
    /// Its size.
    pub letter: char,
    /// Outline of the mount at the parting plane; on a body that tapers, at the end where the body is thickest; on one that
    /// tapers unevenly, at the lower end.
    pub mount_outline: Outline,
    /// Outline of the mount at its upper end, on a body that tapers unevenly.
    pub mount_upper: Option<Outline>,
    /// Slope of the mount's gripping faces toward the body's axis, mm for each mm toward +z; zero unless the body
    /// tapers.
    pub mount_lean: f64,
    /// Length of the mount, mm.
    pub mount_length_mm: f64,
    /// Outline of the clip at the parting plane.
    pub clip_outline: Outline,
    /// Length of the clip, mm.
    pub clip_length_mm: f64,
    /// From the body axis to the tool axis, mm.
    pub offset_mm: f64,
    /// Draft, rad.
    pub draft_rad: f64,
    /// Parting plane from which the draft leans. With one at the end, mount and clip are flush at their lower ends.
    pub parting: Parting,
    /// Chamfer of the end edges, mm.
    pub chamfer_mm: f64,
    /// Gripping faces: straight or drafted.
    pub gripping: GrippingFaces,
    /// Depth of the chamfer on straight gripping faces at the lower end, which lies on the printer's bed, mm: of the mount
    /// and of the clips.
    pub seat_chamfers_mm: [f64; 2],
    /// Lean of the tool axis against the body's, rad; positive away from the body toward +z.
    pub pitch_rad: f64,
    /// The clips along the tool axis, ascending.
    pub stations: Vec<StationPlan>,
    /// Shape of the web.
    pub web_plan: WebPlan,
    /// Windows through a side-view web, in its drawing.
    pub windows: Vec<Outline>,
    /// Face of the end stop along the tool axis, mm; no stop when absent.
    pub stop_at_mm: Option<f64>,
    /// The point of the tool that must be true along its axis, mm; absent when there is none.
    pub ahead_mm: Option<f64>,
    /// The web between the pads.
    pub web: Web,
    /// Free space at each keep-out, in the order of the spec.
    pub keep_outs: Vec<KeepOutPlan>,
}

/// One clip of a holder.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct StationPlan {
    /// Its middle along the tool axis, from over the mount's middle, mm.
    pub at_mm: f64,
    /// Its length, mm.
    pub length_mm: f64,
    /// Its outline at the end nearest to the mount's parting plane, or in that plane; without draft anywhere.
    pub outline: Outline,
}

/// Shape of a web.
#[derive(Clone, Debug, PartialEq)]
pub enum WebPlan {
    /// Straight from the mount's pad to that of a single clip, over its middle or flush with its lower end.
    Plain,
    /// Plane faces and draft, with several clips or one beside the middle.
    Flat,
    /// A side-view outline (x is the height over the body's axis, y runs along the body), extruded across.
    Side(Outline),
}

/// The web as a short beam from mount to clip, loaded across by the working loads at the tool axis.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Web {
    /// Distance between the pads, mm.
    pub length_mm: f64,
    /// Full width, mm.
    pub width_mm: f64,
    /// Length along the tool that counts: that of the shorter one of the mount's pad and all that the clips span, mm.
    pub depth_mm: f64,
    /// Greatest strain of bending, shear and twist together under the load across, safety included.
    pub strain: f64,
    /// Permissible strain.
    pub strain_limit: f64,
    /// Sway of the tool axis in the middle of the clip under that load, mm.
    pub sway_mm: f64,
    /// Turn of the tool axis when the load acts at the point that must be true, rad; zero without such a point.
    pub turn_rad: f64,
    /// Movement of the point that must be true under that load.
    pub tip: PointMovement,
    /// Movement of the tool under its weight and working load from the worst direction, without safety factor. It is
    /// taken at the aimed point, or over the clips if they are farther out.
    pub working: PointMovement,
    /// Permissible movement, mm; no limit when absent.
    pub working_limit_mm: Option<f64>,
    /// Beam model behind these figures.
    pub bending: WebBending,
}

/// Movement of a point of the tool under a load, mm, by what gives way. Each part is the greatest over all directions of
/// the load, at the softest of its material.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[non_exhaustive]
pub struct PointMovement {
    /// The web bends, shears and twists.
    pub web_mm: f64,
    /// The mount shifts and turns on its arms; absent if it peels or slips under the load.
    pub mount_mm: Option<f64>,
    /// The tool shifts and leans in its clips; absent if it peels or slips.
    pub clips_mm: Option<f64>,
}

impl PointMovement {
    /// Sum of the parts, mm; absent if one of them is.
    pub fn total_mm(&self) -> Option<f64> {
        Some(self.web_mm + self.mount_mm? + self.clips_mm?)
    }

    /// Sum of the parts that are known, mm; the point moves at least as far.
    pub fn at_least_mm(&self) -> f64 {
        self.web_mm + self.supports_mm()
    }

    /// Sum of what mount and clips move, mm, as far as it is known.
    pub fn supports_mm(&self) -> f64 {
        self.mount_mm.unwrap_or(0.0) + self.clips_mm.unwrap_or(0.0)
    }
}

impl HolderPlan {
    /// Unit direction of the tool's axis in the holder.
    pub fn axis_direction(&self) -> [f64; 3] {
        let (sin, cos) = self.pitch_rad.sin_cos();
        [0.0, sin, cos]
    }

    /// Point of the tool's axis, from over the mount's middle, mm.
    pub fn axis_point_mm(&self, along_mm: f64) -> [f64; 3] {
        let (sin, cos) = self.pitch_rad.sin_cos();
        [0.0, self.offset_mm + along_mm * sin, along_mm * cos]
    }
}
