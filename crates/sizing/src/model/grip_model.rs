//! Capacity of a clip or mount for forces and moments, from displacements of its barrel or body out of rest.

use std::sync::Arc;

use gripwright_mechanics::{GripCapacity, Wrench};

use crate::{model::response::ForceScale, model::rest_state::RestState, model::solver_cache::SolverCache};

/// Capacity after a run for some loads, at a modulus in the plane of the section, MPa, that falls with strain. `None` when
/// the clip does not hold in some direction in which it is loaded.
pub(crate) fn grip_capacity(
    rest: &RestState<'_>,
    loads: &[Wrench],
    scale: &ForceScale,
    plane_modulus_mpa: f64,
    cache: &SolverCache,
) -> Option<GripCapacity> {
    let RestState { clip, rigid, friction, poisson, run } = *rest;
    let numbers = [friction, poisson];
    let is_loaded = |load: f64| load.abs() > 1e-9;
    let rocks = loads.iter().any(|load| is_loaded(load.moment_nmm[0]));
    let has_sides = loads
        .iter()
        .any(|load| is_loaded(load.force_n[0]) || is_loaded(load.moment_nmm[1]) || is_loaded(load.moment_nmm[2]));
    let (mouth, sides) = rayon::join(
        || cache.mouth(&clip.key, rigid, numbers, rocks, || rest.mouth(rocks).map(Arc::new)),
        || has_sides.then(|| rest.sides(cache)),
    );
    let mouth = mouth?;
    let sides = match sides {
        Some(sides) => Some(sides?),
        None => None,
    };
    let soft = |strain: f64| plane_modulus_mpa * scale.secant_ratio(strain);
    let (soft_peak, soft_rest) = (soft(run.strain.strain), soft(run.strain_at_rest));
    let length_mm = scale.length_mm;
    Some(GripCapacity {
        length_mm,
        out: mouth.scaled(soft_peak),
        aside: sides.as_ref().map(|sides| [0, 1].map(|side: usize| sides.aside[side].scaled(soft_peak))),
        roll: sides.iter().flat_map(|sides| &sides.roll).map(|curve| curve.scaled(soft_rest)).collect(),
        round_nmm: sides.as_ref().map_or(0.0, |sides| sides.round_nmm_per_mm * soft_rest * length_mm),
        along_n: scale.along(friction) * run.grip_n_per_mm * length_mm * soft_rest,
    })
}
