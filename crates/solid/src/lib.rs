//! Solids: closed boundaries of planes, cylinders and cones, made from outlines.
//!
//! Units: mm, rad; z runs along the barrel, and the parting plane is z = 0. This is the only crate that uses truck; its
//! results are plain [`Brep`] values, numbered in order of construction. With the feature `truck` (default) they convert
//! to `truck_modeling::Solid`, and truck's mesher checks ours: `to_truck_solid`, `compare_with_truck`.
//!
//! | Part | Input | Function |
//! |---|---|---|
//! | coupon | [`PrismSpec`]: outline, half height, draft, chamfer, pockets | [`prism()`] |
//! | holder | two [`PrismSpec`]s, mount and clip, back to back | [`holder()`] |
//! | holder with several clips or a pitched axis | mount, [`Station`]s, [`ToolAxis`], [`WebShape`] | [`holder_with_stations()`] |
//! | sleeve | [`SleeveSpec`]: ring, collars, chamfers | [`sleeve()`] |
//! | plate with bosses, recesses and holes | [`PlateSpec`]: outline, thickness, draft, [`Relief`]s | [`plate()`] |
//! | blind hole in a finished part | outline, height of the face, depth | [`Solid::with_blind_hole`] |
//! | label | text and its size; the result is the outlines of a [`Pocket`] | [`lettering`](lettering()) |
//!
//! Solids can be checked ([`check()`]), integrated exactly ([`mass_properties`]), moved ([`Solid::moved`]) and
//! triangulated within a tolerance ([`triangulate`]). Boundaries need no 3D boolean operation and no approximation:
//! insets of lines and arcs are lines and arcs again, so side faces are planes, cylinders and cones, upright or oblique.
//!
//! ```text
//!        upper cap      +h      ___________
//!        chamfer        +h−c   /           \      45°
//!        draft                |             |     leans inward by the draft
//!        parting plane   0    |-------------|
//!        draft                |             |
//!        chamfer        −h+c   \___________/
//!        lower cap      −h
//! ```
//!
//! ```
//! use gripwright_section::rounded_rectangle;
//! use gripwright_solid::{
//!     CheckLimits, Cap, Lettering, Pocket, PrismSpec, check, lettering, mass_properties, prism, triangulate,
//! };
//!
//! // A tag of 30 × 8 × 4 mm with a drafted edge and a number engraved in its upper face.
//! let text = lettering("R14", &Lettering::default())?;
//! let middle = gripwright_section::Point::new(-0.5 * text.width_mm, -0.5 * text.height_mm);
//! let outlines = text.outlines.iter().map(|o| o.moved(0.0, middle)).collect();
//! let spec = PrismSpec {
//!     draft_rad: 1.5_f64.to_radians(),
//!     chamfer_mm: 0.3,
//!     pockets: vec![Pocket { outlines, depth_mm: 0.6, cap: Cap::Upper }],
//!     upper: None,
//!     ..PrismSpec::plain(rounded_rectangle(30.0, 8.0, 2.0)?, 2.0)
//! };
//! let tag = prism("tag R14", &spec)?;
//! assert!(check(&tag, &CheckLimits::wall(1.0)).is_empty());
//! let exact = mass_properties(tag.brep())?;
//! let mesh = triangulate(tag.brep(), 0.01)?;
//! assert!((mesh.volume_mm3() - exact.volume_mm3).abs() < 0.01 * exact.area_mm2);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod blind_hole;
mod bounding_box;
mod brep;
mod brep_builder;
mod brep_geometry;
mod check;
mod flat_web;
mod glyphs;
mod holder;
mod holder_error;
mod layer_stack;
mod lettering;
mod mass;
mod mesh;
mod motion;
mod pad_opening;
mod plate;
mod plate_error;
mod pocket;
mod prism;
mod prism_error;
mod rational_arc;
mod shell;
mod side_surface;
mod side_walls;
mod sleeve;
mod solid;
mod stations;
mod strip_bounds;
mod stroke;
#[cfg(feature = "truck")]
mod truck;
pub mod vector;
mod weld;
mod windows;

pub use blind_hole::BlindHoleError;
pub use bounding_box::BoundingBox;
pub use brep::{Brep, Edge, EdgeCurve, EdgeUse, Face, Frame, Point3, Surface};
pub use check::{CheckLimits, FIT_MM, SolidDefect, check, check_boundary};
pub use holder::{holder, least_offset_mm};
pub use holder_error::{HolderError, HolderPart};
pub use lettering::{
    LEAST_STROKE_GAP_MM, LEAST_STROKE_MM, LetteredText, Lettering, LetteringError, least_height_mm, lettering, strokes,
};
pub use mass::{MassError, MassProperties, face_areas_mm2, mass_properties};
pub use mesh::{Mesh, MeshError, triangulate};
pub use motion::Motion;
pub use plate::{PlateSpec, Relief, plate};
pub use plate_error::{PlateError, ReliefPath};
pub use pocket::{Cap, Pocket, PocketError, PocketOutline};
pub use prism::{GripDraft, PartingPlane, PrismSpec, prism};
pub use prism_error::PrismError;
pub use rational_arc::RationalArc;
pub use shell::ShellError;
pub use sleeve::{SleeveSpec, sleeve};
pub use solid::{SectionLevel, Solid};
pub use stations::{Station, ToolAxis, WebShape, holder_with_stations};
#[cfg(feature = "truck")]
pub use truck::{
    Deviation, MeshAgreement, MeshDisagreement, Mesher, SecondMesh, TruckError, compare_with_truck, to_truck_solid,
    triangulate_with_truck,
};
#[cfg(feature = "truck")]
pub use truck_modeling;
