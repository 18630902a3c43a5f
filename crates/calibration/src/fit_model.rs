//! The fit model of a design: the entrance to the crate.

use gripwright_input::Spec;
use gripwright_sizing::{CouponForces, Design, ForceTableRange, UnrunnableCoupon, coupon_forces};

use crate::{
    fit_problem::FitProblem,
    next_plate::{Evaluation, NextPlate},
    plate_planner::plan_plate,
    posterior::Posterior,
    posterior_summary::summarise,
    printed_piece::gather_pieces,
    prior::Prior,
    quadrature::posterior_grid,
    size_model::SizeModel,
    trial::Trial,
};

/// The fit model of one design.
#[derive(Clone, Debug)]
pub struct FitModel {
    prior: Prior,
    sizes: Vec<SizeModel>,
    printed_part: bool,
}

/// Greatest change of the seat that is solved, either way, mm: the widest step of a ladder and three standard deviations of
/// a poor printer.
const SEAT_REACH_MM: f64 = 0.9;
/// Least and greatest friction that are solved, in prior standard deviations from the median.
const FRICTION_REACH_IN_SDS: f64 = 2.5;

impl FitModel {
    /// Makes the fit model of a design. The contact solver runs all coupons over interference and friction once.
    ///
    /// The friction of the printed material is taken wider than its range, by a quarter of its logarithm. A design whose finished part is cast
    /// in a slippery material may have coupons that jam in a rough print: the error names the first of them.
    pub fn from_design(spec: &Spec, design: &Design, prior: Prior) -> Result<Self, UnrunnableCoupon> {
        let factor = (FRICTION_REACH_IN_SDS * prior.friction_log_sd).exp();
        let frictions = [prior.friction / factor, prior.friction, prior.friction * factor];
        let forces = coupon_forces(spec, design, &ForceTableRange { seat_mm: SEAT_REACH_MM, frictions })?;
        Ok(Self::from_forces(prior, forces, spec.material.cast.is_none()))
    }

    /// Makes a fit model from force tables of the sizes and the mount.
    ///
    /// `printed_part` is true if the finished part is of the material of the coupons.
    pub fn from_forces(prior: Prior, forces: Vec<CouponForces>, printed_part: bool) -> Self {
        Self { prior, sizes: forces.into_iter().map(SizeModel::new).collect(), printed_part }
    }

    /// Posterior after the trials, in whichever order they come; without trials, the prior as a posterior.
    ///
    /// Rows of a size or a tool that the design does not have are left out. [`Posterior::rows`] is the number of rows used.
    pub fn posterior(&self, trials: &[Trial]) -> Posterior {
        let (pieces, rows) = gather_pieces(trials, &self.sizes);
        let problem = FitProblem::new(&self.prior, &self.sizes, &pieces, self.printed_part);
        summarise(&problem, &posterior_grid(&problem), rows)
    }

    /// The coupons, at most `most`, that are expected to reduce the uncertainty of the bores most.
    pub fn next_plate(&self, trials: &[Trial], most: usize) -> NextPlate {
        self.evaluation(trials, most).next_plate
    }

    /// Posterior after the trials and the next plate, for little more than the time of one.
    pub fn evaluation(&self, trials: &[Trial], most: usize) -> Evaluation {
        let (pieces, rows) = gather_pieces(trials, &self.sizes);
        let problem = FitProblem::new(&self.prior, &self.sizes, &pieces, self.printed_part);
        let grid = posterior_grid(&problem);
        let posterior = summarise(&problem, &grid, rows);
        let next_plate = plan_plate(&problem, &grid, &posterior, most);
        Evaluation { posterior, next_plate }
    }
}
