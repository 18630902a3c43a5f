//! Integrals over a cylinder or cone face between two coaxial arcs.

use super::{Share, from_middle};
use crate::{
    brep::{Brep, EdgeCurve, Face, Frame, Point3},
    vector::{add, dot, scale},
};

/// The straight line that sweeps the surface: at height t over the frame's origin it is radius + slope·t from the axis.
pub(super) struct Generator {
    pub(super) frame: Frame,
    pub(super) radius: f64,
    pub(super) slope: f64,
}

/// The share of a face, or nothing when it is not bounded by two coaxial arcs and two straight sides.
///
/// With x = O + r e(θ) + t a, r = r₀ + s t, the area vector is (r e − r s a) dθ dt, and
/// x·n dA = (O·e + k) r dθ dt with k = r₀ − s O·a: a polynomial in t times a trigonometric polynomial in θ.
pub(super) fn share(brep: &Brep, face: &Face, generator: &Generator, middle: Point3) -> Option<Share> {
    let (arc, sweep, heights) = rectangle(brep, face, &generator.frame)?;
    let axis = generator.frame.z;
    let origin = from_middle(generator.frame.origin, middle);
    let around = Around::new(&arc, sweep);
    let up = Upward::new(generator, heights);
    let k = generator.radius - generator.slope * dot(origin, axis);

    let sided = dot(origin, around.once) + k * sweep;
    let flux = up.r * sided;
    let spread = add(around.twice_along(origin), scale(around.once, k));
    let moment = add(add(scale(origin, flux), scale(spread, up.r2)), scale(axis, up.tr * sided));
    let sign = if face.same_sense { 1.0 } else { -1.0 };
    let area = up.r * sweep * (1.0 + generator.slope * generator.slope).sqrt();
    Some(Share { area, flux: sign * flux, moment: scale(moment, sign) })
}

/// Frame and sweep of the arcs that bound a face, and their heights over the surface's origin.
fn rectangle(brep: &Brep, face: &Face, frame: &Frame) -> Option<(Frame, f64, [f64; 2])> {
    let [uses] = face.loops.as_slice() else { return None };
    let &[a, b, c, d] = uses.as_slice() else { return None };
    let curve = |u: crate::brep::EdgeUse| brep.edges[u.edge].curve;
    let (one, two) = match [a, b, c, d].map(curve) {
        [EdgeCurve::Arc { .. }, EdgeCurve::Line, EdgeCurve::Arc { .. }, EdgeCurve::Line] => (curve(a), curve(c)),
        [EdgeCurve::Line, EdgeCurve::Arc { .. }, EdgeCurve::Line, EdgeCurve::Arc { .. }] => (curve(b), curve(d)),
        _ => return None,
    };
    let (EdgeCurve::Arc { frame: low, sweep, .. }, EdgeCurve::Arc { frame: high, .. }) = (one, two) else {
        return None;
    };
    let height = |p: Point3| dot(from_middle(p, frame.origin), frame.z);
    let (t0, t1) = (height(low.origin), height(high.origin));
    Some((low, sweep, [t0.min(t1), t0.max(t1)]))
}

/// ∫ e dθ and ∫ e eᵀ dθ over the sweep of an arc that starts in direction x.
struct Around {
    x: Point3,
    y: Point3,
    once: Point3,
    xx: f64,
    xy: f64,
    yy: f64,
}

impl Around {
    fn new(arc: &Frame, sweep: f64) -> Self {
        let (x, y) = (arc.x, arc.y());
        let (sin, half) = (sweep.sin(), (0.5 * sweep).sin());
        // 1 − cos φ = 2 sin²(φ/2) keeps its digits for short arcs.
        let once = add(scale(x, sin), scale(y, 2.0 * half * half));
        let twice = 0.25 * (2.0 * sweep).sin();
        Self { x, y, once, xx: 0.5 * sweep + twice, xy: 0.5 * sin * sin, yy: 0.5 * sweep - twice }
    }

    /// ∫ e (e·v) dθ.
    fn twice_along(&self, v: Point3) -> Point3 {
        let (vx, vy) = (dot(v, self.x), dot(v, self.y));
        add(scale(self.x, self.xx * vx + self.xy * vy), scale(self.y, self.xy * vx + self.yy * vy))
    }
}

/// ∫ r dt, ∫ r² dt and ∫ t r dt between two heights.
struct Upward {
    r: f64,
    r2: f64,
    tr: f64,
}

impl Upward {
    fn new(generator: &Generator, [t0, t1]: [f64; 2]) -> Self {
        let (h, t) = (t1 - t0, 0.5 * (t0 + t1));
        // About the middle height, odd powers cancel.
        let r = generator.radius + generator.slope * t;
        let bend = generator.slope * h * h * h / 12.0;
        Self { r: r * h, r2: r * r * h + generator.slope * bend, tr: r * t * h + bend }
    }
}
