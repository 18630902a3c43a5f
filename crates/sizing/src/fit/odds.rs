//! Odds that a part from this process holds a tool and can be snapped on.
//!
//! Samples of the spreads are drawn on the interpolated response of the clip (`response_surface.rs`). The distance of
//! the interpolation from the solver becomes part of the stated error. The tests compare the sampled odds with direct
//! draws of the solver.

use gripwright_mechanics::{Interval, secant_modulus_ratio};

use crate::{
    design::fit_row::{Bands, Odds},
    fit::response_surface::{ProcessSample, ResponseSurface},
    limits::design_limits::ProcessSpreads,
    model::response::ForceScale,
    model::unit_response::UnitResponse,
    rng::SplitMix64,
};

/// Samples of a tool; the counting error is below 0.8 %.
const SAMPLES: u32 = 4000;

/// Needs and limits that a part must keep: hold across and along (N), push (N) and strain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct FitNeeds {
    pub(crate) across_n: f64,
    pub(crate) along_n: f64,
    pub(crate) snap_on_n: f64,
    pub(crate) strain: f64,
}

/// One part sampled from the process, with one barrel and one use.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct PartSample {
    pub(crate) sample: ProcessSample,
    /// Share of the range of the modulus.
    pub(crate) modulus_share: f64,
}

/// Ranges from which parts are sampled, and the scale of their forces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SamplingRanges {
    pub(crate) spreads: ProcessSpreads,
    pub(crate) friction: Interval,
    pub(crate) scale: ForceScale,
}

/// Samples a part for barrels between two interferences.
pub(crate) fn sample_part(
    rng: &mut SplitMix64,
    interference: Interval,
    barrel_spread_mm: f64,
    ranges: &SamplingRanges,
) -> PartSample {
    let SamplingRanges { spreads, friction, .. } = ranges;
    let nominal = interference.at_share(rng.unit());
    let barrel = 0.5 * barrel_spread_mm * rng.normal();
    let seat = 0.5 * spreads.seat_mm * rng.normal();
    PartSample {
        sample: ProcessSample {
            interference_mm: nominal + barrel - seat,
            wall_mm: spreads.wall_mm * rng.normal(),
            friction: friction.at_share(rng.unit()),
        },
        modulus_share: rng.unit(),
    }
}

/// Forces (N) of a part of the clip's length, and its strain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct PartFigures {
    pub(crate) snap_in_n: f64,
    pub(crate) pull_out_n: f64,
    pub(crate) axial_n: f64,
    pub(crate) strain: f64,
}

impl PartFigures {
    pub(crate) fn new(unit: &UnitResponse, part: &PartSample, scale: &ForceScale) -> Self {
        let tangent = scale.length_mm * scale.plane_modulus_mpa.at_share(part.modulus_share);
        let strain = unit.strain * scale.strain_factor;
        let secant = |strain: f64| tangent * secant_modulus_ratio(strain / scale.yield_strain);
        Self {
            // The stiff end of what is allowed has no secant in the corners either.
            snap_in_n: unit.snap_in * tangent,
            pull_out_n: unit.pull_out * secant(strain),
            axial_n: scale.along(part.sample.friction) * unit.grip * secant(unit.strain_at_rest * scale.strain_factor),
            strain,
        }
    }

    fn scaled(&self, loads: f64, holds: f64) -> Self {
        Self {
            snap_in_n: loads * self.snap_in_n,
            strain: loads * self.strain,
            pull_out_n: holds * self.pull_out_n,
            axial_n: holds * self.axial_n,
        }
    }

    /// True if the part holds, and true if it goes on.
    pub(crate) fn meets_needs(&self, needs: &FitNeeds) -> (bool, bool) {
        (
            self.pull_out_n >= needs.across_n && self.axial_n >= needs.along_n,
            self.snap_in_n <= needs.snap_on_n && self.strain <= needs.strain,
        )
    }
}

/// Odds of a tool whose barrels lie between two interferences (mm), with a surface for each of its orientations. A part
/// holds a tool only if it holds it in all of them.
pub(crate) fn odds(
    surfaces: &[ResponseSurface],
    interference: Interval,
    barrel_spread_mm: f64,
    needs: &FitNeeds,
    ranges: &SamplingRanges,
    seed: u64,
) -> Odds {
    let mut rng = SplitMix64::seeded(seed);
    let (mut holds, mut goes_on, mut both, mut better, mut worse) = (0_u32, 0_u32, 0_u32, 0_u32, 0_u32);
    let all = |(a, b): (bool, bool)| u32::from(a && b);
    for _ in 0..SAMPLES {
        let part = sample_part(&mut rng, interference, barrel_spread_mm, ranges);
        // As interpolated, and with the interpolation off to the better and to the worse.
        let mut kept = [(true, true); 3];
        for surface in surfaces {
            let figures = PartFigures::new(&surface.at(&part.sample), &part, &ranges.scale);
            for ((held, on), off) in kept.iter_mut().zip([0.0, -surface.error, surface.error]) {
                let (holds, goes_on) = figures.scaled(1.0 + off, 1.0 - off).meets_needs(needs);
                *held &= holds;
                *on &= goes_on;
            }
        }
        holds += u32::from(kept[0].0);
        goes_on += u32::from(kept[0].1);
        both += all(kept[0]);
        better += all(kept[1]);
        worse += all(kept[2]);
    }
    let share = |count: u32| f64::from(count) / f64::from(SAMPLES);
    let found = share(both);
    // Two standard errors; with none or all counted, the rule of three.
    let counting = (2.0 * (found * (1.0 - found) / f64::from(SAMPLES)).sqrt()).max(3.0 / f64::from(SAMPLES));
    Odds {
        holds: share(holds),
        goes_on: share(goes_on),
        both: found,
        error: counting + (share(better) - found).max(found - share(worse)).max(0.0),
    }
}

/// Middle 90 % of the forces at one interference (mm), over the spreads of part, modulus and friction. With several
/// orientations the hull of their bands. `None` without a surface.
pub(crate) fn bands(
    surfaces: &[ResponseSurface],
    interference_mm: f64,
    ranges: &SamplingRanges,
    seed: u64,
) -> Option<Bands> {
    surfaces.iter().map(|surface| surface_bands(surface, interference_mm, ranges, seed)).reduce(|a, b| Bands {
        snap_in_n: a.snap_in_n.hull(b.snap_in_n),
        pull_out_n: a.pull_out_n.hull(b.pull_out_n),
        axial_n: a.axial_n.hull(b.axial_n),
    })
}

fn surface_bands(surface: &ResponseSurface, interference_mm: f64, ranges: &SamplingRanges, seed: u64) -> Bands {
    const DRAWS: usize = 1000;
    let mut rng = SplitMix64::seeded(seed);
    let at = Interval::exactly(interference_mm);
    let drawn: Vec<PartFigures> = (0..DRAWS)
        .map(|_| {
            let part = sample_part(&mut rng, at, 0.0, ranges);
            PartFigures::new(&surface.at(&part.sample), &part, &ranges.scale)
        })
        .collect();
    let middle_90 = |read: fn(&PartFigures) -> f64| {
        let mut values: Vec<f64> = drawn.iter().map(read).collect();
        values.sort_by(f64::total_cmp);
        Interval { least: values[DRAWS / 20], greatest: values[DRAWS - 1 - DRAWS / 20] }
    };
    Bands {
        snap_in_n: middle_90(|f| f.snap_in_n),
        pull_out_n: middle_90(|f| f.pull_out_n),
        axial_n: middle_90(|f| f.axial_n),
    }
}

#[cfg(test)]
mod tests;
