//! Contact solver: a clip with a rigid barrel or body, with large displacements and friction, at any place of contact.
//!
//! [`simulate()`] pushes a rigid section from its first touch to its seat and pulls it out again.
//! [`solve_split_ring()`] uses the same arm solver for a sleeve that has been slid on its barrel.
//!
//! # Method
//!
//! - `arm_mesh` divides each arm into elements and places points of contact on its inner face and floor.
//! - `beam` holds the elements: Reissner's geometrically exact planar beam with Winkler's section for curved bars.
//! - `rigid_shape` gives the signed distance of a point from the rigid section.
//! - `contact_law` is the force at one place: a smoothed penalty as stiff as the wall, and Coulomb friction by return
//!   mapping.
//! - `near_points` keeps lists of the points that may touch, until the arm has moved as far as the others are clear.
//! - `arm_solver` finds the equilibrium of one arm at a given height of the section. Newton's method with a line search
//!   solves a chain of 3 × 3 blocks (`block_chain`), starting from an extrapolation of earlier equilibria.
//! - `motion` moves the rigid section and keeps the arms in equilibrium; `equilibrium` adds up the arms.
//! - `way` chooses the steps: short where the force is not what the points before foretell, long where nothing happens.
//!   `peak_search` finds peaks and corners between the steps. `force_curve` collects the points.
//! - `free_arms` finds the first touch and the floor, `insertion` pushes in and balances the forces at the seat
//!   (`height_bracket`), and `removal` pulls out. `simulation` does both, and `snap_run` holds the result.
//!
//! # Accuracy
//!
//! `tests/contact_reference.rs` compares with finite elements (`tests/data`): even round clips, further clips and
//! mounts, hexagonal bars on a flat and on a corner, and split rings on barrels. The differences for hexagonal bars are
//! 1 % for the push, 4 % for the pull and 5 % for the grip. For rings they are 1 %, and 3 % for the stand-off of the
//! bore. `beam/tests.rs` compares with the elastica, thin arcs and the pinched ring, and `tests/contact_wedge.rs` with
//! the mating force of the plastics makers' guides. `tests/contact_laws.rs` checks energy, scale, symmetry, friction
//! and orders of convergence; `tests/contact_accuracy.rs` checks the usual settings against a fine run;
//! `tests/contact_robust.rs` runs thousands of random clips and mounts.
//!
//! # Constants from finite elements
//!
//! - The depth of the effective clamp, 0.40 of the wall ([`crate::CLAMP_INTO_PAD`]), from the study of round clips; less
//!   where the wall is thicker than a quarter of the seat's radius, from clips with walls of up to 0.8 of it.
//! - The place from which on strain counts, 0.35 of the wall ([`crate::STRAIN_FROM_EDGE`]), from the same study.
//! - The two powers of the contact stiffness for sharp rounds (`contact_law`), chosen after the formula for line loads
//!   on eight hexagonal bars. They apply to rounds sharper than about a quarter of the section's reach: stiffer contacts
//!   on the face and softer ones on the lip. With the usual stiffness, a corner that passed from face to lip was pulled
//!   out with up to 12 % too much force.
//!
//! # Known weaknesses
//!
//! - A sleeve between barrel and clip counts as rigid; no finite elements cover this case yet.
//! - The grip of oversize barrels that touch right at the clamp: single cases are 10 % off a fine run.
//! - Tall rectangles whose lips hardly reach round the corner.
//! - On the way in and out the rigid section never moves aside, so the solver cannot show how flat a vee may be. The
//!   flattest vee (150°) is a limit of practice.

mod arm_mesh;
mod arm_solver;
mod arm_state;
mod arm_strains;
mod beam;
mod block_chain;
mod contact_law;
mod displacement_run;
mod element_turn;
mod equilibrium;
mod face_element;
mod force_curve;
mod free_arms;
mod height_bracket;
mod insertion;
mod meshed_clip;
mod motion;
mod near_points;
mod peak_search;
mod plane_stiffness;
mod removal;
mod rigid_path;
mod seated_state;
mod simulation;
mod snap_run;
mod solver_settings;
mod split_ring;
mod way;
mod worst_strains;

pub use arm_strains::{ArmStrains, FacePairStrain};
pub use displacement_run::{
    HoldingLoad, RigidDisplacement, displace_from_rest, displacements_after_run, displacements_from_rest,
};
pub use meshed_clip::{ArmGeometry, ClipLevel, MeshDensity, MeshedClip};
pub use plane_stiffness::PlaneStiffness;
pub use simulation::{simulate, simulate_insertion};
pub use snap_run::{ForcePeak, ForcePoint, InsertionOutcome, SnapRun, StrainPeak};
pub use solver_settings::{CoulombFriction, SolverSettings};
pub use split_ring::{RingState, solve_split_ring};
pub use worst_strains::worst_arm_strains;
