//! Conversion to `truck_modeling::Solid`, and comparison of our triangles with those of truck's mesher.
//!
//! | Boundary | truck |
//! |---|---|
//! | line | `Line` |
//! | arc | `NurbsCurve` of degree 2, in pieces of at most a quarter turn |
//! | plane | `Plane` |
//! | cylinder, cone | `RevolutedCurve` of a straight `BSplineCurve` |
//! | oblique cone | `NurbsSurface` of degrees 2 and 1 |
//!
//! All of these are exact. Conversion and triangulation of every finished part are promised; truck's booleans are not.

mod comparison;
mod conversion;
mod curve;
mod meridian;
mod mesh_distance;
mod mesh_figures;
mod second_mesh;
mod surface;

pub use comparison::{Deviation, MeshAgreement, MeshDisagreement, Mesher, compare_with_truck};
pub use conversion::{TruckError, to_truck_solid};
pub use second_mesh::{SecondMesh, triangulate_with_truck};
