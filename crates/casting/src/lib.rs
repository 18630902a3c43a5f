//! Casting of a part in a silicone mould: the sizes along the way from the printed master, and the physics of the mould.
//!
//! ```text
//!  wanted part ──▶ backwards ──▶ master as drawn
//!                                    │ print, primer        layers on every face
//!                                    ▼
//!                                 master ──▶ silicone ──▶ casting: factors, or one net allowance
//! ```
//!
//! - [`SizeChain`] holds the steps of one kind of face and carries a size forwards and backwards, with its spread.
//! - [`CastingProcess`] makes the chain of each class of faces from the figures of print, primer, silicone and resin.
//! - [`MixBatch`] divides a batch by its mixing ratio, as fine as the scale reads.
//! - [`release`] tells how a part comes out of the rubber: draft, stretch, fins, strain and a verdict.
//! - [`find_pockets`] finds the air that a cavity traps, and [`plan_vents`] places sprue and vents.
//! - [`mould`] lays masters out in a box with least rubber and draws the parts of the mould to print.
//! - [`mould_physics`] has bubbles under pressure and vacuum, the modulus of silicone from its hardness and lid forces.
//!
//! Lengths in mm, masses in g, temperatures in °C, pressures in MPa. Shares are of one, not per cent.

pub mod mould;
pub mod mould_physics;
pub mod release;

mod casting_process;
mod casting_run;
mod master_outline;
mod mix_batch;
mod pour_clock;
mod size_chain;
mod vector;
mod venting;

pub use casting_process::{
    CastingProcess, FaceClass, FaceLayers, REFERENCE_TEMPERATURE_C, Shrinkage, ShrinkageFactors,
};
pub use casting_run::{CastingRun, SHOTS_OF_A_MOULD};
pub use master_outline::{MasterOutlineError, MasterScale};
pub use mix_batch::{BatchError, MixBatch, MixRatio};
pub use pour_clock::{PourClock, PourMeans, PourStep, TimedStep};
pub use size_chain::{ChainStep, SizeChain, SizeKind, SizeWithSpread, Spread, StepEffect};
pub use venting::{
    air_pocket::{AirLimits, AirPocket, CavityError, FlatTop, Opening, TrappedAir},
    flat_tops::flat_tops,
    height_sweep::find_pockets,
    vent_plan::{
        Attitude, DEFAULT_SPRUE_RADIUS_MM, DEFAULT_TILT_RAD, DEFAULT_VENT_RADIUS_MM, DEFAULT_VENT_SPACING_MM,
        OpeningPlace, OpeningPurpose, PlannedOpening, SurfacePoint, VentApart, VentBrief, VentPlan,
    },
    vent_planner::plan_vents,
};
