//! Signed distance to the rigid barrel or body.

use gripwright_section::{Curve, Outline, Point};

/// Shape of the rigid section in its own coordinates, its axis at the origin.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum RigidShape {
    /// A round barrel of this radius, mm.
    Circle(f64),
    /// A convex, counter-clockwise chain without corners, moved outward by a distance `grown` (mm).
    BlockChain { pieces: Vec<ShapePiece>, grown: f64, reach: f64 },
}

/// A line or arc of a chain, prepared for many distance queries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum ShapePiece {
    /// From a point along a unit vector over a length.
    Line { start: Point, along: Point, length: f64 },
    /// Counter-clockwise about a centre, between two directions (unit vectors); `wide` if it sweeps over half a turn.
    Arc { centre: Point, radius: f64, from: Point, to: Point, wide: bool },
}

impl ShapePiece {
    fn from_curve(curve: &Curve) -> Self {
        match *curve {
            Curve::Line { start, end } => {
                let length = start.distance(end);
                Self::Line { start, along: (end - start) * (1.0 / length), length }
            }
            Curve::Arc { centre, radius, start_angle, sweep } => Self::Arc {
                centre,
                radius,
                from: Point::unit(start_angle),
                to: Point::unit(start_angle + sweep),
                wide: sweep > std::f64::consts::PI,
            },
        }
    }

    fn mirrored(&self) -> Self {
        let flip = |p: Point| Point::new(-p.x, p.y);
        match *self {
            Self::Line { start, along, length } => {
                Self::Line { start: flip(start + along * length), along: -flip(along), length }
            }
            Self::Arc { centre, radius, from, to, wide } => {
                Self::Arc { centre: flip(centre), radius, from: flip(to), to: flip(from), wide }
            }
        }
    }

    fn ends_and_middle(&self) -> [Point; 3] {
        match *self {
            Self::Line { start, along, length } => [0.0, 0.5, 1.0].map(|share| start + along * (share * length)),
            Self::Arc { centre, radius, from, to, wide } => {
                // Between two directions that are half a turn apart lies the one that the arc turns to.
                let (sum, left) = (from + to, from.turned_left());
                let middle = if sum.length() < 1e-6 { left } else { sum * (1.0 / sum.length()) };
                let middle = if wide { -middle } else { middle };
                [from, middle, to].map(|direction| centre + direction * radius)
            }
        }
    }

    /// Gap to this piece if one of its normals passes through the point. On a smooth convex chain this holds for
    /// exactly one piece.
    fn gap(&self, point: Point) -> Option<Gap> {
        /// Allowance for rounding where two pieces meet.
        const SLACK: f64 = 1e-9;
        match *self {
            Self::Line { start, along, length } => {
                let way = point - start;
                let t = way.dot(along);
                let normal = -along.turned_left();
                (t >= -SLACK && t <= length + SLACK).then(|| Gap {
                    distance: way.dot(normal),
                    normal,
                    turn_per_mm: 0.0,
                })
            }
            Self::Arc { centre, radius, from, to, wide } => {
                let way = point - centre;
                let slack = -SLACK * radius;
                let (after, before) = (from.cross(way) >= slack, way.cross(to) >= slack);
                let reached = if wide { after || before } else { after && before && way.dot(from + to) >= slack };
                let length = way.dot(way).sqrt();
                (reached && length > 0.0).then(|| Gap {
                    distance: length - radius,
                    normal: way * (1.0 / length),
                    turn_per_mm: 1.0 / length,
                })
            }
        }
    }
}

/// Distance of the farthest point of a curve from the axis, mm.
fn curve_reach_mm(curve: &Curve) -> f64 {
    let ends = curve.start().length().max(curve.end().length());
    let Curve::Arc { centre, radius, .. } = *curve else { return ends };
    let off = centre.length();
    // About the axis itself every point is the farthest.
    let farthest = if off > 0.0 { centre * (1.0 + radius / off) } else { return radius };
    match ShapePiece::from_curve(curve).gap(farthest) {
        Some(gap) if gap.distance.abs() <= 1e-6 * radius => off + radius,
        _ => ends,
    }
}

/// Position of a point relative to the surface of the rigid section.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Gap {
    /// Distance from the surface, mm, negative inside.
    pub(crate) distance: f64,
    /// Outward normal.
    pub(crate) normal: Point,
    /// Rotation of the normal per mm of motion along the surface, rad/mm.
    pub(crate) turn_per_mm: f64,
}

impl RigidShape {
    pub(crate) fn from_outline(outline: &Outline) -> Self {
        let curves: Vec<Curve> = outline.segments().iter().map(|s| s.curve).collect();
        let reach = curves.iter().map(curve_reach_mm).fold(0.0, f64::max);
        Self::BlockChain { pieces: curves.iter().map(ShapePiece::from_curve).collect(), grown: 0.0, reach }
    }

    /// Returns the shape mirrored at the y axis.
    #[must_use]
    pub(crate) fn mirrored(&self) -> Self {
        match self {
            Self::Circle(radius) => Self::Circle(*radius),
            Self::BlockChain { pieces, grown, reach } => {
                let pieces = pieces.iter().rev().map(ShapePiece::mirrored).collect();
                Self::BlockChain { pieces, grown: *grown, reach: *reach }
            }
        }
    }

    /// True if the shape is its own mirror image at the y axis, to rounding.
    pub(crate) fn is_symmetric(&self) -> bool {
        /// Allowance over the reach.
        const SLACK: f64 = 1e-6;
        let Self::BlockChain { pieces, grown, reach } = self else { return true };
        let is_mirrored = |place: Point| {
            let gap = self.gap(Point::new(-place.x, place.y), f64::INFINITY);
            gap.is_some_and(|gap| (gap.distance + grown).abs() <= SLACK * reach)
        };
        pieces.iter().flat_map(ShapePiece::ends_and_middle).all(is_mirrored)
    }

    /// Returns the shape moved outward by `mm` along its normals.
    #[must_use]
    pub(crate) fn grown(self, mm: f64) -> Self {
        match self {
            Self::Circle(radius) => Self::Circle(radius + mm),
            Self::BlockChain { pieces, grown, reach } => {
                Self::BlockChain { pieces, grown: grown + mm, reach: reach + mm.max(0.0) }
            }
        }
    }

    /// Radius of a circle about the axis that contains the shape, mm.
    pub(crate) fn reach_mm(&self) -> f64 {
        match self {
            Self::Circle(radius) => *radius,
            Self::BlockChain { reach, .. } => *reach,
        }
    }

    /// Least radius of curvature of the surface, mm.
    pub(crate) fn least_radius_mm(&self) -> f64 {
        match self {
            Self::Circle(radius) => *radius,
            Self::BlockChain { pieces, grown, .. } => pieces
                .iter()
                .map(|piece| match piece {
                    ShapePiece::Line { .. } => f64::INFINITY,
                    ShapePiece::Arc { radius, .. } => (radius + grown).max(0.0),
                })
                .fold(f64::INFINITY, f64::min),
        }
    }

    /// Ratio of about a quarter of the reach to the least radius of curvature, between 1 (blunt) and 4.
    pub(crate) fn sharpness(&self) -> f64 {
        /// Least radius over the reach from which on a shape counts as blunt, and the greatest ratio.
        const BLUNT: f64 = 0.26;
        const MOST: f64 = 4.0;
        (BLUNT * self.reach_mm() / self.least_radius_mm()).clamp(1.0, MOST)
    }

    /// Returns the gap of a point given relative to the axis; `None` if it is farther than `near` (mm).
    pub(crate) fn gap(&self, point: Point, near: f64) -> Option<Gap> {
        self.gap_from(point, near, &mut 0)
    }

    /// As [`Self::gap`], for a point that moves little between two queries: the search starts at the piece that was
    /// nearest last, which `piece` holds.
    pub(crate) fn gap_from(&self, point: Point, near: f64, piece: &mut usize) -> Option<Gap> {
        let square = point.dot(point);
        match self {
            Self::Circle(radius) => {
                let outside = radius + near;
                if square >= outside * outside || square <= 0.0 {
                    return None;
                }
                let length = square.sqrt();
                let turn_per_mm = 1.0 / length;
                Some(Gap { distance: length - radius, normal: point * turn_per_mm, turn_per_mm })
            }
            Self::BlockChain { pieces, grown, reach } => {
                let outside = reach + near;
                if square >= outside * outside {
                    return None;
                }
                // Near the surface only one piece has a gap; deep inside several have, and the nearest counts.
                let deep = -0.05 * reach;
                let mut nearest: Option<Gap> = None;
                let first = (*piece).min(pieces.len());
                for index in (first..pieces.len()).chain(0..first) {
                    let Some(gap) = pieces[index].gap(point) else { continue };
                    if nearest.is_none_or(|n| gap.distance.abs() < n.distance.abs()) {
                        nearest = Some(gap);
                        *piece = index;
                    }
                    if gap.distance > deep {
                        break;
                    }
                }
                let nearest = nearest?;
                let gap = Gap { distance: nearest.distance - grown, ..nearest };
                (gap.distance < near).then_some(gap)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use gripwright_section::{circle, ellipse, rounded_rectangle};

    use super::*;

    #[test]
    fn circle_by_outline_is_the_circle() {
        let chain = RigidShape::from_outline(&circle(10.0).unwrap());
        for i in 0..40 {
            let point = Point::unit(0.157 * f64::from(i)) * (4.5 + 0.05 * f64::from(i));
            let (a, b) = (chain.gap(point, 10.0).unwrap(), RigidShape::Circle(5.0).gap(point, 10.0).unwrap());
            assert!((a.distance - b.distance).abs() < 1e-12 && (a.normal - b.normal).length() < 1e-12);
            assert!((a.turn_per_mm - b.turn_per_mm).abs() < 1e-12);
        }
    }

    #[test]
    fn mirror_images_are_told_from_others() {
        let rectangle = RigidShape::from_outline(&rounded_rectangle(24.0, 16.0, 4.0).unwrap());
        let ellipse = ellipse(20.0, 12.0, 0.001).unwrap();
        assert!(RigidShape::Circle(3.0).is_symmetric() && rectangle.is_symmetric());
        assert!(RigidShape::from_outline(&circle(10.0).unwrap()).is_symmetric());
        let ellipse = RigidShape::from_outline(&ellipse).grown(-0.2);
        assert!(ellipse.is_symmetric() && ellipse.mirrored().is_symmetric());
        // The same rectangle half a millimetre beside its axis.
        let RigidShape::BlockChain { pieces, grown, reach } = rectangle else { panic!("it is a chain") };
        let aside = |piece: &ShapePiece| match *piece {
            ShapePiece::Line { start, along, length } => {
                ShapePiece::Line { start: start + Point::new(0.5, 0.0), along, length }
            }
            ShapePiece::Arc { centre, radius, from, to, wide } => {
                ShapePiece::Arc { centre: centre + Point::new(0.5, 0.0), radius, from, to, wide }
            }
        };
        let pieces = pieces.iter().map(aside).collect();
        assert!(!RigidShape::BlockChain { pieces, grown, reach }.is_symmetric());
    }

    /// The distance to a smooth convex outline against the least distance to dense samples of it.
    #[test]
    fn distance_is_that_of_the_nearest_point() {
        for outline in [rounded_rectangle(24.0, 16.0, 4.0).unwrap(), ellipse(20.0, 12.0, 0.001).unwrap()] {
            let samples: Vec<Point> =
                outline.segments().iter().flat_map(|s| (0..2000).map(|i| s.curve.at(f64::from(i) / 2000.0))).collect();
            let shape = RigidShape::from_outline(&outline);
            for i in 0..60 {
                let point = Point::unit(0.11 * f64::from(i)) * (12.5 + 0.1 * f64::from(i));
                let nearest = samples.iter().map(|s| s.distance(point)).fold(f64::INFINITY, f64::min);
                let gap = shape.gap(point, 30.0).unwrap();
                assert!((gap.distance.abs() - nearest).abs() < 1e-4, "{point:?}: {gap:?} against {nearest}");
                let grown = shape.clone().grown(0.3).gap(point, 30.0).unwrap();
                assert!((grown.distance - gap.distance + 0.3).abs() < 1e-12);
            }
        }
    }
}
