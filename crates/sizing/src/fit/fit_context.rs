//! Figures of a fit: margins, forces and strains of a clip or mount on one barrel or body.

use gripwright_mechanics::{ForcePoint, SnapRun, relaxed_grip};

use crate::{
    design::fit_row::{FitFigures, ForceCurves},
    fit::fit_brief::FitBrief,
    fit::odds::{FitNeeds, SamplingRanges},
    limits::margin::{aim_margin, hold_margin, load_margin},
    model::clip_context::ClipContext,
    model::response::{ForceScale, Response},
};

/// Context of all rows of a fit table.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FitContext<'a> {
    pub(crate) brief: &'a FitBrief<'a>,
    pub(crate) context: ClipContext<'a>,
    /// Greatest offset of the body's axis in the mount, mm.
    pub(crate) mount_seat_mm: f64,
}

/// Needs and geometry of one row.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FitInput {
    pub(crate) across_n: f64,
    pub(crate) along_n: f64,
    /// Radius at which friction acts against twisting, mm.
    pub(crate) radius_mm: f64,
    pub(crate) interference_mm: f64,
    /// Part of mount and web in the offset from the aim, mm.
    pub(crate) aim_besides_mm: f64,
}

impl FitContext<'_> {
    pub(crate) fn figures(&self, found: &Response, scale: &ForceScale, input: &FitInput) -> FitFigures {
        let limits = self.context.limits;
        let seat_off = found.seat_mm.greatest.abs().max(found.seat_mm.least.abs());
        let aim_mm = seat_off + input.aim_besides_mm;
        // The whole allowance of the aim, of which the search leaves the clip its part.
        let aim_limit_mm = self.brief.aim_within_mm;
        let margin = load_margin(found.strain, found.snap_in_n.greatest, limits)
            .least(hold_margin([found.pull_out_n.least, input.across_n], [found.axial_n.least, input.along_n]))
            .least(aim_margin(aim_mm, aim_limit_mm));
        let friction = limits.elastic.friction;
        FitFigures {
            interference_mm: input.interference_mm,
            snap_in_n: found.snap_in_n,
            snap_in_limit_n: limits.snap_on_n,
            pull_out_n: found.pull_out_n,
            across_needed_n: input.across_n,
            grip_n: found.grip_n,
            axial_hold_n: found.axial_n,
            along_needed_n: input.along_n,
            // The friction that holds along the axis holds round it as well, at the radius of contact.
            twist_hold_nmm: found.axial_n.scaled(input.radius_mm),
            axial_hold_after_1000_h_n: relaxed_grip(found.axial_n, self.brief.grip_after_1000_h),
            strain: found.strain,
            strain_limit: limits.strain_limit,
            strain_at_rest: found.strain_at_rest,
            opening_mm: found.opening_mm,
            seat_mm: found.seat_mm,
            aim_mm,
            aim_limit_mm,
            snaps: found.snaps,
            bands: None,
            curves: [
                force_curves(&found.runs[0], friction.least, scale),
                force_curves(&found.runs[1], friction.greatest, scale),
            ],
            margin,
        }
    }

    /// Needs of a tool for its odds.
    pub(crate) fn needs(&self, across_n: f64, along_n: f64) -> FitNeeds {
        let limits = self.context.limits;
        FitNeeds { across_n, along_n, snap_on_n: limits.snap_on_n, strain: limits.strain_limit }
    }

    /// Ranges from which parts of this process are sampled.
    pub(crate) fn sampling_ranges(&self, scale: &ForceScale) -> SamplingRanges {
        SamplingRanges { spreads: self.brief.spreads, friction: self.context.limits.elastic.friction, scale: *scale }
    }
}

fn force_curves(run: &SnapRun, friction: f64, scale: &ForceScale) -> ForceCurves {
    let factor = scale.length_mm * scale.plane_modulus_mpa.middle();
    let curve =
        |points: &[ForcePoint]| points.iter().map(|p| [p.axis_mm, factor * p.force_n_per_mm]).collect::<Vec<_>>();
    ForceCurves { friction, insertion: curve(&run.insertion), removal: curve(&run.removal) }
}
