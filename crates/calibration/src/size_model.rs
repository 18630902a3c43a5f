//! Model of one size: outcomes and forces of its coupons, and windows of its part, at any stiffness and friction.

use gripwright_sizing::CouponForces;

use crate::{
    force_curves::{ForceCurves, ForceSurface, MeasurableForces},
    outcome_model::{OutcomeModel, OutcomeThresholds, SeatWindow},
    person::Criterion,
};

/// Model of one size, or of the mount, from the tables of the contact solver.
#[derive(Clone, Debug)]
pub(crate) struct SizeModel {
    case: CouponForces,
    coupon: ForceSurface,
    part: ForceSurface,
    tools: Vec<OutcomeModel>,
}

/// Windows of the finished part for one tool.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ToolWindows {
    /// For the least, the middle and the greatest barrel.
    pub(crate) by_barrel: [SeatWindow; 3],
    /// Standard deviation of the measurement of a barrel, mm.
    pub(crate) barrel_sd_mm: f64,
}

/// Ranges of the finished part's material.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PartMaterialRanges {
    /// Modulus over its geometric mean.
    pub(crate) modulus: [f64; 2],
    pub(crate) friction: [f64; 2],
}

impl SizeModel {
    pub(crate) fn new(case: CouponForces) -> Self {
        let tools = case.tools.iter().map(|tool| OutcomeModel::new(&case, tool)).collect();
        let (coupon, part) = (ForceSurface::new(&case.coupon), ForceSurface::new(&case.part));
        Self { case, coupon, part, tools }
    }

    pub(crate) fn letter(&self) -> char {
        self.case.letter
    }

    /// Indices in the spec of the tools of the size; `None` for the body.
    pub(crate) fn tools(&self) -> Vec<Option<usize>> {
        self.tools.iter().map(OutcomeModel::tool).collect()
    }

    /// Diameter of the design's seat, if it can be measured, mm.
    pub(crate) fn measurable_seat_mm(&self) -> Option<f64> {
        self.case.round_seat.then_some(self.case.seat_mm)
    }

    /// Standard deviation of a barrel about the middle one, mm of diameter.
    pub(crate) fn barrel_sd_mm(&self, tool_slot: usize) -> f64 {
        self.tools.get(tool_slot).map_or(0.0, OutcomeModel::barrel_sd_mm)
    }

    /// Greatest standard deviation of the barrels that try the size, mm of diameter.
    pub(crate) fn widest_barrel_sd_mm(&self) -> f64 {
        self.tools.iter().map(OutcomeModel::barrel_sd_mm).fold(0.0, f64::max)
    }

    /// Prediction of the coupon at one stiffness and friction, for a person of this criterion.
    pub(crate) fn predict_coupon(
        &self,
        stiffness: f64,
        friction: f64,
        criterion: Criterion,
        judgement_log_sd: f64,
    ) -> CouponPrediction<'_> {
        let curves = self.coupon.curves(stiffness, friction);
        let share = self.case.coupon_share;
        let thresholds =
            |tool: &OutcomeModel| tool.thresholds(&self.coupon, &curves, share, criterion, judgement_log_sd);
        CouponPrediction { thresholds: self.tools.iter().map(thresholds).collect(), curves, tools: &self.tools, share }
    }

    /// Windows of the finished part at one stiffness and friction, for each tool.
    pub(crate) fn part_windows(&self, stiffness: f64, friction: f64) -> Vec<ToolWindows> {
        let curves = self.part.curves(stiffness, friction);
        let windows = |tool: &OutcomeModel| {
            let half = tool.half_range_mm();
            ToolWindows {
                by_barrel: [-half, 0.0, half].map(|wider| tool.window(&self.part, &curves, wider)),
                barrel_sd_mm: tool.spread_mm(),
            }
        };
        self.tools.iter().map(windows).collect()
    }

    /// Seats with which the finished part keeps its limits with every barrel, mm of change; `None` if there are none.
    pub(crate) fn limits(&self, stiffness: f64, friction: f64) -> Option<SeatWindow> {
        let windows = self.part_windows(stiffness, friction);
        let all = || windows.iter().flat_map(|tool| tool.by_barrel);
        let least = all().map(|w| w.least).fold(f64::NEG_INFINITY, f64::max);
        let greatest = all().map(|w| w.greatest).fold(f64::INFINITY, f64::min);
        (least < greatest).then_some(SeatWindow { least, greatest })
    }

    /// Ranges of the finished part's material.
    pub(crate) fn part_material_ranges(&self) -> PartMaterialRanges {
        let (modulus, friction) = (self.case.part.modulus_share, self.case.part.friction);
        PartMaterialRanges { modulus: [modulus.least, modulus.greatest], friction: [friction.least, friction.greatest] }
    }
}

/// Outcomes and forces of a coupon at one stiffness and friction.
pub(crate) struct CouponPrediction<'a> {
    /// For each tool.
    thresholds: Vec<OutcomeThresholds>,
    curves: ForceCurves<'a>,
    tools: &'a [OutcomeModel],
    /// Share of the required forces that is asked of the coupon.
    share: f64,
}

impl CouponPrediction<'_> {
    pub(crate) fn tool_count(&self) -> usize {
        self.thresholds.len()
    }

    /// Probabilities of all outcomes, in their order, with one tool, for a seat of this change and scatter, mm.
    pub(crate) fn outcome_probabilities(&self, tool_slot: usize, seat_mm: f64, scatter_mm: f64) -> [f64; 6] {
        self.thresholds.get(tool_slot).map_or([1.0; 6], |thresholds| thresholds.probabilities(seat_mm, scatter_mm))
    }

    /// Seats that this person calls good with every tool, mm of change. It is empty if `least` exceeds `greatest`.
    pub(crate) fn good_window(&self) -> SeatWindow {
        let edge = |index: usize| self.thresholds.iter().map(move |t| t.upper_ends[index].position);
        SeatWindow { least: edge(2).fold(f64::NEG_INFINITY, f64::max), greatest: edge(1).fold(f64::INFINITY, f64::min) }
    }

    /// Hold over the hold that is asked, for a seat of this change and the tool that holds least.
    pub(crate) fn hold_over_asked(&self, seat_mm: f64) -> f64 {
        let hold = |tool: &OutcomeModel| tool.hold_over_asked(&self.curves, self.share, seat_mm);
        self.tools.iter().map(hold).fold(f64::INFINITY, f64::min)
    }

    /// Thresholds with one tool.
    pub(crate) fn thresholds(&self, tool_slot: usize) -> Option<&OutcomeThresholds> {
        self.thresholds.get(tool_slot)
    }

    /// Measurable forces with one tool; `None` if the size has no such tool.
    pub(crate) fn forces(&self, tool_slot: usize, seat_mm: f64) -> Option<MeasurableForces> {
        Some(self.curves.measurable(self.tools.get(tool_slot)?.interference_mm(seat_mm)))
    }
}
