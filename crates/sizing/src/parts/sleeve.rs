//! Sleeves of a design: rings with collars, identifying strokes and names.

use gripwright_input::ENGRAVING_MM;
use gripwright_mechanics::Interval;
use gripwright_section::SplitRing;

use crate::{
    design::sizes::Size,
    design::sleeve::{Sleeve, sleeve_identity},
    family::split::ClipGroup,
    limits::design_limits::{DesignLimits, ToolDemand},
    sleeve::end_marks::{End, STROKE_MM, marks},
    sleeve::sleeve_ring::{COLLAR_MM, RIM_MM, SleeveDesign, chamfer_mm},
};

/// Returns the sleeves of all clip groups, named by the letters of their sizes and marked with their numbers.
pub(crate) fn sleeves(holder_name: &str, limits: &DesignLimits, groups: &[ClipGroup], sizes: &[Size]) -> Vec<Sleeve> {
    let sleeves_of_group = |(group, size): (&ClipGroup, &Size)| -> Vec<Sleeve> {
        let numbered = group.sleeves.iter().enumerate();
        numbered.map(|(index, fitted)| sleeve(holder_name, limits, fitted, size, index)).collect()
    };
    let mut sleeves: Vec<Sleeve> = groups.iter().zip(sizes).flat_map(sleeves_of_group).collect();
    for (index, sleeve) in sleeves.iter_mut().enumerate() {
        let end = End {
            rim: SplitRing { wall_mm: sleeve.ring.wall_mm + sleeve.collar_mm, ..sleeve.ring },
            chamfer_mm: sleeve.chamfer_mm,
            under_mm: sleeve.rim_mm - ENGRAVING_MM,
            least_wall_mm: limits.least_wall_mm,
        };
        sleeve.marks = marks(&end, index + 1);
    }
    sleeves
}

fn sleeve(holder_name: &str, limits: &DesignLimits, fitted: &SleeveDesign, size: &Size, index: usize) -> Sleeve {
    let identity = sleeve_identity(size.letter, index);
    let ring = compensated_ring(fitted.ring, size.drawn_wider_mm);
    let range = |demands: &[ToolDemand]| {
        let least = demands.iter().map(|t| t.least_mm).fold(f64::INFINITY, f64::min);
        Interval { least, greatest: demands.iter().map(|t| t.greatest_mm).fold(0.0, f64::max) }
    };
    Sleeve {
        letter: size.letter,
        name: format!("{holder_name} sleeve {identity}"),
        identity,
        ring,
        between_mm: fitted.between_mm,
        collar_mm: COLLAR_MM,
        rim_mm: RIM_MM,
        chamfer_mm: chamfer_mm(limits),
        marks: Vec::new(),
        stroke_mm: STROKE_MM,
        tools: fitted.tools.iter().map(|t| t.index).collect(),
        barrels_mm: range(&fitted.tools),
        outside_mm: range(&fitted.barrels),
        slides_n: fitted.slide_on_n,
        slide_on_limit_n: limits.snap_on_n,
        along_needed_n: fitted.tools.iter().map(|t| t.along_n).fold(0.0, f64::max),
        strain: fitted.strain,
        strain_limit: limits.strain_limit,
        stands_off_mm: fitted.stands_off_mm,
        slit_mm: fitted.slit_mm[0],
        slit_open_mm: fitted.slit_mm[1],
        off_axis_mm: fitted.off_axis_mm,
        margin: fitted.margin,
    }
}

/// Returns the ring with its bore drawn wider (mm of diameter). This compensates a process that makes bores narrower.
fn compensated_ring(ring: SplitRing, wider_mm: f64) -> SplitRing {
    SplitRing { bore_radius_mm: ring.bore_radius_mm + 0.5 * wider_mm, wall_mm: ring.wall_mm - 0.5 * wider_mm, ..ring }
}
