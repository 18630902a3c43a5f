//! What tried coupons say of a printer and its material, and which coupons still teach.
//!
//! Unknown are the printer's error of bore that all sizes share, the error of each size besides, a factor of stiffness and
//! the friction. Every tried coupon has an outcome in words, perhaps a force and a measured bore; the contact solver says
//! how probable they are for any values of the unknowns.
//!
//! Units: mm, N; an error or a step of a bore is one of its diameter, positive when it is wider. This crate reads no file
//! and knows no clock; the same trials in any order give the same bits.

mod axis;
mod belief;
mod climb;
mod drags;
mod gauge;
mod held;
mod lattice;
mod marginals;
mod model;
mod next;
mod nodes;
mod normal;
mod of_size;
mod ordinal;
mod pieces;
mod plan;
mod posterior;
mod prior;
pub mod probit;
mod reading;
mod recipe;
mod size;
mod slips;
mod summary;
mod trial;
mod wanted;
mod worlds;

pub use belief::{Belief, Marginal};
pub use model::{FitModel, ModelError};
pub use next::{NextPlate, Proposal};
pub use posterior::{Contradiction, Doubt, Posterior, SizeBelief};
pub use prior::Prior;
pub use size::StatedSize;
pub use trial::Trial;
pub use wanted::{Measurement, Wanted};

pub use gripwright_input::{Drag, TrialOutcome};
