//! Closed polygons: area, convex hull, hollows, crossings and winding number.

use gripwright_section::Point;

/// Greatest number of edge pairs that the search for a crossing compares, so that it ends for every input.
const MOST_PAIRS: usize = 4_000_000;

/// Twice the area that a closed polygon encloses; negative when it runs clockwise.
pub(crate) fn twice_area(points: &[Point]) -> f64 {
    let Some(&origin) = points.first() else { return 0.0 };
    edges(points).map(|(a, b)| (a - origin).cross(b - origin)).sum()
}

/// Edges in order, including the closing one.
pub(crate) fn edges(points: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    points.iter().copied().zip(points.iter().copied().cycle().skip(1))
}

/// Lower left and upper right corner of the bounding box.
pub(crate) fn bounds(points: &[Point]) -> (Point, Point) {
    let start = (Point::new(f64::INFINITY, f64::INFINITY), Point::new(f64::NEG_INFINITY, f64::NEG_INFINITY));
    points.iter().fold(start, |(low, high), p| {
        (Point::new(low.x.min(p.x), low.y.min(p.y)), Point::new(high.x.max(p.x), high.y.max(p.y)))
    })
}

/// Convex hull, counter-clockwise, without points that lie on its edges (Andrew's monotone chain, from memory).
pub(crate) fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    sorted.dedup();
    let mut chain: Vec<Point> = Vec::new();
    for pass in 0..2 {
        let floor = chain.len();
        for &p in &sorted {
            while chain.len() >= floor + 2 {
                let (a, b) = (chain[chain.len() - 2], chain[chain.len() - 1]);
                if (b - a).cross(p - b) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(p);
        }
        // The last point of one pass is the first of the other.
        chain.pop();
        if pass == 0 {
            sorted.reverse();
        }
    }
    chain
}

/// Deepest point of a polygon below its convex hull, and its depth, mm.
pub(crate) fn deepest_hollow(points: &[Point], hull: &[Point]) -> (Point, f64) {
    let mut found = (points.first().copied().unwrap_or_default(), 0.0);
    let Some(fan) = HullFan::about(hull) else { return found };
    // Both ends of an edge across the inside may lie on the hull, but not its middle.
    for p in edges(points).flat_map(|(a, b)| [a, a.towards(b, 0.5)]) {
        let depth = fan.depth(p);
        if depth > found.1 {
            found = (p, depth);
        }
    }
    found
}

/// Depth of each point below a convex hull, mm.
pub(crate) fn depths_below(points: &[Point], hull: &[Point]) -> Vec<f64> {
    let fan = HullFan::about(hull);
    points.iter().map(|p| fan.as_ref().map_or(0.0, |fan| fan.depth(*p))).collect()
}

/// Winding number of a polygon about a point, positive counter-clockwise.
pub(crate) fn winding_number(points: &[Point], centre: Point) -> f64 {
    let sum: f64 = edges(points)
        .map(|(a, b)| {
            let (a, b) = (a - centre, b - centre);
            a.cross(b).atan2(a.dot(b))
        })
        .sum();
    sum / std::f64::consts::TAU
}

/// Mean of the corners of a convex polygon, which lies inside.
pub(crate) fn mean_corner(points: &[Point]) -> Point {
    points.iter().fold(Point::ORIGIN, |sum, p| sum + *p) * (1.0 / points.len().max(1) as f64)
}

/// Angular order of a convex hull about an inner point, for finding the edge nearest to a point.
struct HullFan<'a> {
    hull: &'a [Point],
    centre: Point,
    first: f64,
}

impl<'a> HullFan<'a> {
    fn about(hull: &'a [Point]) -> Option<Self> {
        let centre = mean_corner(hull);
        let first = (*hull.first()? - centre).angle();
        (hull.len() >= 3).then_some(Self { hull, centre, first })
    }

    fn turn(&self, p: Point) -> f64 {
        ((p - self.centre).angle() - self.first).rem_euclid(std::f64::consts::TAU)
    }

    /// Depth below the nearest of the three edges about the ray from the centre through the point. Near the hull this
    /// is the nearest of all edges.
    fn depth(&self, p: Point) -> f64 {
        let count = self.hull.len();
        let turn = self.turn(p);
        let (mut low, mut high) = (0, count);
        while high - low > 1 {
            let half = low.midpoint(high);
            if self.turn(self.hull[half]) <= turn { low = half } else { high = half }
        }
        let edge = |i: usize| {
            let (a, b) = (self.hull[i % count], self.hull[(i + 1) % count]);
            let along = b - a;
            along.cross(p - a) / along.length()
        };
        edge(low + count - 1).min(edge(low)).min(edge(low + 1)).max(0.0)
    }
}

/// Returns a point where two edges without a common corner cross; `None` if there is none or the search gives up.
pub(crate) fn crossing(points: &[Point]) -> Option<Point> {
    let all: Vec<(Point, Point)> = edges(points).collect();
    let count = all.len();
    let mut order: Vec<usize> = (0..count).collect();
    let left = |i: usize| all[i].0.x.min(all[i].1.x);
    order.sort_by(|&a, &b| left(a).total_cmp(&left(b)));
    let mut tried = 0;
    for (place, &i) in order.iter().enumerate() {
        let right = all[i].0.x.max(all[i].1.x);
        for &j in order.iter().skip(place + 1).take_while(|&&j| left(j) <= right) {
            tried += 1;
            if tried > MOST_PAIRS {
                return None;
            }
            let next = (i + 1) % count == j || (j + 1) % count == i;
            if !next && let Some(p) = segment_intersection(all[i].0, all[i].1, all[j].0, all[j].1) {
                return Some(p);
            }
        }
    }
    None
}

/// Intersection of the segments from a to b and from c to d.
fn segment_intersection(a: Point, b: Point, c: Point, d: Point) -> Option<Point> {
    let (one, two) = (b - a, d - c);
    let area = one.cross(two);
    let (s, t) = ((c - a).cross(two) / area, (c - a).cross(one) / area);
    ((0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t)).then(|| a.towards(b, s))
}

/// Returns a convex polygon without the corners within `eps_mm` of the line between their neighbours.
pub(crate) fn simplified(points: &[Point], eps_mm: f64) -> Vec<Point> {
    let idle = |before: Point, p: Point, next: Point| {
        let chord = next - before;
        before.distance(p) <= eps_mm || chord.cross(p - before).abs() <= eps_mm * chord.length()
    };
    let mut kept: Vec<Point> = Vec::with_capacity(points.len());
    for (i, &p) in points.iter().enumerate() {
        let next = points[(i + 1) % points.len()];
        if kept.last().is_none_or(|before| !idle(*before, p, next)) {
            kept.push(p);
        }
    }
    // The first corner was kept unchecked, and the last was checked before the first.
    while let [first, second, .., last] = kept[..]
        && idle(last, first, second)
    {
        kept.remove(0);
    }
    while let [first, .., before, last] = kept[..]
        && idle(before, last, first)
    {
        kept.pop();
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(count: usize, radius: f64) -> Vec<Point> {
        (0..count).map(|k| Point::unit(std::f64::consts::TAU * k as f64 / count as f64) * radius).collect()
    }

    #[test]
    fn hull_of_a_ring_with_points_inside_is_the_ring() {
        let mut points = ring(40, 10.0);
        points.extend(ring(17, 6.0));
        assert_eq!(hull(&points).len(), 40);
        assert!((twice_area(&hull(&points)) - 40.0 * 100.0 * (std::f64::consts::TAU / 40.0).sin()).abs() < 1e-9);
    }

    #[test]
    fn a_dent_is_found_with_its_depth() {
        let square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 8.0), (0.0, 10.0)].map(|(x, y)| Point::new(x, y));
        let (place, depth) = deepest_hollow(&square, &hull(&square));
        assert_eq!(place, Point::new(5.0, 8.0));
        assert!((depth - 2.0).abs() < 1e-12);
        assert_eq!(crossing(&square), None);
    }

    #[test]
    fn a_figure_of_eight_crosses() {
        let eight = [(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)].map(|(x, y)| Point::new(x, y));
        assert_eq!(crossing(&eight), Some(Point::new(1.0, 1.0)));
    }

    #[test]
    fn a_ring_walked_twice_turns_twice() {
        let twice: Vec<Point> = ring(30, 5.0).into_iter().chain(ring(30, 5.0)).collect();
        assert!((winding_number(&twice, Point::ORIGIN) - 2.0).abs() < 1e-9);
    }
}
