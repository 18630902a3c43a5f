//! Geometry of a boundary: coordinates in frames, points along edges, distances from surfaces.

use crate::{
    brep::{Brep, Edge, EdgeCurve, Frame, Point3, Surface},
    vector::{along, cross, dot, sub},
};

impl Frame {
    /// Unit y direction, z × x.
    pub fn y(&self) -> Point3 {
        cross(self.z, self.x)
    }

    /// Coordinates of a point in this frame, mm.
    pub fn local(&self, point: Point3) -> Point3 {
        let v = sub(point, self.origin);
        [dot(v, self.x), dot(v, self.y()), dot(v, self.z)]
    }

    /// Point in space of coordinates in this frame, mm.
    pub fn world(&self, local: Point3) -> Point3 {
        let with_x = along(self.origin, self.x, local[0]);
        along(along(with_x, self.y(), local[1]), self.z, local[2])
    }
}

impl Surface {
    /// Placement of the surface.
    pub fn frame(&self) -> &Frame {
        match self {
            Self::Plane { frame }
            | Self::Cylinder { frame, .. }
            | Self::Cone { frame, .. }
            | Self::Oblique { frame, .. } => frame,
        }
    }

    /// Signed distance of a point from the surface, mm; positive on the side of the surface's own normal.
    pub fn signed_distance(&self, point: Point3) -> f64 {
        let [x, y, z] = self.frame().local(point);
        match *self {
            Self::Plane { .. } => z,
            Self::Cylinder { radius, .. } => x.hypot(y) - radius,
            Self::Cone { radius, half_angle, .. } => {
                let (sin, cos) = half_angle.sin_cos();
                (x.hypot(y) - radius) * cos - z * sin
            }
            Self::Oblique { radius, upper_radius, shift, height, .. } => {
                let share = z / height;
                let (x, y) = (x - share * shift[0], y - share * shift[1]);
                let reach = x.hypot(y);
                // Outward slope of the surface over the height in this direction: exact on the surface, approximate near it.
                let outward = if reach > 0.0 { (x * shift[0] + y * shift[1]) / reach } else { 0.0 };
                let slope = (outward + upper_radius - radius) / height;
                (reach - radius - share * (upper_radius - radius)) / slope.hypot(1.0)
            }
        }
    }
}

impl Brep {
    /// Point of an edge at the fraction `t` of its length; exactly the vertices at 0 and 1.
    pub fn edge_point(&self, edge: &Edge, t: f64) -> Point3 {
        let (a, b) = (self.vertices[edge.from], self.vertices[edge.to]);
        if t <= 0.0 {
            return a;
        }
        if t >= 1.0 {
            return b;
        }
        match edge.curve {
            EdgeCurve::Line => [a[0] * (1.0 - t) + b[0] * t, a[1] * (1.0 - t) + b[1] * t, a[2] * (1.0 - t) + b[2] * t],
            EdgeCurve::Arc { frame, radius, sweep } => arc_point(&frame, radius, sweep * t),
        }
    }
}

/// Point of a circle at `angle` (rad) from the frame's x axis.
pub(crate) fn arc_point(frame: &Frame, radius: f64, angle: f64) -> Point3 {
    let (sin, cos) = angle.sin_cos();
    along(along(frame.origin, frame.x, radius * cos), frame.y(), radius * sin)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vector::distance;

    const FRAME: Frame = Frame { origin: [1.0, 2.0, 3.0], x: [0.0, 1.0, 0.0], z: [0.0, 0.0, 1.0] };

    #[test]
    fn local_coordinates_return_to_the_same_point() {
        let p = [4.0, -5.0, 6.0];
        assert!(distance(FRAME.world(FRAME.local(p)), p) <= 0.0);
        assert!(distance(FRAME.y(), [-1.0, 0.0, 0.0]) <= 0.0);
    }

    #[test]
    fn a_cone_measures_distance_square_to_its_side() {
        let cone = Surface::Cone { frame: FRAME, radius: 2.0, half_angle: std::f64::consts::FRAC_PI_4 };
        let on_side = FRAME.world([5.0, 0.0, 3.0]);
        assert!(cone.signed_distance(on_side).abs() < 1e-14);
        let outside = FRAME.world([6.0, 0.0, 2.0]);
        assert!((cone.signed_distance(outside) - 2.0_f64.sqrt()).abs() < 1e-14);
    }
}
