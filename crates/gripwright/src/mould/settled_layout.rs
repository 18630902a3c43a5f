//! Layout of a mould together with the vents of its masters: each depends on the other.

use gripwright_casting::{
    Attitude, PlannedOpening, VentPlan,
    mould::{self, MasterKind, MouldFigures, MouldLayout, MouldLimits, RodKind, RodOpening, lay_out},
};
use gripwright_input::{CastingSettings, Parting, Spec};

use crate::mould::{
    cast_master::CastMaster,
    master_peg::pegged_master,
    mould_error::MouldError,
    vent_places::{VENT_RADIUS_MM, VentFailure, VentedCavity, VentedMould, vent_mould, vents_in_turns},
};

/// Turns that differ by less (rad) are equal.
pub(crate) const SAME_TURN_RAD: f64 = 1e-6;

/// Sprue and vents of all masters for a tilt (rad).
pub(crate) fn vents(masters: &[CastMaster], parting: Parting, tilt_rad: f64) -> Result<VentedMould, MouldError> {
    let cavities: Vec<VentedCavity<'_>> = masters.iter().map(cavity).collect();
    vent_mould(&cavities, parting, tilt_rad).map_err(vent_error)
}

fn vent_error(failure: VentFailure) -> MouldError {
    MouldError::Cavity { master: failure.master, cause: failure.cause }
}

fn cavity(master: &CastMaster) -> VentedCavity<'_> {
    VentedCavity {
        name: &master.name,
        mesh: &master.part.mesh,
        regions: &master.regions,
        lower_end_mm: master.ends_mm()[0],
        sprue_radius_mm: master.sprue_radius_mm(),
    }
}

/// Lays the masters out, and gives each kind the vents of all turns in which it stands. Vents may move masters, so that this
/// is repeated until no turn is new.
pub(crate) fn settled_layout(
    masters: &[CastMaster],
    parting: Parting,
    figures: &MouldFigures,
    limits: &MouldLimits,
    mut vented: VentedMould,
) -> Result<(MouldLayout, VentedMould), MouldError> {
    let mut turns: Vec<Vec<f64>> = vec![Vec::new(); masters.len()];
    loop {
        let layout = lay_out(&kinds(masters, &vented.plans, figures), mould_parting(parting), figures, limits)?;
        let mut is_settled = true;
        for (kind, known) in turns.iter_mut().enumerate() {
            let before = known.len();
            for place in layout.places.iter().filter(|place| place.kind == kind) {
                if known.iter().all(|turn| (turn - place.turn_rad).abs() > SAME_TURN_RAD) {
                    known.push(place.turn_rad);
                }
            }
            if known.len() > before {
                let plan = vents_in_turns(&cavity(&masters[kind]), parting, &vented.attitude, known);
                vented.plans[kind] = plan.map_err(vent_error)?;
                is_settled = false;
            }
        }
        if is_settled {
            return Ok((layout, vented));
        }
    }
}

/// Room on the printer and in the vessel, for an attitude of the mould.
pub(crate) fn limits(spec: &Spec, settings: &CastingSettings, attitude: &Attitude) -> MouldLimits {
    let vessel_mm = settings.vessel.map(|vessel| [vessel.diameter_mm, vessel.height_mm]);
    MouldLimits { bed_mm: Some(spec.printer.bed_mm), vessel_mm, up: Some(attitude.up) }
}

/// Masters with their openings, as the layout needs them.
pub(crate) fn kinds(masters: &[CastMaster], vents: &[VentPlan], figures: &MouldFigures) -> Vec<MasterKind> {
    masters.iter().zip(vents).map(|(master, vents)| kind(master, vents, figures)).collect()
}

fn kind(master: &CastMaster, vents: &VentPlan, figures: &MouldFigures) -> MasterKind {
    let [low, high] = master.ends_mm();
    let opening = |planned: &PlannedOpening, kind, radius_mm: f64| RodOpening {
        at: [planned.opening.at_mm[0], planned.opening.at_mm[1]],
        height_mm: planned.opening.at_mm[2] - low,
        kind,
        diameter_mm: 2.0 * radius_mm,
        peg: None,
    };
    let peg = pegged_master(master, vents.sprue.opening.at_mm, figures).map(|(peg, _)| peg);
    let sprue = opening(&vents.sprue, RodKind::Sprue, master.sprue_radius_mm());
    let mut openings = vec![RodOpening { peg, ..sprue }];
    openings.extend(vents.vents.iter().map(|vent| opening(vent, RodKind::Vent, VENT_RADIUS_MM)));
    MasterKind {
        name: master.name.clone(),
        outlines: master.outlines(),
        height_mm: high - low,
        volume_mm3: master.part.mass.volume_mm3,
        wanted: master.count,
        openings,
    }
}

/// Way to part the mould, in the words of its layout.
pub(crate) fn mould_parting(parting: Parting) -> mould::Parting {
    match parting {
        Parting::End => mould::Parting::End,
        Parting::Cut => mould::Parting::Cut,
        Parting::Middle => mould::Parting::Middle,
    }
}

/// Share of the cavities that a size gets.
pub(crate) fn share_of(cavities: usize, sizes: usize, size: usize) -> usize {
    cavities / sizes + usize::from(size < cavities % sizes)
}
