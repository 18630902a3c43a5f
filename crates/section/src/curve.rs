//! The two curves that outlines are made of: straight lines and circular arcs.

use crate::point::Point;

/// A directed straight line or circular arc.
///
/// An arc stores angles rather than end points. A concentric offset then keeps the angles bit for bit, and stacked
/// outlines make exact cylinders and cones.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Curve {
    /// Straight line between two points.
    Line {
        /// First point, mm.
        start: Point,
        /// Last point, mm.
        end: Point,
    },
    /// Circular arc.
    Arc {
        /// Centre, mm.
        centre: Point,
        /// Radius, mm, greater than zero.
        radius: f64,
        /// Direction from the centre to the first point, rad.
        start_angle: f64,
        /// Signed angle of the arc, rad; positive is counter-clockwise.
        sweep: f64,
    },
}

impl Curve {
    /// A line from `start` to `end`.
    pub const fn line(start: Point, end: Point) -> Self {
        Self::Line { start, end }
    }

    /// An arc about `centre` from `start_angle` over `sweep` (rad, positive counter-clockwise).
    pub const fn arc(centre: Point, radius: f64, start_angle: f64, sweep: f64) -> Self {
        Self::Arc { centre, radius, start_angle, sweep }
    }

    /// First point.
    pub fn start(&self) -> Point {
        self.at(0.0)
    }

    /// Last point.
    pub fn end(&self) -> Point {
        self.at(1.0)
    }

    /// Point at the fraction `t` of the length, 0 at the start and 1 at the end.
    pub fn at(&self, t: f64) -> Point {
        match *self {
            // This form returns both ends bit for bit.
            Self::Line { start, end } => start * (1.0 - t) + end * t,
            Self::Arc { centre, radius, start_angle, sweep } => centre + Point::unit(start_angle + sweep * t) * radius,
        }
    }

    /// Unit vector of travel at the fraction `t` of the length.
    pub fn tangent(&self, t: f64) -> Point {
        match *self {
            Self::Line { start, end } => {
                let v = end - start;
                v * (1.0 / v.length())
            }
            Self::Arc { start_angle, sweep, .. } => {
                Point::unit(start_angle + sweep * t).turned_left() * if sweep < 0.0 { -1.0 } else { 1.0 }
            }
        }
    }

    /// Length in mm.
    pub fn length(&self) -> f64 {
        match *self {
            Self::Line { start, end } => start.distance(end),
            Self::Arc { radius, sweep, .. } => radius * sweep.abs(),
        }
    }

    /// The same curve in the opposite direction of travel.
    #[must_use]
    pub fn reversed(&self) -> Self {
        match *self {
            Self::Line { start, end } => Self::Line { start: end, end: start },
            Self::Arc { centre, radius, start_angle, sweep } => {
                Self::Arc { centre, radius, start_angle: start_angle + sweep, sweep: -sweep }
            }
        }
    }

    /// The curve mirrored in the y axis; it keeps its direction of travel.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let flip = |p: Point| Point::new(-p.x, p.y);
        match *self {
            Self::Line { start, end } => Self::Line { start: flip(start), end: flip(end) },
            Self::Arc { centre, radius, start_angle, sweep } => Self::Arc {
                centre: flip(centre),
                radius,
                start_angle: std::f64::consts::PI - start_angle,
                sweep: -sweep,
            },
        }
    }

    /// The curve rotated about the origin by `angle` (rad) and then moved by `shift`.
    #[must_use]
    pub fn moved(&self, angle: f64, shift: Point) -> Self {
        // A rotation by zero must not change the numbers, so that a pure shift stays exact.
        let turn = |p: Point| if angle.abs() > 0.0 { p.rotated(angle) } else { p };
        match *self {
            Self::Line { start, end } => Self::Line { start: turn(start) + shift, end: turn(end) + shift },
            Self::Arc { centre, radius, start_angle, sweep } => {
                Self::Arc { centre: turn(centre) + shift, radius, start_angle: start_angle + angle, sweep }
            }
        }
    }

    /// The curve about the origin scaled by `factor`, which is greater than zero.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        match *self {
            Self::Line { start, end } => Self::Line { start: start * factor, end: end * factor },
            Self::Arc { centre, radius, start_angle, sweep } => {
                Self::Arc { centre: centre * factor, radius: radius * factor, start_angle, sweep }
            }
        }
    }
}
