//! From millimetres in space to samples on the picture.

use super::{
    PictureError, SAMPLES, ShadedPart, View,
    vector::{Vector, cross, dot, times, unit},
};

/// Share of the picture left free on each side.
const MARGIN: f64 = 0.05;

/// A parallel projection. Projected x runs right and y down, in samples; depth grows towards the viewer, in samples too.
pub(super) struct Camera {
    right: Vector,
    up: Vector,
    towards: Vector,
    scale: f64,
    shift: [f64; 2],
}

impl Camera {
    /// The camera of `view` with all parts in sight.
    pub(super) fn around(parts: &[ShadedPart<'_>], view: &View) -> Result<Self, PictureError> {
        let towards = unit(times(view.direction, -1.0)).ok_or(PictureError::Direction)?;
        let right = unit(view.up).and_then(|up| unit(cross(up, towards))).ok_or(PictureError::Direction)?;
        let up = cross(towards, right);

        let mut low = [f64::INFINITY; 2];
        let mut high = [f64::NEG_INFINITY; 2];
        for &vertex in parts.iter().flat_map(|part| &part.mesh.vertices) {
            for (axis, along) in [right, up].into_iter().enumerate() {
                low[axis] = low[axis].min(dot(vertex, along));
                high[axis] = high[axis].max(dot(vertex, along));
            }
        }
        let samples = [view.width_px, view.height_px].map(|side| f64::from(side * SAMPLES));
        let scales = [0, 1].map(|axis| samples[axis] * (1.0 - 2.0 * MARGIN) / (high[axis] - low[axis]));
        let scale = scales[0].min(scales[1]);
        if !scale.is_finite() {
            return Err(PictureError::Nothing);
        }
        let middle = [0, 1].map(|axis| f64::midpoint(low[axis], high[axis]) * scale);
        let shift = [samples[0] / 2.0 - middle[0], samples[1] / 2.0 + middle[1]];
        Ok(Self { right, up, towards, scale, shift })
    }

    /// Where a point falls.
    pub(super) fn project(&self, point: Vector) -> Vector {
        [
            self.shift[0] + self.scale * dot(point, self.right),
            self.shift[1] - self.scale * dot(point, self.up),
            self.scale * dot(point, self.towards),
        ]
    }

    /// Samples to a millimetre.
    pub(super) const fn scale(&self) -> f64 {
        self.scale
    }

    /// A direction as the viewer sees it: right, up, towards.
    pub(super) fn turn(&self, direction: Vector) -> Vector {
        [dot(direction, self.right), dot(direction, self.up), dot(direction, self.towards)]
    }
}
