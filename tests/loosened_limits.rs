//! Loosened limits: what serves at a limit must serve at every looser one.
//!
//! `GRIPWRIGHT_LOOSENED=300` sets the number of specs; by default a sample is made.

use gripwright_input::{MaterialLibrary, Spec, read_spec};
use gripwright_sizing::Sizer;
use gripwright_tests::random_spec;

/// Default number of specs.
const SAMPLE: u64 = 4;
/// Steps of each limit, from the tightest to the loosest.
const STEPS: i32 = 10;
/// Factor between the tightest and the loosest step.
const RANGE: f64 = 16.0;

/// A limit with what loosens it by a factor.
type Limit = (&'static str, fn(&mut Spec, f64));
const LIMITS: [Limit; 8] = [
    ("snap_on", |spec, f| spec.fit.snap_on_at_most_n *= f),
    ("safety", |spec, f| spec.fit.hold_safety = (spec.fit.hold_safety * 2.0 / f).max(1.0)),
    ("along", |spec, f| spec.tools.iter_mut().for_each(|tool| tool.load_along_n *= 2.0 / f)),
    ("across", |spec, f| spec.tools.iter_mut().for_each(|tool| tool.load_across_n *= 2.0 / f)),
    ("mass", |spec, f| spec.tools.iter_mut().for_each(|tool| tool.mass_kg *= 2.0 / f)),
    ("aim", |spec, f| spec.layout.aim.iter_mut().for_each(|aim| aim.within_mm *= f)),
    ("sway", |spec, f| spec.layout.sway_at_most_mm.iter_mut().for_each(|mm| *mm *= f)),
    ("bed", |spec, f| spec.printer.bed_mm = [60.0 * f, 60.0 * f]),
];

/// A random spec; every other one limits the load path, some the aim or the stiffness.
fn limited_spec(seed: u64) -> String {
    let mut text = random_spec(seed);
    if seed % 2 == 1 {
        text = text.replace("load_path = \"report\"", "load_path = \"limit\"");
    }
    if seed % 3 == 1 {
        text = text.replace("[layout]\n", "[layout]\naim = { ahead = 20, within = 1.0 }\n");
    }
    if seed % 5 == 2 {
        text = text.replace("[layout]\n", "[layout]\nsway = { at_most = 0.3 }\n");
    }
    text
}

/// A spec whose limits are loosened.
fn spec_of(text: &str) -> Spec {
    let loaded = read_spec(text, "random.toml", &MaterialLibrary::built_in());
    loaded.unwrap_or_else(|problems| panic!("no valid spec: {}\n{text}", problems[0])).spec
}

/// Steps of a limit at which a spec is refused although a tighter step serves, each with the reason.
fn refused_above(spec: &Spec, (name, loosen): Limit, sizer: &Sizer) -> Vec<String> {
    let (mut serves_at, mut found) = (None, Vec::new());
    let mut before: Option<Spec> = None;
    for step in 0..STEPS {
        let factor = RANGE.powf(f64::from(step) / f64::from(STEPS - 1) - 0.5);
        let mut changed = spec.clone();
        loosen(&mut changed, factor);
        if before.as_ref() == Some(&changed) {
            continue;
        }
        if sizer.has_design(&changed) {
            serves_at = serves_at.or(Some(factor));
        } else if let Some(at) = serves_at {
            let reason = sizer.size(&changed).map_or_else(|problems| problems[0].to_string(), |_| "none".to_owned());
            found.push(format!("{name} × {factor:.3}, served at × {at:.3}: {reason}"));
        }
        before = Some(changed);
    }
    found
}

#[test]
fn what_serves_at_a_limit_serves_at_every_looser_one() {
    let count = std::env::var("GRIPWRIGHT_LOOSENED").map_or(SAMPLE, |n| n.parse().expect("a number of specs"));
    let first = std::env::var("GRIPWRIGHT_LOOSENED_FROM").map_or(0, |n| n.parse().expect("a seed"));
    let mut found = Vec::new();
    for seed in first..first + count {
        let start = std::time::Instant::now();
        let spec = spec_of(&limited_spec(seed));
        let sizer = Sizer::without_steps();
        for limit in LIMITS {
            for refusal in refused_above(&spec, limit, &sizer) {
                println!("seed {seed}: {refusal}");
                found.push(format!("seed {seed}: {refusal}"));
            }
        }
        println!("seed {seed} {}", start.elapsed().as_secs_f64());
    }
    assert!(found.is_empty(), "{} refusals above a limit that serves:\n{}", found.len(), found.join("\n"));
}
