//! Trapped air in a cavity, and places for sprue and vents.
//!
//! Resin rises evenly from the lowest place of the cavity. Air above its level stays if its part of the cavity has no
//! opening above the level: a pocket. The level at which a pocket is cut off is its spill level.
//!
//! 1. `cavity_surface`: neighbours of vertices and triangles, heights.
//! 2. `opening_reach`: the surface within the radius of an opening.
//! 3. `height_sweep`: pockets, by one sweep from the top downwards.
//! 4. `flat_tops`: ceilings and ridges along which air does not rise.
//! 5. `surface_samples`: points of the surface on which an opening may stand.
//! 6. `vent_planner`: attitude, sprue and vents.

pub(crate) mod air_pocket;
mod cavity_surface;
pub(crate) mod flat_tops;
pub(crate) mod height_sweep;
mod opening_reach;
mod surface_samples;
pub(crate) mod vent_plan;
pub(crate) mod vent_planner;
