//! Bounds of round faces: two arcs and two straight sides.

use crate::{
    brep::{Brep, EdgeCurve, EdgeUse, Face, Frame, Point3},
    vector::{dot, sub},
};

/// Arcs that bound a face of revolution.
pub(crate) struct StripBounds {
    /// Frame of one of the arcs.
    pub(crate) arc: Frame,
    pub(crate) sweep: f64,
    /// Heights of the arcs over the origin of the surface, mm, in ascending order.
    pub(crate) heights: [f64; 2],
}

/// Bounds of a face with two arcs and two straight sides; `None` for any other face.
pub(crate) fn strip_bounds(brep: &Brep, face: &Face, frame: &Frame) -> Option<StripBounds> {
    let [uses] = face.loops.as_slice() else { return None };
    let &[a, b, c, d] = uses.as_slice() else { return None };
    let curve = |u: EdgeUse| brep.edges[u.edge].curve;
    let (one, two) = match [a, b, c, d].map(curve) {
        [EdgeCurve::Arc { .. }, EdgeCurve::Line, EdgeCurve::Arc { .. }, EdgeCurve::Line] => (curve(a), curve(c)),
        [EdgeCurve::Line, EdgeCurve::Arc { .. }, EdgeCurve::Line, EdgeCurve::Arc { .. }] => (curve(b), curve(d)),
        _ => return None,
    };
    let (EdgeCurve::Arc { frame: low, sweep, .. }, EdgeCurve::Arc { frame: high, .. }) = (one, two) else {
        return None;
    };
    let height = |p: Point3| dot(sub(p, frame.origin), frame.z);
    let (t0, t1) = (height(low.origin), height(high.origin));
    Some(StripBounds { arc: low, sweep, heights: [t0.min(t1), t0.max(t1)] })
}
