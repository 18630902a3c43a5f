//! A sleeve as drawing, tables and files need it.

use gripwright_input::{ENGRAVING_MM, Spec};
use gripwright_mechanics::Interval;
use gripwright_section::{Point, SplitRing};

use crate::{
    design::records::Size,
    family::split::Group,
    limits::design_limits::{Rules, ToolDemand},
    limits::margin::Margin,
    sleeve::end_marks::{End, STROKE_MM, marks},
    sleeve::sleeve_ring::{COLLAR_MM, Fitted, RIM_MM, chamfer_mm},
};

/// A sleeve: a split ring between two collars, slid on a barrel that is then gripped by a larger clip.
#[derive(Clone, Debug, PartialEq)]
pub struct Sleeve {
    /// Letter of the size and a number, such as `A1`.
    pub identity: String,
    /// Letter of the size that grips it.
    pub letter: char,
    /// Name of the part.
    pub name: String,
    /// Its section between the collars.
    pub ring: SplitRing,
    /// Length between the collars' cones, mm.
    pub between_mm: f64,
    /// How far the collars stand out, and the length of their cones, mm.
    pub collar_mm: f64,
    /// Length of their rims, mm.
    pub rim_mm: f64,
    /// Chamfer of its ends, mm.
    pub chamfer_mm: f64,
    /// Centre lines of the strokes engraved in its upper end, in the drawing of its ring, mm: as many as its number among
    /// all sleeves of the design, or none where they have no room.
    pub marks: Vec<[Point; 2]>,
    /// Width of the strokes, mm.
    pub stroke_mm: f64,
    /// Indices of its tools in the spec.
    pub tools: Vec<usize>,
    /// Least and greatest barrel that it is meant for, mm.
    pub barrels_mm: [f64; 2],
    /// Its outside on them as it may come out of the process, mm: what the clip meets.
    pub outside_mm: [f64; 2],
    /// Friction along its barrel, N: the least holds the tool, the greatest is the push to slide it on. At either end of
    /// the spread of its bore and wall.
    pub slides_n: Interval,
    /// Greatest push allowed, N.
    pub slide_on_limit_n: f64,
    /// Greatest hold that its tools ask along the axis, safety included, N.
    pub along_needed_n: f64,
    /// Greatest strain on its barrel.
    pub strain: f64,
    /// Permissible strain.
    pub strain_limit: f64,
    /// How far its back stands off the barrel at most, mm.
    pub stands_off_mm: f64,
    /// Width of the slit as drawn, mm. A clip cannot close it further: the bore then lies on the barrel all round.
    pub slit_mm: f64,
    /// Width of the slit on the greatest barrel, mm.
    pub slit_open_mm: f64,
    /// How far the barrel may lie off the middle of the outside, mm.
    pub off_axis_mm: f64,
    /// The limit that it keeps least well.
    pub margin: Margin,
}

/// The sleeves of all groups with the letters of their sizes.
pub(crate) fn sleeves(spec: &Spec, rules: &Rules, groups: &[Group], sizes: &[Size]) -> Vec<Sleeve> {
    let of = |(group, size): (&Group, &Size)| -> Vec<Sleeve> {
        let numbered = group.sleeves.iter().enumerate();
        numbered.map(|(index, fitted)| sleeve(spec, rules, fitted, (size, index))).collect()
    };
    let mut sleeves: Vec<Sleeve> = groups.iter().zip(sizes).flat_map(of).collect();
    for (index, sleeve) in sleeves.iter_mut().enumerate() {
        let end = End {
            rim: SplitRing { wall_mm: sleeve.ring.wall_mm + sleeve.collar_mm, ..sleeve.ring },
            chamfer_mm: sleeve.chamfer_mm,
            under_mm: sleeve.rim_mm - ENGRAVING_MM,
            least_wall_mm: rules.least_wall_mm,
        };
        sleeve.marks = marks(&end, index + 1);
    }
    sleeves
}

/// Identity of a sleeve by the letter of its size and its place among the sleeves of that.
pub(crate) fn identity(letter: char, index: usize) -> String {
    format!("{letter}{}", index + 1)
}

fn sleeve(spec: &Spec, rules: &Rules, fitted: &Fitted, (size, index): (&Size, usize)) -> Sleeve {
    let identity = identity(size.letter, index);
    let ring = drawn(fitted.ring, size.drawn_wider_mm);
    let range = |of: &[ToolDemand]| {
        let least = of.iter().map(|t| t.least_mm).fold(f64::INFINITY, f64::min);
        [least, of.iter().map(|t| t.greatest_mm).fold(0.0, f64::max)]
    };
    Sleeve {
        letter: size.letter,
        name: format!("{} sleeve {identity}", spec.name),
        identity,
        ring,
        between_mm: fitted.between_mm,
        collar_mm: COLLAR_MM,
        rim_mm: RIM_MM,
        chamfer_mm: chamfer_mm(rules),
        marks: Vec::new(),
        stroke_mm: STROKE_MM,
        tools: fitted.tools.iter().map(|t| t.index).collect(),
        barrels_mm: range(&fitted.tools),
        outside_mm: range(&fitted.barrels),
        slides_n: fitted.slide_on_n,
        slide_on_limit_n: rules.snap_on_n,
        along_needed_n: fitted.tools.iter().map(|t| t.along_n).fold(0.0, f64::max),
        strain: fitted.strain,
        strain_limit: rules.strain_limit,
        stands_off_mm: fitted.stands_off_mm,
        slit_mm: fitted.slit_mm[0],
        slit_open_mm: fitted.slit_mm[1],
        off_axis_mm: fitted.off_axis_mm,
        margin: fitted.margin,
    }
}

/// The ring as drawn when seats are known to come out of the process by so much narrower: so does its bore.
fn drawn(ring: SplitRing, wider_mm: f64) -> SplitRing {
    SplitRing { bore_radius_mm: ring.bore_radius_mm + 0.5 * wider_mm, wall_mm: ring.wall_mm - 0.5 * wider_mm, ..ring }
}
