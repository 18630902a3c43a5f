//! Outcome model of a coupon and a tool: thresholds on the seat's diameter that separate the outcomes.
//!
//! Forces come from the contact solver's tables through [`ForceCurves`], for any stiffness and friction. An outcome gives
//! way to the next one where a force reaches the required one. How surely a person notices it, and how fast the force
//! grows there, give the standard deviation of the threshold.

use gripwright_sizing::{CouponForces, CouponTarget};

use crate::{
    force_curves::{CurveCrossing, ForceCurves, ForceSurface, GREATEST_THRESHOLD_SD_MM, SliceForces},
    ordinal_probit::{Threshold, outcome_probabilities},
    person::Criterion,
};

/// A person gives up at this multiple of the allowed push. An assumption, no source.
const GIVE_UP_FACTOR: f64 = 2.5;
/// Strain at break over that at yield, and the standard deviation of its logarithm: prints break early along seams and
/// late within layers. An assumption, no source.
const BREAK_OVER_YIELD: f64 = 1.5;
const BREAK_LOG_SD: f64 = 0.3;
/// Least weight over the required hold: a coupon that bears a twentieth of the hold does not hold at all.
const LEAST_WEIGHT_SHARE: f64 = 0.05;
/// Least standard deviation of a threshold, mm: a hand cannot tell less.
const LEAST_THRESHOLD_SD_MM: f64 = 0.004;
/// Standard deviation of the edges of the good window from try to try, for a person who judges by the seat, mm. An
/// assumption, no source.
const EDGE_SD_MM: f64 = 0.012;
/// Distance of the outer thresholds, where a coupon falls out or is given up, from those edges, and its standard
/// deviation, mm. Assumptions, no source.
const OUTER_DISTANCE_MM: f64 = 0.15;
const OUTER_SD_MM: f64 = 0.08;
/// Uncertainty of the outer thresholds in logarithms of force. An assumption, no source.
const OUTER_LOG_SD: f64 = 0.3;

/// Thresholds between outcomes on the change of the seat's diameter, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct OutcomeThresholds {
    /// True if words are not counted: all outcomes are equally probable.
    silent: bool,
    /// Upper ends of loose, good, tight and would-not-go, descending.
    pub(crate) upper_ends: [Threshold; 4],
    /// Upper end of the seats with which the coupon breaks.
    pub(crate) crack: Threshold,
}

impl OutcomeThresholds {
    /// Probabilities of all outcomes, in their order, for a seat of this change, with scatter.
    pub(crate) fn probabilities(&self, seat_mm: f64, scatter_mm: f64) -> [f64; 6] {
        if self.silent {
            return [1.0 / 6.0; 6];
        }
        let cracked = self.crack.probability_below_from_table(seat_mm, scatter_mm);
        let [fell_out, loose, good, tight, would_not_go]: [f64; 5] =
            outcome_probabilities(&self.upper_ends, seat_mm, scatter_mm);
        let whole = 1.0 - cracked;
        [whole * fell_out, whole * loose, whole * good, whole * tight, whole * would_not_go, cracked]
    }
}

/// Seats with which a finished part holds a tool as required and can be snapped on, mm of change.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SeatWindow {
    pub(crate) least: f64,
    pub(crate) greatest: f64,
}

/// A tool and the forces that the coupon must reach with it.
#[derive(Clone, Debug)]
pub(crate) struct OutcomeModel {
    tool: CouponTarget,
    required: RequiredForces,
}

/// Forces that are required of a slice or a finished clip, N.
#[derive(Clone, Copy, Debug)]
#[expect(clippy::struct_field_names, reason = "the unit belongs to the name")]
struct RequiredForces {
    across_n: f64,
    along_n: f64,
    weight_n: f64,
    snap_on_n: f64,
}

impl OutcomeModel {
    pub(crate) fn new(case: &CouponForces, tool: &CouponTarget) -> Self {
        let required = RequiredForces {
            across_n: tool.across_n,
            along_n: tool.along_n,
            weight_n: tool.weight_n.max(LEAST_WEIGHT_SHARE * tool.along_n).min(tool.along_n),
            snap_on_n: case.snap_on_n,
        };
        Self { tool: *tool, required }
    }

    /// Interference of a seat that is wider than the design's by `seat_mm` of diameter, mm.
    pub(crate) fn interference_mm(&self, seat_mm: f64) -> f64 {
        self.tool.interference_mm - 0.5 * seat_mm
    }

    fn seat_mm(&self, interference_mm: f64) -> f64 {
        2.0 * (self.tool.interference_mm - interference_mm)
    }

    fn threshold(&self, crossing: CurveCrossing, log_sd: f64) -> Threshold {
        Threshold {
            position: self.seat_mm(crossing.interference_mm),
            sd: (2.0 * log_sd / crossing.slope).clamp(LEAST_THRESHOLD_SD_MM, GREATEST_THRESHOLD_SD_MM),
        }
    }

    /// Thresholds for a person of this criterion. `share` is the coupon's share of the required forces.
    pub(crate) fn thresholds(
        &self,
        surface: &ForceSurface,
        curves: &ForceCurves<'_>,
        share: f64,
        criterion: Criterion,
        judgement_log_sd: f64,
    ) -> OutcomeThresholds {
        let break_strain = BREAK_OVER_YIELD * surface.yield_strain();
        let crack = self.threshold(curves.crossing(|f| f.strain / break_strain), BREAK_LOG_SD);
        let upper_ends = match criterion {
            Criterion::Silent | Criterion::Seat { .. } => seat_thresholds(criterion),
            Criterion::Force { hold_log, push_log, whole_clip } => {
                let share = if whole_clip { 1.0 } else { share };
                self.force_thresholds(curves, share, [hold_log, push_log].map(f64::exp), judgement_log_sd)
            }
        };
        OutcomeThresholds { silent: criterion == Criterion::Silent, upper_ends, crack }
    }

    /// Thresholds of a person who asks `hold_factor` times the hold and bears `push_factor` times the push.
    fn force_thresholds(
        &self,
        curves: &ForceCurves<'_>,
        share: f64,
        [hold_factor, push_factor]: [f64; 2],
        judgement_log_sd: f64,
    ) -> [Threshold; 4] {
        let required = self.required;
        let hold =
            |f: &SliceForces| (f.pull_n / required.across_n).min(f.slide_n / required.along_n) / (share * hold_factor);
        // The whole tool hangs on a slice, however short it is.
        let weight = |f: &SliceForces| f.pull_n.min(f.slide_n) / required.weight_n;
        let push = |f: &SliceForces| f.push_n / (share * push_factor * required.snap_on_n);
        let given_up = self.threshold(curves.crossing(|f| push(f) / GIVE_UP_FACTOR), OUTER_LOG_SD);
        let blocked = Threshold { position: self.seat_mm(curves.blocking_mm()), sd: LEAST_THRESHOLD_SD_MM };
        let mut upper_ends = [
            self.threshold(curves.crossing(weight), OUTER_LOG_SD),
            self.threshold(curves.crossing(hold), judgement_log_sd),
            self.threshold(curves.crossing(push), judgement_log_sd),
            if blocked.position > given_up.position { blocked } else { given_up },
        ];
        // What holds less than its weight is not loose, it falls out: the edge of the good window stays.
        upper_ends[0].position = upper_ends[0].position.max(upper_ends[1].position);
        for index in 2..upper_ends.len() {
            upper_ends[index].position = upper_ends[index].position.min(upper_ends[index - 1].position);
        }
        upper_ends
    }

    /// Hold of a coupon over the hold that is asked of it, for a seat of this change.
    pub(crate) fn hold_over_asked(&self, curves: &ForceCurves<'_>, share: f64, seat_mm: f64) -> f64 {
        let forces = curves.measurable(self.interference_mm(seat_mm));
        (forces.pull_n / self.required.across_n).min(forces.slide_n / self.required.along_n) / share
    }

    /// Window of the finished part, for a barrel that is wider than the middle one by `wider_mm` of diameter.
    pub(crate) fn window(&self, surface: &ForceSurface, curves: &ForceCurves<'_>, wider_mm: f64) -> SeatWindow {
        let required = self.required;
        let hold = |f: &SliceForces| (f.pull_n / required.across_n).min(f.slide_n / required.along_n);
        let least_interference = curves.crossing(hold).interference_mm;
        let push = curves.crossing(|f| f.push_n / required.snap_on_n).interference_mm;
        let strain = curves.crossing(|f| f.strain / surface.strain_limit()).interference_mm;
        let greatest_interference = push.min(strain).min(curves.blocking_mm());
        SeatWindow {
            least: self.seat_mm(greatest_interference) + wider_mm,
            greatest: self.seat_mm(least_interference) + wider_mm,
        }
    }

    /// Standard deviation of the barrel's diameter about its middle, mm. A barrel that is known within a range may be
    /// anywhere in it.
    pub(crate) fn barrel_sd_mm(&self) -> f64 {
        (self.tool.half_range_mm / 3.0_f64.sqrt()).hypot(self.tool.spread_mm)
    }

    pub(crate) fn tool(&self) -> Option<usize> {
        self.tool.tool
    }

    pub(crate) fn half_range_mm(&self) -> f64 {
        self.tool.half_range_mm
    }

    pub(crate) fn spread_mm(&self) -> f64 {
        self.tool.spread_mm
    }
}

/// Thresholds of a person who judges by the seat, whatever the forces are.
fn seat_thresholds(criterion: Criterion) -> [Threshold; 4] {
    let (middle_mm, width_mm) = match criterion {
        Criterion::Seat { middle_mm, width_mm } => (middle_mm, width_mm),
        Criterion::Silent | Criterion::Force { .. } => (0.0, 0.0),
    };
    let outer = 0.5 * width_mm + OUTER_DISTANCE_MM;
    [(outer, OUTER_SD_MM), (0.5 * width_mm, EDGE_SD_MM), (-0.5 * width_mm, EDGE_SD_MM), (-outer, OUTER_SD_MM)]
        .map(|(offset, sd)| Threshold { position: middle_mm + offset, sd })
}
