//! Solids of a holder in space, for distances to keep-outs.

use gripwright_input::{Finish, GrippingFaces, HolderAxis, KeepOutShape, Layout, Parting};
use gripwright_section::{
    ConvexVolume, Curve, InsetLevel, Outline, Placement, Point, Role, Segment, SideWeb, StackedPart, VolumeAxis,
    VolumeProfile,
};

use crate::{
    design::clearance::{Approach, KeepOutPart},
    design::holder_plan::{StationPlan, WebPlan},
};

/// Heights nearer than this (mm) are one.
const SAME_HEIGHT_MM: f64 = 1e-9;

/// Convex volume of a keep-out.
pub fn volume(shape: &KeepOutShape) -> ConvexVolume {
    match *shape {
        KeepOutShape::Box { from_mm, to_mm } => ConvexVolume {
            axis: VolumeAxis::X,
            profile: VolumeProfile::Rectangle {
                min: Point::new(from_mm[1], from_mm[2]),
                max: Point::new(to_mm[1], to_mm[2]),
            },
            from_mm: from_mm[0],
            to_mm: to_mm[0],
        },
        KeepOutShape::Cylinder { along, through_mm: [x, y, z], diameter_mm, from_mm, to_mm } => {
            let (axis, centre) = match along {
                HolderAxis::X => (VolumeAxis::X, Point::new(y, z)),
                HolderAxis::Y => (VolumeAxis::Y, Point::new(z, x)),
                HolderAxis::Z => (VolumeAxis::Z, Point::new(x, y)),
            };
            ConvexVolume { axis, profile: VolumeProfile::Disc { centre, radius_mm: 0.5 * diameter_mm }, from_mm, to_mm }
        }
        KeepOutShape::Sweep { pivot_mm, reach_mm, thickness_mm, width_mm, across_mm, from_rad, to_rad } => {
            // The spec counts from along the body toward the tools, a side view from the tools' direction to along the
            // body.
            let quarter = std::f64::consts::FRAC_PI_2;
            ConvexVolume {
                axis: VolumeAxis::X,
                profile: VolumeProfile::Sweep {
                    pivot: Point::new(pivot_mm[0], pivot_mm[1]),
                    reach_mm: reach_mm - 0.5 * thickness_mm,
                    half_thickness_mm: 0.5 * thickness_mm,
                    from_rad: quarter - to_rad,
                    to_rad: quarter - from_rad,
                },
                from_mm: across_mm - 0.5 * width_mm,
                to_mm: across_mm + 0.5 * width_mm,
            }
        }
    }
}

/// Solids of a holder before or after its web is relieved.
pub(crate) struct HolderSolids<'a> {
    layout: &'a Layout,
    finish: &'a Finish,
    placed: PlacedParts<'a>,
}

impl<'a> HolderSolids<'a> {
    pub(crate) fn new(layout: &'a Layout, finish: &'a Finish, placed: PlacedParts<'a>) -> Self {
        Self { layout, finish, placed }
    }

    /// Mount, clips and tool.
    pub(crate) fn rigid(&self) -> Vec<(KeepOutPart, StackedPart)> {
        let mut parts = Vec::new();
        let placed = &self.placed;
        let heights = heights(placed.mount_length_mm, self.finish);
        let mount = match placed.mount_upper {
            None => self.prism(placed.mount_outline, &heights, MOUNT_PLACING),
            Some(upper) => {
                let ends = [placed.mount_outline, upper];
                StackedPart::interpolating(ends, &self.moves(placed.mount_outline), &heights, MOUNT_PLACING).ok()
            }
        };
        parts.extend(mount.map(|s| (KeepOutPart::Mount, s)));
        for (index, station) in placed.stations.iter().enumerate() {
            let stacked = self.prism(&station.outline, &self.clip_heights(station, index), self.on_axis(station.at_mm));
            parts.extend(stacked.map(|s| (KeepOutPart::Clip(index), s)));
        }
        parts.extend(self.tool().map(|s| (KeepOutPart::Tool, s)));
        parts
    }

    /// A prism of the holder with what draft and chamfer do to it.
    fn prism(&self, outline: &Outline, heights: &[InsetLevel], placing: Placement) -> Option<StackedPart> {
        // A plan whose outlines do not bear their moves has been refused before.
        StackedPart::new(outline, &self.moves(outline), heights, placing).ok()
    }

    /// True for each segment that draft and chamfer move.
    fn moves(&self, outline: &Outline) -> Vec<bool> {
        let moves = |role: Role| match (role, self.finish.gripping_faces) {
            (Role::Pad, _) => false,
            (role, GrippingFaces::Straight) => !role.grips(),
            (_, GrippingFaces::Drafted) => true,
        };
        outline.segments().iter().map(|s| moves(s.role)).collect()
    }

    /// Heights and moves of a clip; with draft it leans from the mount's parting plane and is chamfered at the outermost
    /// ends alone.
    fn clip_heights(&self, station: &StationPlan, index: usize) -> Vec<InsetLevel> {
        if self.finish.draft_rad <= 0.0 || self.finish.parting == Parting::End {
            return heights(station.length_mm, self.finish);
        }
        let chamfered = [index == 0, index + 1 == self.placed.stations.len()];
        heights_from_parting(station.length_mm, self.finish, station.at_mm, chamfered)
    }

    /// The drawing of a clip at a place along the tool's axis.
    fn on_axis(&self, along_mm: f64) -> Placement {
        let (sin, cos) = self.layout.pitch_rad.sin_cos();
        Placement {
            origin: [0.0, self.layout.offset_mm + along_mm * sin, along_mm * cos],
            axes: [[1.0, 0.0, 0.0], [0.0, cos, -sin], [0.0, sin, cos]],
        }
    }

    /// From where to where the clips reach along the tool's axis, mm.
    fn clips_reach(&self) -> [f64; 2] {
        let ends = |s: &StationPlan| [s.at_mm - 0.5 * s.length_mm, s.at_mm + 0.5 * s.length_mm];
        let reach = self.placed.stations.iter().map(ends);
        reach.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], [c, d]| [a.min(c), b.max(d)])
    }

    /// The thickest barrel, as thick all the way: no tool is known better.
    fn tool(&self) -> Option<StackedPart> {
        let layout = self.layout;
        let points = layout.stop_at_mm.into_iter().chain(layout.aim.map(|aim| aim.ahead_mm));
        let [low, high] = points.fold(self.clips_reach(), |[low, high], at| [low.min(at), high.max(at)]);
        let radius = 0.5 * self.placed.barrel_mm;
        let half = |start| Segment::new(Curve::arc(Point::ORIGIN, radius, start, std::f64::consts::PI), Role::Body);
        let round = Outline::new(vec![half(0.0), half(std::f64::consts::PI)]).ok()?;
        StackedPart::new(&round, &[false; 2], &[low, high].map(|z| InsetLevel::new(z, 0.0)), self.on_axis(0.0)).ok()
    }

    /// The web.
    pub(crate) fn web(&self, web: &WebPlan) -> Option<StackedPart> {
        let finish = self.finish;
        let half_width = self.pad_half_width_mm()?;
        let on_end = Placement { origin: [0.0; 3], axes: [[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0]] };
        let top_mm = self.layout.offset_mm - self.placed.below_clip_mm;
        let mount = pad(half_width, &heights(self.placed.mount_length_mm, finish), 0.0)?;
        match web {
            WebPlan::Plain => {
                let station = self.placed.stations.first()?;
                let clip = pad(half_width, &heights(station.length_mm, finish), station.at_mm)?;
                Some(StackedPart::between([self.placed.below_mount_mm, top_mm], [&mount, &clip], on_end))
            }
            WebPlan::Flat => {
                let [low, high] = self.clips_reach();
                // The parting plane is the mount's, wherever the clips' middle is.
                let middle = 0.5 * (low + high);
                let levels = heights_from_parting(high - low, finish, middle, [true; 2]);
                let clips = pad(half_width, &levels, middle)?;
                Some(StackedPart::between([self.placed.below_mount_mm, top_mm], [&mount, &clips], on_end))
            }
            WebPlan::Side(outline) => {
                let moves: Vec<bool> = outline.segments().iter().map(|s| s.role != Role::Pad).collect();
                let levels = heights(2.0 * half_width, finish);
                StackedPart::new(outline, &moves, &levels, ACROSS_PLACING).ok()
            }
        }
    }

    /// Half the width of the pads, which is the web's, mm.
    pub(crate) fn pad_half_width_mm(&self) -> Option<f64> {
        let pad = self.placed.mount_outline.segments().iter().find(|s| s.role == Role::Pad)?;
        Some(0.5 * pad.curve.length())
    }

    /// Points of the mount's outline at its middle and both ends.
    pub(crate) fn mount_points(&self) -> Vec<[f64; 3]> {
        let half = 0.5 * self.placed.mount_length_mm;
        let places = self.placed.mount_outline.segments().iter().flat_map(|s| [s.curve.at(0.0), s.curve.at(0.5)]);
        places.flat_map(|p| [-half, 0.0, half].map(|z| [-p.x, -p.y, z])).collect()
    }

    /// The part that is meant where the web comes nearest: the stop is drawn in one piece with it.
    pub(crate) fn named(web: &SideWeb, found: Approach) -> Approach {
        let Some(stop) = web.stop else { return found };
        let origin = web.point_at(0.0, 0.0);
        let from = Point::new(found.at_mm[1], found.at_mm[2]) - origin;
        let (along, up) = (from.dot(web.point_at(1.0, 0.0) - origin), from.dot(web.point_at(0.0, 1.0) - origin));
        let behind = web.pads_mm.first().is_some_and(|pad| stop.at_mm < pad[0]);
        let beyond = if behind { along <= stop.at_mm } else { along >= stop.at_mm };
        let part = if beyond && up > -web.pad_depth_mm { KeepOutPart::Stop } else { found.part };
        Approach { part, ..found }
    }

    /// True if the stop itself, from the line of the pads to its top, comes within the clearance.
    pub(crate) fn stop_is_near(&self, web: &SideWeb, volume: &ConvexVolume, clearance_mm: f64) -> bool {
        let (Some(stop), Some(half_width)) = (web.stop, self.pad_half_width_mm()) else { return false };
        let away = if web.pads_mm.first().is_some_and(|pad| stop.at_mm < pad[0]) { -1.0 } else { 1.0 };
        let ends = [stop.at_mm, stop.at_mm + away * stop.thickness_mm];
        let corners = [
            web.point_at(ends[0].min(ends[1]), -web.pad_depth_mm),
            web.point_at(ends[0].max(ends[1]), -web.pad_depth_mm),
            web.point_at(ends[0].max(ends[1]), stop.top_mm),
            web.point_at(ends[0].min(ends[1]), stop.top_mm),
        ];
        let Some(post) = polygon(&corners) else { return false };
        let stacked = StackedPart::new(
            &post,
            &[false; 4],
            &[-half_width, half_width].map(|z| InsetLevel::new(z, 0.0)),
            ACROSS_PLACING,
        );
        stacked.is_ok_and(|post| {
            post.closest_approach(&|p| volume.distance_mm(p), volume.inner_point_mm()).distance_mm < clearance_mm
        })
    }
}

/// The mount's drawing is turned by half a turn about the body's axis.
const MOUNT_PLACING: Placement =
    Placement { origin: [0.0; 3], axes: [[-1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0]] };
/// A side view: x of the drawing is y of the holder, its y is z, and its height is x.
const ACROSS_PLACING: Placement =
    Placement { origin: [0.0; 3], axes: [[0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]] };

/// Heights of a prism about its middle and how far its faces have moved in there, mm.
fn heights(length_mm: f64, finish: &Finish) -> Vec<InsetLevel> {
    match finish.parting {
        Parting::Middle | Parting::Cut => heights_from_parting(length_mm, finish, 0.0, [true; 2]),
        Parting::End => heights_from_parting(length_mm, finish, 0.5 * length_mm, [false, true]),
    }
}

/// The same of a prism whose middle stands at `at_mm` over the parting plane of its draft. `chamfered` tells it of the
/// lower and the upper end.
fn heights_from_parting(length_mm: f64, finish: &Finish, at_mm: f64, chamfered: [bool; 2]) -> Vec<InsetLevel> {
    let half = 0.5 * length_mm;
    let nearest = (at_mm.abs() - half).max(0.0);
    let drafted = |z: f64| ((z + at_mm).abs() - nearest).max(0.0) * finish.draft_rad.tan();
    let [low, high] = chamfered.map(|chamfered| if chamfered { finish.chamfer_mm } else { 0.0 });
    let parting = (finish.draft_rad > 0.0).then_some(0.0 - at_mm);
    // The draft ends where a chamfer begins.
    let mut out = vec![InsetLevel::new(-half, drafted(-half + low) + low)];
    for z in [Some(-half + low), parting, Some(half - high)].into_iter().flatten() {
        let above = out.last().is_none_or(|last| z > last.height_mm + SAME_HEIGHT_MM);
        if above && z < half - SAME_HEIGHT_MM {
            out.push(InsetLevel::new(z, drafted(z)));
        }
    }
    out.push(InsetLevel::new(half, drafted(half - high) + high));
    out
}

/// A pad seen along the tool's height: as wide at each place along the body as its neighbours leave it.
fn pad(half_width: f64, levels: &[InsetLevel], shift: f64) -> Option<Outline> {
    let right = levels.iter().map(|level| Point::new(half_width - level.inset_mm, level.height_mm + shift));
    let left = levels.iter().rev().map(|level| Point::new(level.inset_mm - half_width, level.height_mm + shift));
    polygon(&right.chain(left).collect::<Vec<_>>())
}

fn polygon(corners: &[Point]) -> Option<Outline> {
    let side = |i: usize| Segment::new(Curve::line(corners[i], corners[(i + 1) % corners.len()]), Role::Body);
    Outline::new((0..corners.len()).map(side).collect()).ok()
}

/// Stations and outlines that a scene is made of.
pub(crate) struct PlacedParts<'a> {
    pub(crate) mount_outline: &'a Outline,
    /// Outline at the upper end, when it is not alike all along.
    pub(crate) mount_upper: Option<&'a Outline>,
    pub(crate) mount_length_mm: f64,
    pub(crate) stations: &'a [StationPlan],
    /// Thickest barrel in the clips, mm.
    pub(crate) barrel_mm: f64,
    /// From the tool's axis to the clips' pads, mm.
    pub(crate) below_clip_mm: f64,
    /// From the body's axis to the mount's pad, mm.
    pub(crate) below_mount_mm: f64,
}
