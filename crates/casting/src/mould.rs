//! Mould of several masters: layout in a box with least rubber, volumes, and the printed parts.
//!
//! ```text
//! masters, figures ──▶ lay_out ──▶ MouldLayout ──▶ mould_parts ──▶ solids to print
//!                                       └────────▶ misfits: printer's bed, pressure vessel
//! ```
//!
//! Lengths in mm. The box is centred about the origin; height zero is the parting plane, or the lowest point of the masters
//! in a block, as the first silicone is poured.

mod bed_pockets;
mod fit;
mod keys;
mod layout;
mod outline_gap;
mod packing;
mod parts;
mod planner;
mod request;
mod reservoirs;
mod rounded_hull;
mod walls;

pub use fit::{BoxSize, Misfit, misfits, turn_on_bed_rad};
pub use layout::{BedPocket, LayoutError, MouldLayout, MouldVolumes, PlacedOpening, Reservoir};
pub use packing::MasterPlace;
pub use parts::{MouldPart, PartError, PartKind, mould_parts};
pub use planner::lay_out;
pub use request::{KeyFigures, MasterKind, MouldFigures, MouldLimits, Parting, Peg, PegFigures, RodKind, RodOpening};
