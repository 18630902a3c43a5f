//! Vee clips for wide families: fewer sizes where the axis must stay true, and seats by the exact rule.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::collections::BTreeSet;

use gripwright_input::{MaterialLibrary, Spec, WideRange, read_spec};
use gripwright_sizing::{ClipGeometry, Design, size};

const FAMILY: &str = include_str!("../../../demo-specs/marker-rail.toml");

fn spec(wide_range: WideRange) -> Spec {
    let mut spec = read_spec(FAMILY, "marker-rail.toml", &MaterialLibrary::built_in()).unwrap().spec;
    spec.fit.wide_range = wide_range;
    spec
}

fn design(wide_range: WideRange) -> Design {
    size(&spec(wide_range)).unwrap()
}

/// The demo is the case: invented barrels from 10 to 12.2 mm whose point must stay true.
#[test]
fn a_wide_family_needs_fewer_sizes_with_vees() {
    let (round, vee, best) = (design(WideRange::Sizes), design(WideRange::Vee), design(WideRange::Best));
    assert!(round.sizes.iter().all(|s| matches!(s.clip, ClipGeometry::Round(_))));
    assert!(vee.sizes.len() < round.sizes.len(), "{} and {}", vee.sizes.len(), round.sizes.len());
    assert_eq!(best.sizes.len(), vee.sizes.len());
    for design in [&vee, &best] {
        assert!(design.fit.iter().all(|row| row.figures.margin.is_kept()));
        let served: BTreeSet<usize> = design.sizes.iter().flat_map(|s| s.tools.clone()).collect();
        assert_eq!(served.len(), spec(WideRange::Vee).tools.len());
    }
}

/// What the table says of the aim is what the contact solver found; on flats that the block backs it is the exact rule
/// to within what friction leaves and the flats give.
#[test]
fn seats_of_a_sized_vee_follow_the_exact_rule() {
    let design = design(WideRange::Vee);
    let mut most: f64 = 0.0;
    for row in &design.fit {
        let size = design.sizes.iter().find(|s| s.letter == row.letter).unwrap();
        let Some(vee) = size.clip.vee() else { continue };
        let exact = vee.barrel_axis_mm(0.5 * row.diameter_mm);
        for seat in [row.figures.seat_mm.least, row.figures.seat_mm.greatest] {
            most = most.max((seat - exact).abs());
        }
        assert!(row.figures.aim_mm >= exact.abs() - 0.02);
    }
    assert!(most > 0.0 && most < 0.03, "{most}");
}

/// A vee that has held its largest tool has opened for its smallest, and hardly for the largest itself.
#[test]
fn an_opened_vee_keeps_least_of_its_smallest_tool() {
    let design = design(WideRange::Vee);
    let kept: Vec<(f64, f64)> = design
        .fit
        .iter()
        .filter(|row| !row.greatest)
        .filter_map(|row| Some((row.diameter_mm, row.figures.load_path.after_largest?.ratio)))
        .collect();
    let smallest = kept.iter().min_by(|a, b| a.0.total_cmp(&b.0)).unwrap().1;
    let largest = kept.iter().max_by(|a, b| a.0.total_cmp(&b.0)).unwrap().1;
    assert!(kept.len() > 1 && smallest < largest, "{kept:?}");
    assert!(design.notes.iter().any(|note| note.contains("opens under its largest tool")), "{:?}", design.notes);
    // It is told, and no limit.
    assert!(design.fit.iter().all(|row| row.figures.margin.is_kept()));
}
