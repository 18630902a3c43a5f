//! Coupons matched to the stiffness of the cast part.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::fs;

use gripwright_input::{CouponMatch, MaterialLibrary, Spec, WideRange, read_spec};
use gripwright_section::{Curve, Role};
use gripwright_sizing::{Coupon, Design, Problem, Sizer, StiffnessMatch, TriedCoupons, remaining_coupons, size};

/// Two invented materials without ranges and alike in all but the modulus, so that figures compare one to one.
const INVENTED: &str = r#"
[stiff]
title = "Stiff"
modulus = { least = 2300, greatest = 2300, source = "invented for a test" }
poisson = { value = 0.38, source = "invented for a test" }
strain_single = { value = 0.028, source = "invented for a test" }
strain_repeated = { value = 0.0168, source = "invented for a test" }
friction = { least = 0.3, greatest = 0.3, source = "invented for a test" }
density = { value = 1.2, source = "invented for a test" }

[soft]
title = "Soft"
modulus = { least = 1500, greatest = 1500, source = "invented for a test" }
poisson = { value = 0.38, source = "invented for a test" }
strain_single = { value = 0.028, source = "invented for a test" }
strain_repeated = { value = 0.0168, source = "invented for a test" }
friction = { least = 0.3, greatest = 0.3, source = "invented for a test" }
density = { value = 1.1, source = "invented for a test" }

[very-stiff]
title = "Very stiff"
modulus = { least = 60000, greatest = 60000, source = "invented for a test" }
poisson = { value = 0.38, source = "invented for a test" }
strain_single = { value = 0.028, source = "invented for a test" }
strain_repeated = { value = 0.0168, source = "invented for a test" }
friction = { least = 0.3, greatest = 0.3, source = "invented for a test" }
density = { value = 1.1, source = "invented for a test" }

[very-soft]
title = "Very soft"
modulus = { least = 30, greatest = 30, source = "invented for a test" }
poisson = { value = 0.38, source = "invented for a test" }
strain_single = { value = 0.028, source = "invented for a test" }
strain_repeated = { value = 0.0168, source = "invented for a test" }
friction = { least = 0.3, greatest = 0.3, source = "invented for a test" }
density = { value = 1.1, source = "invented for a test" }
"#;

/// A demo in other materials.
fn spec(demo: &str, print: &str, cast: Option<&str>, matching: &str) -> Spec {
    let text = fs::read_to_string(format!("../../demo-specs/{demo}.toml")).unwrap();
    let replaced = ["print =", "final =", "[coupons]"];
    // The mould comes last in a demo. Without a casting there is none.
    let text = text.split("\n[casting]").next().unwrap();
    let kept: Vec<&str> = text.lines().filter(|line| !replaced.iter().any(|start| line.starts_with(start))).collect();
    let cast = cast.map_or(String::new(), |cast| format!("final = \"{cast}\"\n"));
    let text = kept.join("\n").replace("load_path = \"limit\"", "load_path = \"report\"");
    let text = text.replace("[material]", &format!("[material]\nprint = \"{print}\"\n{cast}"));
    let text = format!("{text}\n[coupons]\nmatch = \"{matching}\"\n");
    let library = MaterialLibrary::built_in().extended(INVENTED.as_bytes(), "invented.toml").unwrap();
    read_spec(&text, "spec.toml", &library).unwrap().spec
}

fn sized(spec: &Spec) -> Design {
    size(spec).unwrap_or_else(|problems| panic!("{problems:#?}"))
}

/// Pushes and pulls of every coupon, N, at the upper corner: the lower one counts softening at strain, which differs.
fn forces(spec: &Spec, design: &Design) -> Vec<(String, f64, f64)> {
    let tried = Sizer::new().coupon_loads(spec, design);
    tried.into_iter().map(|t| (t.identity, t.push_n.unwrap().greatest, t.pull_n.unwrap().greatest)).collect()
}

/// The table of `check` needs no comparison at every step; nothing else may change without it.
#[test]
fn a_design_without_steps_differs_in_that_alone() {
    let spec = spec("dispensing-arm", "stiff", Some("soft"), "stiffness");
    let (mut design, without) = (sized(&spec), Sizer::without_steps().size(&spec).unwrap());
    assert!(!design.coupons.matches.is_empty());
    for found in &mut design.coupons.matches {
        assert!(found.steps_off.take().is_some(), "{found:?}");
    }
    assert_eq!(design, without);
}

/// The slices of the soft part, printed in it, are what the matched ones in the stiff material have to feel like. The
/// two ways to the figures share the solver alone.
#[test]
fn matched_slices_push_and_pull_like_slices_of_the_part() {
    let matched = spec("dispensing-arm", "stiff", Some("soft"), "stiffness");
    let plain = spec("dispensing-arm", "stiff", Some("soft"), "shape");
    let of_part = spec("dispensing-arm", "soft", None, "shape");
    let (design, unmatched) = (sized(&matched), sized(&plain));
    let wanted = forces(&of_part, &unmatched);
    // The greatest force of each size at its designed seat, and of the mount.
    let strongest = |letter: &str| -> f64 {
        let of = wanted.iter().filter(|(identity, ..)| identity.starts_with(letter) && identity.ends_with("+0.0"));
        of.map(|(_, push, pull)| push.max(*pull)).fold(0.0, f64::max)
    };
    for ((w, found), plain) in wanted.iter().zip(forces(&matched, &design)).zip(forces(&plain, &unmatched)) {
        assert_eq!(w.0, found.0);
        let greatest = strongest(&w.0[..1]);
        let tolerance = if w.0.starts_with('M') { 0.06 } else { 0.02 };
        for (wanted, found, plain) in [(w.1, found.1, plain.1), (w.2, found.2, plain.2)] {
            assert!((found - wanted).abs() < tolerance * greatest, "{}: {found} N where {wanted} N is wanted", w.0);
            assert!(plain > 1.4 * wanted, "{}: of the same shape, the print is half as stiff again", w.0);
        }
    }
    assert_eq!(design.coupons.matches.len(), design.sizes.len() + 1);
    for m in &design.coupons.matches {
        assert!(m.peaks_off < 0.04 && m.steps_off.unwrap() < 0.05, "{m:?}");
        assert!((m.cube_root - (1500.0_f64 / 2300.0).cbrt()).abs() < 1e-12, "{m:?}");
        // The cube root alone leaves the slices too stiff: their lips are smaller and meet the barrel earlier.
        assert!(m.peaks_off_cube_root.unwrap() > 3.0 * m.peaks_off && m.scale < m.cube_root, "{m:?}");
        assert!([m.over_ranges.least, m.over_ranges.greatest].iter().all(|over| (over - 1.0).abs() < 1e-12), "{m:?}");
        for (part, slice) in m.part_walls_mm.iter().zip(m.slice_walls_mm) {
            assert!((slice - m.scale * part).abs() <= 0.005 + 1e-9, "{m:?}");
        }
    }
    inner_faces_are_the_same(&design, &unmatched);
    assert!(unmatched.coupons.matches.is_empty());
    // The part itself is the same, whatever its coupons are.
    assert_eq!(design.holders, unmatched.holders);
}

fn inner_faces_are_the_same(matched: &Design, plain: &Design) {
    let seat = |coupon: &Coupon| -> Vec<Curve> {
        coupon.outline.segments().iter().filter(|s| s.role == Role::Seat).map(|s| s.curve).collect()
    };
    for (a, b) in matched.coupons.coupons.iter().zip(&plain.coupons.coupons) {
        assert_eq!((&a.identity, seat(a)), (&b.identity, seat(b)));
        assert!(a.outline.area_mm2() < b.outline.area_mm2(), "{}", a.identity);
    }
}

/// Walls become thicker where the print is the softer one, on vees as on round clips.
#[test]
fn a_softer_print_takes_thicker_walls_on_a_vee() {
    let mut spec = spec("marker-rail", "pp", Some("petg"), "stiffness");
    spec.fit.wide_range = WideRange::Vee;
    let design = sized(&spec);
    assert!(design.sizes.iter().any(|size| size.clip.vee().is_some()), "the demo is there for its vee");
    for m in &design.coupons.matches {
        assert!(m.scale > m.cube_root && m.cube_root > 1.0 && m.peaks_off < 0.05, "{m:?}");
        assert!(m.over_ranges.least < 1.0 && m.over_ranges.greatest > 1.0, "{m:?}");
    }
}

#[test]
fn the_same_material_needs_no_other_wall() {
    let matched = spec("marker-rail", "petg", Some("petg"), "stiffness");
    for StiffnessMatch { scale, part_walls_mm, slice_walls_mm, curves_off, .. } in sized(&matched).coupons.matches {
        assert!((scale - 1.0).abs() < 1e-9 && curves_off < 1e-9);
        assert!(part_walls_mm.iter().zip(slice_walls_mm).all(|(part, slice)| (part - slice).abs() < 1e-12));
    }
}

#[test]
fn walls_that_do_not_print_are_refused() {
    let refused = |demo: &str, print: &str, cast: &str| -> Vec<Problem> {
        size(&spec(demo, print, Some(cast), "stiffness")).unwrap_err()
    };
    let thin = refused("seatpost-lamps", "very-stiff", "pu-rigid");
    assert!(thin.iter().all(|p| p.at == "coupons.match" && p.code == "no-matched-wall"), "{thin:?}");
    assert!(thin[0].message.contains("thinner than the"), "{thin:?}");
    let thick = refused("dispensing-arm", "very-soft", "pu-rigid");
    assert!(thick.iter().all(|p| p.code == "no-matched-wall" && p.message.contains("% of its forces")), "{thick:?}");
    assert!(thick[0].hint.as_ref().is_some_and(|hint| hint.contains("match = \"shape\"")), "{thick:?}");
}

/// What no material bears is left out; what one of them bears is proposed.
#[test]
fn print_materials_are_surveyed_for_coupons_that_the_print_does_not_bear() {
    let spec = spec("dispensing-arm", "pla", Some("pu-abs-like"), "stiffness");
    let (sizer, library) = (Sizer::new(), MaterialLibrary::built_in());
    let design = sizer.size(&spec).unwrap();
    let loads = sizer.coupon_loads(&spec, &design);
    let over: Vec<&str> = loads.iter().filter(|l| l.over_strained()).map(|l| l.identity.as_str()).collect();
    assert!(!over.is_empty() && over.len() < loads.len(), "{over:?}");
    let tried = TriedCoupons { set: &design.coupons, loads: &loads };
    let none = sizer.survey_prints(&spec, &design, tried, &[]);
    assert_eq!((none.unbearable.len(), &none.proposal), (over.len(), &None));
    let left = remaining_coupons(&spec, design.coupons.clone(), &none.unbearable).unwrap();
    assert!(left.coupons.iter().all(|coupon| !over.contains(&coupon.identity.as_str())));
    let placed: usize = left.plates.iter().map(|plate| plate.items.len()).sum();
    assert_eq!((left.coupons.len(), placed), (loads.len() - over.len(), loads.len() - over.len()));
    let [petg, tpu] = ["petg", "tpu-95a"].map(|key| library.get(key).unwrap());
    let found = sizer.survey_prints(&spec, &design, tried, &[petg, tpu]);
    assert!(found.unbearable.is_empty(), "{found:?}");
    let proposal = found.proposal.unwrap();
    assert_eq!((proposal.key.as_str(), proposal.bears, proposal.also.as_slice()), ("petg", loads.len(), &[][..]));
}

/// A match that is wished by default gives way to the shape; one that is demanded is refused.
#[test]
fn a_default_match_that_no_wall_makes_leaves_the_shape() {
    let mut spec = spec("dispensing-arm", "very-soft", Some("pu-rigid"), "shape");
    let shapes = sized(&spec).coupons;
    spec.coupons.matching = CouponMatch::StiffnessIfPossible;
    let wished = sized(&spec);
    assert_eq!((&wished.coupons.coupons, wished.coupons.matches.len()), (&shapes.coupons, 0));
    assert!(
        wished.coupons.unmatched.iter().all(|why| why.contains("% of its forces")),
        "{:?}",
        wished.coupons.unmatched
    );
    assert!(wished.notes.iter().any(|note| note.contains("Coupons have the shape of the part where no wall")));
}
