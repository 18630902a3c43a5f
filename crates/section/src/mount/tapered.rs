//! A mount on a body that tapers unevenly: drawn at both of its ends, alike segment for segment.
//!
//! Seat, lips and arms follow the body with one gap and one wall; the pad stays. A fillet meets the arm in one direction at
//! both ends, so that it passes from one to the other by arcs of the same angles, and what it lacks or has too much is
//! made up by its radius.

use std::f64::consts::{PI, TAU};

use super::{ClipError, Half, Mount, closed, mirror, path};
use crate::{
    clip_back::{self, FilletPlace},
    curve::Curve,
    outline::Outline,
    point::Point,
};

/// Least radius of a fillet at either end, as a share of that asked for.
const LEAST_FILLET: f64 = 0.5;
/// Shortest side of the neck at either end, mm: without it the pad would begin in the fillet at one of them.
const NECK_MM: f64 = 0.2;
/// Angles (rad) nearer than this are one.
const SAME_RAD: f64 = 1e-9;

impl Mount {
    /// The mount's outlines at both ends of a body that has these outlines there, which are alike: the same lines and arcs,
    /// lines parallel, arcs of the same angles.
    pub fn at_ends(&self, bodies: &[Outline; 2]) -> Result<[Outline; 2], ClipError> {
        self.check()?;
        let mirrored = [mirror(&bodies[0])?, mirror(&bodies[1])?];
        let [right, left] = [self.halves(bodies)?, self.halves(&mirrored)?];
        let mut flat_y = f64::INFINITY;
        for half in right.iter().chain(&left) {
            flat_y = flat_y.min(half.floor_y - self.back.depth_mm()).min(half.fillet.centre.y - NECK_MM);
        }
        let mut out = Vec::with_capacity(2);
        for (right, left) in right.into_iter().zip(left) {
            let mouth_mm = right.half_mouth_mm() + left.half_mouth_mm();
            if mouth_mm <= 0.0 {
                return Err(ClipError::NoMouth { mouth_mm });
            }
            let back = clip_back::segments_down_to(&self.back, flat_y, left.fillet.mirrored(), right.fillet);
            out.push(closed(back, right, &left)?);
        }
        let pair: Result<[Outline; 2], _> = out.try_into();
        pair.ok().filter(|[a, b]| a.is_like(b)).ok_or(ClipError::EndsUnlike)
    }

    fn halves(&self, bodies: &[Outline; 2]) -> Result<[Half; 2], ClipError> {
        let [low, high] = self.fillets(bodies)?;
        Ok([self.half_with(&bodies[0], low)?, self.half_with(&bodies[1], high)?])
    }

    /// Fillets that meet the arm in one direction at both ends.
    fn fillets(&self, bodies: &[Outline; 2]) -> Result<[FilletPlace; 2], ClipError> {
        let own = [self.fillet(&bodies[0])?, self.fillet(&bodies[1])?];
        let turned = (own[0].contact_angle - own[1].contact_angle + PI).rem_euclid(TAU) - PI;
        if turned.abs() < SAME_RAD {
            // On a flat the fillets may keep their radius wherever they meet it.
            return Ok([own[0], FilletPlace { contact_angle: own[0].contact_angle, ..own[1] }]);
        }
        let half_width_mm = self.back.neck_half_width_mm();
        let least = LEAST_FILLET * self.back.fillet_mm();
        let mut greatest_mm = 0.0;
        for angle in own.map(|fillet| fillet.contact_angle) {
            let mut found = Vec::with_capacity(2);
            for body in bodies {
                let outward = Point::unit(angle - PI);
                let Some(contact) = on_arc(&path(body, self.gap_mm + self.wall_mm, 0.5 * PI)?, outward) else { break };
                let radius = (contact.x - half_width_mm) / (1.0 - outward.x);
                greatest_mm = f64::max(greatest_mm, contact.x - least * (1.0 - outward.x));
                if radius < least {
                    break;
                }
                found.push(FilletPlace { centre: contact + outward * radius, contact_angle: angle, radius });
            }
            if let Ok(both) = found.try_into() {
                return Ok(both);
            }
        }
        Err(ClipError::PadTooWide { half_width_mm, greatest_mm })
    }
}

/// The point of a chain's arcs where its normal looks in this direction.
fn on_arc(chain: &[Curve], outward: Point) -> Option<Point> {
    chain.iter().find_map(|curve| match *curve {
        Curve::Arc { centre, radius, start_angle, sweep } => {
            let lead = (outward.angle() - start_angle).rem_euclid(TAU);
            (lead > SAME_RAD && lead < sweep - SAME_RAD).then(|| centre + outward * radius)
        }
        Curve::Line { .. } => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Blend, body, ellipse::ellipse};

    fn mount(body: Outline, half_wrap: f64) -> Mount {
        Mount {
            body,
            gap_mm: -0.1,
            wall_mm: 2.0,
            half_wrap_rad: half_wrap,
            lead_in: None,
            back: clip_back::Back::Pad { half_width_mm: 3.0, depth_mm: 1.0, fillet_mm: 1.0 },
        }
    }

    fn ends(near: &Outline, far: &Outline, shares: [f64; 2]) -> [Outline; 2] {
        let blend = Blend::of(near, far).expect("both are convex");
        shares.map(|share| blend.at(share).expect("it lies between"))
    }

    #[test]
    fn both_ends_are_alike_on_all_kinds_of_bodies() {
        let rectangle = body_outlines::rounded_rectangle(40.0, 20.0, 5.0).expect("drawn");
        let round = body_outlines::circle(24.0).expect("drawn");
        let cases = [
            ends(&rectangle, &body_outlines::rounded_rectangle(34.0, 19.0, 4.0).expect("drawn"), [-0.3, 0.3]),
            ends(&round, &body_outlines::rounded_rectangle(26.0, 19.0, 9.0).expect("drawn"), [0.1, 0.9]),
            ends(&round, &body_outlines::circle(22.0).expect("drawn"), [-0.3, 0.3]),
            ends(&ellipse(30.0, 20.0, 1e-3).expect("drawn"), &ellipse(29.0, 17.0, 1e-3).expect("drawn"), [-0.3, 0.3]),
            ends(&ellipse(30.0, 20.0, 1e-3).expect("drawn"), &rectangle.moved(0.1, Point::ORIGIN), [0.2, 0.5]),
        ];
        for (case, bodies) in cases.iter().enumerate() {
            for half_wrap in [1.9, 2.3] {
                let drawn = mount(bodies[0].clone(), half_wrap).at_ends(bodies);
                let outlines = drawn.unwrap_or_else(|e| panic!("case {case}: {e}"));
                for (outline, body) in outlines.iter().zip(bodies) {
                    assert!(outline.self_contact().is_none(), "case {case}");
                    let grips = outline.segments().iter().filter(|s| s.role == crate::Role::Seat);
                    for p in grips.flat_map(|s| [0.0, 0.3, 0.7].map(|t| s.curve.at(t))) {
                        assert!((body.nearest(p).distance_mm + 0.1).abs() < 1e-9, "case {case}");
                    }
                }
                let middle = outlines[0].blended(&outlines[1], 0.5).expect("it closes");
                assert!(middle.self_contact().is_none());
            }
        }
    }
}
