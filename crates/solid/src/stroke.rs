//! Pen strokes: outlines of the area that a round pen covers along a path of lines and arcs.

use std::f64::consts::{FRAC_PI_2, PI};

use gripwright_section::{Curve, Outline, OutlineError, Point, Role, Segment};

/// Directions closer than this (rad) are one direction.
const SMOOTH_RAD: f64 = 1e-9;

/// Outline of a stroke along a path, counter-clockwise, with round ends. Corners are round on the outside and sharp on the
/// inside. Corners may occur only between lines; arcs must be tangent to their neighbours and wider than the pen.
pub(crate) fn stroke_outline(path: &[Curve], half_width: f64) -> Result<Outline, OutlineError> {
    let back: Vec<Curve> = path.iter().rev().map(Curve::reversed).collect();
    let mut curves = Vec::new();
    for direction in [path, back.as_slice()] {
        curves.extend(right_side(direction, half_width));
        if let Some(last) = direction.last() {
            curves.push(Curve::arc(last.end(), half_width, last.tangent(1.0).angle() - FRAC_PI_2, PI));
        }
    }
    Outline::new(curves.into_iter().map(|c| Segment::new(c, Role::Label)).collect())
}

/// Outline of two equal perpendicular strokes that cross at `centre`, counter-clockwise, with round ends and sharp inner
/// corners. `reach` is the length of an arm from the centre.
pub(crate) fn cross_outline(centre: Point, reach: f64, half_width: f64) -> Result<Outline, OutlineError> {
    let mut curves = Vec::with_capacity(12);
    // Exact directions, so that neighbouring arms meet bit for bit.
    let directions = [Point::new(1.0, 0.0), Point::new(0.0, 1.0), Point::new(-1.0, 0.0), Point::new(0.0, -1.0)];
    for along in directions {
        let aside = along.turned_left() * half_width;
        let (inner, outer) = (centre + along * half_width, centre + along * reach);
        curves.push(Curve::line(inner - aside, outer - aside));
        curves.push(Curve::arc(outer, half_width, along.angle() - FRAC_PI_2, PI));
        curves.push(Curve::line(outer + aside, inner + aside));
    }
    Outline::new(curves.into_iter().map(|c| Segment::new(c, Role::Label)).collect())
}

/// The path, offset to its right.
fn right_side(path: &[Curve], half_width: f64) -> Vec<Curve> {
    let mut moved: Vec<Curve> = path.iter().map(|c| offset_right(c, half_width)).collect();
    let mut rounds = vec![None; path.len()];
    for i in 1..path.len() {
        let turn = turn_between(&path[i - 1], &path[i]);
        if turn > SMOOTH_RAD {
            let start = path[i - 1].tangent(1.0).angle() - FRAC_PI_2;
            rounds[i] = Some(Curve::arc(path[i].start(), half_width, start, turn));
        } else if turn < -SMOOTH_RAD {
            let corner = moved[i].start() + moved[i].tangent(0.0) * (half_width * (-0.5 * turn).tan());
            if let Curve::Line { start, .. } = moved[i - 1] {
                moved[i - 1] = Curve::line(start, corner);
            }
            if let Curve::Line { end, .. } = moved[i] {
                moved[i] = Curve::line(corner, end);
            }
        }
    }
    moved.into_iter().zip(rounds).flat_map(|(curve, round)| round.into_iter().chain([curve])).collect()
}

/// The curve, offset to its right.
fn offset_right(curve: &Curve, distance: f64) -> Curve {
    match *curve {
        Curve::Line { start, end } => {
            let shift = curve.tangent(0.0).turned_left() * -distance;
            Curve::line(start + shift, end + shift)
        }
        Curve::Arc { centre, radius, start_angle, sweep } => {
            let radius = if sweep > 0.0 { radius + distance } else { radius - distance };
            Curve::arc(centre, radius, start_angle, sweep)
        }
    }
}

/// Angle from the end of one curve to the start of the next, positive to the left.
fn turn_between(before: &Curve, after: &Curve) -> f64 {
    let (a, b): (Point, Point) = (before.tangent(1.0), after.tangent(0.0));
    a.cross(b).atan2(a.dot(b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_stroke_is_a_rectangle_with_round_ends() {
        let o = stroke_outline(&[Curve::line(Point::ORIGIN, Point::new(3.0, 0.0))], 0.5).unwrap();
        assert_eq!(o.segments().len(), 4);
        assert!((o.area_mm2() - (3.0 + 0.25 * PI)).abs() < 1e-14);
    }

    #[test]
    fn a_corner_is_round_outside_and_sharp_inside() {
        let at = Point::new;
        let path = [Curve::line(at(0.0, 0.0), at(3.0, 0.0)), Curve::line(at(3.0, 0.0), at(3.0, 3.0))];
        for path in [path.to_vec(), path.iter().rev().map(Curve::reversed).collect()] {
            let o = stroke_outline(&path, 0.5).unwrap();
            // Two bars and two half discs; at the corner the bars share a quarter square, and a quarter disc is added.
            let wanted = 6.0 + 0.25 * PI - 0.25 + 0.0625 * PI;
            assert!((o.area_mm2() - wanted).abs() < 1e-14, "{} {wanted}", o.area_mm2());
            assert_eq!(o.self_contact(), None);
        }
    }

    #[test]
    fn a_cross_is_two_bars_that_share_a_square() {
        let o = cross_outline(Point::new(3.0, 1.0), 2.0, 0.3).unwrap();
        // Two bars 4 mm long and 0.6 mm wide, less the square that they share, and four half discs.
        let wanted = 2.0 * 4.0 * 0.6 - 0.36 + 2.0 * PI * 0.09;
        assert!((o.area_mm2() - wanted).abs() < 1e-14, "{} {wanted}", o.area_mm2());
        assert_eq!(o.self_contact(), None);
    }
}
