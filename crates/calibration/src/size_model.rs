//! One size as trials meet it: its outcomes, forces and windows at any stiffness and friction.

use gripwright_sizing::SliceCase;

use crate::{
    ordinal_probit::Threshold,
    outcome_model::{Feel, Forces, Gauge, Surface, Window},
};

/// A size whose outcomes are stated outright and depend on the seat alone: for whoever knows how a coupon feels and asks
/// nothing of a solver.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StatedSize {
    /// Letter of the size.
    pub letter: char,
    /// Least and greatest change of the seat, mm of diameter, that is good.
    pub good_mm: [f64; 2],
    /// Below the first it does not go, above the second it falls out, mm.
    pub outer_mm: [f64; 2],
    /// Standard deviation of where a person sees one outcome give way to the next, mm.
    pub judgement_sd_mm: f64,
}

/// One size, or the mount.
#[derive(Clone, Debug)]
pub(crate) enum SizeModel {
    Stated(StatedSize),
    Solved(Box<Solved>),
}

/// A size whose outcomes come from the contact solver.
#[derive(Clone, Debug)]
pub(crate) struct Solved {
    case: SliceCase,
    coupon: Surface,
    part: Surface,
    gauges: Vec<Gauge>,
}

impl SizeModel {
    pub(crate) fn solved(case: SliceCase) -> Self {
        let gauges = case.tools.iter().map(|tool| Gauge::new(&case, tool)).collect();
        let (coupon, part) = (Surface::new(&case.coupon), Surface::new(&case.part));
        Self::Solved(Box::new(Solved { case, coupon, part, gauges }))
    }

    pub(crate) fn letter(&self) -> char {
        match self {
            Self::Stated(size) => size.letter,
            Self::Solved(size) => size.case.letter,
        }
    }

    /// What tries it: indices in the spec; nothing for the body. A stated size has one tool, of index zero.
    pub(crate) fn tools(&self) -> Vec<Option<usize>> {
        match self {
            Self::Stated(_) => vec![Some(0)],
            Self::Solved(size) => size.gauges.iter().map(Gauge::tool).collect(),
        }
    }

    /// Diameter of the design's seat, where it can be measured, mm.
    pub(crate) fn measurable_mm(&self) -> Option<f64> {
        match self {
            Self::Stated(_) => Some(0.0),
            Self::Solved(size) => size.case.round_seat.then_some(size.case.seat_mm),
        }
    }

    /// Standard deviation of a barrel about the middle one, mm of diameter.
    pub(crate) fn barrel_sd_mm(&self, place: usize) -> f64 {
        match self {
            Self::Stated(_) => 0.0,
            Self::Solved(size) => size.gauges.get(place).map_or(0.0, Gauge::barrel_sd_mm),
        }
    }

    /// The coupon at one stiffness and friction.
    pub(crate) fn coupon(&self, stiffness: f64, friction: f64, judgement_log_sd: f64) -> Told<'_> {
        match self {
            Self::Stated(size) => Told { feels: vec![size.feel()], forces: None },
            Self::Solved(size) => {
                let forces = size.coupon.forces(stiffness, friction);
                let share = size.case.coupon_share;
                let feel = |gauge: &Gauge| Feel {
                    crack: Some(gauge.crack(&size.coupon, &forces)),
                    ..gauge.feel(&forces, share, judgement_log_sd)
                };
                let feels = size.gauges.iter().map(feel).collect();
                Told { feels, forces: Some((forces, &size.gauges)) }
            }
        }
    }

    /// Windows of the finished part at one stiffness and friction, for each tool: of its least, middle and greatest barrel,
    /// with the standard deviation of how a barrel was measured.
    pub(crate) fn part(&self, stiffness: f64, friction: f64) -> Vec<([Window; 3], f64)> {
        match self {
            Self::Stated(size) => {
                let [least, greatest] = size.good_mm;
                vec![([Window { least, greatest }; 3], 0.0)]
            }
            Self::Solved(size) => {
                let forces = size.part.forces(stiffness, friction);
                let of = |gauge: &Gauge| {
                    let half = gauge.half_range_mm();
                    ([-half, 0.0, half].map(|wider| gauge.window(&size.part, &forces, wider)), gauge.spread_mm())
                };
                size.gauges.iter().map(of).collect()
            }
        }
    }

    /// Range of the finished part's modulus over its geometric mean, and of its friction; absent when stated.
    pub(crate) fn part_ranges(&self) -> Option<[[f64; 2]; 2]> {
        match self {
            Self::Stated(_) => None,
            Self::Solved(size) => {
                let (modulus, friction) = (size.case.part.modulus_share, size.case.part.friction);
                Some([[modulus.least, modulus.greatest], [friction.least, friction.greatest]])
            }
        }
    }
}

impl StatedSize {
    fn feel(&self) -> Feel {
        let [[least, greatest], [tightest, loosest]] = [self.good_mm, self.outer_mm];
        let bounds = [loosest, greatest, least, tightest].map(|at| Threshold { at, sd: self.judgement_sd_mm });
        Feel { bounds, crack: None }
    }
}

/// What a coupon tells at one stiffness and friction.
pub(crate) struct Told<'a> {
    pub(crate) feels: Vec<Feel>,
    forces: Option<(Forces<'a>, &'a [Gauge])>,
}

impl Told<'_> {
    /// Probabilities of all outcomes, in their order, with the tool at this place, for a seat of this change and scatter, mm.
    pub(crate) fn outcomes(&self, place: usize, seat_mm: f64, scatter_mm: f64) -> [f64; 6] {
        self.feels.get(place).map_or([1.0; 6], |feel| feel.probabilities(seat_mm, scatter_mm))
    }

    /// Pull through the mouth and slide along the axis, N; absent when stated.
    pub(crate) fn pulls(&self, place: usize, seat_mm: f64) -> Option<(f64, f64)> {
        let (forces, gauges) = self.forces.as_ref()?;
        Some(forces.pulls(gauges.get(place)?.interference_mm(seat_mm)))
    }
}
