//! Insertion loads and retention of one clip or mount by the solver, and corrections of the closed forms.

use gripwright_mechanics::{Estimate, InsertionOutcome, RigidSection};

use crate::{
    limits::design_limits::DesignLimits,
    limits::hold_use::HoldUse,
    limits::margin::Margin,
    model::response::{ForceScale, seated_run},
    model::solver_cache::SolverCache,
    model::solver_clip::SolverClip,
};

/// Correction of closed forms: solved over estimated figures at the clip that was solved last.
///
/// The search walks on estimates, which cost a hundredth of a run. It corrects the closed forms at the clip where it
/// ends, and repeats until it ends at the same clip. Its result then agrees with the contact solver.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Correction {
    pub(crate) snap_in: f64,
    pub(crate) strain: f64,
    pub(crate) pull_out: f64,
    pub(crate) axial: f64,
    pub(crate) rise: f64,
}

impl Correction {
    pub(crate) const NONE: Self = Self { snap_in: 1.0, strain: 1.0, pull_out: 1.0, axial: 1.0, rise: 1.0 };

    /// Correction of the estimates of a greatest barrel or body (loads) and of a least one (retention), at a clip of this
    /// length.
    pub(crate) fn from_simulation(
        loads: &InsertionLoads,
        greatest: &Estimate,
        retention: &Retention,
        least: &Estimate,
        length_mm: f64,
    ) -> Self {
        Self {
            snap_in: ratio(loads.snap_in_n, greatest.snap_in_n_per_mm.greatest * length_mm),
            strain: ratio(loads.strain, greatest.strain_peak),
            pull_out: ratio(retention.pull_out_n, least.pull_out_n_per_mm.least * length_mm),
            axial: ratio(retention.axial_n, least.axial_n_per_mm.least * length_mm),
            rise: 1.0,
        }
    }

    /// Estimate with corrected push and strain.
    pub(crate) fn loads(&self, mut estimate: Estimate) -> Estimate {
        estimate.snap_in_n_per_mm = estimate.snap_in_n_per_mm.scaled(self.snap_in);
        estimate.strain_peak *= self.strain;
        estimate
    }

    /// Estimate with corrected hold.
    pub(crate) fn retention(&self, mut estimate: Estimate) -> Estimate {
        estimate.pull_out_n_per_mm = estimate.pull_out_n_per_mm.scaled(self.pull_out);
        estimate.axial_n_per_mm = estimate.axial_n_per_mm.scaled(self.axial);
        estimate
    }

    /// True if the corrections are nearly equal, so that another search would end at nearly the same clip.
    pub(crate) fn is_close_to(&self, other: &Self) -> bool {
        let pairs = [
            (self.snap_in, other.snap_in),
            (self.strain, other.strain),
            (self.pull_out, other.pull_out),
            (self.axial, other.axial),
        ];
        pairs.iter().all(|(a, b)| (a / b - 1.0).abs() < 0.01)
    }
}

/// Solved over estimated figure. An estimate near zero says nothing of its neighbours.
pub(crate) fn ratio(solved: f64, estimated: f64) -> f64 {
    let ratio = solved / estimated;
    if ratio.is_finite() { ratio.clamp(0.2, 5.0) } else { 1.0 }
}

/// Push (N), strains and pull (N) of an insertion, and height of the axis at rest (mm), at the greatest friction and modulus.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct InsertionLoads {
    pub(crate) snap_in_n: f64,
    pub(crate) strain: f64,
    pub(crate) strain_at_rest: f64,
    /// Pull that takes it out, N.
    pub(crate) take_off_n: f64,
    pub(crate) seat_mm: f64,
}

impl InsertionLoads {
    /// The worse of both.
    pub(crate) fn worst(self, other: Self) -> Self {
        Self {
            snap_in_n: self.snap_in_n.max(other.snap_in_n),
            strain: self.strain.max(other.strain),
            strain_at_rest: self.strain_at_rest.max(other.strain_at_rest),
            take_off_n: self.take_off_n.max(other.take_off_n),
            seat_mm: larger_magnitude(self.seat_mm, other.seat_mm),
        }
    }

    /// Push and strain whose margins are as small as these: what the closed forms are corrected to, which do not know the
    /// limits of pull and of strain at rest.
    pub(crate) fn equivalent(self, push: Margin, strain: Margin, limits: &DesignLimits) -> Self {
        let equivalent = |margin: Margin, limit: f64, alone: f64| {
            if margin.ratio > 0.0 && margin.ratio.is_finite() { (limit / margin.ratio).max(alone) } else { alone }
        };
        Self {
            snap_in_n: equivalent(push, limits.snap_on_n, self.snap_in_n),
            strain: equivalent(strain, limits.strain_limit, self.strain),
            ..self
        }
    }

    /// One run at the greatest friction.
    pub(crate) fn solved(
        clip: &SolverClip,
        rigid: &RigidSection,
        scale: &ForceScale,
        limits: &DesignLimits,
        cache: &SolverCache,
    ) -> Result<Self, InsertionOutcome> {
        let run = seated_run(clip, rigid, limits.elastic.friction.greatest, limits, cache)?;
        let stiff_mm = scale.length_mm * scale.plane_modulus_mpa.greatest;
        Ok(Self {
            snap_in_n: run.snap_in.force_n_per_mm * stiff_mm,
            strain: run.strain.strain * scale.strain_factor,
            strain_at_rest: run.strain_at_rest * scale.strain_factor,
            take_off_n: run.pull_out.force_n_per_mm * stiff_mm,
            seat_mm: run.seat_axis_mm,
        })
    }
}

/// Hold across and along the axis (N), and height of the axis at rest (mm), at the least friction and modulus.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Retention {
    pub(crate) pull_out_n: f64,
    pub(crate) axial_n: f64,
    pub(crate) seat_mm: f64,
}

impl Retention {
    /// The worse of both.
    pub(crate) fn worst(self, other: Self) -> Self {
        Self {
            pull_out_n: self.pull_out_n.min(other.pull_out_n),
            axial_n: self.axial_n.min(other.axial_n),
            seat_mm: larger_magnitude(self.seat_mm, other.seat_mm),
        }
    }

    /// Hold that the loads across and along need with their moments, N; without moments it is the load itself.
    pub(crate) fn needed(self, used: &HoldUse, across_n: f64, along_n: f64) -> Self {
        let needed = |ratio: f64, load_n: f64, hold_n: f64| {
            if ratio.is_finite() && ratio > 0.0 { (hold_n / ratio).max(load_n) } else { load_n }
        };
        Self {
            pull_out_n: needed(used.across.ratio, across_n, self.pull_out_n),
            axial_n: needed(used.along.ratio, along_n, self.axial_n),
            ..self
        }
    }

    /// What holds as much without moments as this clip holds of its loads: in terms of the loads across and along, N.
    ///
    /// A share that no load takes leaves its figure as it is.
    pub(crate) fn equivalent(self, used: &HoldUse, across_n: f64, along_n: f64) -> Self {
        let equivalent =
            |ratio: f64, load_n: f64, alone_n: f64| if ratio.is_finite() { ratio * load_n } else { alone_n };
        Self {
            pull_out_n: equivalent(used.across.ratio, across_n, self.pull_out_n),
            axial_n: equivalent(used.along.ratio, along_n, self.axial_n),
            ..self
        }
    }

    /// One run at the least friction.
    pub(crate) fn solved(
        clip: &SolverClip,
        rigid: &RigidSection,
        scale: &ForceScale,
        limits: &DesignLimits,
        cache: &SolverCache,
    ) -> Result<Self, InsertionOutcome> {
        let friction = limits.elastic.friction.least;
        let run = seated_run(clip, rigid, friction, limits, cache)?;
        let soft = |strain: f64| scale.length_mm * scale.plane_modulus_mpa.least * scale.secant_ratio(strain);
        Ok(Self {
            pull_out_n: run.pull_out.force_n_per_mm * soft(run.strain.strain),
            axial_n: scale.along(friction) * run.grip_n_per_mm * soft(run.strain_at_rest),
            seat_mm: run.seat_axis_mm,
        })
    }
}

/// The value that is farther from zero.
fn larger_magnitude(a: f64, b: f64) -> f64 {
    if b.abs() > a.abs() { b } else { a }
}
