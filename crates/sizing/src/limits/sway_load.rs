//! Load under which the movement of a tool's point counts, on clips and mount.

use gripwright_mechanics::{BarMotion, PointLoad, ToolSupport, Wrench};

use crate::limits::tool_load::across_directions;

/// Forces on a tool, N, at points of its axis, mm from over the mount's middle, and the point that must not move.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SwayLoad {
    /// Across the axis, from any side.
    pub(crate) across_n: f64,
    pub(crate) across_at_mm: f64,
    /// Along the axis, either way.
    pub(crate) along_n: f64,
    pub(crate) point_mm: f64,
}

impl SwayLoad {
    /// Greatest movement of the point, mm, over all directions of the load, when a part moves as `motion` says under a
    /// wrench about its origin, mm. `None` where the part does not hold some of them.
    pub(crate) fn greatest_movement_mm(
        &self,
        on: &ToolSupport,
        origin_mm: [f64; 3],
        motion: impl Fn(&Wrench) -> Option<BarMotion>,
    ) -> Option<f64> {
        let point = on.point_at(self.point_mm);
        let arm: [f64; 3] = std::array::from_fn(|i| point[i] - origin_mm[i]);
        self.cases(on).into_iter().try_fold(0.0, |most: f64, loads| {
            let [x, y, z] = motion(&Wrench::of_loads(&loads, origin_mm))?.at(arm);
            Some(most.max(x.hypot(y).hypot(z)))
        })
    }

    /// Wrench about a place on the axis, mm: across and out of the mouth at once.
    pub(crate) fn wrench_at(&self, place_mm: f64) -> Wrench {
        let moment_nmm = self.across_n * (self.across_at_mm - place_mm);
        Wrench { force_n: [self.across_n, self.across_n, 0.0], moment_nmm: [-moment_nmm, moment_nmm, 0.0] }
    }

    /// Forces that act at once, for all directions.
    fn cases(&self, on: &ToolSupport) -> Vec<[PointLoad; 2]> {
        let [_, _, axis] = on.directions();
        let at_mm = on.point_at(self.across_at_mm);
        let senses: &[f64] = if self.along_n > 0.0 { &[1.0, -1.0] } else { &[1.0] };
        let cases = across_directions(on).flat_map(|direction| {
            senses.iter().map(move |sense| {
                [
                    PointLoad { force_n: direction.map(|d| self.across_n * d), at_mm },
                    PointLoad { force_n: axis.map(|a| sense * self.along_n * a), at_mm },
                ]
            })
        });
        cases.collect()
    }
}
