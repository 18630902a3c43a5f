//! Touch of the rigid section with arms that are still free, by geometry alone.

use gripwright_section::Point;

use super::{
    arm_mesh::ArmMesh,
    meshed_clip::{MeshedArm, MeshedClip},
};
use crate::rigid_shape::{Gap, RigidShape};

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
        let points = |arm: &'_ MeshedArm| {
            let shape = self.shape(&arm.mesh);
            arm.mesh.floor.iter().map(move |p| FreePoint { shape, place: p.place, radius: 0.0 }).collect::<Vec<_>>()
        };
        let points: Vec<FreePoint<'_>> = self.clip.arms.iter().flat_map(points).collect();
        // From above the floor down to where the section has passed it completely.
        self.lowest_free(&points, self.reach(), -self.reach())
    }

    /// Height and normal of the first touch of a lip or face on the way down to `home`; `None` if it passes.
    pub(crate) fn first_touch(&self, home: f64) -> Option<(f64, Point)> {
        let points = |arm: &'_ MeshedArm| {
            let arm = &arm.mesh;
            let shape = self.shape(arm);
            let last = arm.nodes.last().copied().unwrap_or(Point::ORIGIN);
            let lip = FreePoint { shape, place: last + arm.lip_lever, radius: arm.lip_radius_mm };
            let face = arm.face.iter().map(move |p| {
                let (a, b) = (arm.nodes[p.element], arm.nodes[p.element + 1]);
                FreePoint { shape, place: a.towards(b, p.share) + p.lever, radius: 0.0 }
            });
            // Faces below the axis are those of the seat.
            std::iter::once(lip).chain(face.filter(|p| p.place.y > 0.0)).collect::<Vec<_>>()
        };
        let points: Vec<FreePoint<'_>> = self.clip.arms.iter().flat_map(points).collect();
        let top = self
            .clip
            .arms
            .iter()
            .map(|arm| arm.mesh.nodes.last().map_or(0.0, |n| n.y) + 2.0 * arm.mesh.lip_radius_mm + self.reach())
            .fold(0.0, f64::max);
        let height = self.lowest_free(&points, top, home + 1e-3 * self.reach());
        if height <= home + 1.5e-3 * self.reach() {
            return None;
        }
        let below = height - 1e-6 * self.reach();
        let gaps = points.iter().filter_map(|p| Some((p.gap(below, 0.0)?, p.radius)));
        let deepest = gaps.min_by(|(a, r), (b, s)| (a.distance - r).total_cmp(&(b.distance - s)))?;
        Some((height, deepest.0.normal))
    }

    fn shape(&self, arm: &ArmMesh) -> &RigidShape {
        &self.shapes[usize::from(arm.mirrored)]
    }

    /// Lowest height on the way down from `top` before one of the points touches; `bottom` if none ever does.
    fn lowest_free(&self, points: &[FreePoint<'_>], top: f64, bottom: f64) -> f64 {
        const HALVINGS: u32 = 60;
        let descent = Descent { top, bottom };
        let Some((step, near)) = descent.first_touch(points.to_vec(), 0, Descent::STEPS) else { return bottom };
        let touches = |height: f64| near.iter().any(|p| p.touches(height));
        let (mut free, mut hit) = (descent.height(step - 1), descent.height(step));
        // For a tiny barrel in a large clip rounding never allows the first bound: the count ends the search as well.
        for _ in 0..HALVINGS {
            let middle = 0.5 * (free + hit);
            if free - hit <= 1e-9 * self.reach() {
                break;
            }
            if touches(middle) { hit = middle } else { free = middle }
        }
        free
    }
}

/// A point of a free arm, or the centre of its round lip, and the rigid section that may touch it.
#[derive(Clone, Copy)]
struct FreePoint<'a> {
    shape: &'a RigidShape,
    place: Point,
    /// Radius of the lip, mm; zero for a point.
    radius: f64,
}

impl FreePoint<'_> {
    /// Gap to the section at a height of its axis, mm, if it is nearer than `near` (mm).
    fn gap(&self, height: f64, near: f64) -> Option<Gap> {
        self.shape.gap(self.place - Point::new(0.0, height), self.radius + near)
    }

    fn touches(&self, height: f64) -> bool {
        self.gap(height, 0.0).is_some_and(|gap| gap.distance - self.radius < 0.0)
    }
}

/// A descent of the rigid section in even steps.
struct Descent {
    top: f64,
    bottom: f64,
}

impl Descent {
    const STEPS: u32 = 160;

    fn height(&self, step: u32) -> f64 {
        self.top + (self.bottom - self.top) * f64::from(step) / f64::from(Self::STEPS)
    }

    /// First step after `from`, of `count`, at which a point touches, and the points that may touch from the step before on.
    /// The section comes nearer to a point by no more than it descends, which rules out the points that are farther.
    fn first_touch<'a>(
        &self,
        mut points: Vec<FreePoint<'a>>,
        from: u32,
        count: u32,
    ) -> Option<(u32, Vec<FreePoint<'a>>)> {
        /// Allowance for rounding.
        const SLACK: f64 = 1.0 + 1e-9;
        let reached = SLACK * (self.height(from) - self.height(from + count)).abs();
        points.retain(|p| p.gap(self.height(from), reached).is_some());
        if points.is_empty() {
            return None;
        }
        if count == 1 {
            let at = self.height(from + 1);
            return points.iter().any(|p| p.touches(at)).then_some((from + 1, points));
        }
        let half = count / 2;
        self.first_touch(points.clone(), from, half).or_else(|| self.first_touch(points, from + half, count - half))
    }
}
