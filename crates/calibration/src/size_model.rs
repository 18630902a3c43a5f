//! Model of one size: outcomes and forces of its coupons, and windows of its part, at any stiffness and friction.

use gripwright_sizing::CouponForces;

use crate::{
    force_curves::{ForceCurves, ForceSurface, MeasurableForces},
    ordinal_probit::Threshold,
    outcome_model::{OutcomeModel, OutcomeThresholds, SeatWindow},
};

/// A size with stated outcomes that depend on the seat alone.
///
/// It serves callers who know the limits of a coupon and need no contact solver.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StatedSize {
    /// Letter of the size.
    pub letter: char,
    /// Least and greatest change of the seat, mm of diameter, that is good.
    pub good_mm: [f64; 2],
    /// Below the first it does not go, above the second it falls out, mm.
    pub outer_mm: [f64; 2],
    /// Standard deviation of the seat at which a person sees one outcome give way to the next, mm.
    pub judgement_sd_mm: f64,
}

/// Model of one size, or of the mount.
#[derive(Clone, Debug)]
pub(crate) enum SizeModel {
    Stated(StatedSize),
    Solved(Box<SolvedSize>),
}

/// A size whose outcomes come from the contact solver.
#[derive(Clone, Debug)]
pub(crate) struct SolvedSize {
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
    pub(crate) fn solved(case: CouponForces) -> Self {
        let tools = case.tools.iter().map(|tool| OutcomeModel::new(&case, tool)).collect();
        let (coupon, part) = (ForceSurface::new(&case.coupon), ForceSurface::new(&case.part));
        Self::Solved(Box::new(SolvedSize { case, coupon, part, tools }))
    }

    pub(crate) fn letter(&self) -> char {
        match self {
            Self::Stated(size) => size.letter,
            Self::Solved(size) => size.case.letter,
        }
    }

    /// Indices in the spec of the tools of the size; `None` for the body. A stated size has one tool, of index zero.
    pub(crate) fn tools(&self) -> Vec<Option<usize>> {
        match self {
            Self::Stated(_) => vec![Some(0)],
            Self::Solved(size) => size.tools.iter().map(OutcomeModel::tool).collect(),
        }
    }

    /// Diameter of the design's seat, if it can be measured, mm.
    pub(crate) fn measurable_seat_mm(&self) -> Option<f64> {
        match self {
            Self::Stated(_) => Some(0.0),
            Self::Solved(size) => size.case.round_seat.then_some(size.case.seat_mm),
        }
    }

    /// Standard deviation of a barrel about the middle one, mm of diameter.
    pub(crate) fn barrel_sd_mm(&self, tool_slot: usize) -> f64 {
        match self {
            Self::Stated(_) => 0.0,
            Self::Solved(size) => size.tools.get(tool_slot).map_or(0.0, OutcomeModel::barrel_sd_mm),
        }
    }

    /// Prediction of the coupon at one stiffness and friction.
    pub(crate) fn predict_coupon(&self, stiffness: f64, friction: f64, judgement_log_sd: f64) -> CouponPrediction<'_> {
        match self {
            Self::Stated(size) => CouponPrediction { thresholds: vec![size.thresholds()], solved: None },
            Self::Solved(size) => {
                let curves = size.coupon.curves(stiffness, friction);
                let share = size.case.coupon_share;
                let thresholds = |tool: &OutcomeModel| OutcomeThresholds {
                    crack: Some(tool.crack_threshold(&size.coupon, &curves)),
                    ..tool.thresholds(&curves, share, judgement_log_sd)
                };
                let thresholds = size.tools.iter().map(thresholds).collect();
                CouponPrediction { thresholds, solved: Some(SolvedCoupon { curves, tools: &size.tools }) }
            }
        }
    }

    /// Windows of the finished part at one stiffness and friction, for each tool.
    pub(crate) fn part_windows(&self, stiffness: f64, friction: f64) -> Vec<ToolWindows> {
        match self {
            Self::Stated(size) => {
                let [least, greatest] = size.good_mm;
                vec![ToolWindows { by_barrel: [SeatWindow { least, greatest }; 3], barrel_sd_mm: 0.0 }]
            }
            Self::Solved(size) => {
                let curves = size.part.curves(stiffness, friction);
                let windows = |tool: &OutcomeModel| {
                    let half = tool.half_range_mm();
                    ToolWindows {
                        by_barrel: [-half, 0.0, half].map(|wider| tool.window(&size.part, &curves, wider)),
                        barrel_sd_mm: tool.spread_mm(),
                    }
                };
                size.tools.iter().map(windows).collect()
            }
        }
    }

    /// Ranges of the finished part's material; absent for a stated size.
    pub(crate) fn part_material_ranges(&self) -> Option<PartMaterialRanges> {
        match self {
            Self::Stated(_) => None,
            Self::Solved(size) => {
                let (modulus, friction) = (size.case.part.modulus_share, size.case.part.friction);
                Some(PartMaterialRanges {
                    modulus: [modulus.least, modulus.greatest],
                    friction: [friction.least, friction.greatest],
                })
            }
        }
    }
}

impl StatedSize {
    fn thresholds(&self) -> OutcomeThresholds {
        let [[least, greatest], [tightest, loosest]] = [self.good_mm, self.outer_mm];
        let upper_ends =
            [loosest, greatest, least, tightest].map(|position| Threshold { position, sd: self.judgement_sd_mm });
        OutcomeThresholds { upper_ends, crack: None }
    }
}

/// Outcomes and forces of a coupon at one stiffness and friction.
pub(crate) struct CouponPrediction<'a> {
    /// For each tool.
    thresholds: Vec<OutcomeThresholds>,
    /// Absent for a stated size.
    solved: Option<SolvedCoupon<'a>>,
}

struct SolvedCoupon<'a> {
    curves: ForceCurves<'a>,
    tools: &'a [OutcomeModel],
}

impl CouponPrediction<'_> {
    pub(crate) fn tool_count(&self) -> usize {
        self.thresholds.len()
    }

    /// Probabilities of all outcomes, in their order, with one tool, for a seat of this change and scatter, mm.
    pub(crate) fn outcome_probabilities(&self, tool_slot: usize, seat_mm: f64, scatter_mm: f64) -> [f64; 6] {
        self.thresholds.get(tool_slot).map_or([1.0; 6], |thresholds| thresholds.probabilities(seat_mm, scatter_mm))
    }

    /// Measurable forces with one tool; absent for a stated size.
    pub(crate) fn forces(&self, tool_slot: usize, seat_mm: f64) -> Option<MeasurableForces> {
        let solved = self.solved.as_ref()?;
        Some(solved.curves.measurable(solved.tools.get(tool_slot)?.interference_mm(seat_mm)))
    }
}
