//! Loosened limits: what serves at a limit must serve at every looser one.
//!
//! `GRIPWRIGHT_LOOSENED=300` sets the number of specs; by default a sample is made.

use gripwright_input::{MaterialLibrary, Spec, read_spec};
use gripwright_sizing::{Calibrated, CalibratedSeat, Design, Sizer};
use gripwright_tests::random_spec;

/// Default number of specs.
const SAMPLE: u64 = 1;
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
        let spec = spec_of(&limited_spec(seed));
        let sizer = Sizer::without_steps();
        for limit in LIMITS {
            for refusal in refused_above(&spec, limit, &sizer) {
                found.push(format!("seed {seed}: {refusal}"));
            }
        }
    }
    assert!(found.is_empty(), "{} refusals above a limit that serves:\n{}", found.len(), found.join("\n"));
}

/// Limits of random specs that once refused a looser step than one that served: by the search for the mount, by the aim with what
/// moves under load, and by the stiffness.
#[test]
fn limits_that_once_refused_a_looser_step() {
    for (seed, name) in [(3, "safety"), (9, "safety"), (9, "along"), (1, "along"), (10, "snap_on"), (12, "safety")] {
        let limit = LIMITS.into_iter().find(|(of, _)| *of == name);
        let limit = limit.unwrap_or_else(|| panic!("no limit {name}"));
        let refused = refused_above(&spec_of(&limited_spec(seed)), limit, &Sizer::without_steps());
        assert!(refused.is_empty(), "seed {seed}: {refused:?}");
    }
}

/// Coupons are slices of the parts that `make` draws, also where the search aimed at tighter limits than those of the spec.
#[test]
fn trials_keep_the_parts_that_were_tried() {
    let mut spec = spec_of(&limited_spec(1));
    LIMITS
        .into_iter()
        .filter(|(name, _)| *name == "along")
        .for_each(|(_, loosen)| loosen(&mut spec, RANGE.powf(1.0 / 6.0)));
    let sizer = Sizer::without_steps();
    let untried = sizer.size(&spec).unwrap_or_else(|problems| panic!("{}", problems[0]));
    let seat = |letter, seat_mm| CalibratedSeat { letter, seat_mm, draw_mm: 0.0, target_mm: 0.0 };
    let sizes = untried.sizes.iter().map(|size| seat(size.letter, 2.0 * size.seat_radius_mm)).collect();
    let calibrated = sizer.size_calibrated(&spec, &Calibrated { spec: spec.clone(), sizes });
    let calibrated = calibrated.unwrap_or_else(|problems| panic!("{}", problems[0]));
    let clips = |design: &Design| design.sizes.iter().map(|size| (size.clip, size.length_mm)).collect::<Vec<_>>();
    assert_eq!(clips(&calibrated), clips(&untried));
    assert_eq!(calibrated.mount.mount, untried.mount.mount);
    assert!(calibrated.notes.iter().all(|note| !note.contains("sized anew")), "{:?}", calibrated.notes);
}

/// Two invented holders that were once refused at a push above one that served.
#[test]
fn a_greater_push_refuses_no_holder() {
    let rounded = "[holder]\nname = \"rounded\"\n\n[body]\nprofile = { shape = \"rounded-rectangle\", width = 28.9, height = 17.7, \
                   corner = 5.5 }\nmount_length = 20\nopens = \"down\"\n\n[[tools]]\nname = \"thin\"\ndiameter = { min = 10.9, max = \
                   11.0 }\nmass = \"15 g\"\nworking_load = { along = \"2 N\", across = \"1.5 N\" }\n\n[layout]\noffset = 50\n\n[fit]\nload_path = \"report\"\n\
                   snap_on = { at_most = \"PUSH N\" }\nhold = { safety = 1.5 }\n\n[material]\nprint = \"pa12\"\n";
    let arm = "[holder]\nname = \"arm\"\n\n[body]\nprofile = { shape = \"rounded-rectangle\", width = 24, height = 16, corner = 3 }\n\
               mount_length = 20\nopens = \"down\"\n\n[[tools]]\nname = \"thin\"\ndiameter = { min = 10.9, max = 11.0 }\nmass = \
               \"15 g\"\nworking_load = { along = \"1 N\", across = \"1 N\" }\n\n[layout]\noffset = 20.5\n\n[fit]\nload_path = \"report\"\n\
               snap_on = { at_most = \"PUSH N\" }\nhold = { safety = 1.5 }\n\n[material]\nprint = \"petg\"\n";
    for text in [rounded, arm] {
        let sizer = Sizer::without_steps();
        let served = [30, 40, 50, 60, 70, 90, 120].map(|push| {
            let spec = spec_of(&text.replace("PUSH", &push.to_string()));
            (push, sizer.size(&spec).err().map(|problems| problems[0].to_string()))
        });
        let first = served.iter().position(|(_, refusal)| refusal.is_none());
        let first = first.unwrap_or_else(|| panic!("refused at every push: {served:?}"));
        let refused: Vec<_> = served[first..].iter().filter(|(_, refusal)| refusal.is_some()).collect();
        assert!(refused.is_empty(), "{refused:?}");
    }
}
