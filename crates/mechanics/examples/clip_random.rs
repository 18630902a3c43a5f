//! Random round clips through the contact solver: how many go in, how long a run takes, and which do not converge.
//!
//! ```text
//! cargo run --release -p gripwright-mechanics --example clip_random -- [COUNT] [SEED]
//! ```

#![expect(clippy::print_stdout, reason = "an example prints its result")]

use std::{collections::BTreeMap, env, time::Instant};

use gripwright_mechanics::{Clip, Friction, Outcome, Rigid, Settings, Stiffness, simulate};

/// A small generator with a fixed recipe (`SplitMix64`), so that a seed names the same clips everywhere.
struct Recipe(u64);

impl Recipe {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, least: f64, greatest: f64) -> f64 {
        least + (greatest - least) * self.unit()
    }
}

fn main() {
    let number = |i: usize, usual: u64| env::args().nth(i).and_then(|a| a.parse().ok()).unwrap_or(usual);
    let (count, mut recipe) = (number(1, 2000), Recipe(number(2, 1)));
    let mut outcomes: BTreeMap<&str, usize> = BTreeMap::new();
    let mut seconds = Vec::new();
    for index in 0..count {
        let ratio = recipe.between(0.1, 0.4);
        let wrap = recipe.between(195.0, 270.0);
        let pad = recipe.between(10.0, 35.0);
        let mu = recipe.between(0.0, 0.5);
        let barrel = recipe.between(0.99, 1.06);
        let scale = recipe.between(2.0, 20.0);
        let clip = Clip::round(scale, ratio * scale, 0.5 * wrap.to_radians(), pad.to_radians());
        let Ok(clip) = clip else { continue };
        let start = Instant::now();
        let snap = simulate(
            &clip,
            &Rigid::round(barrel * scale),
            Friction { coefficient: mu },
            Stiffness::plane_strain(2000.0, 0.38),
            &Settings::default(),
        );
        seconds.push(start.elapsed().as_secs_f64());
        let word = match snap.outcome {
            Outcome::Snaps => "snaps",
            Outcome::PushedHome => "pushed home",
            Outcome::Passes => "passes",
            Outcome::Locks { .. } => "locks",
            Outcome::OverStrained { .. } => "over-strained",
            Outcome::Jams { .. } => "jams",
        };
        *outcomes.entry(word).or_default() += 1;
        if snap.jams_on_the_way_out {
            *outcomes.entry("jams on the way out").or_default() += 1;
        }
        if word == "jams" || snap.jams_on_the_way_out || seconds.last().is_some_and(|s| *s > 0.03) {
            println!(
                "{index}: {:?} out {} in {:.1} ms: t/R {ratio:.3} wrap {wrap:.1} pad {pad:.1} mu {mu:.2} barrel {barrel:.4} R {scale:.2} points {} {}",
                snap.outcome,
                snap.jams_on_the_way_out,
                1e3 * seconds.last().unwrap_or(&0.0),
                snap.insertion.len(),
                snap.removal.len()
            );
        }
    }
    seconds.sort_by(f64::total_cmp);
    let at = |share: (usize, usize)| {
        seconds.get(seconds.len() * share.0 / share.1).or(seconds.last()).map_or(0.0, |s| 1e3 * s)
    };
    println!("{outcomes:?}");
    println!("median {:.2} ms, 90 % {:.2} ms, greatest {:.2} ms", at((1, 2)), at((9, 10)), at((1, 1)));
}
