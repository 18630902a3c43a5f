//! Turned parts for tests: a profile of radius and height, turned about z.

use std::f64::consts::PI;

use gripwright_solid::{Brep, Edge, EdgeCurve, EdgeUse, Face, Frame, Surface};

const X: [f64; 3] = [1.0, 0.0, 0.0];
const Z: [f64; 3] = [0.0, 0.0, 1.0];

/// Part of half cylinders, half cones and flat rings. The profile runs from the lowest rim to the highest.
pub(super) fn turned(profile: &[[f64; 2]]) -> Brep {
    let mut part = Brep::default();
    for (ring, &[radius, z]) in profile.iter().enumerate() {
        part.vertices.extend([[radius, 0.0, z], [-radius, 0.0, z]]);
        for (half, x) in [1.0, -1.0].into_iter().enumerate() {
            let frame = Frame { origin: [0.0, 0.0, z], x: [x, 0.0, 0.0], z: Z };
            let curve = EdgeCurve::Arc { frame, radius, sweep: PI };
            part.edges.push(Edge { from: 2 * ring + half, to: 2 * ring + 1 - half, curve });
        }
    }
    let rim = |ring: usize, forward: bool| -> Vec<EdgeUse> {
        let order = if forward { [0, 1] } else { [1, 0] };
        order.map(|half| EdgeUse { edge: 2 * ring + half, forward }).into()
    };
    let flat = |z: f64, up: bool, loops: Vec<Vec<EdgeUse>>| {
        let surface =
            Surface::Plane { frame: Frame { origin: [0.0, 0.0, z], x: X, z: [0.0, 0.0, if up { 1.0 } else { -1.0 }] } };
        Face { surface, same_sense: true, loops }
    };
    let mut faces = vec![flat(profile[0][1], false, vec![rim(0, false)])];
    for (ring, pair) in profile.windows(2).enumerate() {
        let ([r0, z0], [r1, z1]) = (pair[0], pair[1]);
        if (z1 - z0).abs() <= 0.0 {
            let up = r1 < r0;
            let (outer, inner) = if up { (ring, ring + 1) } else { (ring + 1, ring) };
            faces.push(flat(z0, up, vec![rim(outer, up), rim(inner, !up)]));
            continue;
        }
        let lines: Vec<usize> = (0..2)
            .map(|half| {
                part.edges.push(Edge { from: 2 * ring + half, to: 2 * ring + 2 + half, curve: EdgeCurve::Line });
                part.edges.len() - 1
            })
            .collect();
        for half in 0..2 {
            let uses =
                [(2 * ring + half, true), (lines[1 - half], true), (2 * ring + 2 + half, false), (lines[half], false)];
            let uses = uses.map(|(edge, forward)| EdgeUse { edge, forward }).to_vec();
            faces.push(Face { surface: round_surface([r0, z0], [r1, z1]), same_sense: true, loops: vec![uses] });
        }
    }
    let last = profile.len() - 1;
    faces.push(flat(profile[last][1], true, vec![rim(last, true)]));
    part.faces = faces;
    part
}

fn round_surface(low: [f64; 2], high: [f64; 2]) -> Surface {
    let ([r0, z0], [r1, z1]) = (low, high);
    let half_angle = (r1 - r0).abs().atan2(z1 - z0);
    let frame = |z: f64, up: f64| Frame { origin: [0.0, 0.0, z], x: X, z: [0.0, 0.0, up] };
    if (r1 - r0).abs() <= 0.0 {
        Surface::Cylinder { frame: frame(z0, 1.0), radius: r0 }
    } else if r1 > r0 {
        Surface::Cone { frame: frame(z0, 1.0), radius: r0, half_angle }
    } else {
        Surface::Cone { frame: frame(z1, -1.0), radius: r1, half_angle }
    }
}
