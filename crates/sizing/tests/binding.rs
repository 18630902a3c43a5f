//! Every limit of the spec, made as tight as a demo bears, becomes one that binds, and is named.

use gripwright_input::{Aim, LoadPath, MaterialLibrary, Spec, Uses, read_spec};
use gripwright_sizing::{Design, Limit, size};

const SEATPOST_LAMPS: &str = include_str!("../../../demo-specs/seatpost-lamps.toml");

/// The demo with one tool, which makes the searches short.
fn demo() -> Spec {
    let mut spec =
        read_spec(SEATPOST_LAMPS, "demo.toml", &MaterialLibrary::built_in()).expect("the demo is sound").spec;
    spec.tools.truncate(1);
    // The limits of the load path bind first otherwise.
    spec.fit.load_path = LoadPath::Report;
    spec
}

/// The tightest setting between 0 (as given) and 1 that still has a design, to a thirtieth, and that design.
fn tightest(tighten: &dyn Fn(&mut Spec, f64)) -> (f64, Design) {
    let at = |share: f64| {
        let mut spec = demo();
        tighten(&mut spec, share);
        size(&spec).ok()
    };
    assert!(at(1.0).is_none(), "the tightest setting must be impossible");
    let (mut works, mut fails) = (0.0, 1.0);
    let mut best = at(0.0).expect("the demo has a design");
    while fails - works > 1.0 / 30.0 {
        let middle = 0.5 * (works + fails);
        match at(middle) {
            Some(design) => (works, best) = (middle, design),
            None => fails = middle,
        }
    }
    (works, best)
}

fn named(design: &Design) -> Vec<Limit> {
    design.sizes.iter().flat_map(|s| s.active_limits.clone()).chain(design.mount.active_limits.clone()).collect()
}

#[test]
fn every_limit_made_tight_is_named() {
    type Tighten = &'static dyn Fn(&mut Spec, f64);
    let cases: [(&str, Limit, Tighten); 7] = [
        ("snap-on force", Limit::SnapOn, &|s, t| s.fit.snap_on_at_most_n *= 1.0 - 0.97 * t),
        ("load across", Limit::HoldAcross, &|s, t| s.tools[0].load_across_n += 60.0 * t),
        ("load along", Limit::HoldAlong, &|s, t| s.tools[0].load_along_n += 40.0 * t),
        ("strain of repeated use", Limit::Strain, &|s, t| s.material.print.strain_repeated *= 1.0 - 0.97 * t),
        ("strain of single use", Limit::Strain, &|s, t| {
            s.fit.uses = Uses::Single;
            s.material.print.strain_single *= 1.0 - 0.97 * t;
        }),
        ("aim", Limit::Aim, &|s, t| {
            s.layout.aim = Some(Aim { ahead_mm: 20.0, within_mm: 3.0 * (1.0 - 0.99 * t) });
        }),
        ("thinnest printed wall", Limit::Wall, &|s, t| s.printer.least_wall_mm += 6.0 * t),
    ];
    for (what, limit, tighten) in cases {
        let (share, design) = tightest(tighten);
        let binds = named(&design);
        assert!(share > 0.0, "{what} cannot be tightened at all");
        assert!(binds.contains(&limit), "{what} at {share:.2}: {binds:?}");
    }
}

/// The thinnest wall that a mould fills binds a casting as the printer's binds a print.
#[test]
fn a_mould_that_fills_thick_walls_alone_is_named() {
    let (share, design) = tightest(&|s, t| {
        s.material.cast = Some(s.material.print.clone());
        s.mould.least_wall_mm = 0.8 + 6.0 * t;
    });
    assert!(share > 0.0 && named(&design).contains(&Limit::Wall), "{share}: {:?}", named(&design));
}

/// With limits as given, none of those that are far away is named.
#[test]
fn a_limit_that_is_far_away_is_not_named() {
    let mut spec = demo();
    spec.layout.aim = Some(Aim { ahead_mm: 0.0, within_mm: 50.0 });
    spec.fit.snap_on_at_most_n = 1000.0;
    let binds = named(&size(&spec).expect("looser limits leave a design"));
    assert!(!binds.contains(&Limit::Aim) && !binds.contains(&Limit::SnapOn), "{binds:?}");
}
