//! Draft and undercut of the faces of a part in one half of a mould.

use std::f64::consts::FRAC_PI_2;

use gripwright_solid::{
    Brep, EdgeCurve, Face, MassError, Point3, Surface, face_areas_mm2,
    vector::{self, along, dot, sub},
};

use crate::vector::unit;

use super::{
    mould_half::{MouldHalf, reach_mm},
    round_face::RoundFace,
};

/// A slope against the pull below this is rounding: the face stands straight.
const STRAIGHT: f64 = 1e-12;
/// Sine of a slope from which on a face lies flat across the pull.
const FLAT: f64 = 1.0 - 1e-12;
/// Greatest draft of a side, rad: 25°. Chamfers and steps slope more.
const SIDE_RAD: f64 = 25.0 * std::f64::consts::PI / 180.0;
/// Steps between the turning points of a round face along which the depth of its undercut is added up.
const DEPTH_STEPS: u32 = 8;

/// Class of a face by its function and its slope.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FaceGroup {
    /// Face that the caller counts as gripping.
    Gripping,
    /// Face within 25° of the pull.
    Side,
    /// Chamfer, fillet or slope: more than 25° from the pull at some place.
    Slope,
    /// Flat end or ledge, square to the pull.
    FlatEnd,
}

impl FaceGroup {
    /// All groups in the order of tables.
    pub const ALL: [Self; 4] = [Self::Gripping, Self::Side, Self::Slope, Self::FlatEnd];

    /// Name in plain words.
    pub fn name(self) -> &'static str {
        match self {
            Self::Gripping => "gripping faces",
            Self::Side => "sides",
            Self::Slope => "chamfers, fillets and slopes",
            Self::FlatEnd => "flat ends and ledges",
        }
    }
}

/// Draft of one face in one half of a mould.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct FaceDraft {
    /// Index of the face in its boundary.
    pub face: usize,
    /// Class of the face.
    pub group: FaceGroup,
    /// Least angle between the face and the pull over its part in this half, rad. Positive: the face draws clear of the
    /// rubber; zero: it slides along; negative: rubber lies in its way.
    pub least_rad: f64,
    /// Greatest such angle, rad.
    pub greatest_rad: f64,
    /// Area of the whole face, mm².
    pub area_mm2: f64,
    /// Depth of the undercut across the pull, mm: how far the rubber must move aside. Zero without undercut. Of a flat
    /// ledge it is the mean width: its area over half its edge. Exact for planes and for round faces whose axis is the
    /// pull or square to it; an upper bound for others.
    pub undercut_mm: f64,
}

/// Least and greatest draft of the faces of one group.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct GroupDraft {
    /// The group.
    pub group: FaceGroup,
    /// Number of its faces.
    pub faces: usize,
    /// Their area, mm².
    pub area_mm2: f64,
    /// Least draft, rad.
    pub least_rad: f64,
    /// Greatest draft, rad.
    pub greatest_rad: f64,
    /// Number of faces with an undercut.
    pub undercut_faces: usize,
    /// Area of these faces, mm².
    pub undercut_area_mm2: f64,
    /// Deepest undercut, mm.
    pub undercut_mm: f64,
}

/// Draft of every face that lies in this half at least partly, in the order of the boundary. `grips` tells gripping faces.
///
/// A flat end in the parting plane that faces along the pull belongs to the other half. Fails if a round face is not
/// bounded by two arcs.
pub fn face_drafts(part: &Brep, half: &MouldHalf, grips: &dyn Fn(&Face) -> bool) -> Result<Vec<FaceDraft>, MassError> {
    let areas = face_areas_mm2(part)?;
    let draft = |(face, area_mm2): (usize, f64)| {
        let shape = &part.faces[face];
        let slopes = Slopes::of(part, shape, half)?;
        let (least_rad, greatest_rad) = (-slopes.greatest.asin(), -slopes.least.asin());
        let group = if grips(shape) { FaceGroup::Gripping } else { slopes.group() };
        let undercut_mm = if slopes.greatest > 0.0 { undercut_mm(part, shape, half, area_mm2) } else { 0.0 };
        Some(FaceDraft {
            face,
            group,
            least_rad: least_rad + 0.0,
            greatest_rad: greatest_rad + 0.0,
            area_mm2,
            undercut_mm,
        })
    };
    Ok(areas.into_iter().enumerate().filter_map(draft).collect())
}

/// The drafts of each group that has faces.
pub fn group_drafts(drafts: &[FaceDraft]) -> Vec<GroupDraft> {
    let of_group = |group: FaceGroup| {
        let mut sum = GroupDraft {
            group,
            faces: 0,
            area_mm2: 0.0,
            least_rad: FRAC_PI_2,
            greatest_rad: -FRAC_PI_2,
            undercut_faces: 0,
            undercut_area_mm2: 0.0,
            undercut_mm: 0.0,
        };
        for draft in drafts.iter().filter(|draft| draft.group == group) {
            sum.faces += 1;
            sum.area_mm2 += draft.area_mm2;
            sum.least_rad = sum.least_rad.min(draft.least_rad);
            sum.greatest_rad = sum.greatest_rad.max(draft.greatest_rad);
            if draft.undercut_mm > 0.0 {
                sum.undercut_faces += 1;
                sum.undercut_area_mm2 += draft.area_mm2;
                sum.undercut_mm = sum.undercut_mm.max(draft.undercut_mm);
            }
        }
        (sum.faces > 0).then_some(sum)
    };
    FaceGroup::ALL.into_iter().filter_map(of_group).collect()
}

/// Range of the component of a face's outward normal along the pull: the sine of its slope, positive in an undercut.
struct Slopes {
    least: f64,
    greatest: f64,
}

impl Slopes {
    /// Slopes of the part of a face that this half forms; `None` if it forms none of it.
    fn of(part: &Brep, face: &Face, half: &MouldHalf) -> Option<Self> {
        let slopes: Vec<f64> = if let Surface::Plane { .. } = face.surface {
            let slope = straightened(dot(plane_normal(face), half.pull));
            let [low, high] = heights_mm(part, face, half.pull);
            let is_other_half = if slope >= FLAT { half.leaves_end(high) } else { !below(half, low, slope) };
            if is_other_half { Vec::new() } else { vec![slope] }
        } else if let Some(round) = RoundFace::new(part, face) {
            let touches = |angle: &f64| {
                let [a, b] = round.line(*angle).map(|p| half.height_mm(p));
                half.reaches(a.min(b))
            };
            let [low, _] = heights_mm(part, face, half.pull);
            let angles =
                if below(half, low, 0.0) { round.extreme_angles(half.pull, half.parting_mm) } else { Vec::new() };
            let slope = |angle| straightened(dot(round.normal(angle), half.pull).clamp(-1.0, 1.0));
            angles.into_iter().filter(touches).map(slope).collect()
        } else {
            Vec::new()
        };
        let least = slopes.iter().copied().reduce(f64::min)?;
        Some(Self { least, greatest: slopes.iter().copied().fold(least, f64::max) })
    }

    fn group(&self) -> FaceGroup {
        let steepest = self.greatest.abs().max(self.least.abs());
        if self.least.abs().min(self.greatest.abs()) >= FLAT {
            FaceGroup::FlatEnd
        } else if steepest <= SIDE_RAD.sin() {
            FaceGroup::Side
        } else {
            FaceGroup::Slope
        }
    }
}

/// True if a face whose lowest point has this height (mm) reaches into the half. One that only touches the parting plane
/// does so if it faces into the half.
fn below(half: &MouldHalf, low_mm: f64, slope: f64) -> bool {
    if slope <= -FLAT { half.reaches(low_mm) } else { !half.ends_below(low_mm) }
}

fn straightened(slope: f64) -> f64 {
    if slope.abs() < STRAIGHT { 0.0 } else { slope }
}

pub(super) fn plane_normal(face: &Face) -> Point3 {
    let z = face.surface.frame().z;
    if face.same_sense { z } else { z.map(|x| -x) }
}

/// Least and greatest height of a face along the pull, mm: exact, since faces are straight in one direction.
pub(super) fn heights_mm(part: &Brep, face: &Face, pull: Point3) -> [f64; 2] {
    let edges = || face.loops.iter().flatten().map(|usage| &part.edges[usage.edge]);
    let top = |pull: Point3| edges().map(|edge| reach_mm(part, edge, pull)).fold(f64::NEG_INFINITY, f64::max);
    [-top(pull.map(|x| -x)), top(pull)]
}

/// Depth of the undercut of a face across the pull, mm.
fn undercut_mm(part: &Brep, face: &Face, half: &MouldHalf, area_mm2: f64) -> f64 {
    let Some(round) = RoundFace::new(part, face) else {
        let slope = dot(plane_normal(face), half.pull);
        if slope >= FLAT {
            return 2.0 * area_mm2 / edge_length_mm(part, face);
        }
        let [low, high] = heights_mm(part, face, half.pull);
        return (high.min(half.parting_mm) - low) * slope.asin().tan();
    };
    let (mut along_lines, mut across) = (0.0_f64, [0.0; 2]);
    for pair in round.divided(half.pull, half.parting_mm, DEPTH_STEPS).windows(2) {
        let middle = 0.5 * (pair[0] + pair[1]);
        let normal = round.normal(middle);
        let slope = dot(normal, half.pull);
        let [low, high] = {
            let [a, b] = round.line(middle).map(|p| half.height_mm(p));
            [a.min(b), a.max(b)]
        };
        if slope <= STRAIGHT || !half.reaches(low) {
            continue;
        }
        along_lines = along_lines.max((high.min(half.parting_mm) - low) * slope.asin().tan());
        // The way of both arcs across the pull, in the direction in which the face leans.
        let level = unit(along(normal, half.pull, -slope));
        let (before, after) = (round.line(pair[0]), round.line(pair[1]));
        for k in 0..2 {
            across[k] += dot(sub(after[k], before[k]), level).abs();
        }
    }
    along_lines + across[0].max(across[1])
}

/// Length of all edges of a face, mm.
fn edge_length_mm(part: &Brep, face: &Face) -> f64 {
    let length = |edge: &gripwright_solid::Edge| match edge.curve {
        EdgeCurve::Line => vector::length(sub(part.vertices[edge.to], part.vertices[edge.from])),
        EdgeCurve::Arc { radius, sweep, .. } => radius * sweep,
    };
    face.loops.iter().flatten().map(|usage| length(&part.edges[usage.edge])).sum()
}

#[cfg(test)]
mod tests;
