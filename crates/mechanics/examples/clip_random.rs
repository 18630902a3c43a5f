//! Statistics of the contact solver over random clips and mounts: outcomes, time per run, and cases that do not
//! converge.
//!
//! ```text
//! cargo run --release -p gripwright-mechanics --example clip_random -- [COUNT OF EACH KIND] [SEED]
//! ```

#![expect(clippy::print_stdout, reason = "an example prints its result")]

#[path = "../tests/common/mod.rs"]
mod common;

use std::{collections::BTreeMap, env, time::Instant};

use common::{Case, KINDS, SplitMix64};
use gripwright_mechanics::{InsertionOutcome, MeshDensity, SolverSettings};

fn main() {
    let number = |i: usize, usual: u64| env::args().nth(i).and_then(|a| a.parse().ok()).unwrap_or(usual);
    let (count, seed) = (number(1, 500), number(2, 1));
    for kind in KINDS {
        let mut rng = SplitMix64(seed);
        let mut outcomes: BTreeMap<&str, usize> = BTreeMap::new();
        let mut milliseconds = Vec::new();
        for index in 0..count {
            let Some(case) = Case::random(kind, &mut rng) else {
                *outcomes.entry("cannot be drawn").or_default() += 1;
                continue;
            };
            let start = Instant::now();
            let snap = case.run(MeshDensity::default(), &SolverSettings::default());
            let took = 1e3 * start.elapsed().as_secs_f64();
            milliseconds.push(took);
            let word = match snap.outcome {
                InsertionOutcome::Snaps => "snaps",
                InsertionOutcome::PushedHome => "pushed home",
                InsertionOutcome::Passes => "passes",
                InsertionOutcome::Locks { .. } => "locks",
                InsertionOutcome::OverStrained { .. } => "over-strained",
                InsertionOutcome::Jams { .. } => "jams",
                _ => "other",
            };
            *outcomes.entry(word).or_default() += 1;
            if snap.jams_on_the_way_out {
                *outcomes.entry("jams on the way out").or_default() += 1;
            }
            if word == "jams" || snap.jams_on_the_way_out || took > 20.0 {
                let (way_in, out) = (snap.insertion.len(), snap.removal.len());
                let jam = if snap.jams_on_the_way_out { ", jams on the way out" } else { "" };
                println!("{index}: {:?}{jam}, {took:.1} ms, {way_in} and {out} points: {}", snap.outcome, case.text);
            }
        }
        milliseconds.sort_by(f64::total_cmp);
        let at = |share: f64| {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an index into the list")]
            let index = (share * milliseconds.len() as f64) as usize;
            milliseconds.get(index).or(milliseconds.last()).copied().unwrap_or(0.0)
        };
        println!(
            "{kind:?}: {outcomes:?}; median {:.2} ms, 90 % {:.2} ms, greatest {:.2} ms",
            at(0.5),
            at(0.9),
            at(1.0)
        );
    }
}
