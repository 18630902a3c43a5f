//! Pages of HTML that need no other file: no script, no request, one page for every paper of at least 190 mm of width.
//!
//! ```text
//!  BenchSheet ──▶ bench_sheet_html ──┐
//!  Drawing ─────▶ DrawingLayout ─────┼──▶ PageFrame::page ──▶ HTML, read by strict XML readers too
//!  ScaleBar ────▶ svg, instruction ──┘
//! ```
//!
//! - [`PageFrame`] has title, subtitle, revision, a line at the foot of every printed page, and the common style sheet.
//! - [`ScaleBar`] shows whether the paper was printed at true size; every page with a drawing has this one.
//! - [`Drawing`] holds outlines, circles, lines, dimensions and labels in mm; its layout has the exact arcs as SVG, and
//!   [`DrawingTile`]s show it at true size where it is larger than a page.
//! - [`BenchSheet`] is a work instruction, step by step; serialised, it is the same sheet as JSON.
//!
//! Lengths in mm, on paper and in the model. Text is plain: it is escaped here.
//!
//! ```
//! use gripwright_report::{Drawing, DrawnFill, DrawnShape};
//! use gripwright_section::circle;
//!
//! let ring = DrawnShape::Region { outlines: vec![circle(40.0)?, circle(25.0)?], fill: DrawnFill::Rubber };
//! let layout = Drawing { title: "Ring".into(), shapes: vec![ring], ..Drawing::default() }.layout();
//! assert_eq!(layout.scale.to_string(), "true size, 1:1");
//! # Ok::<(), gripwright_section::BodyError>(())
//! ```

mod bench_sheet;
mod bench_sheet_html;
mod calibration_page;
mod chart;
mod drawing;
mod drawing_layout;
mod drawing_tiles;
mod drawn_dimensions;
mod drawn_labels;
mod figures;
mod hatching;
mod lettering;
mod markup;
mod mould_page;
mod page_frame;
mod page_parts;
mod page_table;
mod run_page;
mod scale_bar;
mod scene;
mod script_page;
mod sketch;
mod svg_frame;

pub use bench_sheet::{BenchSheet, BenchStep, Fact, Quantity};
pub use bench_sheet_html::bench_sheet_html;
pub use calibration_page::{CalibrationFigure, CalibrationPage, calibration_page};
pub use drawing::{Dimension, DimensionDirection, Drawing, DrawnFill, DrawnLabel, DrawnLine, DrawnShape};
pub use drawing_layout::{DrawingLayout, DrawingScale, ROOM_MM};
pub use drawing_tiles::DrawingTile;
pub use markup::escaped;
pub use mould_page::{MouldPage, mould_page};
pub use page_frame::PageFrame;
pub use page_parts::{PageCaution, SourceText};
pub use run_page::{MouldFactSheet, RunPage, SeatView, SideView, StillPicture, run_page, turned_rectangle};
pub use scale_bar::ScaleBar;
pub use scene::{SceneGroup, SceneKind, SceneMesh};
pub use svg_frame::SvgFrame;
