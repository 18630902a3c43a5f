//! Linear interpolation between two outlines of the same structure.
//!
//! Lines stay parallel and arcs keep their angles, so every interpolated outline has the same lines and arcs.

use crate::{
    curve::Curve,
    outline::{Outline, OutlineError, Segment},
};

/// Angles (rad) that differ by less than this are equal.
const SAME_RAD: f64 = 1e-9;

impl Outline {
    /// True if both outlines have the same kinds of segments with the same roles in the same order. Corresponding lines
    /// must be parallel, and corresponding arcs must have the same angles.
    pub fn can_interpolate_to(&self, other: &Self) -> bool {
        let (one, two) = (self.segments(), other.segments());
        one.len() == two.len() && one.iter().zip(two).all(|(a, b)| a.role == b.role && curves_match(&a.curve, &b.curve))
    }

    /// The outline at the fraction `share` of the way to `other`, which must satisfy [`Outline::can_interpolate_to`].
    /// End points, centres and radii change linearly.
    pub fn interpolated(&self, other: &Self, share: f64) -> Result<Self, OutlineError> {
        let pairs = self.segments().iter().zip(other.segments());
        Self::new(pairs.map(|(a, b)| Segment::new(interpolated_curve(&a.curve, &b.curve, share), a.role)).collect())
    }
}

fn curves_match(one: &Curve, other: &Curve) -> bool {
    match (*one, *other) {
        (Curve::Line { .. }, Curve::Line { .. }) => one.tangent(0.0).cross(other.tangent(0.0)).abs() < SAME_RAD,
        (Curve::Arc { start_angle, sweep, .. }, Curve::Arc { start_angle: from, sweep: turn, .. }) => {
            (start_angle - from).abs() < SAME_RAD && (sweep - turn).abs() < SAME_RAD
        }
        _ => false,
    }
}

fn interpolated_curve(one: &Curve, other: &Curve, share: f64) -> Curve {
    match (*one, *other) {
        (Curve::Line { start, end }, Curve::Line { start: from, end: to }) => {
            Curve::line(start.towards(from, share), end.towards(to, share))
        }
        (
            Curve::Arc { centre, radius, start_angle, sweep },
            Curve::Arc { centre: other_centre, radius: other_radius, .. },
        ) => Curve::arc(
            centre.towards(other_centre, share),
            radius + share * (other_radius - radius),
            start_angle,
            sweep,
        ),
        _ => *one,
    }
}
