//! Figures of a fit: margins, forces and strains of a clip or mount on one barrel or body.

use gripwright_mechanics::{ForcePoint, SnapRun, relaxed_grip};

use crate::{
    design::fit_row::{FitFigures, ForceCurves, LoadPathMargins},
    design::material_effect::MaterialEffect,
    fit::fit_brief::FitBrief,
    fit::odds::{FitNeeds, SamplingRanges},
    limits::design_limits::DesignLimits,
    limits::hold_use::HoldUse,
    limits::limit_checks::{aim_margin, hold_margins, load_margins, order_margin, rest_margin, take_off_margin},
    limits::margin::Margin,
    model::clip_context::ClipContext,
    model::load_and_hold::Retention,
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
    /// Loads across and along without their moments, N.
    pub(crate) across_n: f64,
    pub(crate) along_n: f64,
    /// Margins of the loads with their moments.
    pub(crate) hold: HoldUse,
    /// How many times the load that the mouth bears least is borne until the mouth lets go altogether.
    pub(crate) lets_go: f64,
    /// The same margins after 1,000 h of what is left on.
    pub(crate) remains: HoldUse,
    /// The same of a vee that has held its largest tool for as long, if it is to be told.
    pub(crate) opened: Option<HoldUse>,
    /// Radius at which friction acts against twisting, mm.
    pub(crate) radius_mm: f64,
    pub(crate) interference_mm: f64,
    /// Part of everything but the clip's seat in the offset from the aim, mm.
    pub(crate) aim_besides_mm: f64,
    pub(crate) aim_is_known: bool,
    pub(crate) material: MaterialEffect,
}

impl FitContext<'_> {
    pub(crate) fn figures(&self, found: &Response, scale: &ForceScale, input: &FitInput) -> FitFigures {
        let limits = self.context.limits;
        let seat_off = found.seat_mm.greatest.abs().max(found.seat_mm.least.abs());
        let aim_mm = seat_off + input.aim_besides_mm;
        // The whole allowance of the aim, of which the search leaves the clip its part.
        let aim_limit_mm = self.brief.aim_within_mm;
        let stiff = scale.length_mm * scale.plane_modulus_mpa.greatest;
        let pulls_n = [0, 1].map(|corner| stiff * found.runs[corner].pull_out.force_n_per_mm);
        let load_path = load_path_margins(pulls_n, input, limits);
        let [strain, push] = load_margins(found.strain, found.snap_in_n.greatest, limits);
        let [across, along] =
            hold_margins([found.pull_out_n.least, input.across_n], [found.axial_n.least, input.along_n]);
        let plain = [
            strain,
            push,
            across,
            along,
            take_off_margin(pulls_n[1], limits),
            rest_margin(found.strain_at_rest, limits),
            aim_margin(aim_mm, aim_limit_mm),
        ];
        let limiting = load_path.all().filter(|_| limits.limits_load_path());
        let margins: Vec<Margin> = plain.into_iter().filter_map(finite).chain(limiting).collect();
        let margin = margins.iter().copied().fold(Margin::UNEVALUATED, Margin::least);
        let friction = limits.elastic.friction;
        let needed = needed_hold(found, input, limits);
        FitFigures {
            interference_mm: input.interference_mm,
            snap_in_n: found.snap_in_n,
            snap_in_limit_n: limits.snap_on_n,
            pull_out_n: found.pull_out_n,
            across_needed_n: needed.pull_out_n,
            grip_n: found.grip_n,
            axial_hold_n: found.axial_n,
            along_needed_n: needed.axial_n,
            // The friction that holds along the axis holds round it as well, at the radius of contact.
            twist_hold_nmm: found.axial_n.scaled(input.radius_mm),
            axial_hold_after_1000_h_n: relaxed_grip(found.axial_n, self.brief.grip_after_1000_h),
            strain: found.strain,
            strain_limit: limits.strain_limit,
            strain_at_rest: found.strain_at_rest,
            opening_mm: found.opening_mm,
            seat_mm: found.seat_mm,
            aim_mm,
            aim_is_known: input.aim_is_known,
            aim_limit_mm,
            snaps: found.snaps,
            material: input.material,
            bands: None,
            curves: [
                force_curves(&found.runs[0], friction.least, scale),
                force_curves(&found.runs[1], friction.greatest, scale),
            ],
            curves_times: scale.softened_modulus_mpa(found.strain).scaled(1.0 / scale.plane_modulus_mpa.middle()),
            margins,
            load_path,
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

/// A margin, where there is a limit.
fn finite(margin: Margin) -> Option<Margin> {
    margin.ratio.is_finite().then_some(margin)
}

/// Margins of the load path; `pulls_n` take the tool out at the least and the greatest friction.
fn load_path_margins(pulls_n: [f64; 2], input: &FitInput, limits: &DesignLimits) -> LoadPathMargins {
    LoadPathMargins {
        mouth: finite(input.hold.across),
        mouth_lets_go: Some(input.lets_go).filter(|times| times.is_finite()),
        friction: finite(input.hold.along),
        after_1000_h: finite(input.remains.across.least(input.remains.along)),
        after_largest: input.opened.and_then(|opened| finite(opened.across.least(opened.along))),
        letting_go: finite(order_margin(pulls_n, limits.outlasted_n)),
    }
}

/// Hold that the loads need, with their moments where these are limits.
fn needed_hold(found: &Response, input: &FitInput, limits: &DesignLimits) -> Retention {
    if !limits.limits_load_path() {
        return Retention { pull_out_n: input.across_n, axial_n: input.along_n, seat_mm: 0.0 };
    }
    Retention { pull_out_n: found.pull_out_n.least, axial_n: found.axial_n.least, seat_mm: 0.0 }.needed(
        &input.hold,
        input.across_n,
        input.along_n,
    )
}

fn force_curves(run: &SnapRun, friction: f64, scale: &ForceScale) -> ForceCurves {
    let factor = scale.length_mm * scale.plane_modulus_mpa.middle();
    let curve =
        |points: &[ForcePoint]| points.iter().map(|p| [p.axis_mm, factor * p.force_n_per_mm]).collect::<Vec<_>>();
    ForceCurves { friction, insertion: curve(&run.insertion), removal: curve(&run.removal) }
}
