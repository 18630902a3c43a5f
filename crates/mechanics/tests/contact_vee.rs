//! Vee clips in the contact solver: where barrels come to rest, against the exact rule of the vee.
#![expect(clippy::unwrap_used, clippy::print_stdout, reason = "a test may stop at the first surprise, and says what it found")]

use gripwright_mechanics::{Clip, Fineness, Friction, Rigid, Settings, Stiffness, simulate};
use gripwright_section::{Back, VeeClip, vee_axis_mm, vee_contact_mm};

/// Arms that reach past the widest place of barrels of 6 to 7 mm radius; their flats end 1 mm beyond the last contact.
fn clip(angle_deg: f64) -> VeeClip {
    let angle_rad = angle_deg.to_radians();
    VeeClip {
        angle_rad,
        axis_mm: vee_axis_mm(angle_rad, 6.5),
        root_radius_mm: 2.0,
        flat_mm: vee_contact_mm(angle_rad, 7.0) + 1.5,
        closing_radius_mm: 6.0,
        half_wrap_rad: 125_f64.to_radians(),
        root_wall_mm: 1.6,
        lip_wall_mm: 1.2,
        lead_in: None,
        back: Back::Pad { half_width_mm: 2.5, depth_mm: 1.0, fillet_mm: 1.0 },
    }
}

#[test]
fn probe() {
    for angle in [60.0, 90.0, 120.0, 140.0] {
        let clip = clip(angle);
        println!("{angle}: {:?}", clip.mouth_mm());
        let arms = Clip::drawn_vee(&clip, [0.0, 0.0], Fineness::default()).unwrap();
        for radius in [6.0, 6.5, 7.0] {
            for friction in [0.0, 0.3] {
                let start = std::time::Instant::now();
                let snap = simulate(
                    &arms,
                    &Rigid::round(radius),
                    Friction { coefficient: friction },
                    Stiffness::plane_strain(2000.0, 0.38),
                    &Settings::default(),
                );
                println!(
                    "{angle} r{radius} mu{friction}: {:?} seat {:.4} exact {:.4} grip {:.3} below {:.3} in {:.3} out {:.3} strain {:.4} {:.1}ms",
                    snap.outcome, snap.seat_axis_mm, clip.seat_mm(radius), snap.grip_n_per_mm, snap.grip_below_n_per_mm,
                    snap.snap_in.force_n_per_mm, snap.pull_out.force_n_per_mm, snap.strain.strain, 1e3 * start.elapsed().as_secs_f64()
                );
            }
        }
    }
}
