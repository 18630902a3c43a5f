//! Sleeves, as results.

use gripwright_mechanics::Interval;
use gripwright_section::{Point, SplitRing};

use crate::limits::margin::Margin;

/// A sleeve: a split ring between two collars, slid on a barrel that is then gripped by a larger clip.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
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
    /// Height of the collars over the ring, and length of their cones, mm.
    pub collar_mm: f64,
    /// Length of their rims, mm.
    pub rim_mm: f64,
    /// Chamfer of its ends, mm.
    pub chamfer_mm: f64,
    /// Centre lines of the strokes engraved in its upper end, in the drawing of its ring, mm. Their count is the number
    /// of the sleeve in the design; there are none if they do not fit.
    pub marks: Vec<[Point; 2]>,
    /// Width of the strokes, mm.
    pub stroke_mm: f64,
    /// Indices of its tools in the spec.
    pub tools: Vec<usize>,
    /// Least and greatest barrel that it is meant for, mm.
    pub barrels_mm: Interval,
    /// Its outside on them over the spread of the process, mm: the diameter that the clip grips.
    pub outside_mm: Interval,
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
    /// Greatest gap between its back and the barrel, mm.
    pub stands_off_mm: f64,
    /// Width of the slit as drawn, mm. A clip cannot close it further: the bore then lies on the barrel all round.
    pub slit_mm: f64,
    /// Width of the slit on the greatest barrel, mm.
    pub slit_open_mm: f64,
    /// Greatest offset of the barrel from the middle of the outside, mm.
    pub off_axis_mm: f64,
    /// Margin of the governing limit.
    pub margin: Margin,
}

/// Identity of a sleeve: letter of its size, and number among the sleeves of that size.
pub(crate) fn sleeve_identity(letter: char, index: usize) -> String {
    format!("{letter}{}", index + 1)
}
