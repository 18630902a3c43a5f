//! Outlines of measured bodies: from calliper readings, traced drawings (DXF, SVG) and scans (STL).
//!
//! ```text
//!  readings ────────────────────────────────────▶ smoothing ───┐
//!  DXF, SVG ──▶ polylines ─────┬─▶ one closed ─┬─▶ smoothing ──┼─▶ convex polygon ──▶ outline fit ──▶ Outline
//!  STL ───────▶ section lines ─┘   loop        └─▶ hull ───────┘
//! ```
//!
//! ```text
//!    points or lines            convex polygon             lines and arcs
//!       . .  . .                 __________                  __________ line
//!     .         .               /          \               ,´          `. arc
//!    .           .             /            \             /              \
//!    .           : ◀ gap      |              |           |                |
//!     .         .              \            /             \              /
//!       . .  . .                \__________/               `.__________,´
//!
//!    ends within the gap       hollows within the         within the tolerance; corners
//!    are joined                tolerance are smoothed     have at least the given radius
//! ```
//!
//! Every chain of lines and arcs is convex and tangent, as a mount needs it, and its centre is the origin.
//! [`SurveyedOutline`] adds the largest and the root-mean-square distance of the measured points from it.
//!
//! | Source | Entrance | Options |
//! |---|---|---|
//! | radii or widths at angles | [`outline_from_readings`], [`reading_spread_mm`] | [`ReadingKind`] |
//! | drawing with one closed line | [`outline_from_dxf`], [`outline_from_svg`] | [`DrawingOptions`] |
//! | section of a scan; its outer loop counts | [`outline_from_stl`] | [`SectionCut`] |
//!
//! ```
//! use gripwright_survey::{ReadingKind, CalliperReading, OutlineOptions, outline_from_readings};
//!
//! let readings: Vec<CalliperReading> = (0..12)
//!     .map(|k| CalliperReading { angle_rad: f64::from(k) * std::f64::consts::TAU / 12.0, values_mm: vec![15.0] })
//!     .collect();
//! let options = OutlineOptions { tolerance_mm: 0.02, corner_mm: 0.2, hull: false, centre: None };
//! let survey = outline_from_readings(&readings, ReadingKind::Radii, 0.02, &options)?;
//! assert!((survey.outline.bounds().size().x - 30.0).abs() < 0.02);
//! # Ok::<(), gripwright_survey::SurveyError>(())
//! ```
//!
//! Units: mm, rad; counter-clockwise is positive. This crate reads no files: the caller passes bytes. A [`SurveyError`]
//! gives places in the drawing's own coordinates. Not guaranteed: a corner much smaller than the distance between the
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
pub mod read_limits;
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
pub use error::{PointNoise, SurveyError};
pub use stl::{CutAxis, SectionCut, outline_from_stl};
pub use surveyed_outline::{OutlineOptions, SurveyedOutline};
pub use svg::outline_from_svg;
