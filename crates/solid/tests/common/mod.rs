//! Parts that several tests use. All sizes are arbitrary.
#![allow(dead_code, reason = "each test file uses its own share of these")]

use gripwright_section::{ClipBack, ConvexInterpolation, Mount, Outline, RoundClip, rounded_rectangle};
use gripwright_solid::{GripDraft, Mesh, PrismSpec, Solid, holder};

pub(crate) const PAD: ClipBack = ClipBack::Pad { half_width_mm: 3.0, depth_mm: 2.0, fillet_mm: 1.5 };

/// Round clip for barrels of about 12 mm whose arms taper toward the lips.
pub(crate) fn clip(back: ClipBack) -> RoundClip {
    RoundClip { seat_radius_mm: 6.0, root_wall_mm: 2.4, lip_wall_mm: 1.6, half_wrap_rad: 2.0, lead_in: None, back }
}

pub(crate) fn clip_outline() -> Outline {
    clip(PAD).outline().expect("the sample clip can be drawn")
}

pub(crate) fn mount_outline() -> Outline {
    let body = rounded_rectangle(24.0, 16.0, 4.0).expect("the sample body can be drawn");
    let mount = Mount { body, gap_mm: 0.1, wall_mm: 2.5, half_wrap_rad: 1.9, lead_in: None, back: PAD };
    mount.outline().expect("the sample mount can be drawn")
}

/// Lower and upper outline of a mount on a body that goes from one outline to another, at two shares of the way.
pub(crate) fn uneven_ends(near: &Outline, far: &Outline, shares: [f64; 2]) -> [Outline; 2] {
    let blend = ConvexInterpolation::between(near, far).expect("both are convex");
    let bodies = shares.map(|share| blend.at(share).expect("it lies between"));
    let mount = Mount {
        body: bodies[0].clone(),
        gap_mm: -0.1,
        wall_mm: 2.0,
        half_wrap_rad: 2.0,
        lead_in: None,
        back: ClipBack::Pad { half_width_mm: 3.0, depth_mm: 1.0, fillet_mm: 1.0 },
    };
    mount.end_outlines(&bodies).expect("drawn at both ends")
}

pub(crate) fn drafted(outline: Outline, half_height_mm: f64) -> PrismSpec {
    PrismSpec {
        draft_rad: 1.5_f64.to_radians(),
        chamfer_mm: 0.3,
        gripping: GripDraft::Straight,
        ..PrismSpec::plain(outline, half_height_mm)
    }
}

/// Holder whose mount is longer than its clip.
pub(crate) fn sample_holder() -> Solid {
    holder("sample holder", &drafted(mount_outline(), 9.0), &drafted(clip_outline(), 6.0), 28.0)
        .expect("the sample holder can be made")
}

/// Checks that truck's mesher agrees with a mesh that was made within this tolerance; without truck, nothing is checked.
#[cfg(feature = "truck")]
pub(crate) fn assert_second_mesh_agrees(solid: &Solid, mesh: &Mesh, chord_tolerance_mm: f64) {
    gripwright_solid::compare_with_truck(solid.name(), solid.brep(), mesh, chord_tolerance_mm)
        .unwrap_or_else(|disagreement| panic!("{disagreement}"));
}

#[cfg(not(feature = "truck"))]
pub(crate) fn assert_second_mesh_agrees(_: &Solid, _: &Mesh, _: f64) {}

/// Defects of a mesh: sides without exactly one opposite side, unused vertices, and triangles that vanish in single
/// precision.
pub(crate) fn mesh_faults(mesh: &Mesh) -> Vec<String> {
    let mut faults = Vec::new();
    let mut sides: Vec<([u32; 2], bool)> = Vec::new();
    let mut used = vec![false; mesh.vertices.len()];
    for &t in &mesh.triangles {
        for i in 0..3 {
            let (a, b) = (t[i], t[(i + 1) % 3]);
            sides.push(([a.min(b), a.max(b)], a < b));
            used[a as usize] = true;
        }
        if thickness(t.map(|i| mesh.vertices[i as usize])) < 1e-6 {
            faults.push(format!("triangle {t:?} has no area"));
        }
    }
    sides.sort_unstable();
    for pair in sides.chunks(2) {
        if pair.len() < 2 || pair[0].0 != pair[1].0 || pair[0].1 == pair[1].1 {
            faults.push(format!("side {:?} has no partner", pair[0].0));
            break;
        }
    }
    faults.extend(used.iter().enumerate().filter(|(_, u)| !**u).map(|(i, _)| format!("vertex {i} is unused")));
    faults
}

/// Least height of a triangle, mm.
fn thickness(corners: [[f64; 3]; 3]) -> f64 {
    let [a, b, c] = corners;
    let sub = |p: [f64; 3], q: [f64; 3]| [0, 1, 2].map(|k| p[k] - q[k]);
    let length = |v: [f64; 3]| v[0].hypot(v[1]).hypot(v[2]);
    let (u, v) = (sub(b, a), sub(c, a));
    let cross = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    length(cross) / length(u).max(length(v)).max(length(sub(c, b)))
}
