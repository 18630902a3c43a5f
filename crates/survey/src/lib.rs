//! From what people measure to outlines: calliper readings, traced drawings (DXF, SVG) and scans (STL).
//!
//! Every way ends in a closed chain of lines and arcs that is convex and tangent, as a mount needs it, with the largest
//! and the root-mean-square distance of what was measured from it. Nothing is read from files: the caller hands in
//! bytes. Errors say where in the drawing.
//!
//! ```text
//! readings ──▶ smooth ─┐
//! DXF, SVG ──▶ chain ──┼─▶ convex polygon ──▶ fit ──▶ Outline
//! STL ─────▶ section ──┘   (hull, or smoothed)
//! ```
//!
//! ```
//! use gripwright_survey::{ReadingKind, CalliperReading, OutlineOptions, outline_from_readings};
//!
//! let readings: Vec<CalliperReading> = (0..12)
//!     .map(|k| CalliperReading { angle_rad: f64::from(k) * std::f64::consts::TAU / 12.0, values_mm: vec![15.0] })
//!     .collect();
//! let options = OutlineOptions { tolerance_mm: 0.02, corner_mm: 0.2, centre: None };
//! let survey = outline_from_readings(&readings, ReadingKind::Radii, 0.02, &options)?;
//! assert!((survey.outline.bounds().size().x - 30.0).abs() < 0.02);
//! # Ok::<(), gripwright_survey::SurveyError>(())
//! ```
//!
//! Units: mm, rad; counter-clockwise is positive. Not guaranteed: that a corner much smaller than the distance between
//! readings around it comes out within their noise.

mod biarc;
mod calliper;
mod closed_loops;
mod drawing;
mod dxf;
mod error;
mod half_planes;
mod nurbs;
mod outline_fit;
mod polygon;
mod polylines;
mod reduced_dxf;
mod ring_matrix;
mod smoothing;
mod stl;
mod surveyed_outline;
mod svg;
mod svg_path;

pub use calliper::{CalliperReading, ReadingKind, outline_from_readings, reading_spread_mm};
pub use drawing::{DistanceCheck, DrawingOptions};
pub use dxf::outline_from_dxf;
pub use error::SurveyError;
pub use stl::{CutAxis, SectionCut, outline_from_stl};
pub use surveyed_outline::{OutlineOptions, SurveyedOutline};
pub use svg::outline_from_svg;
