//! Scenarios for the planning of coupons: drawn true errors, each with the knowledge that coupons would leave in it.
//!
//! Stiffness and friction are averaged over, and the scatter is the stated one of the printer: a plan may be coarser
//! than a conclusion. A candidate coupon is valued by the uncertainty that it is expected to leave, averaged over
//! its outcomes in every scenario. A coupon that is chosen gets an outcome in every scenario, by the truth drawn there.

use gripwright_input::TrialOutcome;
use gripwright_sizing::SplitMix64;

use crate::{
    fit_problem::FitProblem,
    grid_axis::GridAxis,
    log_weights::normalise,
    parameter_estimate::quantile,
    posterior_grid::{PosteriorGrid, WeightedMaterial},
    prior::Prior,
    size_model::SizeModel,
};

/// Number of scenarios. More change the plan little.
const SCENARIOS: u16 = 48;
/// Values of the common error, and of a size's.
const COMMON_ERRORS: usize = 21;
const SIZE_ERRORS: usize = 49;
/// Probability beyond each end of the values of an error.
const TAIL: f64 = 1e-4;
/// Materials that are less probable are not worth their time.
const LEAST_MATERIAL_WEIGHT: f64 = 1e-3;
/// Outcomes that are less probable change no average.
const LEAST_OUTCOME_PROBABILITY: f64 = 1e-3;
/// Half width and step of the axis of seats, mm.
const SEAT_REACH_MM: f64 = 1.2;
const SEAT_STEP_MM: f64 = 0.01;

/// Tables that all scenarios share.
pub(crate) struct ScenarioTables {
    sizes: Vec<SizeTables>,
}

/// Tables of one size that all scenarios share.
struct SizeTables {
    errors: Vec<f64>,
    /// For each error, over the common ones: probability of the error, summing to one over the errors.
    probabilities_given_common_error: Vec<Vec<f64>>,
    /// For each tool and each seat: probabilities of the outcomes.
    outcomes: Vec<Vec<Vec<f64>>>,
    seats: GridAxis,
    /// Weight of this size's variance in the loss.
    variance_weight: f64,
}

/// Knowledge of one size in one scenario.
#[derive(Clone, Debug)]
struct SizeKnowledge {
    /// Over the size's error.
    likelihood: Vec<f64>,
    moments: ErrorMoments,
}

/// Moments of a size's error, over the common error.
#[derive(Clone, Debug)]
struct ErrorMoments {
    /// Probability of the evidence.
    evidence: Vec<f64>,
    mean: Vec<f64>,
    variance: Vec<f64>,
}

/// One scenario: a drawn truth and the knowledge in it.
#[derive(Clone, Debug)]
pub(crate) struct Scenario {
    true_errors: Vec<f64>,
    /// Distribution of the common error.
    common_error: Vec<f64>,
    sizes: Vec<SizeKnowledge>,
}

/// A coupon that might be printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct CouponCandidate {
    pub(crate) size: usize,
    /// Index of the tool among those of the size.
    pub(crate) tool_slot: usize,
    pub(crate) step_mm: f64,
}

impl ScenarioTables {
    /// Makes the tables and draws the scenarios; `variance_weights` has the weight of each size's variance in the loss.
    pub(crate) fn draw(
        problem: &FitProblem<'_>,
        grid: &PosteriorGrid,
        variance_weights: &[f64],
    ) -> (Self, Vec<Scenario>) {
        let prior = problem.prior;
        let common_axis = covering_axis(&grid.bore_axis, &grid.average(|n| &n.common_error), COMMON_ERRORS);
        let common_errors: Vec<f64> = common_axis.values().collect();
        let mut common_error: Vec<f64> =
            common_errors.iter().map(|c| prior.log_common_error_density(*c).exp()).collect();
        normalise(&mut common_error);
        let materials = grid.materials();
        let mut tables = Vec::new();
        let mut sizes = Vec::new();
        for (index, size) in problem.sizes.iter().enumerate() {
            let error_weights = grid.average(|n| &n.sizes[index].error);
            let errors: Vec<f64> = covering_axis(&grid.bore_axis, &error_weights, SIZE_ERRORS).values().collect();
            let size_tables = SizeTables {
                probabilities_given_common_error: probabilities_given_common_error(prior, &errors, &common_errors),
                outcomes: (0..size.tools().len())
                    .map(|tool_slot| outcome_table(prior, size, tool_slot, &materials))
                    .collect(),
                errors,
                seats: seat_axis(),
                variance_weight: variance_weights.get(index).copied().unwrap_or(1.0),
            };
            let logs = grid.average(|n| &n.sizes[index].log_likelihood);
            let largest = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let relative = |error: &f64| (interpolate(&grid.bore_axis, &logs, *error) - largest).exp();
            let likelihood: Vec<f64> = size_tables.errors.iter().map(relative).collect();
            let moments = size_tables.moments(&likelihood);
            common_error.iter_mut().zip(&moments.evidence).for_each(|(b, e)| *b *= e);
            normalise(&mut common_error);
            sizes.push(SizeKnowledge { likelihood, moments });
            tables.push(size_tables);
        }
        let tables = Self { sizes: tables };
        let scenarios = tables.scenarios(&Scenario { true_errors: Vec::new(), common_error, sizes });
        (tables, scenarios)
    }

    fn scenarios(&self, start: &Scenario) -> Vec<Scenario> {
        let mut rng = SplitMix64::new(5);
        (0..SCENARIOS)
            .map(|k| {
                let share = (f64::from(k) + 0.5) / f64::from(SCENARIOS);
                let common = index_at_share(&start.common_error, share);
                let true_errors = self.sizes.iter().zip(&start.sizes).map(|(tables, known)| {
                    let weights: Vec<f64> = tables
                        .probabilities_given_common_error
                        .iter()
                        .zip(&known.likelihood)
                        .map(|(given, likelihood)| given[common] * likelihood)
                        .collect();
                    tables.errors.get(index_at_share(&weights, rng.unit())).copied().unwrap_or(0.0)
                });
                Scenario { true_errors: true_errors.collect(), ..start.clone() }
            })
            .collect()
    }

    /// Uncertainty in a scenario: weighted sum of the variances of all bores.
    pub(crate) fn loss(&self, scenario: &Scenario) -> f64 {
        self.sizes
            .iter()
            .zip(&scenario.sizes)
            .map(|(tables, known)| tables.variance_weight * known.moments.total_variance(&scenario.common_error))
            .sum()
    }

    /// Expected uncertainty after a coupon.
    pub(crate) fn expected_loss(&self, scenario: &Scenario, candidate: &CouponCandidate) -> f64 {
        let (Some(tables), Some(known)) = (self.sizes.get(candidate.size), scenario.sizes.get(candidate.size)) else {
            return self.loss(scenario);
        };
        let mut total = 0.0;
        let mut covered = 0.0;
        for outcome in 0..TrialOutcome::ALL.len() {
            let likelihood = tables.likelihood_after(known, candidate, outcome);
            let moments = tables.moments(&likelihood);
            let update = CommonErrorUpdate::new(&scenario.common_error, &known.moments, &moments);
            if update.probability < LEAST_OUTCOME_PROBABILITY {
                continue;
            }
            let common = &update.common_error;
            let others = self.sizes.iter().zip(&scenario.sizes).enumerate().filter(|(k, _)| *k != candidate.size);
            let others: f64 =
                others.map(|(_, (t, known))| t.variance_weight * known.moments.total_variance(common)).sum();
            total += update.probability * (tables.variance_weight * moments.total_variance(common) + others);
            covered += update.probability;
        }
        if covered > 0.0 { total / covered } else { self.loss(scenario) }
    }

    /// Draws an outcome of the coupon by the truth of the scenario, and updates the knowledge with it.
    pub(crate) fn observe(&self, scenario: &mut Scenario, candidate: &CouponCandidate, rng: &mut SplitMix64) {
        let Some(tables) = self.sizes.get(candidate.size) else { return };
        let true_error = scenario.true_errors.get(candidate.size).copied().unwrap_or(0.0);
        let outcome = index_at_share(
            &tables.outcome_probabilities(candidate.tool_slot, true_error + candidate.step_mm),
            rng.unit(),
        );
        let Some(known) = scenario.sizes.get_mut(candidate.size) else { return };
        let mut likelihood = tables.likelihood_after(known, candidate, outcome);
        // Only ratios count.
        let most = likelihood.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        for l in &mut likelihood {
            *l /= most;
        }
        let moments = tables.moments(&likelihood);
        let update = CommonErrorUpdate::new(&scenario.common_error, &known.moments, &moments);
        *known = SizeKnowledge { likelihood, moments };
        scenario.common_error = update.common_error;
    }
}

/// For each error of a size, over the common errors: its probability, summing to one over the errors.
fn probabilities_given_common_error(prior: &Prior, errors: &[f64], common_errors: &[f64]) -> Vec<Vec<f64>> {
    let density = |error: f64, common: f64| (-0.5 * ((error - common) / prior.size_error_sd_mm).powi(2)).exp();
    let mut given: Vec<Vec<f64>> =
        errors.iter().map(|x| common_errors.iter().map(|c| density(*x, *c)).collect()).collect();
    for c in 0..common_errors.len() {
        let total: f64 = given.iter().map(|g| g[c]).sum::<f64>().max(f64::MIN_POSITIVE);
        for g in &mut given {
            g[c] /= total;
        }
    }
    given
}

/// Probabilities of the outcomes with one tool, for each seat, averaged over the materials.
fn outcome_table(prior: &Prior, size: &SizeModel, tool_slot: usize, materials: &[WeightedMaterial]) -> Vec<Vec<f64>> {
    let seats = seat_axis();
    let scatter = prior.scatter_sd_mm.hypot(size.barrel_sd_mm(tool_slot));
    let outlier = prior.lapse_rate / TrialOutcome::ALL.len() as f64;
    let mut table = vec![vec![outlier; TrialOutcome::ALL.len()]; seats.len()];
    for material in materials.iter().filter(|m| m.weight >= LEAST_MATERIAL_WEIGHT) {
        let prediction = size.predict_coupon(material.stiffness, material.friction, prior.judgement_log_sd);
        for (row, seat) in table.iter_mut().zip(seats.values()) {
            for (cell, p) in row.iter_mut().zip(prediction.outcome_probabilities(tool_slot, seat, scatter)) {
                *cell += material.weight * (1.0 - prior.lapse_rate) * p;
            }
        }
    }
    table
}

fn seat_axis() -> GridAxis {
    GridAxis::with_step(0.0, SEAT_REACH_MM, SEAT_STEP_MM)
}

impl SizeTables {
    fn outcome_probabilities(&self, tool_slot: usize, seat_mm: f64) -> Vec<f64> {
        let Some(table) = self.outcomes.get(tool_slot) else { return Vec::new() };
        let (low, t) = index_and_share(&self.seats, seat_mm);
        table[low].iter().zip(&table[low + 1]).map(|(a, b)| a + t * (b - a)).collect()
    }

    /// Likelihood of the size's error after one more outcome.
    fn likelihood_after(&self, known: &SizeKnowledge, candidate: &CouponCandidate, outcome: usize) -> Vec<f64> {
        let Some(table) = self.outcomes.get(candidate.tool_slot) else { return known.likelihood.clone() };
        let at = |x: f64| {
            let (low, t) = index_and_share(&self.seats, x + candidate.step_mm);
            table[low][outcome] + t * (table[low + 1][outcome] - table[low][outcome])
        };
        self.errors.iter().zip(&known.likelihood).map(|(x, l)| l * at(*x)).collect()
    }

    fn moments(&self, likelihood: &[f64]) -> ErrorMoments {
        let count = self.probabilities_given_common_error.first().map_or(0, Vec::len);
        let (mut evidence, mut mean, mut square) = (vec![0.0; count], vec![0.0; count], vec![0.0; count]);
        for ((x, l), given) in self.errors.iter().zip(likelihood).zip(&self.probabilities_given_common_error) {
            for (((e, m), s), g) in evidence.iter_mut().zip(&mut mean).zip(&mut square).zip(given) {
                let p = l * g;
                *e += p;
                *m += p * x;
                *s += p * x * x;
            }
        }
        for ((e, m), s) in evidence.iter().zip(&mut mean).zip(&mut square) {
            let e = e.max(f64::MIN_POSITIVE);
            *m /= e;
            *s = (*s / e - *m * *m).max(0.0);
        }
        ErrorMoments { evidence, mean, variance: square }
    }
}

impl ErrorMoments {
    /// Variance of the size's error over all common errors.
    fn total_variance(&self, common_error: &[f64]) -> f64 {
        let (mut mean, mut square, mut inner) = (0.0, 0.0, 0.0);
        for ((c, m), v) in common_error.iter().zip(&self.mean).zip(&self.variance) {
            mean += c * m;
            square += c * m * m;
            inner += c * v;
        }
        inner + (square - mean * mean).max(0.0)
    }
}

/// Change of the knowledge of the common error by an outcome.
struct CommonErrorUpdate {
    /// Probability of the outcome.
    probability: f64,
    /// Distribution of the common error after it.
    common_error: Vec<f64>,
}

impl CommonErrorUpdate {
    fn new(common_error: &[f64], before: &ErrorMoments, after: &ErrorMoments) -> Self {
        let ratio = after.evidence.iter().zip(&before.evidence).map(|(a, b)| a / b.max(f64::MIN_POSITIVE));
        let mut common_error: Vec<f64> = common_error.iter().zip(ratio).map(|(c, r)| c * r).collect();
        let probability = normalise(&mut common_error);
        Self { probability, common_error }
    }
}

/// Values that cover a distribution except for its tails.
fn covering_axis(axis: &GridAxis, weights: &[f64], count: usize) -> GridAxis {
    let (low, high) = (quantile(axis, weights, TAIL), quantile(axis, weights, 1.0 - TAIL));
    let half_width = (0.5 * (high - low)).max(axis.step());
    GridAxis::with_count(0.5 * (low + high), half_width, count)
}

/// Value at `x`, interpolated between values on an axis.
fn interpolate(axis: &GridAxis, values: &[f64], x: f64) -> f64 {
    let (low, t) = index_and_share(axis, x);
    values[low] + t * (values[low + 1] - values[low])
}

/// Index of the axis value below `x`, and the share of the way from there to the next one.
fn index_and_share(axis: &GridAxis, x: f64) -> (usize, f64) {
    let position = ((x - axis.value(0)) / axis.step()).clamp(0.0, axis.len() as f64 - 1.000_001);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between the axis' ends")]
    let low = position as usize;
    (low, position - low as f64)
}

/// Returns the index at which the running sum reaches `share` of all weights.
pub(crate) fn index_at_share(weights: &[f64], share: f64) -> usize {
    let mut left = share * weights.iter().sum::<f64>();
    for (index, weight) in weights.iter().enumerate() {
        left -= weight;
        if left <= 0.0 && *weight > 0.0 {
            return index;
        }
    }
    weights.len().saturating_sub(1)
}
