//! Sizing with what trials taught: which bores are drawn, what stays, and what happens when the tried clips fail.

use gripwright_input::{FigureBounds, MaterialLibrary, STARTER_SPEC, Spec, read_spec};
use gripwright_section::{Curve, Role};
use gripwright_sizing::{Calibrated, CalibratedSeat, Design, Sizer, size};

fn starter() -> Spec {
    let loaded = read_spec(STARTER_SPEC, "starter.toml", &MaterialLibrary::built_in()).expect("the starter is sound");
    // Printed alone, so that what is learnt of the print counts for the part.
    let mut spec = loaded.spec;
    spec.material.cast = None;
    spec
}

fn learnt(spec: &Spec, design: &Design, draw_mm: f64, target_mm: f64) -> Calibrated {
    let of = |letter, seat_mm| CalibratedSeat { letter, seat_mm, draw_mm, target_mm };
    let sizes = design.sizes.iter().map(|s| of(s.letter, 2.0 * s.seat_radius_mm));
    let sizes = sizes.chain([of('M', 2.0 * design.mount.mount.gap_mm)]).collect();
    Calibrated { spec: spec.clone(), sizes }
}

/// Radius of the seat in the outline of a holder's clip.
fn seat_radius(design: &Design, index: usize) -> f64 {
    let segments = design.holders[index].clip_outline.segments();
    let radii = segments.iter().filter(|s| s.role == Role::Seat).map(|s| match s.curve {
        Curve::Arc { radius, .. } => radius,
        Curve::Line { .. } => f64::NAN,
    });
    radii.fold(0.0, f64::max)
}

#[test]
fn bores_are_drawn_wider_and_the_wanted_sizes_stay() {
    let spec = starter();
    let before = size(&spec).expect("the starter can be made");
    let after = Sizer::new().size_calibrated(&spec, &learnt(&spec, &before, 0.12, 0.0)).expect("it still can");
    for (index, (old, new)) in before.sizes.iter().zip(&after.sizes).enumerate() {
        assert_eq!((old.letter, old.seat_radius_mm, old.clip), (new.letter, new.seat_radius_mm, new.clip));
        assert!((seat_radius(&after, index) - seat_radius(&before, index) - 0.06).abs() < 1e-9);
        assert!((new.drawn_radius_mm() - seat_radius(&after, index)).abs() < 1e-9);
    }
    // Forces are those of the wanted seats.
    for (old, new) in before.fit.iter().zip(&after.fit) {
        assert_eq!(old.figures.snap_in_n, new.figures.snap_in_n);
    }
    assert!((after.mount.drawn_wider_mm - 0.12).abs() < 1e-9);
    assert_ne!(before.holders[0].mount_outline, after.holders[0].mount_outline);
    // The ladder stands round the bore that is drawn, and each step still counts from the first design.
    let (old, new) = (&before.coupons.coupons, &after.coupons.coupons);
    assert_eq!(old.len(), new.len());
    for (old, new) in old.iter().zip(new) {
        assert!((new.step_mm - old.step_mm - 0.12).abs() < 1e-9);
        assert!((new.seat_mm - new.step_mm - old.seat_mm + old.step_mm).abs() < 1e-9);
    }
}

#[test]
fn a_target_moves_the_wanted_seat_and_the_error_alone_is_undone() {
    let spec = starter();
    let before = size(&spec).expect("the starter can be made");
    let after = Sizer::new().size_calibrated(&spec, &learnt(&spec, &before, 0.05, 0.01)).expect("it still can");
    // A hundredth of a millimetre breaks no limit.
    assert!(after.notes.iter().all(|note| !note.contains("sized anew")), "{:?}", after.notes);
    for (old, new) in before.sizes.iter().zip(&after.sizes) {
        assert!((new.seat_radius_mm - old.seat_radius_mm - 0.005).abs() < 1e-9);
        assert!((new.drawn_wider_mm - 0.04).abs() < 1e-9);
    }
}

/// A print nearly twice as stiff as its material's middle pushes harder than a hand may: other clips are needed, and the
/// trials still say how wide to draw them.
#[test]
fn clips_that_fail_with_what_is_known_are_sized_anew() {
    let spec = starter();
    let before = size(&spec).expect("the starter can be made");
    let mut learnt = learnt(&spec, &before, -0.08, 0.0);
    let modulus = &mut learnt.spec.material.print.modulus_mpa;
    *modulus = FigureBounds { least: 1.9 * modulus.least, greatest: 1.9 * modulus.greatest };
    let after = Sizer::new().size_calibrated(&spec, &learnt).expect("another clip serves");
    assert!(after.notes.iter().any(|note| note.contains("sized anew")), "{:?}", after.notes);
    assert!(after.fit.iter().all(|row| row.figures.margin.is_kept()));
    assert!(after.sizes.iter().all(|s| (s.drawn_wider_mm + 0.08).abs() < 1e-9));
    // Coupons stay slices of the clips that were tried.
    for (old, new) in before.coupons.coupons.iter().zip(&after.coupons.coupons) {
        assert!((new.seat_mm - new.step_mm - old.seat_mm + old.step_mm).abs() < 1e-9);
    }
}
