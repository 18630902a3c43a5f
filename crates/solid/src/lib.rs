//! Solids: outlines become closed boundaries of planes, cylinders and cones.
//!
//! Units: mm, rad. This is the only crate that names truck; it hands out plain [`Brep`] values.

mod bounds;
mod brep;
mod check;
mod frame;
mod glyphs;
mod holder;
mod layer;
mod letters;
mod mass;
mod mesh;
mod motion;
mod pieces;
mod pocket;
mod prism;
mod shell;
mod side;
mod solid;
mod stroke;
mod vector;
mod wall;

pub use bounds::Box3;
pub use brep::{Brep, Edge, EdgeCurve, EdgeUse, Face, Frame, Point3, Surface};
pub use check::{Asked, FIT_MM, Finding, check, check_boundary};
pub use holder::{HolderError, Part, holder, least_offset_mm};
pub use letters::{LEAST_GAP_MM, LEAST_STROKE_MM, LetterError, Lettering, Text, least_height_mm, lettering};
pub use mass::{MassError, MassProperties, mass_properties};
pub use mesh::{Mesh, MeshError, triangles};
pub use motion::Motion;
pub use pocket::{Cap, Pocket, PocketError};
pub use prism::{Gripping, PrismError, PrismSpec, prism};
pub use shell::ShellError;
pub use solid::{Level, Solid};
