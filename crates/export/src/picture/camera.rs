//! Parallel projection from millimetres in space to samples of the picture.

use super::{
    error::PictureError,
    shaded_part::ShadedPart,
    vector::{Vector, cross, dot, times, unit},
    view::{SAMPLES_PER_SIDE, View},
};

/// Share of the picture left free on each side.
const MARGIN: f64 = 0.05;

/// A parallel projection. On screen x runs right and y down; depth grows towards the viewer; all three in samples.
pub(super) struct Camera {
    right: Vector,
    up: Vector,
    towards_viewer: Vector,
    scale: f64,
    shift: [f64; 2],
}

impl Camera {
    /// Camera of `view` that fits all parts into the picture.
    pub(super) fn framing(parts: &[ShadedPart<'_>], view: &View) -> Result<Self, PictureError> {
        let towards_viewer = unit(times(view.direction, -1.0)).ok_or(PictureError::ViewDirection)?;
        let right = unit(view.up).and_then(|up| unit(cross(up, towards_viewer))).ok_or(PictureError::ViewDirection)?;
        let up = cross(towards_viewer, right);

        let mut low = [f64::INFINITY; 2];
        let mut high = [f64::NEG_INFINITY; 2];
        for &vertex in parts.iter().flat_map(|part| &part.mesh.vertices) {
            for (axis, along) in [right, up].into_iter().enumerate() {
                low[axis] = low[axis].min(dot(vertex, along));
                high[axis] = high[axis].max(dot(vertex, along));
            }
        }
        let samples = [view.width_px, view.height_px].map(|side| f64::from(side * SAMPLES_PER_SIDE));
        let scales = [0, 1].map(|axis| samples[axis] * (1.0 - 2.0 * MARGIN) / (high[axis] - low[axis]));
        let scale = scales[0].min(scales[1]);
        if !scale.is_finite() {
            return Err(PictureError::NoTriangles);
        }
        let middle = [0, 1].map(|axis| f64::midpoint(low[axis], high[axis]) * scale);
        let shift = [samples[0] / 2.0 - middle[0], samples[1] / 2.0 + middle[1]];
        Ok(Self { right, up, towards_viewer, scale, shift })
    }

    /// Screen position and depth of a point, samples.
    pub(super) fn project(&self, point: Vector) -> Vector {
        [
            self.shift[0] + self.scale * dot(point, self.right),
            self.shift[1] - self.scale * dot(point, self.up),
            self.scale * dot(point, self.towards_viewer),
        ]
    }

    /// Samples per millimetre.
    pub(super) const fn scale(&self) -> f64 {
        self.scale
    }

    /// Components of a direction in the viewer's frame: right, up, towards the viewer.
    pub(super) fn view_direction(&self, direction: Vector) -> Vector {
        [dot(direction, self.right), dot(direction, self.up), dot(direction, self.towards_viewer)]
    }
}
