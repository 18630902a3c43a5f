//! Random parts with fixed seeds: every solid is valid and watertight, and its mesh has the calculated volume.

mod common;

use common::{assert_second_mesh_agrees, mesh_faults};
use gripwright_section::{
    ClipBack, LeadIn, Mount, Outline, Point, RoundClip, circle, ellipse, flatted_circle, rounded_rectangle,
};
use gripwright_solid::{
    Cap, CheckLimits, GripDraft, HolderError, Lettering, Pocket, PrismError, PrismSpec, Solid, check, holder,
    least_offset_mm, lettering, mass_properties, prism, triangulate,
};
use proptest::{
    prelude::*,
    test_runner::{Config, RngSeed},
};

/// Parts with walls thinner than this (mm) are not meshed.
const THIN_MM: f64 = 0.1;

fn fixed_seed(cases: u32) -> Config {
    Config { cases, rng_seed: RngSeed::Fixed(0x5011d), failure_persistence: None, ..Config::default() }
}

/// Checks that there is no defect, the mesh is watertight, and its volume matches the exact one within area × tolerance.
fn assert_valid(solid: &Solid) -> Result<(), TestCaseError> {
    prop_assert_eq!(check(solid, &CheckLimits::default()), vec![]);
    // The chords of the two sides of a wall thinner than the tolerance may cross. Such a part cannot be printed.
    if !check(solid, &CheckLimits::wall(THIN_MM)).is_empty() {
        return Ok(());
    }
    let exact = mass_properties(solid.brep()).expect("all its faces can be integrated");
    for tolerance in [0.03, 0.01] {
        let mesh = triangulate(solid.brep(), tolerance).expect("all its faces can be cut");
        prop_assert_eq!(mesh_faults(&mesh), Vec::<String>::new());
        let off = (mesh.volume_mm3() - exact.volume_mm3).abs();
        prop_assert!(off <= exact.area_mm2 * tolerance, "{off} mm³ at {tolerance} mm");
        if tolerance > 0.02 {
            assert_second_mesh_agrees(solid, &mesh, tolerance);
        }
    }
    Ok(())
}

fn tab(half_width_mm: f64, length_mm: f64) -> ClipBack {
    ClipBack::Tab { neck_half_width_mm: 2.5, depth_mm: 1.5, fillet_mm: 1.0, half_width_mm, length_mm }
}

const PAD: ClipBack = ClipBack::Pad { half_width_mm: 2.5, depth_mm: 1.5, fillet_mm: 1.0 };

/// Plain lips and lips with a lead-in.
fn lips() -> impl Strategy<Value = Option<LeadIn>> {
    let flare = (3.2..6.0f64, 0.2..0.7f64).prop_map(|(radius_mm, angle_rad)| LeadIn { radius_mm, angle_rad });
    prop_oneof![Just(None), flare.prop_map(Some)]
}

fn clips(back: ClipBack) -> impl Strategy<Value = Outline> {
    let sizes = (4.0..15.0f64, 1.4..3.0f64, 0.6..1.0f64, 1.7..2.3f64);
    (sizes, lips()).prop_filter_map("no such clip", move |((seat_radius_mm, wall, thin, half_wrap_rad), lead_in)| {
        let (root_wall_mm, lip_wall_mm) = (wall, wall * thin);
        RoundClip { seat_radius_mm, root_wall_mm, lip_wall_mm, half_wrap_rad, lead_in, back }.outline().ok()
    })
}

fn bodies() -> impl Strategy<Value = Outline> {
    (0..4, 12.0..30.0f64, 0.6..1.0f64, 2.0..4.5f64).prop_filter_map("no such body", |(kind, width, flat, corner)| {
        match kind {
            0 => circle(width).ok(),
            1 => rounded_rectangle(width, width * flat, corner).ok(),
            2 => flatted_circle(width, width * (0.5 + 0.5 * flat), corner).ok(),
            _ => ellipse(width, width * flat, 1e-3).ok(),
        }
    })
}

fn mounts() -> impl Strategy<Value = Outline> {
    (bodies(), 1.5..3.0f64, 1.65..2.1f64, lips()).prop_filter_map(
        "no such mount",
        |(body, wall_mm, half_wrap_rad, lead_in)| {
            Mount { body, gap_mm: 0.1, wall_mm, half_wrap_rad, lead_in, back: PAD }.outline().ok()
        },
    )
}

/// Draft, chamfer and gripping faces of a part.
#[derive(Clone, Copy, Debug)]
struct Finish {
    draft_rad: f64,
    chamfer_mm: f64,
    gripping: GripDraft,
}

/// Draft up to 3° and chamfer up to 0.6 mm, both often zero, with drafted or straight gripping faces.
fn finishes() -> impl Strategy<Value = Finish> {
    let draft = prop_oneof![Just(0.0), 0.2..3.0f64].prop_map(f64::to_radians);
    let chamfer = prop_oneof![Just(0.0), 0.1..0.6f64];
    let gripping = prop_oneof![Just(GripDraft::Drafted), Just(GripDraft::Straight)];
    (draft, chamfer, gripping).prop_map(|(draft_rad, chamfer_mm, gripping)| Finish { draft_rad, chamfer_mm, gripping })
}

fn spec(outline: Outline, half_height_mm: f64, finish: Finish) -> PrismSpec {
    let Finish { draft_rad, chamfer_mm, gripping } = finish;
    let straight = gripping == GripDraft::Straight;
    // On the bed, straight gripping faces have a chamfer less deep than that of the back.
    let seat_chamfer_mm = if straight { 0.5 * chamfer_mm } else { 0.0 };
    PrismSpec { draft_rad, gripping, chamfer_mm, seat_chamfer_mm, ..PrismSpec::plain(outline, half_height_mm) }
}

/// Label in the middle of the tab, which is the lowest part of the outline.
fn label(outline: &Outline, length: f64, text: &str, cap: Cap) -> Pocket {
    let text = lettering(text, &Lettering::default()).expect("every drawn letter has strokes");
    let middle = Point::new(-0.5 * text.width_mm, outline.bounds().min.y + 0.5 * (length - text.height_mm));
    Pocket { outlines: text.outlines.iter().map(|o| o.moved(0.0, middle)).collect(), depth_mm: 0.6, cap }
}

proptest! {
    #![proptest_config(fixed_seed(150))]
    #[test]
    fn holders(mount in mounts(), clip in clips(PAD), heights in (3.0..12.0f64, 3.0..12.0f64), finish in finishes(), web in 0.5..10.0f64) {
        let (mount, clip) = (spec(mount, heights.0, finish), spec(clip, heights.1, finish));
        let offset = least_offset_mm(&mount, &clip).unwrap() + web;
        match holder("random", &mount, &clip, offset) {
            Ok(solid) => assert_valid(&solid)?,
            // Some cases have more draft than the walls allow, which must be the only reason for an error.
            Err(error) => prop_assert!(matches!(error, HolderError::Prism { cause: PrismError::Inset { .. }, .. }), "{error}"),
        }
    }

    #[test]
    fn labelled_coupons(
        outline in clips(tab(15.0, 7.0)), text in "[A-Z0-9+.-]{1,6}", finish in finishes(), upper in any::<bool>(),
    ) {
        let cap = if upper { Cap::Upper } else { Cap::Lower };
        let pockets = vec![label(&outline, 7.0, &text, cap)];
        let spec = PrismSpec { pockets, ..spec(outline, 4.0, finish) };
        match prism("coupon", &spec) {
            Ok(solid) => assert_valid(&solid)?,
            Err(error) => prop_assert!(matches!(error, PrismError::Inset { .. }), "{error}"),
        }
    }
}

#[test]
fn most_random_holders_can_be_made() {
    let mut runner = proptest::test_runner::TestRunner::new(fixed_seed(100));
    let mut made = 0;
    for _ in 0..100 {
        let mut draw = |s: &BoxedStrategy<Outline>| s.new_tree(&mut runner).unwrap().current();
        let (mount, clip) = (draw(&mounts().boxed()), draw(&clips(PAD).boxed()));
        let finish = Finish { draft_rad: 0.026, chamfer_mm: 0.4, gripping: GripDraft::Straight };
        let (mount, clip) = (spec(mount, 8.0, finish), spec(clip, 5.0, finish));
        made += u32::from(holder("h", &mount, &clip, least_offset_mm(&mount, &clip).unwrap() + 3.0).is_ok());
    }
    assert!(made >= 80, "only {made} of 100 random holders could be made");
}
