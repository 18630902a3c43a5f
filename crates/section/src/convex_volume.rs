//! Volumes that must stay free: a plane shape drawn out along an axis, its signed distance and its side view.
//!
//! The holder's axes: x across, y away from the body toward the tools, z along the body. A side view has y to the right
//! and z up, as the web's drawing has. Every volume here is convex, so that its signed distance is a convex function
//! that changes by at most a millimetre per millimetre.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::{
    curve::Curve,
    outline::{Outline, OutlineError, Segment},
    point::Point,
    role::Role,
};

/// Turns of a lever within this (rad) of none or of half a turn count as that, with the difference added to its
/// thickness: an arc must not be shorter than what a boolean tells from a point.
const ALIKE_RAD: f64 = 1e-3;

/// Along which of the holder's axes a volume is drawn out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// Across.
    X,
    /// Away from the body.
    Y,
    /// Along the body.
    Z,
}

/// The plane shape of a volume, in the plane of the other two axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Across {
    /// A rectangle along the axes.
    Rectangle {
        /// Least corner, mm.
        min: Point,
        /// Greatest corner, mm.
        max: Point,
    },
    /// A disc.
    Disc {
        /// Its middle, mm.
        centre: Point,
        /// Its radius, mm.
        radius_mm: f64,
    },
    /// All that a bar with round ends passes over while it turns by at most half a turn.
    Sweep {
        /// Where it turns, the middle of one round end, mm.
        pivot: Point,
        /// From there to the middle of the other round end, mm.
        reach_mm: f64,
        /// Half of the bar's thickness, mm.
        half_thickness_mm: f64,
        /// First direction from the pivot, rad, counter-clockwise.
        from_rad: f64,
        /// Last direction, rad; not below the first and at most half a turn above it.
        to_rad: f64,
    },
}

/// A convex volume in the holder's axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Volume {
    /// The axis along which it is drawn out.
    pub along: Axis,
    /// Its shape in the plane of the other two axes, in cyclic order: (y, z), (z, x) or (x, y).
    pub across: Across,
    /// Where it begins along its axis, mm.
    pub from_mm: f64,
    /// Where it ends, mm.
    pub to_mm: f64,
}

impl Across {
    /// The middle direction of a sweep, and its edge from there: what the distances of all points share.
    fn turns(&self) -> [Point; 2] {
        match *self {
            Self::Sweep { from_rad, to_rad, .. } => {
                [Point::unit(0.5 * (from_rad + to_rad)), Point::unit(0.5 * (to_rad - from_rad))]
            }
            Self::Rectangle { .. } | Self::Disc { .. } => [Point::ORIGIN; 2],
        }
    }

    /// Signed distance, mm; negative inside.
    fn distance_mm(&self, [middle, edge]: [Point; 2], p: Point) -> f64 {
        match *self {
            Self::Rectangle { min, max } => {
                let (x, y) = ((min.x - p.x).max(p.x - max.x), (min.y - p.y).max(p.y - max.y));
                both(x, y)
            }
            Self::Disc { centre, radius_mm } => p.distance(centre) - radius_mm,
            Self::Sweep { pivot, reach_mm, half_thickness_mm, .. } => {
                // Along the middle direction, and to either side of it, which are alike.
                let q = Point::new((p - pivot).dot(middle), (p - pivot).cross(middle).abs());
                let to_edge = q.distance(edge * q.dot(edge).clamp(0.0, reach_mm));
                let inside = edge.cross(q) < 0.0;
                let sector = if inside { (q.length() - reach_mm).max(-to_edge) } else { to_edge };
                sector - half_thickness_mm
            }
        }
    }

    /// Box around the shape: least and greatest corner, mm.
    fn bounds(&self) -> [Point; 2] {
        match *self {
            Self::Rectangle { min, max } => [min, max],
            Self::Disc { centre, radius_mm } => {
                let r = Point::new(radius_mm, radius_mm);
                [centre - r, centre + r]
            }
            Self::Sweep { .. } => {
                let outline = self.grown(0.0);
                outline.map_or([Point::ORIGIN; 2], |o| [o.bounds().min, o.bounds().max])
            }
        }
    }

    /// A point well inside.
    fn middle(&self) -> Point {
        match *self {
            Self::Rectangle { min, max } => min.towards(max, 0.5),
            Self::Disc { centre, .. } => centre,
            Self::Sweep { pivot, reach_mm, from_rad, to_rad, .. } => {
                pivot + Point::unit(0.5 * (from_rad + to_rad)) * (0.6 * reach_mm)
            }
        }
    }

    /// The outline of all points within `grow_mm` of the shape, counter-clockwise.
    fn grown(&self, grow_mm: f64) -> Result<Outline, OutlineError> {
        match *self {
            Self::Rectangle { min, max } => rectangle(min, max, grow_mm),
            Self::Disc { centre, radius_mm } => closed(vec![
                Curve::arc(centre, radius_mm + grow_mm, 0.0, PI),
                Curve::arc(centre, radius_mm + grow_mm, PI, PI),
            ]),
            Self::Sweep { pivot, reach_mm, half_thickness_mm, from_rad, to_rad } => {
                swept(pivot, reach_mm, half_thickness_mm + grow_mm, [from_rad, to_rad])
            }
        }
    }
}

/// Signed distance to what lies within two limits at right angles, from the signed distances to both.
fn both(a: f64, b: f64) -> f64 {
    if a > 0.0 && b > 0.0 { a.hypot(b) } else { a.max(b) }
}

fn closed(curves: Vec<Curve>) -> Result<Outline, OutlineError> {
    Outline::new(curves.into_iter().map(|curve| Segment::new(curve, Role::Relief)).collect())
}

fn rectangle(min: Point, max: Point, grow: f64) -> Result<Outline, OutlineError> {
    let corners = [min, Point::new(max.x, min.y), max, Point::new(min.x, max.y)];
    let mut curves = Vec::with_capacity(8);
    for (k, corner) in corners.into_iter().enumerate() {
        let next = corners[(k + 1) % 4];
        let out = -((next - corner) * (grow / next.distance(corner))).turned_left();
        if grow > 0.0 {
            // Round from the side that comes in to the one that goes out.
            curves.push(Curve::arc(corner, grow, out.angle() - FRAC_PI_2, FRAC_PI_2));
        }
        curves.push(Curve::line(corner + out, next + out));
    }
    if grow > 0.0 {
        // Lines end where arcs do, bit for bit.
        for k in 0..4 {
            let (from, to) = (curves[2 * k].end(), curves[(2 * k + 2) % 8].start());
            curves[2 * k + 1] = Curve::line(from, to);
        }
    }
    closed(curves)
}

/// A sector with a round rim: the outer side of the bar's first direction, the far end, the other side, the pivot.
fn swept(pivot: Point, reach: f64, radius: f64, [from, to]: [f64; 2]) -> Result<Outline, OutlineError> {
    let turn = to - from;
    let tip = |angle: f64| pivot + Point::unit(angle) * reach;
    let (from, to, radius) = if turn < ALIKE_RAD {
        let middle = 0.5 * (from + to);
        (middle, middle, radius + 0.5 * reach * turn)
    } else if PI - turn < ALIKE_RAD {
        (from, from + PI, radius + reach * (PI - turn))
    } else {
        (from, to, radius)
    };
    let turn = to - from;
    let mut curves = Vec::with_capacity(6);
    let rounds: [(Point, f64, f64, f64); 4] = [
        (tip(from), radius, from - FRAC_PI_2, FRAC_PI_2),
        (pivot, reach + radius, from, turn),
        (tip(to), radius, to, FRAC_PI_2),
        (pivot, radius, to + FRAC_PI_2, PI - turn),
    ];
    let arcs: Vec<Curve> =
        rounds.into_iter().filter(|r| r.3 > 0.5 * ALIKE_RAD).map(|(c, r, a, s)| Curve::arc(c, r, a, s)).collect();
    let last = arcs.len() - 1;
    let rear = PI - turn > 0.5 * ALIKE_RAD;
    for (k, arc) in arcs.iter().enumerate() {
        let next = arcs[(k + 1) % arcs.len()];
        curves.push(*arc);
        // The bar's sides are straight; without a rear arc one line leads past the pivot.
        let side = if rear { k + 1 >= last } else { k == last };
        if side {
            curves.push(Curve::line(arc.end(), next.start()));
        }
    }
    closed(curves)
}

impl Volume {
    /// Signed distance of a point, mm; negative inside. Exact.
    pub fn distance_mm(&self, point: [f64; 3]) -> f64 {
        self.distances()(point)
    }

    /// The same for many points.
    pub fn distances(&self) -> impl Fn([f64; 3]) -> f64 {
        let turns = self.across.turns();
        move |[x, y, z]| {
            let (along, p) = match self.along {
                Axis::X => (x, Point::new(y, z)),
                Axis::Y => (y, Point::new(z, x)),
                Axis::Z => (z, Point::new(x, y)),
            };
            both(self.across.distance_mm(turns, p), (self.from_mm - along).max(along - self.to_mm))
        }
    }

    /// The point of the holder's axes at a place along the volume's own and one across.
    fn placed(&self, along: f64, p: Point) -> [f64; 3] {
        match self.along {
            Axis::X => [along, p.x, p.y],
            Axis::Y => [p.y, along, p.x],
            Axis::Z => [p.x, p.y, along],
        }
    }

    /// Least and greatest corner of the box around it, mm.
    pub fn bounds_mm(&self) -> [[f64; 3]; 2] {
        let [min, max] = self.across.bounds();
        [self.placed(self.from_mm, min), self.placed(self.to_mm, max)]
    }

    /// A point well inside, mm.
    pub fn middle_mm(&self) -> [f64; 3] {
        self.placed(0.5 * (self.from_mm + self.to_mm), self.across.middle())
    }

    /// The side view of all points within `grow_mm` of it: y to the right, z up, lines and arcs, counter-clockwise.
    pub fn side_view(&self, grow_mm: f64) -> Result<Outline, OutlineError> {
        if self.along == Axis::X {
            return self.across.grown(grow_mm);
        }
        let [min, max] = self.bounds_mm();
        rectangle(Point::new(min[1], min[2]), Point::new(max[1], max[2]), grow_mm)
    }

    /// Radius of the roundest thing that its side view already has at every corner, mm; zero when it has sharp ones.
    pub fn corner_mm(&self) -> f64 {
        match (self.along, self.across) {
            (Axis::X, Across::Disc { radius_mm, .. }) => radius_mm,
            (Axis::X, Across::Sweep { half_thickness_mm, .. }) => half_thickness_mm,
            _ => 0.0,
        }
    }

    /// The volume turned by half a turn about the body's axis.
    #[must_use]
    pub fn half_turned(&self) -> Self {
        let across = match (self.along, self.across) {
            (Axis::X, Across::Rectangle { min, max }) => {
                Across::Rectangle { min: Point::new(-max.x, min.y), max: Point::new(-min.x, max.y) }
            }
            (Axis::Y, Across::Rectangle { min, max }) => {
                Across::Rectangle { min: Point::new(min.x, -max.y), max: Point::new(max.x, -min.y) }
            }
            (Axis::Z, Across::Rectangle { min, max }) => Across::Rectangle { min: -max, max: -min },
            (Axis::X, Across::Disc { centre, radius_mm }) => {
                Across::Disc { centre: Point::new(-centre.x, centre.y), radius_mm }
            }
            (Axis::Y, Across::Disc { centre, radius_mm }) => {
                Across::Disc { centre: Point::new(centre.x, -centre.y), radius_mm }
            }
            (Axis::Z, Across::Disc { centre, radius_mm }) => Across::Disc { centre: -centre, radius_mm },
            (_, Across::Sweep { pivot, reach_mm, half_thickness_mm, from_rad, to_rad }) => Across::Sweep {
                pivot: Point::new(-pivot.x, pivot.y),
                reach_mm,
                half_thickness_mm,
                // Mirrored in the line along the body.
                from_rad: PI - to_rad,
                to_rad: PI - from_rad,
            },
        };
        match self.along {
            Axis::Z => Self { across, ..*self },
            Axis::X | Axis::Y => Self { across, from_mm: -self.to_mm, to_mm: -self.from_mm, ..*self },
        }
    }
}

#[cfg(test)]
mod tests;
