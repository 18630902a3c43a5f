//! Which measurement would tell most of stiffness and friction, when they are known too poorly.

use crate::{
    posterior::Posterior,
    posterior_grid::Grid,
    printed_piece::Piece,
    prior::Prior,
    size_model::{SizeModel, Told},
};
use gripwright_input::TrialOutcome;

/// Stiffness and friction are known well enough when the middle 90 % reach no farther than these shares to either side.
/// An assumption, no source.
const WELL_KNOWN: [f64; 2] = [0.10, 0.15];
/// Half of the middle 90 % in standard deviations.
const DEVIATIONS: f64 = 1.645;
/// Change of the seat over which the growth of a force is taken, mm.
const BESIDE_MM: f64 = 0.02;

/// What can be measured on a printed coupon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measurement {
    /// The barrel dragged over the print under a load.
    Drag,
    /// The tool pulled out through the mouth, or slid along, in a coupon that was tried.
    Force {
        /// Whether it is slid along its axis.
        along: bool,
        /// Index of the size; the number of sizes stands for the mount.
        size: usize,
        /// Change of the coupon's seat as drawn, mm.
        step_mm: f64,
        /// Index of the tool in the spec; absent for the mount.
        tool: Option<usize>,
    },
}

/// What would tell most of stiffness and friction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// How far stiffness and friction may be off, as shares: half of the middle 90 %.
    pub known: [f64; 2],
    /// What would tell most.
    pub best: Measurement,
}

/// What to measure next; nothing when both numbers are known well enough or the finished part does not ask for them.
pub(crate) fn wanted(
    prior: &Prior,
    sizes: &[SizeModel],
    (grid, pieces): (&Grid, &[Piece]),
    posterior: &Posterior,
) -> Option<Wanted> {
    let known = [&posterior.stiffness, &posterior.friction].map(|belief| {
        let [low, high] = belief.interval90;
        0.5 * (high / low).ln()
    });
    let poor = [0, 1].map(|i| known[i] > WELL_KNOWN[i]);
    if !grid.printed_part || pieces.is_empty() || poor == [false, false] {
        return None;
    }
    let places: Vec<(f64, [f64; 2])> = grid.over_scatter().into_iter().filter(|(w, _)| *w > 1e-6).collect();
    let worth = |of_force: &dyn Fn(usize) -> Option<f64>, apart: f64| -> Option<f64> {
        let log = |k: usize| of_force(k).filter(|f| *f > 0.0).map(f64::ln);
        let logs: Option<Vec<f64>> = (0..places.len()).map(log).collect();
        let logs = logs?;
        let mean = |read: &dyn Fn(usize) -> f64| {
            let total: f64 = places.iter().map(|(w, _)| w).sum();
            places.iter().enumerate().map(|(k, (w, _))| w * read(k)).sum::<f64>() / total
        };
        let force = mean(&|k| logs[k]);
        let noise = prior.force_log_sd.powi(2) + apart;
        let whole = mean(&|k| (logs[k] - force).powi(2)) + noise;
        // By how much a force lessens each variance, were all normal.
        let gain = (0..2).filter(|i| poor[*i]).map(|i| {
            let middle = mean(&|k| places[k].1[i].ln());
            let both = mean(&|k| (places[k].1[i].ln() - middle) * (logs[k] - force));
            both * both / whole / (WELL_KNOWN[i] / DEVIATIONS).powi(2)
        });
        Some(gain.sum())
    };
    let mut best = (worth(&|k| Some(places[k].1[1]), 0.0)?, Measurement::Drag);
    for (index, (size, belief)) in sizes.iter().zip(&posterior.sizes).enumerate() {
        let tried = tried(pieces, index);
        if tried.is_empty() {
            continue;
        }
        let told = |[stiffness, friction]: [f64; 2]| size.coupon(stiffness, friction, prior.judgement_log_sd);
        let middle = told([posterior.stiffness.median, posterior.friction.median]);
        let all: Vec<Told<'_>> = places.iter().map(|(_, at)| told(*at)).collect();
        let unknown_mm = belief.error_mm.sd.hypot(prior.scatter_sd_mm);
        for (place, step_mm) in tried {
            let seat = step_mm + belief.error_mm.median;
            for along in [false, true] {
                let force = |told: &Told<'_>, seat: f64| {
                    told.pulls(place, seat).map(|(pull, slide)| if along { slide } else { pull })
                };
                // The bore is not known either.
                let beside = [-BESIDE_MM, BESIDE_MM].map(|by| force(&middle, seat + by).unwrap_or(0.0).max(1e-9).ln());
                let apart = (unknown_mm * (beside[1] - beside[0]) / (2.0 * BESIDE_MM)).powi(2);
                let tool = size.tools().get(place).copied().flatten();
                let found = Measurement::Force { along, size: index, step_mm, tool };
                match worth(&|k| force(&all[k], seat), apart) {
                    Some(gain) if gain > best.0 => best = (gain, found),
                    _ => {}
                }
            }
        }
    }
    Some(Wanted { known, best: best.1 })
}

/// Places of tools and steps of a size's coupons that a tool stayed in.
fn tried(pieces: &[Piece], size: usize) -> Vec<(usize, f64)> {
    let mut out: Vec<(usize, f64)> = Vec::new();
    for piece in pieces.iter().filter(|piece| piece.size == size) {
        for row in piece.rows.iter().filter(|row| pullable(row.outcome)) {
            if !out.contains(&(row.place, piece.step_mm)) {
                out.push((row.place, piece.step_mm));
            }
        }
    }
    out
}

fn pullable(outcome: TrialOutcome) -> bool {
    matches!(outcome, TrialOutcome::Loose | TrialOutcome::Good | TrialOutcome::Tight)
}
