//! Vee clips in the contact solver: position of barrels at rest against the exact geometry of the vee.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use gripwright_mechanics::{
    CoulombFriction, InsertionOutcome, MeshDensity, MeshedClip, PlaneStiffness, RigidSection, SnapRun, SolverSettings,
    simulate,
};
use gripwright_section::{
    ClipBack, HexagonOrientation, VeeClip, across_corners_mm, hexagon, vee_axis_mm, vee_contact_mm,
};

/// Returns a clip whose lips just touch a barrel of 5.9 mm radius, with flats long enough for one of 6.8 mm.
fn clip(angle_deg: f64) -> VeeClip {
    let angle_rad = angle_deg.to_radians();
    let vee = VeeClip {
        angle_rad,
        axis_mm: vee_axis_mm(angle_rad, 6.4),
        root_radius_mm: 2.0,
        flat_mm: vee_contact_mm(angle_rad, 6.8) + 1.2,
        closing_radius_mm: 6.0,
        half_wrap_rad: 2.0,
        root_wall_mm: 0.9,
        lip_wall_mm: 0.6,
        lead_in: None,
        back: ClipBack::Pad { half_width_mm: 2.5, depth_mm: 1.0, fillet_mm: 1.0 },
    };
    vee.with_lips_touching(5.9, 110_f64.to_radians()).unwrap()
}

fn run(clip: &VeeClip, radius_mm: f64, friction: f64) -> SnapRun {
    let arms = MeshedClip::from_vee_clip(clip, [0.0, 0.0], MeshDensity::default()).unwrap();
    let stiffness = PlaneStiffness::plane_strain(2000.0, 0.38);
    simulate(
        &arms,
        &RigidSection::round(radius_mm),
        CoulombFriction { coefficient: friction },
        stiffness,
        &SolverSettings::default(),
    )
}

/// The bound of 0.01 mm allows for the compliance of the flats' surface, which the penalty represents.
#[test]
fn barrels_rest_where_the_exact_rule_says() {
    for angle_deg in [60.0, 90.0, 120.0, 150.0] {
        let clip = clip(angle_deg);
        for radius_mm in [6.1, 6.3, 6.5, 6.7] {
            let snap = run(&clip, radius_mm, 0.0);
            assert_eq!(snap.outcome, InsertionOutcome::Snaps, "{angle_deg} {radius_mm}");
            let exact = clip.barrel_axis_mm(radius_mm);
            assert!((snap.seat_axis_mm - exact).abs() < 0.01, "{angle_deg} {radius_mm}: {} {exact}", snap.seat_axis_mm);
            // It is pressed on the flats, not hung up between arms: both carry.
            assert!(snap.grip_n_per_mm > 0.0 && snap.grip_below_n_per_mm > 0.05 * snap.grip_n_per_mm);
        }
    }
}

/// Without friction the flats carry the downward push of the lips: 2 N cos of the flat's lean against the lips' share.
#[test]
fn flats_carry_what_the_lips_press_down() {
    let snap = run(&clip(120.0), 6.5, 0.0);
    let flats = snap.grip_below_n_per_mm;
    let lips = snap.grip_n_per_mm - flats;
    // Lips touch above the axis: their normals lean by the angle that balance asks for, which must be one.
    let down = flats * 60_f64.to_radians().sin() / lips;
    assert!(down > 0.05 && down < 0.6, "{down}");
}

#[test]
fn larger_barrels_are_gripped_harder_and_those_below_the_free_size_not_at_all() {
    let clip = clip(130.0);
    let grips: Vec<f64> = [6.0, 6.2, 6.4, 6.6].iter().map(|r| run(&clip, *r, 0.2).grip_n_per_mm).collect();
    assert!(grips.windows(2).all(|w| w[0] < w[1]), "{grips:?}");
    assert!(run(&clip, 5.8, 0.2).grip_n_per_mm < 1e-3);
}

/// A hexagon lies in a vee of 120° with two of its flats on those of the vee: its axis stands where that of a round
/// barrel as large across as the hexagon across flats would (geometry).
#[test]
fn a_hexagon_corner_down_lies_in_a_vee_of_120_degrees_as_a_round_barrel() {
    // A root rounder than the bar's corner would carry the bar there, and flats shorter than the bar's would hang it up
    // on the arms; behind such long flats the arms stand too wide to touch it.
    let flat_mm = 0.5 * across_corners_mm(12.6, 0.4) + 1.0;
    let clip = VeeClip { root_radius_mm: 0.3, flat_mm, half_wrap_rad: 2.2, ..clip(120.0) };
    let arms = MeshedClip::from_vee_clip(&clip, [0.0, 0.0], MeshDensity::default()).unwrap();
    let stiffness = PlaneStiffness::plane_strain(2000.0, 0.38);
    let bar = RigidSection::from_outline(&hexagon(12.6, 0.4, HexagonOrientation::CornerDown).unwrap()).unwrap();
    let snap = simulate(&arms, &bar, CoulombFriction::default(), stiffness, &SolverSettings::default());
    assert_eq!(snap.outcome, InsertionOutcome::Passes);
    let exact = clip.barrel_axis_mm(6.3);
    assert!((snap.seat_axis_mm - exact).abs() < 0.01, "{} {exact}", snap.seat_axis_mm);
}

/// Flat down the hexagon stands on two corners and is wider: push and grip are greater.
#[test]
fn a_hexagon_flat_down_opens_the_lips_by_its_corners() {
    let clip = clip(130.0);
    let arms = MeshedClip::from_vee_clip(&clip, [0.0, 0.0], MeshDensity::default()).unwrap();
    let stiffness = PlaneStiffness::plane_strain(2000.0, 0.38);
    let bar = hexagon(11.4, 0.4, HexagonOrientation::FlatDown).unwrap();
    let run = |rigid: &RigidSection| {
        simulate(&arms, rigid, CoulombFriction { coefficient: 0.2 }, stiffness, &SolverSettings::default())
    };
    let (hexagonal, round) = (run(&RigidSection::from_outline(&bar).unwrap()), run(&RigidSection::round(5.7)));
    assert!(hexagonal.outcome.reaches_seat(), "{:?}", hexagonal.outcome);
    assert!(hexagonal.opening_mm > round.opening_mm + 0.5 * (across_corners_mm(11.4, 0.4) - 11.4) - 0.1);
    assert!(hexagonal.snap_in.force_n_per_mm > round.snap_in.force_n_per_mm);
    // Its lower corners touch the flats of a vee first: (a − c)(sin λ/√3 + cos λ) + c stands for the radius.
    let (a, c, lean) = (5.7_f64, 0.4_f64, 25_f64.to_radians());
    let stands = clip.barrel_axis_mm((a - c) * (lean.sin() / 3.0_f64.sqrt() + lean.cos()) + c);
    assert!((hexagonal.seat_axis_mm - stands).abs() < 0.03, "{} {stands}", hexagonal.seat_axis_mm);
}
