//! Regions of a holder: gripping faces, and the web with both pads.

use std::f64::consts::PI;

use gripwright_input::Parting;
use gripwright_section::{Curve, Outline, Point, Role, Segment};
use gripwright_sizing::HolderPlan;
use gripwright_solid::{Brep, Face, Point3};

/// Greatest distance (mm) from an outline at which a point still lies on its faces; chamfers and layers move them less.
const NEAR_MM: f64 = 0.6;

/// A prism of a holder, in its place.
struct PlacedClip {
    outline: Outline,
    /// Place of its middle along its axis, and half its length, mm.
    at_mm: f64,
    half_length_mm: f64,
    /// Distance of its axis from the origin (mm), and lean of its axis (rad).
    offset_mm: f64,
    pitch_rad: f64,
}

/// Gripping faces and web of a holder, by place.
pub(crate) struct HolderRegions {
    parts: Vec<PlacedClip>,
    /// Half of the pad's width, and the range of y of the web with the walls at both pads, mm.
    web_half_width_mm: f64,
    web_mm: [f64; 2],
    /// Movement of drafted faces at the ends, mm.
    draft_mm: f64,
}

impl HolderRegions {
    pub(crate) fn new(plan: &HolderPlan) -> Self {
        let mount = PlacedClip {
            outline: plan.mount_outline.moved(PI, Point::new(0.0, 0.0)),
            at_mm: 0.0,
            half_length_mm: 0.5 * plan.mount_length_mm,
            offset_mm: 0.0,
            pitch_rad: 0.0,
        };
        let clip = |outline: &Outline, at_mm: f64, length_mm: f64| PlacedClip {
            outline: outline.clone(),
            at_mm,
            half_length_mm: 0.5 * length_mm,
            offset_mm: plan.offset_mm,
            pitch_rad: plan.pitch_rad,
        };
        let mut parts = vec![mount];
        parts.extend(plan.stations.iter().map(|s| clip(&s.outline, s.at_mm, s.length_mm)));
        let parting_mm = match plan.parting {
            Parting::Middle | Parting::Cut => 0.0,
            Parting::End => -0.5 * plan.mount_length_mm,
        };
        let farthest = |part: &PlacedClip| (part.at_mm - parting_mm).abs() + part.half_length_mm;
        let longest = parts.iter().map(farthest).fold(0.0, f64::max);
        let web_half_width_mm = pad_half_width_mm(&plan.mount_outline);
        let web_mm = [material_behind_mm(&plan.mount_outline), plan.offset_mm - material_behind_mm(&plan.clip_outline)];
        Self { parts, web_half_width_mm, web_mm, draft_mm: longest * plan.draft_rad.tan() }
    }

    /// Regions of a slice of the clip of a plan, its axis at the origin. Its web is the wall between seat and pad.
    pub(crate) fn of_slice(plan: &HolderPlan) -> Self {
        let half_length_mm = 0.5 * plan.clip_length_mm;
        let outline = plan.clip_outline.clone();
        let pad_mm = pads(&outline).map(|corner| corner.y).fold(f64::INFINITY, f64::min);
        Self {
            web_half_width_mm: pad_half_width_mm(&outline),
            web_mm: [pad_mm, -material_behind_mm(&outline)],
            draft_mm: 2.0 * half_length_mm * plan.draft_rad.tan(),
            parts: vec![PlacedClip { outline, at_mm: 0.0, half_length_mm, offset_mm: 0.0, pitch_rad: 0.0 }],
        }
    }

    /// Middle of the web in the cross-section, from the body's axis, or from the tool's axis of a slice, mm.
    pub(crate) fn web_middle_mm(&self) -> f64 {
        0.5 * (self.web_mm[0] + self.web_mm[1])
    }

    /// Least extent of the web in the cross-section, mm: room for a sprue.
    pub(crate) fn web_room_mm(&self) -> f64 {
        (self.web_mm[1] - self.web_mm[0]).min(2.0 * self.web_half_width_mm)
    }

    /// True if the web is at least as wide as it is long from pad to pad.
    pub(crate) fn web_is_wide(&self) -> bool {
        2.0 * self.web_half_width_mm >= self.web_mm[1] - self.web_mm[0]
    }

    /// True on seats and lips.
    pub(crate) fn is_gripping(&self, at: Point3) -> bool {
        let near = |part: &PlacedClip| {
            let (point, along_mm) = part.in_section(at);
            let beyond = (along_mm - part.at_mm).abs() - part.half_length_mm;
            (beyond < NEAR_MM)
                .then(|| part.outline.nearest(point))
                .filter(|n| n.distance_mm < NEAR_MM + self.draft_mm)
                .map(|nearest| (nearest.distance_mm, part.outline.segments()[nearest.segment].role.grips()))
        };
        let nearest = self.parts.iter().filter_map(near).min_by(|a, b| a.0.total_cmp(&b.0));
        nearest.is_some_and(|(_, grips)| grips)
    }

    /// True on a face of which every corner lies on seats or lips.
    pub(crate) fn grips(&self, brep: &Brep, face: &Face) -> bool {
        let mut corners = face.loops.iter().flatten().map(|edge_use| brep.vertices[brep.edges[edge_use.edge].from]);
        corners.all(|corner| self.is_gripping(corner))
    }

    /// True in the web or the walls at its pads, at least `margin_mm` from their edges.
    pub(crate) fn is_web(&self, at: Point3, margin_mm: f64) -> bool {
        let [least, greatest] = self.web_mm;
        at[0].abs() <= self.web_half_width_mm - margin_mm && at[1] >= least + margin_mm && at[1] <= greatest - margin_mm
    }

    /// Outline of the web with the walls at both pads; `None` where it has no area, as in a slice.
    pub(crate) fn web_outline(&self) -> Option<Outline> {
        let [low, high] = self.web_mm;
        let (left, right) = (-self.web_half_width_mm, self.web_half_width_mm);
        let corners = [(left, low), (right, low), (right, high), (left, high)].map(|(x, y)| Point::new(x, y));
        let side = |k: usize| Segment::new(Curve::line(corners[k], corners[(k + 1) % 4]), Role::Web);
        Outline::new((0..4).map(side).collect()).ok().filter(|outline| outline.area_mm2() > 0.0)
    }
}

impl PlacedClip {
    /// Point in the drawing of the section, and its place along the axis.
    fn in_section(&self, at: Point3) -> (Point, f64) {
        let (sin, cos) = self.pitch_rad.sin_cos();
        let y = at[1] - self.offset_mm;
        (Point::new(at[0], y * cos - at[2] * sin), y * sin + at[2] * cos)
    }
}

fn pads(outline: &Outline) -> impl Iterator<Item = Point> {
    let pads = outline.segments().iter().filter(|segment| segment.role == Role::Pad);
    pads.flat_map(|segment| [segment.curve.start(), segment.curve.end()])
}

fn pad_half_width_mm(outline: &Outline) -> f64 {
    pads(outline).map(|corner| corner.x.abs()).fold(0.0, f64::max)
}

/// Depth (mm below its axis) at which the material behind a seat begins, in the drawing of a clip with its mouth upward.
fn material_behind_mm(outline: &Outline) -> f64 {
    let seats = outline.segments().iter().filter(|segment| segment.role == Role::Seat);
    -seats.map(|segment| segment.curve.bounds().min.y).fold(f64::INFINITY, f64::min)
}
