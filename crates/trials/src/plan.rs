//! Which coupons still teach: those that are expected to leave least unknown of all bores, one after the other, each in the
//! light of what those before it may have shown.

use gripwright_design::in_parallel;

use crate::{
    held::PartCase,
    next::{NextPlate, Proposal},
    nodes::Grid,
    pieces::Piece,
    posterior::Posterior,
    prior::Prior,
    recipe::Recipe,
    size::SizeModel,
    worlds::{Candidate, Planner, World},
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
/// Candidates of a size that are looked at in every world.
const KEPT: usize = 14;
/// Tools of a size that a coupon is proposed for.
const MOST_TOOLS: usize = 3;
/// A window narrower than this counts as this wide, mm: nothing would serve in it.
const LEAST_HALF_WINDOW_MM: f64 = 0.02;

pub(crate) fn next(
    prior: &Prior,
    sizes: &[SizeModel],
    grid: &Grid,
    (posterior, pieces): (&Posterior, &[Piece]),
    most: usize,
) -> NextPlate {
    let mut costs = Vec::new();
    let mut untried = Vec::new();
    let mut missing: Option<(char, f64)> = None;
    for (index, (size, belief)) in sizes.iter().zip(&posterior.sizes).enumerate() {
        if pieces.iter().all(|p| p.size != index) {
            untried.push(belief.letter.to_string());
        }
        let case = PartCase::new(prior, size, grid, belief.error_mm.sd);
        let half = case.half_window_mm().max(LEAST_HALF_WINDOW_MM);
        costs.push(1.0 / (half * half));
        let now = case.least_held(belief.target_mm);
        let known = case.known(prior);
        let gain = known.least_held(belief.target_mm) - now;
        if gain > WORTH_KNOWING && missing.is_none_or(|(_, most)| gain > most) {
            missing = Some((belief.letter, gain));
        }
    }
    let why = match (missing, untried.as_slice()) {
        (Some((letter, gain)), _) => format!(
            "knowing its bore exactly would raise the odds of size {letter} by {:.1} %, more than of any other",
            100.0 * gain
        ),
        (None, []) => {
            let why = format!(
                "enough is known: knowing every bore exactly would raise no tool's odds by more than {:.2} %",
                100.0 * WORTH_KNOWING
            );
            return NextPlate { coupons: Vec::new(), enough: true, why };
        }
        (None, [letter]) => format!("size {letter} has not been tried yet"),
        (None, letters) => format!("sizes {} have not been tried yet", letters.join(", ")),
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
    let mut chosen = Vec::new();
    while chosen.len() < most {
        let now = mean(&worlds, |w| planner.loss(w));
        let Some((place, coarse)) = best(&planner, &worlds, &mut candidates, now) else { break };
        // Nearer by, on the grid of what can be made.
        let near = [-0.02, -0.01, 0.01, 0.02].map(|by| Candidate { step_mm: makeable(coarse.step_mm + by), ..coarse });
        let mut winner = (candidates[place].after, coarse);
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
        let tool = sizes.get(candidate.size).and_then(|s| s.tools().get(candidate.place).copied()).flatten();
        chosen.push(Proposal { size: candidate.size, step_mm: candidate.step_mm, tool, gain });
    }
    chosen
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
