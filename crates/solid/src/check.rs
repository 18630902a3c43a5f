//! Validity checks of finished solids, independent of the kernel that closed them. All defects are returned.

mod defect;
mod euler;
mod fit;
mod section;
mod topology;
mod volume;

use crate::{
    brep::Brep,
    solid::{SectionLevel, Solid},
};

pub use defect::{FIT_MM, SolidDefect};
pub(crate) use topology::dangling_faces;

/// Wall limits for [`check`], which it applies in addition to the checks of the boundary.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CheckLimits {
    /// Least wall at every level that no chamfer thins, mm; without it, these walls are not checked.
    pub least_wall_mm: Option<f64>,
    /// Least wall that chamfers may leave at the ends, mm; without it, these levels are not checked.
    pub least_wall_at_chamfers_mm: Option<f64>,
}

impl CheckLimits {
    /// Limits with the same least wall at every level, mm.
    pub const fn wall(least_mm: f64) -> Self {
        Self { least_wall_mm: Some(least_mm), least_wall_at_chamfers_mm: Some(least_mm) }
    }

    fn least_wall_at(&self, level: &SectionLevel) -> Option<f64> {
        if level.chamfered { self.least_wall_at_chamfers_mm } else { self.least_wall_mm }
    }
}

/// Checks a solid and the sections from which it was stacked. The solid is valid if the result is empty.
pub fn check(solid: &Solid, limits: &CheckLimits) -> Vec<SolidDefect> {
    let mut defects = check_closed(solid.brep(), solid.tunnels());
    for level in solid.levels() {
        defects.extend(section::self_contact(level));
        defects.extend(limits.least_wall_at(level).and_then(|least| section::thin_wall(level, least)));
    }
    defects
}

/// Checks a boundary without tunnels: shared edges, closed loops, Euler characteristic, vertices and edges within
/// [`FIT_MM`] of their curves and surfaces, and positive volume.
pub fn check_boundary(brep: &Brep) -> Vec<SolidDefect> {
    check_closed(brep, 0)
}

fn check_closed(brep: &Brep, tunnels: usize) -> Vec<SolidDefect> {
    let mut defects = dangling_faces(brep);
    if defects.is_empty() {
        defects.extend(topology::wrongly_shared_edges(brep));
        defects.extend(topology::open_loops(brep));
        defects.extend(euler::euler(brep, tunnels));
        defects.extend(fit::vertices_off_curves(brep));
        defects.extend(fit::off_surfaces(brep));
        defects.extend(volume::volume(brep));
    }
    defects
}
