//! Sleeves: one holder where round clips need several, and a plan that counts the parts of every way.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use gripwright_input::{MaterialLibrary, Spec, WideRange, read_spec};
use gripwright_sizing::{Calibrated, CalibratedSeat, Design, FamilyStrategy, Sizer, size};

const FAMILY: &str = include_str!("../../../demo-specs/bench-lamp-arm.toml");

fn spec(wide_range: WideRange) -> Spec {
    let mut spec = read_spec(FAMILY, "bench-lamp-arm.toml", &MaterialLibrary::built_in()).unwrap().spec;
    spec.fit.wide_range = wide_range;
    spec
}

fn design(wide_range: WideRange) -> Design {
    size(&spec(wide_range)).unwrap()
}

/// The demo is the case: the aim asks round clips for several sizes, one of them with sleeves serves all.
#[test]
fn sleeves_leave_one_holder() {
    let (sizes, sleeves) = (design(WideRange::Sizes), design(WideRange::Sleeves));
    assert!(sizes.holders.len() > 1 && sizes.sleeves.is_empty(), "{}", sizes.holders.len());
    assert_eq!((sleeves.holders.len(), sleeves.sleeves.is_empty()), (1, false));
    let tools = spec(WideRange::Sleeves).tools.len();
    assert_eq!(sleeves.fit.len(), 2 * tools);
    for row in &sleeves.fit {
        assert!(row.figures.margin.is_kept(), "{row:?}");
        let sleeve = sleeves.sleeves.iter().find(|s| Some(&s.identity) == row.sleeve.as_ref());
        let own = sleeves.sizes.iter().any(|s| s.tools.contains(&row.tool));
        assert!(sleeve.map_or(own, |s| s.tools.contains(&row.tool) && !own), "{row:?}");
    }
}

/// Walls, bores and grip of the sized sleeves by the formulae of a ring on a barrel.
#[test]
fn a_sleeve_keeps_its_own_limits() {
    let design = design(WideRange::Sleeves);
    for sleeve in &design.sleeves {
        let ring = sleeve.ring;
        assert!(2.0 * ring.bore_radius_mm < sleeve.barrels_mm.least, "it grips its least barrel: {sleeve:?}");
        let outside = 2.0 * (ring.bore_radius_mm + ring.wall_mm);
        let [least, greatest] = [sleeve.barrels_mm.least, sleeve.barrels_mm.greatest].map(|mm| mm + 2.0 * ring.wall_mm);
        assert!(outside < least && sleeve.outside_mm.least < least && sleeve.outside_mm.greatest > greatest);
        assert!(sleeve.slides_n.least >= sleeve.along_needed_n && sleeve.slides_n.greatest <= sleeve.slide_on_limit_n);
        assert!(sleeve.strain <= sleeve.strain_limit && sleeve.margin.is_kept());
        assert!(sleeve.slit_open_mm > sleeve.slit_mm && sleeve.slit_mm > 1.0);
        let clip = design.sizes.iter().find(|s| s.letter == sleeve.letter).unwrap();
        assert!(sleeve.outside_mm.least > 2.0 * clip.seat_radius_mm && sleeve.between_mm > clip.length_mm);
    }
}

/// Bores of sleeves come out of the process as seats do: what trials say of the seat of their clip widens them too. Their
/// outside, on which the clip was sized, stays.
#[test]
fn bores_are_drawn_wider_with_the_seat_of_their_clip() {
    let spec = spec(WideRange::Sleeves);
    let before = size(&spec).unwrap();
    let tried = before.sizes.iter().map(|s| (s.letter, 2.0 * s.seat_radius_mm));
    let sizes = tried.chain([('M', 2.0 * before.mount.mount.gap_mm)]);
    // Of what is drawn, what is wanted is no error of the process.
    let sizes = sizes.map(|(letter, seat_mm)| CalibratedSeat { letter, seat_mm, draw_mm: 0.14, target_mm: 0.02 });
    let after =
        Sizer::new().size_calibrated(&spec, &Calibrated { spec: spec.clone(), sizes: sizes.collect() }).unwrap();
    assert!(after.notes.iter().all(|note| !note.contains("sized anew")), "{:?}", after.notes);
    assert_eq!((before.sleeves.len(), after.sleeves.len()), (2, 2));
    for (old, new) in before.sleeves.iter().zip(&after.sleeves) {
        let outside = [old.ring, new.ring].map(|ring| ring.bore_radius_mm + ring.wall_mm);
        assert!((new.ring.bore_radius_mm - old.ring.bore_radius_mm - 0.06).abs() < 1e-9, "{new:?}");
        assert!((outside[1] - outside[0]).abs() < 1e-9, "{new:?}");
        // What it does is what the wanted bore does, once printed.
        assert_eq!((old.slides_n, old.outside_mm, old.slit_mm), (new.slides_n, new.outside_mm, new.slit_mm));
    }
}

/// Sleeves lie on a bench without their names: strokes on one end count them.
#[test]
fn every_sleeve_is_marked_by_its_number() {
    let design = design(WideRange::Sleeves);
    let strokes: Vec<usize> = design.sleeves.iter().map(|sleeve| sleeve.marks.len()).collect();
    assert_eq!(strokes, [1, 2]);
}

#[test]
fn the_plan_counts_every_way_and_takes_the_fewest_parts() {
    let plan = design(WideRange::Best).plan.unwrap();
    assert_eq!(
        plan.strategies.iter().map(|w| w.strategy).collect::<Vec<_>>(),
        [FamilyStrategy::Sizes, FamilyStrategy::Sleeves, FamilyStrategy::Vee]
    );
    let parts = |strategy: FamilyStrategy| {
        let needs = plan.strategies.iter().find(|w| w.strategy == strategy).unwrap().needs.as_ref().unwrap();
        needs.holders + needs.sleeves
    };
    let fewest =
        [FamilyStrategy::Sizes, FamilyStrategy::Sleeves, FamilyStrategy::Vee].map(parts).into_iter().min().unwrap();
    assert_eq!(parts(plan.chosen), fewest);
    // A way alone comes to the same count as in the comparison.
    for (strategy, wide_range) in
        [(FamilyStrategy::Sizes, WideRange::Sizes), (FamilyStrategy::Sleeves, WideRange::Sleeves)]
    {
        let alone = design(wide_range);
        assert_eq!(parts(strategy), alone.holders.len() + alone.sleeves.len(), "{strategy:?}");
        assert_eq!(alone.plan.unwrap().chosen, strategy);
    }
}

/// A tool a little below the clip's size: no wall is left for a sleeve, so that it takes a holder of its own, and the plan
/// says why.
#[test]
fn a_step_too_small_for_a_wall_takes_a_size() {
    let mut spec = spec(WideRange::Sleeves);
    // The second holder is a little less stiff than the demo's.
    spec.layout.aim.as_mut().unwrap().within_mm = 1.35;
    spec.layout.lengths_mm = Some(vec![45.0]);
    let mut near = spec.tools[3].clone();
    near.name = "old torch".to_owned();
    (near.barrel.least_mm, near.barrel.greatest_mm) = (16.2, 16.3);
    spec.tools.push(near);
    let design = size(&spec).unwrap();
    assert_eq!(design.holders.len(), 2);
    let remarks = design.plan.unwrap().remarks.join(" ");
    assert!(remarks.contains("No sleeve for `old torch`: its wall would be"), "{remarks}");
}

/// What cannot have sleeves is refused when they are asked for, and only left out of a comparison.
#[test]
fn drafted_parts_have_no_sleeves() {
    let mut drafted = spec(WideRange::Sleeves);
    drafted.finish.draft_rad = 0.5_f64.to_radians();
    let problems = size(&drafted).unwrap_err();
    assert!(problems.iter().any(|p| p.code == "sleeves-with-draft"), "{problems:?}");
    drafted.fit.wide_range = WideRange::Best;
    let plan = size(&drafted).map(|design| design.plan);
    let sleeves = plan.map(|plan| plan.map(|p| p.strategies[1].needs.clone()));
    assert!(matches!(&sleeves, Ok(Some(Err(why))) if why.reason.contains("collar")), "{sleeves:?}");
}
