//! Convex polygons as intersections of half planes, each given by its outward normal and its distance.

use gripwright_section::Point;

use crate::polygon::edges;

/// A half plane: all points p with p · unit(angle) ≤ offset.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct HalfPlane {
    /// Direction of the outward normal, rad.
    pub(crate) angle: f64,
    /// Distance of the edge from the origin along it, mm.
    pub(crate) offset: f64,
}

impl HalfPlane {
    fn contains(&self, p: Point) -> bool {
        p.dot(Point::unit(self.angle)) <= self.offset
    }

    fn corner_with(&self, next: &Self) -> Point {
        // Along the edge of this one from the foot of its normal: h' = h cos + s sin at the turn between them.
        let turn = next.angle - self.angle;
        let normal = Point::unit(self.angle);
        normal * self.offset + normal.turned_left() * ((next.offset - self.offset * turn.cos()) / turn.sin())
    }
}

/// Returns the half planes of a convex counter-clockwise polygon, their angles ascending over one turn.
pub(crate) fn half_planes(polygon: &[Point]) -> Vec<HalfPlane> {
    let mut before: Option<f64> = None;
    edges(polygon)
        .map(|(a, b)| {
            let normal = -(b - a).turned_left();
            let mut angle = normal.angle();
            if let Some(last) = before {
                angle = last + (angle - last).rem_euclid(std::f64::consts::TAU);
            }
            before = Some(angle);
            HalfPlane { angle, offset: a.dot(Point::unit(angle)) }
        })
        .collect()
}

/// Returns the intersection: the half planes that bound it, each with the corner at the end of its edge.
///
/// The angles of `planes` ascend over one turn, less than half a turn apart. Returns `None` if the intersection is
/// empty.
pub(crate) fn intersection(planes: &[HalfPlane]) -> Option<Vec<(HalfPlane, Point)>> {
    // The usual method with a double-ended queue (from memory): a plane is dropped when the corner before it is cut
    // off.
    let mut kept: Vec<HalfPlane> = Vec::with_capacity(planes.len());
    let mut corners: Vec<Point> = Vec::with_capacity(planes.len());
    let mut head = 0;
    for plane in planes {
        while corners.len() > head && !plane.contains(corners[corners.len() - 1]) {
            corners.pop();
            kept.pop();
        }
        while corners.len() > head && !plane.contains(corners[head]) {
            head += 1;
        }
        if let Some(last) = kept.last() {
            let turn = plane.angle - last.angle;
            if turn <= 0.0 {
                // The same direction twice: the nearer one counts.
                if plane.offset < last.offset {
                    kept.pop();
                    corners.truncate(corners.len().saturating_sub(1).max(head));
                } else {
                    continue;
                }
            } else if turn >= std::f64::consts::PI - 1e-9 {
                return None;
            }
        }
        if kept.len() > head {
            corners.push(kept[kept.len() - 1].corner_with(plane));
        }
        kept.push(*plane);
    }
    while corners.len() > head && !kept[head].contains(corners[corners.len() - 1]) {
        corners.pop();
        kept.pop();
    }
    while corners.len() > head && !kept[kept.len() - 1].contains(corners[head]) {
        head += 1;
    }
    let kept = kept.get(head..).unwrap_or_default();
    let corners = corners.get(head..).unwrap_or_default();
    if kept.len() < 3 || corners.len() + 1 != kept.len() {
        return None;
    }
    let first = kept[0];
    let turned = HalfPlane { angle: first.angle + std::f64::consts::TAU, ..first };
    let last = kept[kept.len() - 1].corner_with(&turned);
    Some(kept.iter().copied().zip(corners.iter().copied().chain([last])).collect())
}

/// Returns a convex polygon with every corner sharper than `radius_mm` rounded to it: offset inward by the radius, then
/// outward.
///
/// The arcs are chords within `chord_mm`. Returns `None` if the radius leaves nothing.
pub(crate) fn with_rounded_corners(polygon: &[Point], radius_mm: f64, chord_mm: f64) -> Option<Vec<Point>> {
    let moved: Vec<HalfPlane> =
        half_planes(polygon).into_iter().map(|p| HalfPlane { offset: p.offset - radius_mm, ..p }).collect();
    let inner = intersection(&moved)?;
    let step = 2.0 * (2.0 * chord_mm / radius_mm).sqrt().min(0.5);
    let mut out = Vec::new();
    for (i, &(plane, corner)) in inner.iter().enumerate() {
        let next = inner.get(i + 1).map_or(inner[0].0.angle + std::f64::consts::TAU, |(p, _)| p.angle);
        let turn = next - plane.angle;
        if turn <= step {
            out.push(corner + Point::unit(plane.angle + 0.5 * turn) * (radius_mm / (0.5 * turn).cos()));
            continue;
        }
        let mut chords = 1.0;
        while chords * step < turn {
            chords += 1.0;
        }
        let mut k = 0.0;
        while k <= chords {
            out.push(corner + Point::unit(plane.angle + turn * k / chords) * radius_mm);
            k += 1.0;
        }
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::polygon::twice_area;

    #[test]
    fn planes_give_their_polygon_back() {
        let corners = [(0.0, 0.0), (9.0, 1.0), (10.0, 6.0), (4.0, 8.0)].map(|(x, y)| Point::new(x, y));
        let found = intersection(&half_planes(&corners)).unwrap();
        assert_eq!(found.len(), 4);
        for (i, (_, corner)) in found.iter().enumerate() {
            assert!(corner.distance(corners[(i + 1) % 4]) < 1e-12, "{corner:?}");
        }
    }

    #[test]
    fn a_plane_that_cuts_nothing_goes() {
        let mut planes = half_planes(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)].map(|(x, y)| Point::new(x, y)));
        planes.insert(1, HalfPlane { angle: planes[0].angle + 0.7, offset: 50.0 });
        assert_eq!(intersection(&planes).unwrap().len(), 4);
    }

    #[test]
    fn rounding_a_square_takes_its_corners_off() {
        let square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)].map(|(x, y)| Point::new(x, y));
        let round = with_rounded_corners(&square, 2.0, 1e-6).unwrap();
        let wanted = 100.0 - (4.0 - std::f64::consts::PI) * 4.0;
        assert!((0.5 * twice_area(&round) - wanted).abs() < 1e-4);
        assert!(with_rounded_corners(&square, 5.1, 1e-6).is_none());
    }
}
