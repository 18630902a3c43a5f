//! Hole in a master for the peg of its sprue rod. The pin of the board stands in it first, the rod later.

use std::f64::consts::FRAC_PI_2;

use gripwright_casting::mould::{MouldFigures, Peg};
use gripwright_solid::{Point3, Solid};

use crate::{
    mould::cast_master::{CastMaster, whole_steps_mm},
    solids::{Part, PartError, with_solid},
};

/// Length and width of a peg as shares of the diameter of its sprue: a shoulder is left all round.
const LENGTH_SHARE: f64 = 0.8;
const WIDTH_SHARE: f64 = 0.5;
/// Step to which both are rounded down, mm: equal pegs need one kind of pin.
const STEP_MM: f64 = 0.1;
/// Least width of a printed peg, mm, and least material over its hole, mm. Common practice, no source.
const LEAST_WIDTH_MM: f64 = 1.0;
const LEAST_OVER_HOLE_MM: f64 = 0.8;
/// Points of each segment of a hole above which the material is measured.
const POINTS_OF_SEGMENT: u32 = 4;

/// Returns the peg of a sprue that meets a master at a place, and the master with its hole. `None` where the sprue is too thin,
/// or the master not flat or deep enough: the rod is glued on then.
pub(crate) fn pegged_master(master: &CastMaster, at: Point3, figures: &MouldFigures) -> Option<(Peg, Solid)> {
    let diameter_mm = 2.0 * master.sprue_radius_mm();
    let [length_mm, width_mm] = [LENGTH_SHARE, WIDTH_SHARE].map(|share| whole_steps_mm(share * diameter_mm, STEP_MM));
    if width_mm < LEAST_WIDTH_MM {
        return None;
    }
    // Along the longer side of the web there is more material beside the ends of the hole.
    let turn_rad = if master.regions.web_is_wide() { 0.0 } else { FRAC_PI_2 };
    let peg = Peg { length_mm, width_mm, turn_rad };
    let hole = peg.outline([at[0], at[1]], 0.5 * figures.clearance_mm).ok()?;
    let depth_mm = figures.pegs.depth_mm;
    let is_deep = hole.segments().iter().all(|segment| {
        (0..POINTS_OF_SEGMENT).all(|k| {
            let point = segment.curve.at(f64::from(k) / f64::from(POINTS_OF_SEGMENT));
            master.part.mesh.height_above_mm([point.x, point.y, at[2]]) >= depth_mm + LEAST_OVER_HOLE_MM
        })
    });
    let drilled = master.part.solid.with_blind_hole(&hole, at[2], depth_mm).ok()?;
    is_deep.then_some((peg, drilled))
}

/// Master as it is printed: with the hole for the peg of its sprue, if it has one.
pub(crate) fn printed_master(
    master: &CastMaster,
    sprue_mm: Point3,
    figures: &MouldFigures,
    least_wall_mm: f64,
) -> Result<Part, PartError> {
    match pegged_master(master, sprue_mm, figures) {
        Some((_, solid)) => with_solid(&master.part, solid, least_wall_mm),
        None => Ok(master.part.clone()),
    }
}
