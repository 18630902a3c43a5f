//! Which coupons still teach: those that are expected to leave least unknown of all bores, one after the other, each in the
//! light of what those before it may have shown.

use gripwright_sizing::in_parallel;

use crate::{
    hold_odds::PartCase,
    next_plate::{NextPlate, Proposal},
    posterior::Posterior,
    posterior_grid::Grid,
    printed_piece::Piece,
    prior::Prior,
    rng::Recipe,
    scenarios::{Candidate, Planner, World},
    size_model::SizeModel,
};

/// Enough is known when knowing every bore exactly would raise no tool's odds by more than this.
const WORTH_KNOWING: f64 = 0.0025;
/// A coupon that is expected to lessen what is unknown by less is not worth its plastic.
const WORTH_PRINTING: f64 = 0.01;
/// Steps that are drawn and measured, mm.
const MAKEABLE_MM: f64 = 0.01;
/// Steps of the first look, mm, and how far from the design's seat any step may be.
const COARSE_MM: f64 = 0.03;
const FARTHEST_MM: f64 = 0.6;
/// Coupons of one size on one plate differ by at least this, and by half the scatter, mm: two of one name could not be
/// told apart, and steps that lie within the scatter are no steps.
const APART_MM: f64 = 0.02;
/// Candidates of a size that are looked at in every world.
const KEPT: usize = 14;
/// Tools of a size that a coupon is proposed for.
const MOST_TOOLS: usize = 3;

pub(crate) fn next(
    prior: &Prior,
    sizes: &[SizeModel],
    grid: &Grid,
    (posterior, pieces): (&Posterior, &[Piece]),
    most: usize,
) -> NextPlate {
    let mut costs = Vec::new();
    let mut missing: Option<(char, f64)> = None;
    for (size, belief) in sizes.iter().zip(&posterior.sizes) {
        let case = PartCase::new(prior, size, grid, belief.error_mm.sd);
        let now = case.least_held(belief.target_mm);
        let known = case.known(prior);
        let gain = known.least_held(belief.target_mm) - now;
        // What is unknown of a bore costs the odds that knowing it would gain, and never nothing: odds are no better than
        // the windows that they rest on.
        costs.push((gain.max(0.0) + WORTH_KNOWING) / belief.error_mm.sd.powi(2).max(f64::MIN_POSITIVE));
        if gain > WORTH_KNOWING && missing.is_none_or(|(_, most)| gain > most) {
            missing = Some((belief.letter, gain));
        }
    }
    let why = match (missing, pieces) {
        (Some((letter, gain)), _) => format!(
            "knowing its bore exactly would raise the odds of size {letter} by {:.1} %, more than of any other",
            100.0 * gain
        ),
        (None, [_, ..]) => {
            let why = format!(
                "enough is known: knowing every bore exactly would raise no tool's odds by more than {:.2} %",
                100.0 * WORTH_KNOWING
            );
            return NextPlate { coupons: Vec::new(), enough: true, why };
        }
        // What a solver believes is worth one look.
        (None, _) => "no coupon has been tried yet".to_owned(),
    };
    let coupons = greedy(prior, sizes, grid, &costs, most);
    if coupons.is_empty() && most > 0 {
        let why = format!(
            "no coupon is expected to lessen what is unknown of the bores by {:.0} %: measure them instead",
            100.0 * WORTH_PRINTING
        );
        return NextPlate { coupons, enough: true, why };
    }
    NextPlate { coupons, enough: false, why }
}

fn greedy(prior: &Prior, sizes: &[SizeModel], grid: &Grid, costs: &[f64], most: usize) -> Vec<Proposal> {
    let (planner, mut worlds) = Planner::new(prior, sizes, grid, costs);
    let mut recipe = Recipe::new(11);
    let mut candidates = kept(&planner, sizes, &worlds);
    let apart = APART_MM.max(0.5 * prior.scatter_sd_mm);
    let (mut chosen, mut out) = (Vec::new(), Vec::new());
    while out.len() < most {
        let now = mean(&worlds, |w| planner.loss(w));
        let Some((place, coarse)) = best(&planner, &worlds, &mut candidates, now) else { break };
        // Nearer by, on the grid of what can be made.
        let near = [-0.02, -0.01, 0.01, 0.02].map(|by| Candidate { step_mm: makeable(coarse.step_mm + by), ..coarse });
        let mut winner = (candidates[place].after, coarse);
        let near: Vec<Candidate> = near.into_iter().filter(|c| is_apart(c, &chosen, apart)).collect();
        let losses = in_parallel(&near, |c| mean(&worlds, |w| planner.loss_after(w, c)));
        for (loss, candidate) in losses.into_iter().zip(near) {
            if loss < winner.0 {
                winner = (loss, candidate);
            }
        }
        let (after, candidate) = winner;
        let gain = 1.0 - after / now.max(f64::MIN_POSITIVE);
        if gain < WORTH_PRINTING {
            break;
        }
        for world in &mut worlds {
            planner.tried(world, &candidate, &mut recipe);
        }
        candidates.retain(|c| c.candidate.size != candidate.size || is_apart(&c.candidate, &[candidate], apart));
        chosen.push(candidate);
        let tool = sizes.get(candidate.size).and_then(|s| s.tools().get(candidate.place).copied()).flatten();
        out.push(Proposal { size: candidate.size, step_mm: candidate.step_mm, tool, gain });
    }
    out
}

/// Whether a coupon differs enough from those of its size that are on the plate.
fn is_apart(candidate: &Candidate, chosen: &[Candidate], apart_mm: f64) -> bool {
    let same = chosen.iter().filter(|c| c.size == candidate.size);
    same.map(|c| (c.step_mm - candidate.step_mm).abs()).all(|off| off > apart_mm - 1e-9)
}

/// A candidate with what it was last seen to leave unknown, and how much was unknown then.
struct Judged {
    candidate: Candidate,
    after: f64,
    gain: f64,
    fresh: bool,
}

/// The candidate that leaves least unknown. A coupon teaches no more when others come before it, so one that was worth
/// less than the best before need not be looked at again.
fn best(planner: &Planner, worlds: &[World], candidates: &mut [Judged], now: f64) -> Option<(usize, Candidate)> {
    for c in candidates.iter_mut() {
        c.fresh = false;
    }
    loop {
        let (place, top) =
            candidates.iter().enumerate().max_by(|a, b| a.1.gain.total_cmp(&b.1.gain).then(b.0.cmp(&a.0)))?;
        if top.fresh {
            return Some((place, top.candidate));
        }
        // The few best at once, on all cores.
        let mut order: Vec<usize> = (0..candidates.len()).filter(|i| !candidates[*i].fresh).collect();
        order.sort_by(|a, b| candidates[*b].gain.total_cmp(&candidates[*a].gain).then(a.cmp(b)));
        order.truncate(8);
        let losses = in_parallel(&order, |i| mean(worlds, |w| planner.loss_after(w, &candidates[*i].candidate)));
        for (index, loss) in order.into_iter().zip(losses) {
            let judged = &mut candidates[index];
            (judged.after, judged.gain, judged.fresh) = (loss, now - loss, true);
        }
    }
}

/// For each size the steps that teach most by themselves.
fn kept(planner: &Planner, sizes: &[SizeModel], worlds: &[World]) -> Vec<Judged> {
    let Some(world) = worlds.first() else { return Vec::new() };
    let now = planner.loss(world);
    let mut out = Vec::new();
    for (size, model) in sizes.iter().enumerate() {
        let mut of_size = Vec::new();
        for place in few(model.tools().len()) {
            let mut step = -FARTHEST_MM;
            while step <= FARTHEST_MM + 1e-9 {
                of_size.push(Candidate { size, place, step_mm: makeable(step) });
                step += COARSE_MM;
            }
        }
        let losses = in_parallel(&of_size, |c| planner.loss_after(world, c));
        let mut judged: Vec<Judged> = of_size
            .into_iter()
            .zip(losses)
            .map(|(candidate, after)| Judged { candidate, after, gain: now - after, fresh: false })
            .collect();
        judged.sort_by(|a, b| b.gain.total_cmp(&a.gain).then(a.candidate.step_mm.total_cmp(&b.candidate.step_mm)));
        judged.truncate(KEPT);
        out.extend(judged);
    }
    out
}

/// The first, the middle and the last of many.
fn few(count: usize) -> Vec<usize> {
    if count <= MOST_TOOLS { (0..count).collect() } else { vec![0, count / 2, count - 1] }
}

fn makeable(step_mm: f64) -> f64 {
    // A step of minus nothing is still no step.
    (step_mm / MAKEABLE_MM).round() / (1.0 / MAKEABLE_MM) + 0.0
}

fn mean(worlds: &[World], of: impl Fn(&World) -> f64) -> f64 {
    worlds.iter().map(of).sum::<f64>() / worlds.len().max(1) as f64
}
