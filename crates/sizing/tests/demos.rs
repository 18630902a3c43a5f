//! The demo specs have designs that keep every limit.

use gripwright_input::{MaterialLibrary, Spec, read_spec};
use gripwright_sizing::{CouponKind, Design, size};

fn spec(text: &str) -> Spec {
    read_spec(text, "demo.toml", &MaterialLibrary::built_in()).expect("demo specs are sound").spec
}

fn design(spec: &Spec) -> Design {
    size(spec).expect("demo specs have designs")
}

const DISPENSING_ARM: &str = include_str!("../../../demo-specs/dispensing-arm.toml");
const SEATPOST_LAMPS: &str = include_str!("../../../demo-specs/seatpost-lamps.toml");
const ROUND_CELLS: &str = include_str!("../../../demo-specs/round-cells.toml");

#[test]
fn every_demo_keeps_every_limit() {
    for text in [DISPENSING_ARM, SEATPOST_LAMPS, ROUND_CELLS] {
        let spec = spec(text);
        let found = design(&spec);
        assert_eq!(found.fit.len(), 2 * spec.tools.len());
        for row in &found.fit {
            assert!(row.figures.margin.is_kept(), "{row:?}");
            assert!(row.figures.interference_mm > 0.0 && row.figures.grip_n.least > 0.0, "{row:?}");
            assert!(row.figures.snap_in_n.greatest <= row.figures.snap_in_limit_n, "{row:?}");
            assert!(row.figures.strain <= row.figures.strain_limit, "{row:?}");
            assert!(row.figures.axial_hold_n.least >= row.figures.along_needed_n, "{row:?}");
            assert!(row.figures.pull_out_n.least >= row.figures.across_needed_n, "{row:?}");
        }
        assert!(found.mount_fit.margin.is_kept());
        assert_eq!(found.holders.len(), found.sizes.len());
        let mut served: Vec<usize> = found.sizes.iter().flat_map(|s| s.tools.clone()).collect();
        served.sort_unstable();
        assert!(served.iter().copied().eq(0..spec.tools.len()), "every tool has one size: {served:?}");
    }
}

/// Barrel ranges of R03, R6, R14, R20: Linden's Handbook of Batteries, Table 4.9a, p. 4.11, after IEC 60086-2. At the
/// least diameter the clip grips; at the greatest its strain stays below 0.6 of what a single snapping may take.
#[test]
fn round_cells_are_gripped_over_their_published_ranges() {
    let spec = spec(ROUND_CELLS);
    let found = design(&spec);
    let published = [("R03", 9.5, 10.5), ("R6", 13.5, 14.5), ("R14", 24.9, 26.2), ("R20", 32.3, 34.2)];
    for (name, least, greatest) in published {
        let rows: Vec<_> = found.fit.iter().filter(|r| r.tool_name == name).collect();
        assert_eq!(rows.len(), 2, "{name}");
        assert!((rows[0].diameter_mm - least).abs() < 1e-9 && !rows[0].greatest);
        assert!((rows[1].diameter_mm - greatest).abs() < 1e-9 && rows[1].greatest);
        assert!(rows[0].figures.grip_n.least > 0.0, "{name}");
        assert!(rows[1].figures.strain <= 0.6 * spec.material.part_material().strain_single, "{name}");
    }
}

#[test]
fn coupons_are_cut_from_the_product() {
    let spec = spec(SEATPOST_LAMPS);
    let found = design(&spec);
    let set = &found.coupons;
    let expected = found.sizes.len() * spec.coupons.clip_steps_mm.len() + spec.coupons.mount_steps_mm.len();
    assert_eq!(set.coupons.len(), expected);
    let mut identities: Vec<&str> = set.coupons.iter().map(|c| c.identity.as_str()).collect();
    identities.sort_unstable();
    identities.dedup();
    assert_eq!(identities.len(), expected, "identities are unique");
    for coupon in &set.coupons {
        assert!(coupon.outline.self_contact().is_none(), "{}", coupon.identity);
        let bounds = coupon.outline.bounds();
        let label = &coupon.label;
        assert!(label.origin.x > bounds.min.x && label.origin.x + label.room_mm < bounds.max.x);
        assert!(label.origin.y > bounds.min.y);
        if coupon.kind == CouponKind::Clip {
            let size = found.sizes.iter().find(|s| s.letter == coupon.letter).expect("its size exists");
            assert!((coupon.seat_mm - 2.0 * size.seat_radius_mm - coupon.step_mm).abs() < 1e-12);
        }
    }
    let placed: usize = set.plates.iter().map(|p| p.items.len()).sum();
    assert_eq!(placed, expected);
}

#[test]
fn the_same_spec_gives_the_same_design() {
    let spec = spec(DISPENSING_ARM);
    assert_eq!(size(&spec), size(&spec));
}

/// Problems are found, placed and given a way out.
#[test]
fn impossible_specs_say_what_binds() {
    let check = |change: &dyn Fn(&mut Spec), at: &str, code: &str| {
        let mut changed = spec(DISPENSING_ARM);
        change(&mut changed);
        let problems = size(&changed).expect_err(code);
        let found = problems.iter().find(|p| p.code == code);
        let found = found.unwrap_or_else(|| panic!("{code} is missing: {problems:#?}"));
        assert_eq!(found.at, at);
        assert!(found.hint.is_some(), "{found:?}");
    };
    check(&|s| s.layout.offset_mm = 15.0, "layout.offset", "offset-too-small");
    check(&|s| s.printer.least_wall_mm = 5.0, "printer.least_wall", "wall-too-thin");
    check(&|s| s.finish.draft_rad = 0.14, "finish.draft", "draft-eats-wall");
    check(&|s| s.tools[1].load_along_n = 500.0, "tools[1].diameter", "no-size");
    check(&|s| s.tools[2].load_along_n = 500.0, "body.profile", "mount-no-fit");
    check(&|s| s.printer.bed_mm = [30.0, 30.0], "printer.bed", "bed-too-small");
}

#[test]
fn the_values_named_as_allowed_work() {
    let mut close = spec(DISPENSING_ARM);
    close.layout.offset_mm = 15.0;
    let problems = size(&close).expect_err("mount and clip collide");
    let least: f64 = problems
        .iter()
        .filter_map(|p| p.hint.as_deref()?.split("`offset = \"").nth(1)?.split(" mm").next()?.parse().ok())
        .fold(0.0, f64::max);
    close.layout.offset_mm = least;
    assert_eq!(size(&close).map(|_| ()), Ok(()), "{least} mm");
}

/// A round body makes a mount that is a round clip: both say the same mouth.
#[test]
fn mount_on_a_round_body_has_the_mouth_of_a_round_clip() {
    let found = design(&spec(SEATPOST_LAMPS));
    let mount = &found.mount.mount;
    let lip = 0.5 * mount.wall_mm;
    let centre = (0.5 * 29.2 + mount.gap_mm + lip) * mount.half_wrap_rad.sin();
    let mouth = mount.mouth_mm().expect("the mount of a design can be drawn");
    assert!((mouth - 2.0 * (centre - lip)).abs() < 1e-9, "{mouth}");
}

#[test]
fn one_thread_and_seven_make_the_same_design() {
    let spec = spec(ROUND_CELLS);
    let designs = [1, 7, 2].map(|threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads start");
        pool.install(|| design(&spec))
    });
    assert!(designs[0] == designs[1] && designs[1] == designs[2]);
}
