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
//! use gripwright_survey::{Measure, Reading, Wish, calliper};
//!
//! let readings: Vec<Reading> = (0..12)
//!     .map(|k| Reading { angle_rad: f64::from(k) * std::f64::consts::TAU / 12.0, values_mm: vec![15.0] })
//!     .collect();
//! let wish = Wish { tolerance_mm: 0.02, corner_mm: 0.2, centre: None };
//! let survey = calliper(&readings, Measure::Radii, 0.02, &wish)?;
//! assert!((survey.outline.bounds().size().x - 30.0).abs() < 0.02);
//! # Ok::<(), gripwright_survey::SurveyError>(())
//! ```
//!
//! Units: mm, rad; counter-clockwise is positive. Not guaranteed: that a corner much smaller than the distance between
//! readings around it comes out within their noise.

mod banded;
mod biarc;
mod calliper;
mod chain;
mod drawing;
mod dxf;
mod dxf_pairs;
mod error;
mod fit;
mod nurbs;
mod piece;
mod planes;
mod polygon;
mod scan;
mod smooth;
mod survey;
mod svg;
mod svg_path;

pub use calliper::{Measure, Reading, calliper, spread_mm};
pub use drawing::{Check, Drawing};
pub use dxf::dxf;
pub use error::SurveyError;
pub use scan::{Axis, Cut, scan};
pub use survey::{Survey, Wish};
pub use svg::svg;
