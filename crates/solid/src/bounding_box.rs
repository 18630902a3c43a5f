//! Axis-parallel bounding boxes in space.

use crate::{
    brep::{Brep, EdgeCurve, Frame, Point3},
    brep_geometry::arc_point,
};

/// Axis-parallel box in space.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct BoundingBox {
    /// Least coordinates, mm.
    pub min_mm: Point3,
    /// Greatest coordinates, mm.
    pub max_mm: Point3,
}

impl BoundingBox {
    /// Smallest box that contains all points, or `None` if there are no points.
    pub fn containing(points: impl IntoIterator<Item = Point3>) -> Option<Self> {
        let mut points = points.into_iter();
        let first = points.next()?;
        let mut bounds = Self { min_mm: first, max_mm: first };
        points.for_each(|p| bounds.include(p));
        Some(bounds)
    }

    /// Extent along x, y and z, mm.
    pub fn size_mm(&self) -> Point3 {
        [0, 1, 2].map(|i| self.max_mm[i] - self.min_mm[i])
    }

    fn include(&mut self, p: Point3) {
        for (i, x) in p.into_iter().enumerate() {
            self.min_mm[i] = self.min_mm[i].min(x);
            self.max_mm[i] = self.max_mm[i].max(x);
        }
    }
}

impl Brep {
    /// Smallest box that contains the solid, or `None` if it has no vertices. It is exact for the faces that this crate
    /// makes: they are straight in one direction, so their extreme points lie on edges.
    pub fn bounds(&self) -> Option<BoundingBox> {
        let mut bounds = BoundingBox::containing(self.vertices.iter().copied())?;
        for edge in &self.edges {
            if let EdgeCurve::Arc { frame, radius, sweep } = edge.curve {
                extreme_angles(&frame, sweep).for_each(|angle| bounds.include(arc_point(&frame, radius, angle)));
            }
        }
        Some(bounds)
    }
}

/// Angles within the sweep at which a circle has its extremes along x, y or z.
fn extreme_angles(frame: &Frame, sweep: f64) -> impl Iterator<Item = f64> {
    use std::f64::consts::{PI, TAU};
    let (x, y) = (frame.x, frame.y());
    (0..3)
        .flat_map(move |i| {
            let angle = y[i].atan2(x[i]);
            [angle.rem_euclid(TAU), (angle + PI).rem_euclid(TAU)]
        })
        .filter(move |angle| *angle < sweep)
}
