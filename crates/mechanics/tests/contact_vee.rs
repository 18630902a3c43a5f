//! Vee clips in the contact solver: where barrels come to rest, against the exact rule of the vee (geometry).
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use gripwright_mechanics::{Clip, Fineness, Friction, Outcome, Rigid, Settings, Snap, Stiffness, simulate};
use gripwright_section::{Back, VeeClip, vee_axis_mm, vee_contact_mm};

/// Lips that just touch a barrel of 5.9 mm radius; flats long enough for one of 6.8 mm.
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
        back: Back::Pad { half_width_mm: 2.5, depth_mm: 1.0, fillet_mm: 1.0 },
    };
    vee.closing_over(5.9, 110_f64.to_radians()).unwrap()
}

fn run(clip: &VeeClip, radius_mm: f64, friction: f64) -> Snap {
    let arms = Clip::drawn_vee(clip, [0.0, 0.0], Fineness::default()).unwrap();
    let stiffness = Stiffness::plane_strain(2000.0, 0.38);
    simulate(&arms, &Rigid::round(radius_mm), Friction { coefficient: friction }, stiffness, &Settings::default())
}

/// 0.01 mm is what is left for the give of the flats' surface, which the penalty stands for.
#[test]
fn barrels_rest_where_the_exact_rule_says() {
    for angle_deg in [60.0, 90.0, 120.0, 150.0] {
        let clip = clip(angle_deg);
        for radius_mm in [6.1, 6.3, 6.5, 6.7] {
            let snap = run(&clip, radius_mm, 0.0);
            assert_eq!(snap.outcome, Outcome::Snaps, "{angle_deg} {radius_mm}");
            let exact = clip.seat_mm(radius_mm);
            assert!((snap.seat_axis_mm - exact).abs() < 0.01, "{angle_deg} {radius_mm}: {} {exact}", snap.seat_axis_mm);
            // It is pressed on the flats, not hung up between arms: both carry.
            assert!(snap.grip_n_per_mm > 0.0 && snap.grip_below_n_per_mm > 0.05 * snap.grip_n_per_mm);
        }
    }
}

/// Without friction the flats carry what the lips press down: 2 N cos of the flat's lean against the lips' share.
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
