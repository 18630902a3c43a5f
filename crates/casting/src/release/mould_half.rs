//! One half of a mould, or the whole block: the direction in which the part leaves it, and where it ends.

use gripwright_solid::{
    Brep, EdgeCurve, Point3,
    vector::{along, dot},
};

use crate::vector::unit;

/// Heights along the pull that differ by less than this (mm) are the same plane.
const SAME_PLANE_MM: f64 = 1e-6;

/// Half of a mould that the part leaves by a straight pull.
///
/// ```text
///         ▲ pull            the part leaves along the pull
///   ______|______ parting   heights are measured along the pull, from the origin
///  |  \ part /  |
///  |   \____/   | rubber    the half touches the part below the parting plane
///  |____________|
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct MouldHalf {
    /// Unit direction in which the part leaves this half.
    pub pull: Point3,
    /// Height of the parting plane along the pull, mm. The half lies below it.
    pub parting_mm: f64,
    /// Heights along the pull (mm) of flat ends that a step of the parting board covers, so that the other half forms them.
    pub stepped_ends_mm: Vec<f64>,
}

impl MouldHalf {
    /// The half that holds the whole part, which leaves it through its own end along `pull`. A zero `pull` counts as +z.
    pub fn through_end(part: &Brep, pull: Point3) -> Self {
        let pull = direction(pull);
        let parting_mm = part.edges.iter().map(|edge| reach_mm(part, edge, pull)).fold(f64::NEG_INFINITY, f64::max);
        Self { pull, parting_mm, stepped_ends_mm: Vec::new() }
    }

    /// The two halves on either side of the plane at a height along `axis`, mm: the part leaves the first along `axis`
    /// and the second against it.
    pub fn at_plane(axis: Point3, height_mm: f64) -> [Self; 2] {
        let pull = direction(axis);
        let half = |pull, parting_mm| Self { pull, parting_mm, stepped_ends_mm: Vec::new() };
        [half(pull, height_mm), half(pull.map(|x| -x), -height_mm)]
    }

    /// Height of a point along the pull, mm.
    pub fn height_mm(&self, point: Point3) -> f64 {
        dot(point, self.pull)
    }

    /// True if a height (mm) lies in this half, its parting plane included.
    pub(super) fn reaches(&self, height_mm: f64) -> bool {
        height_mm <= self.parting_mm + SAME_PLANE_MM
    }

    /// True if a height (mm) lies at the parting plane or beyond.
    pub(super) fn ends_below(&self, height_mm: f64) -> bool {
        height_mm >= self.parting_mm - SAME_PLANE_MM
    }

    /// True if a flat end at this height (mm) that faces along the pull is formed by the other half.
    pub(super) fn leaves_end(&self, height_mm: f64) -> bool {
        self.ends_below(height_mm) || self.stepped_ends_mm.iter().any(|step| (height_mm - step).abs() <= SAME_PLANE_MM)
    }
}

fn direction(pull: Point3) -> Point3 {
    let pull = unit(pull);
    if dot(pull, pull) > 0.0 { pull } else { [0.0, 0.0, 1.0] }
}

/// Greatest height of an edge along a direction, mm.
pub(super) fn reach_mm(brep: &Brep, edge: &gripwright_solid::Edge, pull: Point3) -> f64 {
    let ends = dot(brep.vertices[edge.from], pull).max(dot(brep.vertices[edge.to], pull));
    let EdgeCurve::Arc { frame, radius, sweep } = edge.curve else { return ends };
    let top = dot(frame.y(), pull).atan2(dot(frame.x, pull)).rem_euclid(std::f64::consts::TAU);
    if top > sweep {
        return ends;
    }
    let out = along(along([0.0; 3], frame.x, top.cos()), frame.y(), top.sin());
    ends.max(dot(frame.origin, pull) + radius * dot(out, pull))
}
