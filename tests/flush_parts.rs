//! Parts of a family whose mould parts at the end: they lie on a board with all of their lower ends.

use gripwright::{
    Part,
    solids::{coupons_on, holders},
};
use gripwright_input::{MaterialLibrary, read_spec};
use gripwright_sizing::size;

const ARM: &str = include_str!("../demo-specs/dispensing-arm.toml");

/// Checks that a part has nothing below its lower end, no face that looks down above it, and as large a footprint as a
/// shadow.
fn assert_lies_flat(part: &Part) {
    let mesh = &part.mesh;
    let low = mesh.vertices.iter().map(|v| v[2]).fold(f64::INFINITY, f64::min);
    assert!((low - part.parting_mm).abs() < 1e-9, "{}: {low} {}", part.solid.name(), part.parting_mm);
    let (mut footprint_mm2, mut shadow_mm2) = (0.0, 0.0);
    for triangle in &mesh.triangles {
        let [a, b, c] = triangle.map(|i| mesh.vertices[i as usize]);
        let up_mm2 = 0.5 * ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]));
        if [a, b, c].iter().all(|corner| corner[2] <= low) {
            footprint_mm2 -= up_mm2;
        } else {
            assert!(up_mm2 > -1e-9, "{}: {up_mm2} mm² look down at {a:?}", part.solid.name());
            shadow_mm2 += up_mm2;
        }
    }
    assert!((shadow_mm2 - footprint_mm2).abs() < 1e-6 * footprint_mm2, "{shadow_mm2} over {footprint_mm2} mm²");
}

#[test]
fn holders_and_coupons_of_an_end_mould_lie_flat_on_a_board() {
    let spec = read_spec(ARM, "arm.toml", &MaterialLibrary::built_in()).expect("the spec is sound").spec;
    let design = size(&spec).unwrap_or_else(|problems| panic!("{problems:?}"));
    assert!(!design.holders.is_empty());
    for (plan, holder) in design.holders.iter().zip(holders(&design, 0.8).expect("all can be made")) {
        assert_lies_flat(&holder);
        // Clip and mount differ in length, so that only a flush clip leaves no gap.
        assert!((plan.clip_length_mm - plan.mount_length_mm).abs() > 1.0);
    }
    for plate in &design.coupons.plates {
        for coupon in coupons_on(&design, plate, 0.8).expect("all can be made") {
            // An engraved label is cut into the upper end; its floor looks up.
            assert_lies_flat(&coupon);
        }
    }
}
