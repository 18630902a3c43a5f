//! The fit model: unknowns, and how probable a row is for any values of them.

use gripwright_input::Spec;
use gripwright_sizing::{Design, SliceReach, slice_cases};

use crate::{
    next_plate::NextPlate,
    plate_planner,
    posterior::Posterior,
    posterior_grid::{Grid, Task},
    posterior_summary::summary,
    printed_piece::pieces,
    prior::Prior,
    size_model::{SizeModel, StatedSize},
    trial::Trial,
};

/// Why there is no fit model for a design.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ModelError {
    /// The contact solver finds no way in for the coupon as drawn.
    #[error("size {letter}: at some friction of the material nothing goes into its coupon as it is drawn")]
    NoWayIn {
        /// Letter of the size.
        letter: char,
    },
}

/// The fit model of one design.
#[derive(Clone, Debug)]
pub struct FitModel {
    prior: Prior,
    sizes: Vec<SizeModel>,
    printed_part: bool,
}

/// Seats are solved so far beyond the drawn ones, either way, mm: the widest step of a ladder and three deviations of a
/// poor printer.
const REACH_MM: f64 = 0.9;
/// Frictions are solved so many standard deviations out.
const FRICTION_REACH: f64 = 2.5;

impl FitModel {
    /// Solves the coupons of a design over interference and friction, once.
    pub fn of(spec: &Spec, design: &Design) -> Result<Self, ModelError> {
        let prior = Prior::of(spec);
        let out = (FRICTION_REACH * prior.friction_log_sd).exp();
        let frictions = [prior.friction / out, prior.friction, prior.friction * out];
        let cases = slice_cases(spec, design, &SliceReach { seat_mm: REACH_MM, frictions })
            .map_err(|letter| ModelError::NoWayIn { letter })?;
        Ok(Self {
            prior,
            sizes: cases.into_iter().map(SizeModel::solved).collect(),
            printed_part: spec.material.cast.is_none(),
        })
    }

    /// A model of sizes whose outcomes are stated outright. It says nothing of stiffness and friction.
    pub fn stated(prior: Prior, sizes: &[StatedSize]) -> Self {
        Self { prior, sizes: sizes.iter().map(|size| SizeModel::Stated(*size)).collect(), printed_part: true }
    }

    /// What is believed before the first trial.
    pub fn prior(&self) -> &Prior {
        &self.prior
    }

    /// The same model with other beliefs before the first trial.
    #[must_use]
    pub fn with_prior(self, prior: Prior) -> Self {
        Self { prior, ..self }
    }

    /// What is believed after the trials, whichever order they come in; with none, what is believed before.
    ///
    /// Rows of a size or a tool that the design does not have are left out; `rows` says how many were used.
    pub fn posterior(&self, trials: &[Trial]) -> Posterior {
        let (pieces, rows) = pieces(trials, &self.sizes);
        let grid = self.task(&pieces).grid();
        summary(&self.prior, &self.sizes, &pieces, &grid, rows)
    }

    /// The coupons, `most` at most, that teach most of the bores after the trials.
    pub fn next(&self, trials: &[Trial], most: usize) -> NextPlate {
        self.posterior_and_next(trials, most).1
    }

    /// What is believed after the trials, and the coupons that teach most then: both for little more than the price of
    /// one.
    pub fn posterior_and_next(&self, trials: &[Trial], most: usize) -> (Posterior, NextPlate) {
        let (pieces, rows) = pieces(trials, &self.sizes);
        let grid: Grid = self.task(&pieces).grid();
        let posterior = summary(&self.prior, &self.sizes, &pieces, &grid, rows);
        let next = plate_planner::next(&self.prior, &self.sizes, &grid, (&posterior, &pieces), most);
        (posterior, next)
    }

    fn task<'a>(&'a self, pieces: &'a [crate::printed_piece::Piece]) -> Task<'a> {
        let drags = pieces.iter().flat_map(|p| &p.rows).filter_map(|row| row.drag).collect();
        Task { prior: &self.prior, sizes: &self.sizes, pieces, printed_part: self.printed_part, drags }
    }
}
