//! Random asymmetric convex bodies, traced: what `check` accepts, `make` makes.
//!
//! `GRIPWRIGHT_ASYMMETRIC_BODIES=1000` takes as many bodies; by default a sample is made.

use std::collections::BTreeMap;

use gripwright::{Outputs, Project};
use gripwright_tests::{DRAWING, random_body};

/// Bodies of the sample.
const SAMPLE: u64 = 40;

/// A body outside of the sample whose lip once reached below the pad.
const LOW_LIP: u64 = 203;

/// Outcome of one body.
enum Outcome {
    Refused,
    Made,
    Failed(String),
}

fn outcome(seed: u64) -> Outcome {
    let (text, drawing) = random_body(seed);
    let files = BTreeMap::from([(DRAWING.to_owned(), drawing)]);
    let Ok(project) = Project::read(text.as_bytes(), "body.toml", &files) else { return Outcome::Refused };
    let Ok(design) = project.design() else { return Outcome::Refused };
    let made = design.with_bearable_coupons().map_err(|e| format!("coupons: {e:?}"));
    let made = made.and_then(|design| design.parts(Outputs::Everything).map_err(|e| e.to_string()));
    made.map_or_else(|reason| Outcome::Failed(format!("seed {seed}: {reason}")), |_| Outcome::Made)
}

#[test]
fn what_is_accepted_is_made() {
    let bodies =
        std::env::var("GRIPWRIGHT_ASYMMETRIC_BODIES").map_or(SAMPLE, |n| n.parse().expect("a number of bodies"));
    let (mut made, mut failed) = (0, Vec::new());
    for seed in (0..bodies).chain([LOW_LIP]) {
        match outcome(seed) {
            Outcome::Refused => {}
            Outcome::Made => made += 1,
            Outcome::Failed(reason) => failed.push(reason),
        }
    }
    assert!(
        failed.is_empty(),
        "{} of {bodies} are accepted and not made, {made} made:\n{}",
        failed.len(),
        failed.join("\n")
    );
    assert!(2 * made >= bodies, "only {made} of {bodies} bodies have a design");
}
