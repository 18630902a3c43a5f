//! Gauge of a body: a fork that follows the body from below up to its widest places, open toward the mouth of the mount.

use std::f64::consts::FRAC_PI_2;

use super::{join_seats, offset_path};
use crate::{
    clip_error::{ClipError, all_positive},
    curve::Curve,
    outline::{Outline, Segment, mirrored_segments},
    point::Point,
    role::Role,
};

/// Parts of a chain shorter than this are rounding, mm.
const LEAST_CURVE_MM: f64 = 1e-6;

/// Fork that slips over a body without bending, from the side of a mount's floor.
///
/// The edge keeps one clearance up to the widest places of the body and runs straight on from there, so that nothing
/// of the fork stands in the way.
#[derive(Clone, Debug, PartialEq)]
pub struct BodyGauge {
    /// Section of the body, as a [`Mount`](crate::Mount) has it.
    pub body: Outline,
    /// Clearance between body and edge, mm.
    pub clearance_mm: f64,
    /// Least width of the prongs, mm.
    pub prong_mm: f64,
    /// Height of the prongs over the widest places, mm.
    pub lead_mm: f64,
    /// Depth of the back below the edge, mm.
    pub back_mm: f64,
    /// Least half width of the back, mm.
    pub half_width_mm: f64,
}

impl BodyGauge {
    /// Closed outline, counter-clockwise. Its edge along the body has the role [`Role::Seat`].
    pub fn outline(&self) -> Result<Outline, ClipError> {
        all_positive(&[
            ("the clearance of the gauge", self.clearance_mm),
            ("its prongs", self.prong_mm),
            ("the lead of its prongs", self.lead_mm),
            ("its back", self.back_mm),
        ])?;
        let right = self.edge(&self.body)?;
        let left = mirrored_segments(&self.edge(&self.body.mirrored())?);
        let (right_end, left_end) = match (right.first(), left.last()) {
            (Some(first), Some(last)) => (first.curve.start(), last.curve.end()),
            _ => return Err(ClipError::CornerLost { gap_mm: self.clearance_mm }),
        };
        let top = right_end.y.max(left_end.y) + self.lead_mm;
        let bottom = self.floor_y();
        let outer_right = (right_end.x + self.prong_mm).max(self.half_width_mm);
        let outer_left = (left_end.x - self.prong_mm).min(-self.half_width_mm);
        let tops = [right_end, left_end].map(|end| Point::new(end.x, top));
        let corners = [
            Point::new(outer_left, top),
            Point::new(outer_left, bottom),
            Point::new(outer_right, bottom),
            Point::new(outer_right, top),
        ];
        let line = |start: Point, end: Point| Segment::new(Curve::line(start, end), Role::Tab);
        let mut segments: Vec<Segment> = corners.windows(2).map(|pair| line(pair[0], pair[1])).collect();
        segments.extend([line(corners[3], tops[0]), line(tops[0], right_end)]);
        segments.extend(join_seats(right, left));
        segments.extend([line(left_end, tops[1]), line(tops[1], corners[0])]);
        Ok(Outline::new(segments)?)
    }

    /// Height of the back's lower side, mm; negative.
    pub fn floor_y(&self) -> f64 {
        self.body.bounds().min.y - self.clearance_mm - self.back_mm
    }

    /// Edge along one side of the body, from its widest place down to the y axis.
    fn edge(&self, body: &Outline) -> Result<Vec<Segment>, ClipError> {
        // A straight side at the widest place belongs to the edge as a whole.
        let path = offset_path(body, self.clearance_mm, FRAC_PI_2 + 1e-8)?;
        let curves = path.iter().filter(|curve| curve.length() > LEAST_CURVE_MM);
        Ok(curves.rev().map(|curve| Segment::new(curve.reversed(), Role::Seat)).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{circle, ellipse, flatted_circle, rounded_rectangle};

    fn gauge(body: Outline, clearance_mm: f64) -> BodyGauge {
        BodyGauge { body, clearance_mm, prong_mm: 6.0, lead_mm: 2.0, back_mm: 8.0, half_width_mm: 12.0 }
    }

    fn bodies() -> Vec<Outline> {
        let drawn = [
            circle(25.0).unwrap(),
            rounded_rectangle(24.0, 16.0, 6.0).unwrap(),
            rounded_rectangle(16.0, 24.0, 4.0).unwrap(),
            ellipse(30.0, 18.0, 0.01).unwrap(),
            flatted_circle(20.0, 17.0, 1.0).unwrap(),
        ];
        let turned = drawn
            .iter()
            .flat_map(|body| [0.0, FRAC_PI_2, 2.0 * FRAC_PI_2, 0.3].map(|turn| body.moved(turn, Point::ORIGIN)));
        turned.collect()
    }

    #[test]
    fn the_edge_keeps_its_clearance_everywhere() {
        for body in bodies() {
            for clearance_mm in [0.05, 0.2, 1.0] {
                let outline = gauge(body.clone(), clearance_mm).outline().unwrap();
                for segment in outline.segments().iter().filter(|s| s.role == Role::Seat) {
                    for place in 0..=20 {
                        let off = body.nearest(segment.curve.at(f64::from(place) / 20.0)).distance_mm;
                        assert!((off - clearance_mm).abs() < 1e-6, "{off} mm instead of {clearance_mm} mm");
                    }
                }
                assert!(outline.self_contact().is_none() && outline.area_mm2() > 0.0);
            }
        }
    }

    /// The fork goes over the body along y without touching it: at every height of the way the body stays inside.
    #[test]
    fn it_slips_on_without_bending() {
        for body in bodies() {
            let outline = gauge(body.clone(), 0.2).outline().unwrap();
            for shift in 0..60 {
                let away = Point::new(0.0, -0.5 * f64::from(shift));
                let fork = outline.moved(0.0, away);
                let points = body.segments().iter().flat_map(|s| (0..=10).map(|t| s.curve.at(f64::from(t) / 10.0)));
                for p in points {
                    // Outside the material of the fork, by the clearance as far as rounding goes.
                    let off = fork.nearest(p).distance_mm;
                    assert!(off > 0.2 - 1e-6, "{off} mm at {p:?} when the fork is {} mm away", -away.y);
                }
            }
        }
    }
}
