//! Outlines of measured bodies: from calliper readings, traced drawings (DXF, SVG) and scans (STL).
//!
//! Each source gives a closed chain of lines and arcs that is convex and tangent, as a mount needs it. The result
//! includes the largest and the root-mean-square distance of the measured points from it. This crate reads no files:
//! the caller passes bytes. Errors give the place in the drawing.
//!
//! ```text
//! readings ──▶ smoothing ────┐
//! DXF, SVG ──▶ polylines ────┼─▶ convex polygon ──▶ outline fit ──▶ Outline
//! STL ───────▶ section lines ┘   (hull, or smoothed)
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
//! Units: mm, rad; counter-clockwise is positive. Not guaranteed: a corner much smaller than the distance between the
//! readings around it may come out with more error than their noise.

mod affine_map;
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
