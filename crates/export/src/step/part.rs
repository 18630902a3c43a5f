//! Input of the STEP writer: one named part.

use gripwright_solid::{Brep, EdgeCurve, Frame, Surface};

use super::error::StepError;

/// One part to write.
#[derive(Clone, Copy, Debug)]
pub struct StepPart<'a> {
    /// Name of the product; unique within the file.
    pub name: &'a str,
    /// Boundary, mm.
    pub brep: &'a Brep,
}

impl StepPart<'_> {
    /// Checks that all coordinates, directions and radii are finite.
    pub(super) fn check_numbers(&self) -> Result<(), StepError> {
        let brep = self.brep;
        let vertices = brep.vertices.iter().flatten().all(|number| number.is_finite());
        let edges = brep.edges.iter().all(|edge| match edge.curve {
            EdgeCurve::Line => true,
            EdgeCurve::Arc { frame, radius, sweep } => all_finite(&frame, &[radius, sweep]),
        });
        let faces = brep.faces.iter().all(|face| match face.surface {
            Surface::Plane { frame } => all_finite(&frame, &[]),
            Surface::Cylinder { frame, radius } => all_finite(&frame, &[radius]),
            Surface::Cone { frame, radius, half_angle } => all_finite(&frame, &[radius, half_angle]),
            Surface::Oblique { frame, radius, upper_radius, shift: [x, y], height, sweep } => {
                all_finite(&frame, &[radius, upper_radius, x, y, height, sweep])
            }
        });
        if vertices && edges && faces { Ok(()) } else { Err(StepError::NotFinite { part: self.name.to_owned() }) }
    }
}

fn all_finite(frame: &Frame, numbers: &[f64]) -> bool {
    let vectors = [frame.origin, frame.x, frame.z];
    vectors.iter().flatten().chain(numbers).all(|number| number.is_finite())
}
