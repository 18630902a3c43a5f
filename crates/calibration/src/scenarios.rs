//! Ways that it may turn out: what is believed of the bores, once for each drawn truth, as imagined coupons come in.
//!
//! Stiffness and friction are averaged over here, and the scatter is what the printer is said to have: a plan may be
//! coarser than a conclusion.

use gripwright_input::TrialOutcome;

use crate::{
    grid_axis::Axis,
    parameter_estimate::quantile,
    posterior_grid::{Grid, normalise},
    posterior_summary::mixed,
    prior::Prior,
    rng::{Recipe, pick},
    size_model::SizeModel,
};

/// Truths that are drawn. More change the plan little.
const WORLDS: u16 = 48;
/// Places of the common error, and of a size's.
const COMMON_PLACES: usize = 21;
const SIZE_PLACES: usize = 49;

/// What all worlds share.
pub(crate) struct Planner {
    sizes: Vec<SizePlan>,
}

/// What all worlds share of one size.
struct SizePlan {
    errors: Vec<f64>,
    /// For each error, over the common ones: probability of the error, summing to one over the errors.
    given: Vec<Vec<f64>>,
    /// For each tool: probability of each outcome over the change of the seat.
    outcomes: Vec<Vec<Vec<f64>>>,
    seats: Axis,
    /// What a variance of this size costs.
    weight: f64,
}

/// What is believed of one size in one world.
#[derive(Clone, Debug)]
struct Known {
    likelihood: Vec<f64>,
    moments: Moments,
}

/// Over the common error: probability of what was seen, mean and variance of the size's error.
#[derive(Clone, Debug)]
struct Moments {
    evidence: Vec<f64>,
    mean: Vec<f64>,
    variance: Vec<f64>,
}

/// One way that it may turn out.
#[derive(Clone, Debug)]
pub(crate) struct World {
    truth: Vec<f64>,
    common: Vec<f64>,
    sizes: Vec<Known>,
}

/// A coupon that might be printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Candidate {
    pub(crate) size: usize,
    pub(crate) place: usize,
    pub(crate) step_mm: f64,
}

impl Planner {
    /// With what the variance of each size costs.
    pub(crate) fn new(prior: &Prior, sizes: &[SizeModel], grid: &Grid, weights: &[f64]) -> (Self, Vec<World>) {
        let common_weights = mixed(grid, |n| &n.common);
        let axis = around(&grid.bore, &common_weights, COMMON_PLACES);
        let common: Vec<f64> = axis.values().collect();
        let mut before: Vec<f64> = common.iter().map(|c| prior.log_common(*c).exp()).collect();
        normalise(&mut before);
        let mut plans = Vec::new();
        let mut known = Vec::new();
        for (index, size) in sizes.iter().enumerate() {
            let believed = mixed(grid, |n| &n.sizes[index].belief);
            let errors: Vec<f64> = around(&grid.bore, &believed, SIZE_PLACES).values().collect();
            let plan = SizePlan::new(prior, size, grid, (&common, errors), weights.get(index).copied().unwrap_or(1.0));
            let mean = mixed(grid, |n| &n.sizes[index].likelihood);
            let most = mean.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let likelihood: Vec<f64> = plan.errors.iter().map(|x| (read(&grid.bore, &mean, *x) - most).exp()).collect();
            let moments = plan.moments(&likelihood);
            before.iter_mut().zip(&moments.evidence).for_each(|(b, e)| *b *= e);
            normalise(&mut before);
            known.push(Known { likelihood, moments });
            plans.push(plan);
        }
        let planner = Self { sizes: plans };
        let worlds = planner.worlds(&World { truth: Vec::new(), common: before, sizes: known });
        (planner, worlds)
    }

    fn worlds(&self, start: &World) -> Vec<World> {
        let mut recipe = Recipe::new(5);
        (0..WORLDS)
            .map(|k| {
                let share = (f64::from(k) + 0.5) / f64::from(WORLDS);
                let common = pick(&start.common, share);
                let truth = self.sizes.iter().zip(&start.sizes).map(|(plan, known)| {
                    let weights: Vec<f64> =
                        plan.given.iter().zip(&known.likelihood).map(|(given, l)| given[common] * l).collect();
                    plan.errors.get(recipe.index(&weights)).copied().unwrap_or(0.0)
                });
                World { truth: truth.collect(), ..start.clone() }
            })
            .collect()
    }

    /// What is still unknown in a world: the variances of all bores by what they cost.
    pub(crate) fn loss(&self, world: &World) -> f64 {
        self.sizes.iter().zip(&world.sizes).map(|(plan, known)| plan.weight * known.moments.whole(&world.common)).sum()
    }

    /// What would be unknown on average after a coupon.
    pub(crate) fn loss_after(&self, world: &World, candidate: &Candidate) -> f64 {
        let (Some(plan), Some(known)) = (self.sizes.get(candidate.size), world.sizes.get(candidate.size)) else {
            return self.loss(world);
        };
        let mut total = 0.0;
        let mut met = 0.0;
        for outcome in 0..TrialOutcome::ALL.len() {
            let likelihood = plan.after(known, candidate, outcome);
            let moments = plan.moments(&likelihood);
            let (probability, common) = updated(&world.common, &known.moments, &moments);
            // What hardly ever happens changes no average.
            if probability < 1e-3 {
                continue;
            }
            let others = self.sizes.iter().zip(&world.sizes).enumerate().filter(|(k, _)| *k != candidate.size);
            let others: f64 = others.map(|(_, (p, s))| p.weight * s.moments.whole(&common)).sum();
            total += probability * (plan.weight * moments.whole(&common) + others);
            met += probability;
        }
        if met > 0.0 { total / met } else { self.loss(world) }
    }

    /// The world after the coupon came out as its truth has it.
    pub(crate) fn tried(&self, world: &mut World, candidate: &Candidate, recipe: &mut Recipe) {
        let Some(plan) = self.sizes.get(candidate.size) else { return };
        let truth = world.truth.get(candidate.size).copied().unwrap_or(0.0);
        let outcome = recipe.index(&plan.probabilities(candidate.place, truth + candidate.step_mm));
        let Some(known) = world.sizes.get_mut(candidate.size) else { return };
        let mut likelihood = plan.after(known, candidate, outcome);
        // Only ratios count.
        let most = likelihood.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        for l in &mut likelihood {
            *l /= most;
        }
        let moments = plan.moments(&likelihood);
        let (_, common) = updated(&world.common, &known.moments, &moments);
        *known = Known { likelihood, moments };
        world.common = common;
    }
}

impl SizePlan {
    fn new(prior: &Prior, size: &SizeModel, grid: &Grid, (common, errors): (&[f64], Vec<f64>), weight: f64) -> Self {
        let mut given: Vec<Vec<f64>> = errors
            .iter()
            .map(|x| common.iter().map(|c| (-0.5 * ((x - c) / prior.size_sd_mm).powi(2)).exp()).collect())
            .collect();
        for c in 0..common.len() {
            let total: f64 = given.iter().map(|g| g[c]).sum::<f64>().max(f64::MIN_POSITIVE);
            for g in &mut given {
                g[c] /= total;
            }
        }
        let seats = Axis::around(0.0, 1.2, 0.01);
        let scatter = prior.scatter_sd_mm;
        let mut outcomes = Vec::new();
        let seen = grid.over_scatter();
        for place in 0..size.tools().len() {
            let scatter = scatter.hypot(size.barrel_sd_mm(place));
            let mut table =
                vec![vec![prior.lapse / TrialOutcome::ALL.len() as f64; TrialOutcome::ALL.len()]; seats.len()];
            for (w, [stiffness, friction]) in &seen {
                // What weighs next to nothing is not worth its time.
                if *w < 1e-3 {
                    continue;
                }
                let told = size.coupon(*stiffness, *friction, prior.judgement_log_sd);
                for (row, seat) in table.iter_mut().zip(seats.values()) {
                    for (cell, p) in row.iter_mut().zip(told.outcomes(place, seat, scatter)) {
                        *cell += w * (1.0 - prior.lapse) * p;
                    }
                }
            }
            outcomes.push(table);
        }
        Self { errors, given, outcomes, seats, weight }
    }

    fn probabilities(&self, place: usize, seat_mm: f64) -> Vec<f64> {
        let Some(table) = self.outcomes.get(place) else { return Vec::new() };
        let (low, t) = between(&self.seats, seat_mm);
        table[low].iter().zip(&table[low + 1]).map(|(a, b)| a + t * (b - a)).collect()
    }

    fn after(&self, known: &Known, candidate: &Candidate, outcome: usize) -> Vec<f64> {
        let Some(table) = self.outcomes.get(candidate.place) else { return known.likelihood.clone() };
        let at = |x: f64| {
            let (low, t) = between(&self.seats, x + candidate.step_mm);
            table[low][outcome] + t * (table[low + 1][outcome] - table[low][outcome])
        };
        self.errors.iter().zip(&known.likelihood).map(|(x, l)| l * at(*x)).collect()
    }

    fn moments(&self, likelihood: &[f64]) -> Moments {
        let count = self.given.first().map_or(0, Vec::len);
        let (mut evidence, mut mean, mut square) = (vec![0.0; count], vec![0.0; count], vec![0.0; count]);
        for ((x, l), given) in self.errors.iter().zip(likelihood).zip(&self.given) {
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
        Moments { evidence, mean, variance: square }
    }
}

impl Moments {
    /// Variance of the size's error over all common ones.
    fn whole(&self, common: &[f64]) -> f64 {
        let (mut mean, mut square, mut inner) = (0.0, 0.0, 0.0);
        for ((c, m), v) in common.iter().zip(&self.mean).zip(&self.variance) {
            mean += c * m;
            square += c * m * m;
            inner += c * v;
        }
        inner + (square - mean * mean).max(0.0)
    }
}

/// Probability of what would be seen, and belief in the common error after it.
fn updated(common: &[f64], before: &Moments, after: &Moments) -> (f64, Vec<f64>) {
    let ratio = after.evidence.iter().zip(&before.evidence).map(|(a, b)| a / b.max(f64::MIN_POSITIVE));
    let mut out: Vec<f64> = common.iter().zip(ratio).map(|(c, r)| c * r).collect();
    let probability = normalise(&mut out);
    (probability, out)
}

/// Places over what is believed, out to one in ten thousand on each side.
fn around(axis: &Axis, weights: &[f64], places: usize) -> Axis {
    let (low, high) = (quantile(axis, weights, 1e-4), quantile(axis, weights, 1.0 - 1e-4));
    let half = (0.5 * (high - low)).max(axis.step());
    Axis::of_count(0.5 * (low + high), half, places)
}

/// Values on an axis, read between its places.
fn read(axis: &Axis, values: &[f64], x: f64) -> f64 {
    let (low, t) = between(axis, x);
    values[low] + t * (values[low + 1] - values[low])
}

fn between(axis: &Axis, x: f64) -> (usize, f64) {
    let place = ((x - axis.at(0)) / axis.step()).clamp(0.0, axis.len() as f64 - 1.000_001);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between the axis' ends")]
    let low = place as usize;
    (low, place - low as f64)
}
