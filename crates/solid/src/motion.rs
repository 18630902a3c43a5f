//! Rigid motions of boundaries.

use crate::{
    brep::{Brep, Edge, EdgeCurve, Face, Frame, Point3, Surface},
    vector::{dot, length, unit},
};

/// Rotation followed by a shift. Shifts and half turns add no rounding of their own: a zero stays a zero and a one stays a
/// one, so that parts on a plate keep their exact sizes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    rows: [Point3; 3],
    shift: Point3,
}

impl Motion {
    /// Shift in mm, without rotation.
    pub const fn shift(shift_mm: Point3) -> Self {
        Self { rows: [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]], shift: shift_mm }
    }

    /// Exact half turn about z, followed by a shift in mm.
    pub const fn half_turn(shift_mm: Point3) -> Self {
        Self { rows: [[-1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0]], shift: shift_mm }
    }

    /// Exact rotation that maps the x axis of a side-view drawing to y, its y axis to z and its height to x.
    pub(crate) const fn from_side_view() -> Self {
        Self { rows: [[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]], shift: [0.0; 3] }
    }

    /// Rotation by `angle_rad` about the direction `axis` through the origin, followed by a shift in mm. There is no
    /// rotation if `axis` is zero.
    pub fn turn(axis: Point3, angle_rad: f64, shift_mm: Point3) -> Self {
        let [x, y, z] = unit(axis);
        // With a zero axis, a cosine other than 1 would scale the coordinates.
        let angle = if length(axis) > 0.0 { angle_rad } else { 0.0 };
        let (s, c) = angle.sin_cos();
        let k = 1.0 - c;
        // Rodrigues' formula.
        let rows = [
            [c + k * x * x, k * x * y - s * z, k * x * z + s * y],
            [k * x * y + s * z, c + k * y * y, k * y * z - s * x],
            [k * x * z - s * y, k * y * z + s * x, c + k * z * z],
        ];
        Self { rows, shift: shift_mm }
    }

    /// Image of a point.
    pub fn point(&self, p: Point3) -> Point3 {
        let d = self.direction(p);
        [d[0] + self.shift[0], d[1] + self.shift[1], d[2] + self.shift[2]]
    }

    /// Image of a direction.
    pub fn direction(&self, d: Point3) -> Point3 {
        // The added zero turns −0 into 0; otherwise −0 would appear in the files.
        [dot(self.rows[0], d) + 0.0, dot(self.rows[1], d) + 0.0, dot(self.rows[2], d) + 0.0]
    }

    fn frame(&self, frame: &Frame) -> Frame {
        Frame { origin: self.point(frame.origin), x: self.direction(frame.x), z: self.direction(frame.z) }
    }

    fn curve(&self, curve: &EdgeCurve) -> EdgeCurve {
        match curve {
            EdgeCurve::Line => EdgeCurve::Line,
            EdgeCurve::Arc { frame, radius, sweep } => {
                EdgeCurve::Arc { frame: self.frame(frame), radius: *radius, sweep: *sweep }
            }
        }
    }

    fn surface(&self, surface: &Surface) -> Surface {
        match *surface {
            Surface::Plane { frame } => Surface::Plane { frame: self.frame(&frame) },
            Surface::Cylinder { frame, radius } => Surface::Cylinder { frame: self.frame(&frame), radius },
            Surface::Cone { frame, radius, half_angle } => {
                Surface::Cone { frame: self.frame(&frame), radius, half_angle }
            }
            Surface::Oblique { frame, radius, upper_radius, shift, height, sweep } => {
                Surface::Oblique { frame: self.frame(&frame), radius, upper_radius, shift, height, sweep }
            }
        }
    }
}

impl Brep {
    /// The boundary after a rigid motion.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Self {
        let edge = |e: &Edge| Edge { from: e.from, to: e.to, curve: motion.curve(&e.curve) };
        let face =
            |f: &Face| Face { surface: motion.surface(&f.surface), same_sense: f.same_sense, loops: f.loops.clone() };
        Self {
            vertices: self.vertices.iter().map(|v| motion.point(*v)).collect(),
            edges: self.edges.iter().map(edge).collect(),
            faces: self.faces.iter().map(face).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vector::{cross, distance};

    #[test]
    fn a_shift_adds_and_nothing_else() {
        let m = Motion::shift([0.1, 0.0, -3.0]);
        assert!(distance(m.point([0.3, -0.0, 7.7]), [0.3 + 0.1, 0.0, 7.7 - 3.0]) <= 0.0);
        assert!(distance(m.direction([0.6, 0.8, 0.0]), [0.6, 0.8, 0.0]) <= 0.0);
    }

    #[test]
    fn the_exact_half_turn_agrees_with_the_general_one() {
        let p = [1.25, -2.5, 0.75];
        let shift = [3.0, 4.0, 5.0];
        let exact = Motion::half_turn(shift);
        let general = Motion::turn([0.0, 0.0, 2.0], std::f64::consts::PI, shift);
        assert!(distance(exact.point(p), general.point(p)) < 1e-15 * 8.0);
        assert!(distance(exact.point(p), [1.75, 6.5, 5.75]) <= 0.0);
    }

    #[test]
    fn a_turn_keeps_right_handed_lengths() {
        let m = Motion::turn([1.0, 2.0, -0.5], 0.7, [0.0; 3]);
        let (x, y) = (m.direction([1.0, 0.0, 0.0]), m.direction([0.0, 1.0, 0.0]));
        assert!(distance(cross(x, y), m.direction([0.0, 0.0, 1.0])) < 1e-15);
    }
}
