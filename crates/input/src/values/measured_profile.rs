//! Measured cross-sections of the body: calliper readings, a drawing or a scan, and the outline that is fitted to them.

use gripwright_section::Outline;

/// Measured data of a cross-section, before an outline is fitted.
#[derive(Clone, Debug, PartialEq)]
pub enum MeasuredProfile {
    /// Readings of a calliper.
    Calliper(MeasuredCalliper),
    /// A drawing of the section.
    Traced(MeasuredTrace),
    /// A section of a scan.
    Scan(MeasuredScan),
}

/// Requirements on the outline that is fitted to measured data.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutlineRequirements {
    /// Largest allowed distance of the outline from the measured data, mm.
    pub tolerance_mm: f64,
    /// Smallest corner radius, mm.
    pub corner_mm: f64,
    /// True if hollows deeper than the tolerance are spanned, so that the outline is the convex hull.
    pub hull: bool,
    /// Axis of the body: in mm from the middle of the readings, or in the file's own coordinates for drawings and scans.
    /// If absent, the centre of the outline's bounding box.
    pub centre: Option<[f64; 2]>,
}

/// Lengths that a calliper measured at one angle.
#[derive(Clone, Debug, PartialEq)]
pub struct CalliperRow {
    /// Angle, rad, counter-clockwise from +x.
    pub angle_rad: f64,
    /// Lengths measured there, mm.
    pub values_mm: Vec<f64>,
}

/// Readings of a calliper.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredCalliper {
    /// True if the readings are widths between jaws; false if they are radii from one middle.
    pub widths: bool,
    /// Direction, rad, and the readings there, mm.
    pub rows: Vec<CalliperRow>,
    /// Requirements on the outline that is fitted to measured data.
    pub requirements: OutlineRequirements,
}

/// A drawing of the section.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredTrace {
    /// Path of the file, relative to the spec.
    pub file: String,
    /// Length of one unit of the file, mm.
    pub unit_mm: f64,
    /// Scale factor that applies on top of the unit.
    pub scale: f64,
    /// Largest gap between curve ends that is closed, mm.
    pub gap_mm: f64,
    /// Two points whose distance was measured on the body.
    pub check: Option<CheckDistance>,
    /// Requirements on the outline that is fitted to measured data.
    pub requirements: OutlineRequirements,
}

/// Two points of a drawing, in its own coordinates, and their distance on the body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheckDistance {
    /// First point.
    pub from: [f64; 2],
    /// Second point.
    pub to: [f64; 2],
    /// Measured distance of the two points, mm.
    pub distance_mm: f64,
}

/// A section of a scan.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredScan {
    /// Path of the file, relative to the spec.
    pub file: String,
    /// Length of one unit of the file, mm.
    pub unit_mm: f64,
    /// Axis of the file that runs along the body.
    pub axis: ScanAxis,
    /// Position of the cut along that axis, mm.
    pub height_mm: f64,
    /// Largest gap between curve ends that is closed, mm.
    pub gap_mm: f64,
    /// Requirements on the outline that is fitted to measured data.
    pub requirements: OutlineRequirements,
}

/// Axis of a scan file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScanAxis {
    /// x axis.
    X,
    /// y axis.
    Y,
    /// z axis.
    Z,
}

/// Outline that was fitted to measured data, with its residuals.
#[derive(Clone, Debug, PartialEq)]
pub struct SurveyedProfile {
    /// Convex, tangent outline of lines and arcs, counter-clockwise about the body's axis.
    pub outline: Outline,
    /// Description of the measured data.
    pub from: String,
    /// Number of readings, or of points of a drawing or scan.
    pub points: usize,
    /// Largest distance of the measured data from the outline, mm.
    pub largest_mm: f64,
    /// Root mean square of these distances, mm.
    pub rms_mm: f64,
    /// Depth of the deepest hollow that the outline spans, mm; zero without [`OutlineRequirements::hull`].
    pub spanned_mm: f64,
}
