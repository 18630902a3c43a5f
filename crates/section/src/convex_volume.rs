//! Convex volumes that must stay free: a plane profile extruded along an axis, its signed distance and its side view.
//!
//! The holder's axes are x across, y away from the body toward the tools, and z along the body. A side view has y to the
//! right and z up, like the drawing of the web. The signed distance to a convex volume is a convex function that changes
//! by at most a millimetre per millimetre.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::{
    curve::Curve,
    outline::{Outline, OutlineError, Segment},
    point::Point,
    role::Role,
};

/// A lever's turn within this (rad) of zero or of half a turn counts as exactly that; the difference is added to the
/// lever's thickness. Otherwise an arc could be too short for boolean operations.
const SNAP_RAD: f64 = 1e-3;

/// Axis of the holder along which a volume is extruded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VolumeAxis {
    /// Across.
    X,
    /// Away from the body.
    Y,
    /// Along the body.
    Z,
}

/// Profile of a volume in the plane perpendicular to its axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum VolumeProfile {
    /// Axis-parallel rectangle.
    Rectangle {
        /// Corner with the least coordinates, mm.
        min: Point,
        /// Corner with the greatest coordinates, mm.
        max: Point,
    },
    /// Disc.
    Disc {
        /// Centre, mm.
        centre: Point,
        /// Radius, mm.
        radius_mm: f64,
    },
    /// Area that a lever with round ends sweeps while it turns by at most half a turn.
    Sweep {
        /// Pivot: centre of one round end, mm.
        pivot: Point,
        /// Distance from the pivot to the centre of the other round end, mm.
        reach_mm: f64,
        /// Half of the lever's thickness, mm.
        half_thickness_mm: f64,
        /// First direction of the lever, rad, counter-clockwise.
        from_rad: f64,
        /// Last direction, rad; at least the first and at most half a turn more.
        to_rad: f64,
    },
}

/// Convex volume in the holder's axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConvexVolume {
    /// Axis of extrusion.
    pub axis: VolumeAxis,
    /// Profile in the plane of the other two axes, in cyclic order: (y, z), (z, x) or (x, y).
    pub profile: VolumeProfile,
    /// Start along the axis, mm.
    pub from_mm: f64,
    /// End along the axis, mm.
    pub to_mm: f64,
}

impl VolumeProfile {
    /// Directions of a sweep, computed once for the distances of many points; zero vectors for other profiles.
    fn sweep_directions(&self) -> SweepDirections {
        match *self {
            Self::Sweep { from_rad, to_rad, .. } => SweepDirections {
                middle: Point::unit(0.5 * (from_rad + to_rad)),
                edge: Point::unit(0.5 * (to_rad - from_rad)),
            },
            Self::Rectangle { .. } | Self::Disc { .. } => {
                SweepDirections { middle: Point::ORIGIN, edge: Point::ORIGIN }
            }
        }
    }

    /// Signed distance, mm; negative inside.
    fn distance_mm(&self, directions: SweepDirections, p: Point) -> f64 {
        match *self {
            Self::Rectangle { min, max } => {
                let (x, y) = ((min.x - p.x).max(p.x - max.x), (min.y - p.y).max(p.y - max.y));
                distance_to_both(x, y)
            }
            Self::Disc { centre, radius_mm } => p.distance(centre) - radius_mm,
            Self::Sweep { pivot, reach_mm, half_thickness_mm, .. } => {
                // Coordinates along the middle direction and perpendicular to it. The sweep is symmetric about it.
                let SweepDirections { middle, edge } = directions;
                let q = Point::new((p - pivot).dot(middle), (p - pivot).cross(middle).abs());
                let to_edge = q.distance(edge * q.dot(edge).clamp(0.0, reach_mm));
                let inside = edge.cross(q) < 0.0;
                let sector = if inside { (q.length() - reach_mm).max(-to_edge) } else { to_edge };
                sector - half_thickness_mm
            }
        }
    }

    /// Least and greatest corner of the bounding box, mm.
    fn bounds(&self) -> [Point; 2] {
        match *self {
            Self::Rectangle { min, max } => [min, max],
            Self::Disc { centre, radius_mm } => {
                let r = Point::new(radius_mm, radius_mm);
                [centre - r, centre + r]
            }
            Self::Sweep { .. } => {
                let outline = self.offset_outline(0.0);
                outline.map_or([Point::ORIGIN; 2], |o| [o.bounds().min, o.bounds().max])
            }
        }
    }

    /// A point well inside the profile.
    fn middle(&self) -> Point {
        match *self {
            Self::Rectangle { min, max } => min.towards(max, 0.5),
            Self::Disc { centre, .. } => centre,
            Self::Sweep { pivot, reach_mm, from_rad, to_rad, .. } => {
                pivot + Point::unit(0.5 * (from_rad + to_rad)) * (0.6 * reach_mm)
            }
        }
    }

    /// Outline of all points within `offset_mm` of the profile, counter-clockwise.
    fn offset_outline(&self, offset_mm: f64) -> Result<Outline, OutlineError> {
        match *self {
            Self::Rectangle { min, max } => offset_rectangle(min, max, offset_mm),
            Self::Disc { centre, radius_mm } => relief_outline(vec![
                Curve::arc(centre, radius_mm + offset_mm, 0.0, PI),
                Curve::arc(centre, radius_mm + offset_mm, PI, PI),
            ]),
            Self::Sweep { pivot, reach_mm, half_thickness_mm, from_rad, to_rad } => {
                LeverSweep { pivot, reach: reach_mm, radius: half_thickness_mm + offset_mm, from: from_rad, to: to_rad }
                    .outline()
            }
        }
    }
}

/// Directions of a lever's sweep.
#[derive(Clone, Copy)]
struct SweepDirections {
    /// Unit vector of the middle direction.
    middle: Point,
    /// Unit vector of an edge, relative to the middle direction.
    edge: Point,
}

/// Signed distance to the intersection of two perpendicular bands or half-planes, from the signed distances to both.
fn distance_to_both(a: f64, b: f64) -> f64 {
    if a > 0.0 && b > 0.0 { a.hypot(b) } else { a.max(b) }
}

/// Closed outline whose segments have the relief role.
fn relief_outline(curves: Vec<Curve>) -> Result<Outline, OutlineError> {
    Outline::new(curves.into_iter().map(|curve| Segment::new(curve, Role::Relief)).collect())
}

/// Outline of all points within `offset` of a rectangle.
fn offset_rectangle(min: Point, max: Point, offset: f64) -> Result<Outline, OutlineError> {
    let corners = [min, Point::new(max.x, min.y), max, Point::new(min.x, max.y)];
    let mut curves = Vec::with_capacity(8);
    for (k, corner) in corners.into_iter().enumerate() {
        let next = corners[(k + 1) % 4];
        let out = -((next - corner) * (offset / next.distance(corner))).turned_left();
        if offset > 0.0 {
            // Arc from the side before the corner to the side after it.
            curves.push(Curve::arc(corner, offset, out.angle() - FRAC_PI_2, FRAC_PI_2));
        }
        curves.push(Curve::line(corner + out, next + out));
    }
    if offset > 0.0 {
        // Lines share the end points of the arcs bit for bit.
        for k in 0..4 {
            let (from, to) = (curves[2 * k].end(), curves[(2 * k + 2) % 8].start());
            curves[2 * k + 1] = Curve::line(from, to);
        }
    }
    relief_outline(curves)
}

/// Lever with round ends that turns about the centre of one of them, with lengths in mm and angles in rad.
struct LeverSweep {
    pivot: Point,
    /// Distance between the centres of both round ends.
    reach: f64,
    /// Radius of the round ends.
    radius: f64,
    from: f64,
    to: f64,
}

impl LeverSweep {
    /// Outline of the swept area: outer side of the lever's first position, far end, other side, pivot end.
    fn outline(&self) -> Result<Outline, OutlineError> {
        let Self { pivot, reach, .. } = *self;
        let tip = |angle: f64| pivot + Point::unit(angle) * reach;
        let Self { from, to, radius, .. } = self.snapped();
        let turn = to - from;
        let mut curves = Vec::with_capacity(6);
        let arcs: Vec<Curve> = [
            Curve::arc(tip(from), radius, from - FRAC_PI_2, FRAC_PI_2),
            Curve::arc(pivot, reach + radius, from, turn),
            Curve::arc(tip(to), radius, to, FRAC_PI_2),
            Curve::arc(pivot, radius, to + FRAC_PI_2, PI - turn),
        ]
        .into_iter()
        .filter(|arc| matches!(*arc, Curve::Arc { sweep, .. } if sweep > 0.5 * SNAP_RAD))
        .collect();
        let last = arcs.len() - 1;
        let has_rear_arc = PI - turn > 0.5 * SNAP_RAD;
        for (k, arc) in arcs.iter().enumerate() {
            let next = arcs[(k + 1) % arcs.len()];
            curves.push(*arc);
            // The lever's sides are straight; without a rear arc, one line leads past the pivot.
            let is_side = if has_rear_arc { k + 1 >= last } else { k == last };
            if is_side {
                curves.push(Curve::line(arc.end(), next.start()));
            }
        }
        relief_outline(curves)
    }

    /// The sweep with a turn of exactly zero or half a turn if it is within [`SNAP_RAD`] of that.
    fn snapped(&self) -> Self {
        let Self { pivot, reach, radius, from, to } = *self;
        let turn = to - from;
        let (from, to, radius) = if turn < SNAP_RAD {
            let middle = 0.5 * (from + to);
            (middle, middle, radius + 0.5 * reach * turn)
        } else if PI - turn < SNAP_RAD {
            (from, from + PI, radius + reach * (PI - turn))
        } else {
            (from, to, radius)
        };
        Self { pivot, reach, radius, from, to }
    }
}

impl ConvexVolume {
    /// Exact signed distance of a point, mm; negative inside.
    pub fn distance_mm(&self, point: [f64; 3]) -> f64 {
        self.distances()(point)
    }

    /// Function that returns the signed distance of a point. It is faster than [`ConvexVolume::distance_mm`] for many
    /// points.
    pub fn distances(&self) -> impl Fn([f64; 3]) -> f64 {
        let directions = self.profile.sweep_directions();
        move |[x, y, z]| {
            let (along, p) = match self.axis {
                VolumeAxis::X => (x, Point::new(y, z)),
                VolumeAxis::Y => (y, Point::new(z, x)),
                VolumeAxis::Z => (z, Point::new(x, y)),
            };
            distance_to_both(self.profile.distance_mm(directions, p), (self.from_mm - along).max(along - self.to_mm))
        }
    }

    /// Outline of the profile in its plane, counter-clockwise.
    pub fn profile_outline(&self) -> Result<Outline, OutlineError> {
        self.profile.offset_outline(0.0)
    }

    /// Point in the holder's axes from its position along the volume's axis and its point in the profile, mm.
    pub fn holder_point(&self, along: f64, p: Point) -> [f64; 3] {
        match self.axis {
            VolumeAxis::X => [along, p.x, p.y],
            VolumeAxis::Y => [p.y, along, p.x],
            VolumeAxis::Z => [p.x, p.y, along],
        }
    }

    /// Least and greatest corner of the bounding box, mm.
    fn bounds_mm(&self) -> [[f64; 3]; 2] {
        let [min, max] = self.profile.bounds();
        [self.holder_point(self.from_mm, min), self.holder_point(self.to_mm, max)]
    }

    /// A point well inside the volume, mm.
    pub fn inner_point_mm(&self) -> [f64; 3] {
        self.holder_point(0.5 * (self.from_mm + self.to_mm), self.profile.middle())
    }

    /// Side view of all points within `offset_mm` of the volume: y to the right, z up, counter-clockwise.
    pub fn side_view(&self, offset_mm: f64) -> Result<Outline, OutlineError> {
        if self.axis == VolumeAxis::X {
            return self.profile.offset_outline(offset_mm);
        }
        let [min, max] = self.bounds_mm();
        offset_rectangle(Point::new(min[1], min[2]), Point::new(max[1], max[2]), offset_mm)
    }

    /// Radius that every corner of the side view has at least, mm; zero if there are sharp corners.
    pub fn corner_radius_mm(&self) -> f64 {
        match (self.axis, self.profile) {
            (VolumeAxis::X, VolumeProfile::Disc { radius_mm, .. }) => radius_mm,
            (VolumeAxis::X, VolumeProfile::Sweep { half_thickness_mm, .. }) => half_thickness_mm,
            _ => 0.0,
        }
    }

    /// The volume rotated by half a turn about the body's axis.
    #[must_use]
    pub fn half_turned(&self) -> Self {
        let profile = match (self.axis, self.profile) {
            (VolumeAxis::X, VolumeProfile::Rectangle { min, max }) => {
                VolumeProfile::Rectangle { min: Point::new(-max.x, min.y), max: Point::new(-min.x, max.y) }
            }
            (VolumeAxis::Y, VolumeProfile::Rectangle { min, max }) => {
                VolumeProfile::Rectangle { min: Point::new(min.x, -max.y), max: Point::new(max.x, -min.y) }
            }
            (VolumeAxis::Z, VolumeProfile::Rectangle { min, max }) => VolumeProfile::Rectangle { min: -max, max: -min },
            (VolumeAxis::X, VolumeProfile::Disc { centre, radius_mm }) => {
                VolumeProfile::Disc { centre: Point::new(-centre.x, centre.y), radius_mm }
            }
            (VolumeAxis::Y, VolumeProfile::Disc { centre, radius_mm }) => {
                VolumeProfile::Disc { centre: Point::new(centre.x, -centre.y), radius_mm }
            }
            (VolumeAxis::Z, VolumeProfile::Disc { centre, radius_mm }) => {
                VolumeProfile::Disc { centre: -centre, radius_mm }
            }
            (_, VolumeProfile::Sweep { pivot, reach_mm, half_thickness_mm, from_rad, to_rad }) => {
                VolumeProfile::Sweep {
                    pivot: Point::new(-pivot.x, pivot.y),
                    reach_mm,
                    half_thickness_mm,
                    // Mirrored in the line along the body.
                    from_rad: PI - to_rad,
                    to_rad: PI - from_rad,
                }
            }
        };
        match self.axis {
            VolumeAxis::Z => Self { profile, ..*self },
            VolumeAxis::X | VolumeAxis::Y => Self { profile, from_mm: -self.to_mm, to_mm: -self.from_mm, ..*self },
        }
    }
}

#[cfg(test)]
mod tests;
