//! Attitude of a mould while it is poured, and sprue and vents of every master in it.

use gripwright_casting::{
    AirLimits, Attitude, CavityError, Opening, OpeningPurpose, PlannedOpening, SurfacePoint, VentBrief, VentPlan,
    find_pockets,
    mould::{MouldFigures, RodKind},
    plan_vents,
};
use gripwright_input::Parting;
use gripwright_solid::{Mesh, Point3};
use rayon::prelude::*;

use crate::holder_regions::HolderRegions;

/// Directions in which the mould is tilted to find the one with the fewest vents.
const TILTS: u32 = 4;
/// Radius of a vent, mm. Common practice, no source.
pub(crate) const VENT_RADIUS_MM: f64 = 1.0;
/// Cosine of the angle between a face and the parting end within which the two are one plane.
const FLAT_COSINE: f64 = 0.999;
/// Cosine of the angle between a face and the level within which a rod stands on it: flatter than a chamfer.
const STANDING_COSINE: f64 = 0.9;

/// Cavity in which air may be trapped.
pub(crate) struct VentedCavity<'a> {
    pub(crate) name: &'a str,
    pub(crate) mesh: &'a Mesh,
    pub(crate) regions: &'a HolderRegions,
    /// Height of its lower end, mm.
    pub(crate) lower_end_mm: f64,
    /// Radius of its sprue, mm.
    pub(crate) sprue_radius_mm: f64,
}

/// Common attitude of the mould, and the plan of each cavity in it.
pub(crate) struct VentedMould {
    pub(crate) attitude: Attitude,
    pub(crate) plans: Vec<VentPlan>,
}

/// Failure of one cavity.
pub(crate) struct VentFailure {
    pub(crate) master: String,
    pub(crate) cause: CavityError,
}

/// Finds the attitude with the least air left and the fewest vents over all cavities. Masters stand on the parting end, which
/// is up while the resin is poured.
pub(crate) fn vent_mould(
    cavities: &[VentedCavity<'_>],
    parting: Parting,
    tilt_rad: f64,
) -> Result<VentedMould, VentFailure> {
    let end_up = [0.0, 0.0, -1.0];
    let attitudes = if tilt_rad > 0.0 {
        Attitude::candidates(end_up, tilt_rad, TILTS)
    } else {
        vec![Attitude::tilted(end_up, [1.0, 0.0, 0.0], 0.0)]
    };
    let plans: Vec<Vec<Result<VentPlan, VentFailure>>> = attitudes
        .par_iter()
        .map(|attitude| cavities.iter().map(|cavity| vent_cavity(cavity, parting, *attitude)).collect())
        .collect();
    let mut best: Option<((f64, usize), VentedMould)> = None;
    for (attitude, plans) in attitudes.into_iter().zip(plans) {
        let plans = plans.into_iter().collect::<Result<Vec<_>, _>>()?;
        let left: f64 = plans.iter().flat_map(|plan| &plan.pockets_left).map(|pocket| pocket.volume_mm3).sum();
        let vents = plans.iter().map(|plan| plan.vents.len()).sum();
        let cost = (left.round(), vents);
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, VentedMould { attitude, plans }));
        }
    }
    best.map(|(_, mould)| mould).ok_or(VentFailure { master: String::new(), cause: CavityError::NoAttitude })
}

fn vent_cavity(cavity: &VentedCavity<'_>, parting: Parting, attitude: Attitude) -> Result<VentPlan, VentFailure> {
    let at_end = |point: &SurfacePoint| -point.normal[2] > FLAT_COSINE && point.at_mm[2] < cavity.lower_end_mm + 1e-3;
    let vent_place = |point: &SurfacePoint| match parting {
        Parting::End => at_end(point),
        // Rods stand upright on what faces the parting end. Seats and lips look across.
        Parting::Middle | Parting::Cut => -point.normal[2] > STANDING_COSINE,
    };
    let sprue_place = |point: &SurfacePoint| {
        -point.normal[2] > FLAT_COSINE && cavity.regions.is_web(point.at_mm, cavity.sprue_radius_mm)
    };
    let vent_apart = |point: &SurfacePoint, other: &PlannedOpening| is_apart(point.at_mm, other);
    let attitudes = [attitude];
    let brief = VentBrief {
        sprue_radius_mm: cavity.sprue_radius_mm,
        vent_radius_mm: VENT_RADIUS_MM,
        vent_apart: &vent_apart,
        ..VentBrief::new(&attitudes, &sprue_place, &vent_place)
    };
    plan_vents(cavity.mesh, &brief).map_err(|cause| VentFailure { master: cavity.name.to_owned(), cause })
}

/// Returns the plan of a cavity whose masters stand in the box in several turns (rad): it has the vents of all of them, and
/// the sprue of the first. Vents for which its openings leave no room are left out.
pub(crate) fn vents_in_turns(
    cavity: &VentedCavity<'_>,
    parting: Parting,
    attitude: &Attitude,
    turns_rad: &[f64],
) -> Result<VentPlan, VentFailure> {
    let failure = |cause| VentFailure { master: cavity.name.to_owned(), cause };
    let attitudes: Vec<Attitude> = turns_rad.iter().map(|turn| attitude.seen_turned(*turn)).collect();
    let plans = attitudes.iter().map(|seen| vent_cavity(cavity, parting, *seen)).collect::<Result<Vec<_>, _>>()?;
    let mut plans = plans.into_iter();
    let mut all = plans.next().ok_or_else(|| failure(CavityError::NoAttitude))?;
    for other in plans {
        let known = || std::iter::once(&all.sprue).chain(&all.vents);
        let is_new = |vent: &&PlannedOpening| known().all(|opening| is_apart(vent.opening.at_mm, opening));
        let new: Vec<PlannedOpening> = other.vents.iter().filter(is_new).copied().collect();
        all.vents.extend(new);
    }
    // Vents that were left out and the sprue of another turn may leave air.
    let openings: Vec<Opening> = std::iter::once(&all.sprue).chain(&all.vents).map(|planned| planned.opening).collect();
    all.pockets_left.clear();
    for seen in &attitudes {
        let found = find_pockets(cavity.mesh, seen.up, &openings, &AirLimits::default()).map_err(failure)?;
        all.pockets_left.extend(found.pockets);
    }
    Ok(all)
}

/// True if the rod of a vent leaves rubber between it and the rod of an opening. Rods stand along z.
fn is_apart(vent_mm: Point3, other: &PlannedOpening) -> bool {
    let figures = MouldFigures::default();
    let kind = if other.purpose == OpeningPurpose::Sprue { RodKind::Sprue } else { RodKind::Vent };
    let rods_mm = VENT_RADIUS_MM + figures.rod_radius_mm(kind, 2.0 * other.opening.radius_mm);
    let at = other.opening.at_mm;
    (vent_mm[0] - at[0]).hypot(vent_mm[1] - at[1]) >= rods_mm + figures.between_rods_mm
}
