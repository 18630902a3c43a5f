//! Writers of file formats: STEP, STL and 3MF files, PNG pictures and SVG figures.
//!
//! Every function takes values and returns bytes or text. This crate opens no file and reads no clock: the same input
//! always gives the same bytes.
//!
//! ```text
//!       exact boundary                                triangles within a tolerance
//!         ,-------. arc                                  _______
//!       ,´         `.                                   /       \ chord
//!      (  cylinder   )  ── triangulate, in `solid` ──▶ <         >
//!       `.         ,´                                   \_______/
//!         `-------´
//!           Brep                                          Mesh
//!            ├──▶ step() ──▶ STEP: exact faces              ├──▶ stl() ──────▶ STL: no names, no unit
//!            │                                              ├──▶ three_mf() ─▶ 3MF: named objects on the bed
//!            └────── sharp edges as lines ──────────────────┴──▶ picture() ──▶ PNG
//!
//!   rows of a calibration ──▶ figure::coupon_map() and others ──▶ SVG text
//! ```
//!
//! | File | Function | Coordinates |
//! |---|---|---|
//! | STEP (AP214) | [`step()`] of [`StepPart`]s | mm; an oblique cone becomes an exact rational B-spline surface |
//! | STL | [`stl()`] of [`Mesh`](gripwright_solid::Mesh)es | mm in single precision |
//! | 3MF | [`three_mf()`] of [`ThreeMfPart`]s | millionths of a mm, none below z = 0 |
//! | PNG | [`picture()`] of [`ShadedPart`]s in a [`View`] | parallel projection, fitted around the parts |
//! | SVG | [`figure::coupon_map`], [`figure::density_panels`], [`figure::fit_comparison`] | px |
//!
//! ```
//! use gripwright_solid::Mesh;
//!
//! let tetrahedron = Mesh {
//!     vertices: vec![[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
//!     triangles: vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]],
//! };
//! let bytes = gripwright_export::stl(&[&tetrahedron])?;
//! assert_eq!(bytes.len(), 84 + 4 * 50);
//! # Ok::<(), gripwright_export::StlError>(())
//! ```
//!
//! Units: mm, rad. Not guaranteed: a valid boundary. Writers report input that they cannot write (a number that is not
//! finite, an index that points nowhere); the `solid` crate checks that boundaries are closed.

pub mod figure;
mod picture;
mod step;
mod stl;
mod three_mf;

pub use picture::{PictureError, ShadedPart, View, edge_chords, picture};
pub use step::{StepError, StepHeader, StepPart, step};
pub use stl::{StlError, stl};
pub use three_mf::{ThreeMfError, ThreeMfHeader, ThreeMfPart, three_mf};
