//! Outlines that are alike: what lies evenly between them has the same lines and arcs.

use crate::{
    curve::Curve,
    outline::{Outline, OutlineError, Segment},
};

/// Angles (rad) nearer than this are one.
const SAME_RAD: f64 = 1e-9;

impl Outline {
    /// Whether two outlines have the same segments with the same roles in the same order, arcs of the same angles and lines
    /// that are parallel.
    pub fn is_like(&self, other: &Self) -> bool {
        let (one, two) = (self.segments(), other.segments());
        one.len() == two.len()
            && one.iter().zip(two).all(|(a, b)| a.role == b.role && curves_are_alike(&a.curve, &b.curve))
    }

    /// The outline at a share of the way to one that is like this: all of it moves evenly.
    pub fn blended(&self, other: &Self, share: f64) -> Result<Self, OutlineError> {
        let pairs = self.segments().iter().zip(other.segments());
        Self::new(pairs.map(|(a, b)| Segment::new(blended(&a.curve, &b.curve, share), a.role)).collect())
    }
}

fn curves_are_alike(one: &Curve, other: &Curve) -> bool {
    match (*one, *other) {
        (Curve::Line { .. }, Curve::Line { .. }) => one.tangent(0.0).cross(other.tangent(0.0)).abs() < SAME_RAD,
        (Curve::Arc { start_angle, sweep, .. }, Curve::Arc { start_angle: from, sweep: turn, .. }) => {
            (start_angle - from).abs() < SAME_RAD && (sweep - turn).abs() < SAME_RAD
        }
        _ => false,
    }
}

fn blended(one: &Curve, other: &Curve, share: f64) -> Curve {
    match (*one, *other) {
        (Curve::Line { start, end }, Curve::Line { start: from, end: to }) => {
            Curve::line(start.towards(from, share), end.towards(to, share))
        }
        (Curve::Arc { centre, radius, start_angle, sweep }, Curve::Arc { centre: about, radius: reach, .. }) => {
            Curve::arc(centre.towards(about, share), radius + share * (reach - radius), start_angle, sweep)
        }
        _ => *one,
    }
}
