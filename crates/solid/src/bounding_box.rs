//! The box that a boundary fills.

use crate::{
    brep::{Brep, EdgeCurve, Frame, Point3},
    brep_geometry::arc_point,
};

/// An axis-parallel box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoundingBox {
    /// Least coordinates, mm.
    pub min_mm: Point3,
    /// Greatest coordinates, mm.
    pub max_mm: Point3,
}

impl BoundingBox {
    /// The smallest box about some points, or nothing when there are none.
    pub fn about(points: impl IntoIterator<Item = Point3>) -> Option<Self> {
        let mut points = points.into_iter();
        let first = points.next()?;
        let mut found = Self { min_mm: first, max_mm: first };
        points.for_each(|p| found.take_in(p));
        Some(found)
    }

    /// Extent along x, y and z, mm.
    pub fn size_mm(&self) -> Point3 {
        [0, 1, 2].map(|i| self.max_mm[i] - self.min_mm[i])
    }

    fn take_in(&mut self, p: Point3) {
        for (i, x) in p.into_iter().enumerate() {
            self.min_mm[i] = self.min_mm[i].min(x);
            self.max_mm[i] = self.max_mm[i].max(x);
        }
    }
}

impl Brep {
    /// The smallest box about the solid, or nothing without vertices. Exact for the faces that this crate makes:
    /// they are straight in one direction, so that their outermost points lie on edges.
    pub fn bounds(&self) -> Option<BoundingBox> {
        let mut found = BoundingBox::about(self.vertices.iter().copied())?;
        for edge in &self.edges {
            if let EdgeCurve::Arc { frame, radius, sweep } = edge.curve {
                extremes(&frame, sweep).for_each(|angle| found.take_in(arc_point(&frame, radius, angle)));
            }
        }
        Some(found)
    }
}

/// Angles within the sweep at which a circle turns back along x, y or z.
fn extremes(frame: &Frame, sweep: f64) -> impl Iterator<Item = f64> {
    use std::f64::consts::{PI, TAU};
    let (x, y) = (frame.x, frame.y());
    (0..3)
        .flat_map(move |i| {
            let angle = y[i].atan2(x[i]);
            [angle.rem_euclid(TAU), (angle + PI).rem_euclid(TAU)]
        })
        .filter(move |angle| *angle < sweep)
}
