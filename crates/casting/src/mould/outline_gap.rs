//! Distance between two outlines of lines and arcs, exact to rounding.

use gripwright_section::{Bounds, Curve, Outline, Point};

/// Plan of a part: outlines with their boxes.
#[derive(Clone, Debug)]
pub(crate) struct Plan {
    curves: Vec<(Curve, Bounds)>,
    outlines: Vec<Outline>,
    bounds: Bounds,
}

impl Plan {
    /// `None` without outlines.
    pub(crate) fn new(outlines: Vec<Outline>) -> Option<Self> {
        let bounds = outlines.iter().map(Outline::bounds).reduce(Bounds::joined)?;
        let curves = outlines.iter().flat_map(|o| o.segments().iter().map(|s| (s.curve, s.curve.bounds()))).collect();
        Some(Self { curves, outlines, bounds })
    }

    pub(crate) fn moved(&self, angle: f64, shift: Point) -> Self {
        let moved: Vec<Outline> = self.outlines.iter().map(|o| o.moved(angle, shift)).collect();
        Self::new(moved).unwrap_or_else(|| self.clone())
    }

    pub(crate) fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// True if a point keeps this distance (mm) from the plan, and does not lie inside.
    pub(crate) fn is_clear_of(&self, p: Point, least: f64) -> bool {
        let at = Bounds::containing(p, p);
        let near = |bounds: Bounds| box_gap(bounds, at) < least;
        if !near(self.bounds) {
            return true;
        }
        let touches = |pair: &(Curve, Bounds)| near(pair.1) && pair.0.nearest(p).point.distance(p) < least;
        !self.curves.iter().any(touches) && !self.outlines.iter().any(|o| o.encloses(p))
    }

    /// Distance between two plans that do not overlap, mm; or `beyond`, if it is not less.
    pub(crate) fn gap(&self, other: &Self, beyond: f64) -> f64 {
        if box_gap(self.bounds, other.bounds) >= beyond {
            return beyond;
        }
        let mut least = beyond;
        for (a, a_bounds) in &self.curves {
            if box_gap(*a_bounds, other.bounds) >= least {
                continue;
            }
            for (b, b_bounds) in &other.curves {
                if box_gap(*a_bounds, *b_bounds) < least {
                    least = least.min(curve_gap(a, b));
                }
            }
        }
        least
    }
}

fn box_gap(a: Bounds, b: Bounds) -> f64 {
    let apart = |a: [f64; 2], b: [f64; 2]| (b[0] - a[1]).max(a[0] - b[1]).max(0.0);
    let (x, y) = (apart([a.min.x, a.max.x], [b.min.x, b.max.x]), apart([a.min.y, a.max.y], [b.min.y, b.max.y]));
    // Much faster than `hypot`, and coordinates are far from overflow.
    (x * x + y * y).sqrt()
}

/// Distance between two curves that do not cross. The nearest points are ends, or both normals lie on the line between
/// them: that line then goes through the centres, or through the centre and square to the line.
fn curve_gap(a: &Curve, b: &Curve) -> f64 {
    let from = |own: &Curve, other: &Curve| {
        let to_other = |p: Point| other.nearest(p).point.distance(p);
        let ends = to_other(own.start()).min(to_other(own.end()));
        let Curve::Arc { centre, radius, start_angle, sweep } = *own else { return ends };
        let direction = match *other {
            Curve::Line { start, end } => (end - start).turned_left(),
            Curve::Arc { centre: far, .. } => far - centre,
        };
        [direction, -direction].into_iter().fold(ends, |least, d| {
            let turn = ((d.angle() - start_angle) * sweep.signum()).rem_euclid(std::f64::consts::TAU);
            let on_arc = d.length() > 0.0 && turn <= sweep.abs();
            if on_arc { least.min(to_other(centre + d * (radius / d.length()))) } else { least }
        })
    };
    from(a, b).min(from(b, a))
}

#[cfg(test)]
mod tests {
    use gripwright_section::{circle, rounded_rectangle};

    use super::*;

    fn plan(outline: Outline, x: f64, y: f64) -> Plan {
        Plan::new(vec![outline]).unwrap().moved(0.0, Point::new(x, y))
    }

    #[test]
    fn circles_and_rounded_boxes_have_textbook_gaps() {
        let disc = plan(circle(10.0).unwrap(), 0.0, 0.0);
        let beyond = f64::INFINITY;
        assert!((disc.gap(&plan(circle(4.0).unwrap(), 6.0, 8.0), beyond) - 3.0).abs() < 1e-12);
        let slab = plan(rounded_rectangle(20.0, 6.0, 1.0).unwrap(), 2.5, 11.0);
        assert!((disc.gap(&slab, beyond) - 3.0).abs() < 1e-12);
        assert!((slab.gap(&disc, beyond) - 3.0).abs() < 1e-12);
        assert!((disc.gap(&slab, 2.0) - 2.0).abs() < 1e-12);
    }

    #[test]
    fn points_inside_or_too_near_are_not_clear() {
        let disc = plan(circle(10.0).unwrap(), 1.0, 0.0);
        for (x, clear) in [(1.0, false), (5.5, false), (8.9, false), (9.1, true), (40.0, true)] {
            assert_eq!(disc.is_clear_of(Point::new(x, 0.0), 3.0), clear, "{x}");
        }
    }

    /// Sampled points are never nearer than the exact distance, and come as near as their spacing allows.
    #[test]
    fn gaps_agree_with_sampled_points() {
        let ring = |x: f64, y: f64| {
            let arcs = [Curve::arc(Point::ORIGIN, 8.0, 0.6, 5.0), Curve::arc(Point::ORIGIN, 6.0, 5.6, -5.0)];
            let curves = [
                arcs[0],
                Curve::line(arcs[0].end(), arcs[1].start()),
                arcs[1],
                Curve::line(arcs[1].end(), arcs[0].start()),
            ];
            let segments = curves.map(|c| gripwright_section::Segment::new(c, gripwright_section::Role::Body));
            plan(Outline::new(segments.to_vec()).unwrap(), x, y)
        };
        let points = |p: &Plan| -> Vec<Point> {
            p.curves.iter().flat_map(|(c, _)| (0..=400).map(|k| c.at(f64::from(k) / 400.0))).collect()
        };
        for (k, angle) in [0.0, 0.7, 1.9, 3.1, 4.4].into_iter().enumerate() {
            let (one, two) = (ring(0.0, 0.0), ring(0.0, 0.0).moved(angle, Point::new(17.0, -3.0 + 2.0 * k as f64)));
            let found = one.gap(&two, f64::INFINITY);
            let sampled = points(&one)
                .iter()
                .flat_map(|p| points(&two).into_iter().map(move |q| p.distance(q)))
                .fold(f64::INFINITY, f64::min);
            assert!(found <= sampled + 1e-12 && sampled - found < 0.02, "{found} {sampled}");
        }
    }
}
