//! Profiles that were measured: readings, a drawing or a scan, from which an outline has still to be made.

use gripwright_section::Outline;

/// What was measured.
#[derive(Clone, Debug, PartialEq)]
pub enum MeasuredProfile {
    /// Readings of a calliper.
    Calliper(MeasuredCalliper),
    /// A drawing.
    Traced(MeasuredTrace),
    /// A scan.
    Scan(MeasuredScan),
}

/// How the outline is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutlineRequirements {
    /// How far it may lie from what was measured, mm.
    pub tolerance_mm: f64,
    /// Least radius of a corner, mm.
    pub corner_mm: f64,
    /// The body's axis: in mm from the middle of readings, in the file's own coordinates for drawings and scans. The
    /// middle of the outline's box when absent.
    pub centre: Option<[f64; 2]>,
}

/// Readings of a calliper.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredCalliper {
    /// Whether they are widths between jaws, and not radii from a middle.
    pub widths: bool,
    /// Direction, rad, and what was read there, mm.
    pub rows: Vec<(f64, Vec<f64>)>,
    /// How the outline is wanted.
    pub fitting: OutlineRequirements,
}

/// A drawing of the section.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredTrace {
    /// Its file, relative to the spec.
    pub file: String,
    /// One unit of it, mm.
    pub unit_mm: f64,
    /// What it is multiplied by besides.
    pub scale: f64,
    /// Greatest gap that is closed, mm.
    pub gap_mm: f64,
    /// Two points whose distance was measured.
    pub check: Option<CheckDistance>,
    /// How the outline is wanted.
    pub fitting: OutlineRequirements,
}

/// Two points of a drawing, in its own coordinates, and their distance on the body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheckDistance {
    /// One point.
    pub from: [f64; 2],
    /// The other.
    pub to: [f64; 2],
    /// Their distance, mm.
    pub distance_mm: f64,
}

/// A section of a scan.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredScan {
    /// Its file, relative to the spec.
    pub file: String,
    /// One unit of it, mm.
    pub unit_mm: f64,
    /// Along which axis of the file the body lies.
    pub axis: ScanAxis,
    /// Where it is cut, mm.
    pub height_mm: f64,
    /// Greatest gap that is closed, mm.
    pub gap_mm: f64,
    /// How the outline is wanted.
    pub fitting: OutlineRequirements,
}

/// An axis of a scan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScanAxis {
    /// Along x.
    X,
    /// Along y.
    Y,
    /// Along z.
    Z,
}

/// An outline that was made from measured numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct SurveyedProfile {
    /// Lines and arcs, convex, tangent, counter-clockwise, about the body's axis.
    pub outline: Outline,
    /// From what it was made, in words.
    pub from: String,
    /// How many readings, or points of a drawing or scan.
    pub points: usize,
    /// Largest distance of what was measured from the outline, mm.
    pub largest_mm: f64,
    /// Root mean square of the distances, mm.
    pub rms_mm: f64,
}
