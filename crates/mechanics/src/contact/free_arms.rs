//! Touch of the rigid section with arms that are still free, by geometry alone.

use gripwright_section::Point;

use super::meshed_clip::MeshedClip;
use crate::rigid_shape::RigidShape;

/// A clip whose arms are free, and the rigid section as right and as left arms meet it.
#[derive(Clone, Copy)]
pub(crate) struct FreeArms<'a> {
    pub(crate) clip: &'a MeshedClip,
    pub(crate) shapes: &'a [RigidShape; 2],
}

impl FreeArms<'_> {
    fn reach(&self) -> f64 {
        self.shapes[0].reach_mm()
    }

    /// Height at which the free rigid section would stand on the floor.
    pub(crate) fn floor_height(&self) -> f64 {
        let touches = |height: f64| {
            self.clip.arms.iter().any(|arm| {
                arm.mesh.floor.iter().any(|p| {
                    self.shapes[usize::from(arm.mesh.mirrored)]
                        .gap(p.place - Point::new(0.0, height), 0.0)
                        .is_some_and(|g| g.distance < 0.0)
                })
            })
        };
        // From above the floor down to where the section has passed it completely.
        self.lowest_free(touches, self.reach(), -self.reach())
    }

    /// Height and normal of the first touch of a lip or face on the way down to `home`; `None` if it passes.
    pub(crate) fn first_touch(&self, home: f64) -> Option<(f64, Point)> {
        let gaps = |height: f64| {
            let axis = Point::new(0.0, height);
            self.clip.arms.iter().flat_map(move |arm| {
                let arm = &arm.mesh;
                let shape = &self.shapes[usize::from(arm.mirrored)];
                let last = arm.nodes.last().copied().unwrap_or(Point::ORIGIN);
                let lip = shape
                    .gap(last + arm.lip_lever - axis, arm.lip_radius_mm)
                    .map(|g| (g.distance - arm.lip_radius_mm, g.normal));
                let face = arm.face.iter().filter_map(move |p| {
                    let (a, b) = (arm.nodes[p.element], arm.nodes[p.element + 1]);
                    let place = a.towards(b, p.share) + p.lever;
                    // Faces below the axis are those of the seat.
                    (place.y > 0.0).then(|| shape.gap(place - axis, 0.0)).flatten().map(|g| (g.distance, g.normal))
                });
                lip.into_iter().chain(face)
            })
        };
        let touches = |height: f64| gaps(height).any(|(distance, _)| distance < 0.0);
        let top = self
            .clip
            .arms
            .iter()
            .map(|arm| arm.mesh.nodes.last().map_or(0.0, |n| n.y) + 2.0 * arm.mesh.lip_radius_mm + self.reach())
            .fold(0.0, f64::max);
        let height = self.lowest_free(touches, top, home + 1e-3 * self.reach());
        if height <= home + 1.5e-3 * self.reach() {
            return None;
        }
        let below = height - 1e-6 * self.reach();
        let deepest = gaps(below).min_by(|a, b| a.0.total_cmp(&b.0))?;
        Some((height, deepest.1))
    }

    /// Lowest height on the way down from `top` before `touches` becomes true; `bottom` if it never does.
    fn lowest_free(&self, touches: impl Fn(f64) -> bool, top: f64, bottom: f64) -> f64 {
        const STEPS: u32 = 160;
        const HALVINGS: u32 = 60;
        let mut free = top;
        for i in 1..=STEPS {
            let height = top + (bottom - top) * f64::from(i) / f64::from(STEPS);
            if touches(height) {
                let mut hit = height;
                // For a tiny barrel in a large clip rounding never allows the first bound: the count ends the search as
                // well.
                for _ in 0..HALVINGS {
                    let middle = 0.5 * (free + hit);
                    if free - hit <= 1e-9 * self.reach() {
                        break;
                    }
                    if touches(middle) { hit = middle } else { free = middle }
                }
                return free;
            }
            free = height;
        }
        bottom
    }
}
