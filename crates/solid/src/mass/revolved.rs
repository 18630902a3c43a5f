//! Integrals over a cylinder or cone face between two coaxial arcs, in closed form.

use super::face_integrals::FaceIntegrals;
use crate::{
    brep::{Brep, Face, Frame, Point3},
    strip_bounds::{StripBounds, strip_bounds},
    vector::{add, dot, scale, sub},
};

/// Surface of revolution of a straight line. At height t over the frame's origin, its radius is radius + slope·t.
pub(super) struct RevolvedSurface {
    pub(super) frame: Frame,
    pub(super) radius: f64,
    pub(super) slope: f64,
}

/// Integrals over a face relative to the point `middle`, or `None` if the face is not bounded by two coaxial arcs and two
/// straight sides.
///
/// With x = O + r e(θ) + t a, r = r₀ + s t, the area vector is (r e − r s a) dθ dt, and
/// x·n dA = (O·e + k) r dθ dt with k = r₀ − s O·a: a polynomial in t times a trigonometric polynomial in θ.
pub(super) fn integrals(brep: &Brep, face: &Face, surface: &RevolvedSurface, middle: Point3) -> Option<FaceIntegrals> {
    let StripBounds { arc, sweep, heights } = strip_bounds(brep, face, &surface.frame)?;
    let axis = surface.frame.z;
    let origin = sub(surface.frame.origin, middle);
    let around = AngleIntegrals::new(&arc, sweep);
    let up = HeightIntegrals::new(surface, heights);
    let k = surface.radius - surface.slope * dot(origin, axis);

    let sided = dot(origin, around.once) + k * sweep;
    let flux = up.r * sided;
    let spread = add(around.twice_along(origin), scale(around.once, k));
    let moment = add(add(scale(origin, flux), scale(spread, up.r2)), scale(axis, up.tr * sided));
    let sign = if face.same_sense { 1.0 } else { -1.0 };
    let area = up.r * sweep * (1.0 + surface.slope * surface.slope).sqrt();
    Some(FaceIntegrals { area, flux: sign * flux, moment: scale(moment, sign) })
}

/// Integrals ∫ e dθ and ∫ e eᵀ dθ over the sweep of an arc that starts in the direction x.
struct AngleIntegrals {
    x: Point3,
    y: Point3,
    once: Point3,
    xx: f64,
    xy: f64,
    yy: f64,
}

impl AngleIntegrals {
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

/// Integrals ∫ r dt, ∫ r² dt and ∫ t r dt between two heights.
struct HeightIntegrals {
    r: f64,
    r2: f64,
    tr: f64,
}

impl HeightIntegrals {
    fn new(surface: &RevolvedSurface, heights: [f64; 2]) -> Self {
        let [t0, t1] = heights;
        let (h, t) = (t1 - t0, 0.5 * (t0 + t1));
        // About the middle height, odd powers cancel.
        let r = surface.radius + surface.slope * t;
        let bend = surface.slope * h * h * h / 12.0;
        Self { r: r * h, r2: r * r * h + surface.slope * bend, tr: r * t * h + bend }
    }
}
