//! Mount on a body that tapers unevenly: two end outlines with matching segments.
//!
//! Seat, lips and arms follow the body with constant gap and wall; the pad does not change. A fillet meets the arm in the
//! same direction at both ends, so that its arcs have the same angles; its radius adapts.

use std::f64::consts::{PI, TAU};

use super::{Mount, MountSide, close_outline, offset_path};
use crate::{
    clip_back::{self, ArmFillet},
    clip_error::ClipError,
    curve::Curve,
    outline::Outline,
    point::Point,
};

/// Least radius of a fillet at either end, as a share of the nominal radius.
const LEAST_FILLET_SHARE: f64 = 0.5;
/// Shortest side of the neck at either end, mm: without it, the pad would begin inside the fillet at one end.
const NECK_MM: f64 = 0.2;
/// Angles (rad) that differ by less than this are equal.
const SAME_RAD: f64 = 1e-9;

impl Mount {
    /// Outlines of the mount at both ends of a body, given the body's outlines there. The two results can be
    /// interpolated: they have the same lines and arcs, parallel lines, and arcs of the same angles.
    pub fn end_outlines(&self, bodies: &[Outline; 2]) -> Result<[Outline; 2], ClipError> {
        self.check()?;
        let mirrored = [bodies[0].mirrored(), bodies[1].mirrored()];
        let [right, left] = [self.end_sides(bodies)?, self.end_sides(&mirrored)?];
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
            let back = clip_back::segments_to_flat(&self.back, flat_y, left.fillet.mirrored(), right.fillet);
            out.push(close_outline(back, right, &left)?);
        }
        let pair: Result<[Outline; 2], _> = out.try_into();
        pair.ok().filter(|[a, b]| a.can_interpolate_to(b)).ok_or(ClipError::EndsUnlike)
    }

    fn end_sides(&self, bodies: &[Outline; 2]) -> Result<[MountSide; 2], ClipError> {
        let [low, high] = self.fillets(bodies)?;
        Ok([self.side_with_fillet(&bodies[0], low)?, self.side_with_fillet(&bodies[1], high)?])
    }

    /// Fillets that meet the arm in the same direction at both ends.
    fn fillets(&self, bodies: &[Outline; 2]) -> Result<[ArmFillet; 2], ClipError> {
        let own = [self.fillet(&bodies[0])?, self.fillet(&bodies[1])?];
        let turned = (own[0].contact_angle - own[1].contact_angle + PI).rem_euclid(TAU) - PI;
        if turned.abs() < SAME_RAD {
            // On a flat, the fillets keep their radius wherever they meet it.
            return Ok([own[0], ArmFillet { contact_angle: own[0].contact_angle, ..own[1] }]);
        }
        let half_width_mm = self.back.neck_half_width_mm();
        let least = LEAST_FILLET_SHARE * self.back.fillet_mm();
        let mut greatest_mm = 0.0;
        for angle in own.map(|fillet| fillet.contact_angle) {
            let mut found = Vec::with_capacity(2);
            for body in bodies {
                let outward = Point::unit(angle - PI);
                let Some(contact) =
                    arc_point_with_normal(&offset_path(body, self.gap_mm + self.wall_mm, 0.5 * PI)?, outward)
                else {
                    break;
                };
                let radius = (contact.x - half_width_mm) / (1.0 - outward.x);
                greatest_mm = f64::max(greatest_mm, contact.x - least * (1.0 - outward.x));
                if radius < least {
                    break;
                }
                found.push(ArmFillet { centre: contact + outward * radius, contact_angle: angle, radius });
            }
            if let Ok(both) = found.try_into() {
                return Ok(both);
            }
        }
        Err(ClipError::PadTooWide { half_width_mm, greatest_mm })
    }
}

/// Point on the arcs of a chain where the normal has this direction.
fn arc_point_with_normal(chain: &[Curve], outward: Point) -> Option<Point> {
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
    use crate::{ConvexInterpolation, body_outlines, ellipse::ellipse};

    fn mount(body: Outline, half_wrap: f64) -> Mount {
        Mount {
            body,
            gap_mm: -0.1,
            wall_mm: 2.0,
            half_wrap_rad: half_wrap,
            lead_in: None,
            back: clip_back::ClipBack::Pad { half_width_mm: 3.0, depth_mm: 1.0, fillet_mm: 1.0 },
        }
    }

    fn ends(near: &Outline, far: &Outline, shares: [f64; 2]) -> [Outline; 2] {
        let blend = ConvexInterpolation::between(near, far).expect("both are convex");
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
                let drawn = mount(bodies[0].clone(), half_wrap).end_outlines(bodies);
                let outlines = drawn.unwrap_or_else(|e| panic!("case {case}: {e}"));
                for (outline, body) in outlines.iter().zip(bodies) {
                    assert!(outline.self_contact().is_none(), "case {case}");
                    let grips = outline.segments().iter().filter(|s| s.role == crate::Role::Seat);
                    for p in grips.flat_map(|s| [0.0, 0.3, 0.7].map(|t| s.curve.at(t))) {
                        assert!((body.nearest(p).distance_mm + 0.1).abs() < 1e-9, "case {case}");
                    }
                }
                let middle = outlines[0].interpolated(&outlines[1], 0.5).expect("it closes");
                assert!(middle.self_contact().is_none());
            }
        }
    }
}
