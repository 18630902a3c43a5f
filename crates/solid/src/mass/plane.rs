//! Integrals over a plane face, by Green's theorem along its lines and arcs.

use super::face_integrals::FaceIntegrals;
use crate::{
    brep::{Brep, EdgeCurve, EdgeUse, Face, Frame, Point3},
    vector::{add, dot, scale, sub},
};

/// Area and first moments of a region, in the coordinates of its plane.
#[derive(Clone, Copy, Debug, Default)]
struct PlaneMoments {
    area: f64,
    moment: [f64; 2],
}

impl PlaneMoments {
    /// Adds a region with the given area and centroid.
    fn add(&mut self, area: f64, centre: [f64; 2]) {
        self.area += area;
        self.moment[0] += area * centre[0];
        self.moment[1] += area * centre[1];
    }
}

/// Integrals over a plane face, relative to the point `middle`.
pub(super) fn integrals(brep: &Brep, face: &Face, frame: &Frame, middle: Point3) -> FaceIntegrals {
    let normal = if face.same_sense { frame.z } else { scale(frame.z, -1.0) };
    // Axes in the plane that are right-handed about the outward normal.
    let (x, y) = if face.same_sense { (frame.x, frame.y()) } else { (frame.y(), frame.x) };
    let origin =
        face.loops.first().and_then(|l| l.first()).map_or(frame.origin, |u| brep.vertices[brep.edges[u.edge].from]);
    let in_plane = |p: Point3| {
        let v = sub(p, origin);
        [dot(v, x), dot(v, y)]
    };
    let mut flat = PlaneMoments::default();
    for usage in face.loops.iter().flatten() {
        add_chord(brep, *usage, &in_plane, &mut flat);
        if let EdgeCurve::Arc { frame: arc, radius, sweep } = brep.edges[usage.edge].curve {
            let turn = if (dot(arc.z, normal) > 0.0) == usage.forward { sweep } else { -sweep };
            let (sin, cos) = (0.5 * sweep).sin_cos();
            let outward = add(scale(arc.x, cos), scale(arc.y(), sin));
            add_segment(in_plane(arc.origin), radius, turn, [dot(outward, x), dot(outward, y)], &mut flat);
        }
    }
    let first_moment = add(scale(x, flat.moment[0]), scale(y, flat.moment[1]));
    let origin = sub(origin, middle);
    // All points of the plane have the same distance from the middle along the normal.
    let distance = dot(origin, normal);
    let moment = add(scale(origin, flat.area), first_moment);
    FaceIntegrals { area: flat.area, flux: distance * flat.area, moment: scale(moment, distance) }
}

/// Adds the triangle between the origin and the chord of an edge.
fn add_chord(brep: &Brep, usage: EdgeUse, in_plane: &impl Fn(Point3) -> [f64; 2], flat: &mut PlaneMoments) {
    let edge = &brep.edges[usage.edge];
    let (from, to) = if usage.forward { (edge.from, edge.to) } else { (edge.to, edge.from) };
    let (a, b) = (in_plane(brep.vertices[from]), in_plane(brep.vertices[to]));
    flat.add(0.5 * (a[0] * b[1] - a[1] * b[0]), [(a[0] + b[0]) / 3.0, (a[1] + b[1]) / 3.0]);
}

/// Adds the circular segment between an arc and its chord. `turn` is positive counter-clockwise; `outward` points from
/// the centre to the middle of the arc.
fn add_segment(centre: [f64; 2], radius: f64, turn: f64, outward: [f64; 2], flat: &mut PlaneMoments) {
    let area = 0.5 * radius * radius * (turn - turn.sin());
    flat.add(area, centre);
    // First moment of the segment about the centre: ⅔ r³ sin³(φ/2) along its axis.
    let lever = 2.0 / 3.0 * (radius * (0.5 * turn).sin()).powi(3);
    flat.moment[0] += lever * outward[0];
    flat.moment[1] += lever * outward[1];
}
