//! Side view of the web, from the mount's pad to the pads of one or more clips along a tool axis.
//!
//! In the drawing, x is the height over the body's axis and y runs along the body. The tool's axis is at x = offset over
//! the middle of the mount; with a pitch, it leans away from the body toward +y.
//!
//! ```text
//!        _   ___      ___   _      clip pads, all on one line along the tool's axis
//!       |_| |   \____/   |/        valleys between them; beyond the last clip perhaps a stop
//!         \             /
//!          |___________|           mount pad
//! ```
//!
//! The neighbours of a pad are perpendicular to it, and all other joints are tangent. An inset of the outline (an edge
//! chamfer) therefore meets the chamfers of mount and clips exactly.

use crate::{
    curve::Curve,
    fillet::{FilletError, RoundedCorner, fillet},
    inset::inset,
    outline::{Outline, OutlineError, Segment},
    point::Point,
    role::Role,
};

/// Least gap between neighbouring pads, or between the stop and a pad, mm: two lines of a common nozzle and the air
/// between their chamfers. Common practice, no source.
pub const LEAST_PAD_GAP_MM: f64 = 2.0;
/// Depth and radius of the usual fillets, mm. Common practice, no source.
const FILLET_MM: f64 = 2.5;
/// Greatest length of the straight neck at either end of a side, as a share of the side's rise.
const MAX_NECK_OF_RISE: f64 = 0.42;
/// Greatest depth of a valley between two clips, mm.
pub const DEEPEST_VALLEY_MM: f64 = FILLET_MM / (1.0 - NECK_SHARE);
/// Greatest depth of a valley, as a share of the web's thickness there.
pub const VALLEY_SHARE: f64 = 0.4;
/// Length of the straight neck between a pad and a valley's fillet, as a share of the valley's depth.
const NECK_SHARE: f64 = 0.3;
/// Least radius of a fillet, mm: a smaller one is a crease.
const LEAST_FILLET_MM: f64 = 0.2;
/// Least radius that a rounded corner keeps after its chamfer, mm.
const RADIUS_BEYOND_CHAMFER_MM: f64 = 0.1;
/// Least wall that chamfers may leave at the edges, mm: chamfers are one or two layers high. Common practice, no
/// source.
const LEAST_WALL_AT_CHAMFER_MM: f64 = 0.25;
/// Bends smaller than this (rad) are rounding: the two lines are one.
const STRAIGHT_RAD: f64 = 1e-9;

/// Wall beyond the last clip against which the end of a tool rests.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToolStop {
    /// Position of its face along the tool's axis, mm; beyond all clips on either side.
    pub at_mm: f64,
    /// Thickness along the tool's axis, mm.
    pub thickness_mm: f64,
    /// Height of its top above the tool's axis, mm; negative if the top is below the axis.
    pub top_mm: f64,
}

/// Dimensions of a web in side view. Lengths in mm, angles in rad.
#[derive(Clone, Debug, PartialEq)]
pub struct SideWeb {
    /// Height of the mount's pad over the body's axis.
    pub mount_pad_mm: f64,
    /// Half of the length of the mount's pad.
    pub mount_half_mm: f64,
    /// Distance from the body's axis to the tool's axis, over the middle of the mount.
    pub offset_mm: f64,
    /// Angle between the tool's axis and the body's axis.
    pub pitch_rad: f64,
    /// Distance from the tool's axis to the clips' pads.
    pub pad_depth_mm: f64,
    /// Start and end of each clip's pad along the tool's axis, in ascending order.
    pub pads_mm: Vec<[f64; 2]>,
    /// The stop, if there is one.
    pub stop: Option<ToolStop>,
    /// Leg of the edge chamfers that the outline must allow.
    pub chamfer_mm: f64,
    /// Least wall between the chamfers.
    pub least_wall_mm: f64,
}

/// Reason why a web cannot be drawn.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SideWebError {
    /// There is no clip, or a pad has no length.
    #[error("a web needs at least one clip, and every pad a length")]
    NoPad,
    /// Two neighbours along the tool's axis overlap or leave no room for a valley.
    #[error("{gap_mm:.3} mm are left between neighbours along the tool's axis; at least {least_mm} mm is needed")]
    Overlap {
        /// The gap, mm; negative when they overlap.
        gap_mm: f64,
        /// The least gap, mm.
        least_mm: f64,
    },
    /// The stop lies between the clips or is too thin for its rounded edges.
    #[error(
        "a stop at {at_mm} mm, {thickness_mm} mm thick, must stand beyond all clips and be thicker than {least_mm} mm"
    )]
    Stop {
        /// Its face, mm.
        at_mm: f64,
        /// Its thickness, mm.
        thickness_mm: f64,
        /// Least thickness, mm.
        least_mm: f64,
    },
    /// The lowest end of the clips' pads is too close to the mount.
    #[error("the clips come within {height_mm:.3} mm of the mount's pad; at least {least_mm:.3} mm is needed")]
    TooClose {
        /// Least height of a pad's end over the mount's pad, mm; negative when it lies below.
        height_mm: f64,
        /// Least height that leaves a web, mm.
        least_mm: f64,
    },
    /// The web is too thin under a valley or stop.
    #[error("under a valley the web is {thickness_mm:.3} mm thick; at least {least_mm:.3} mm is needed")]
    Thin {
        /// Thickness before the valley is cut, mm.
        thickness_mm: f64,
        /// Least thickness, mm.
        least_mm: f64,
    },
    /// The web is thinner than the least wall somewhere.
    #[error("the web thins to {thickness_mm:.3} mm between its sides; at least {least_mm:.3} mm is needed")]
    Severed {
        /// Least thickness found, mm; zero where two sides touch.
        thickness_mm: f64,
        /// Least thickness, mm.
        least_mm: f64,
    },
    /// The sides leave no room for the edge chamfers.
    #[error("the web's sides leave no room for edge chamfers of {chamfer_mm} mm")]
    Chamfer {
        /// The chamfer requested, mm.
        chamfer_mm: f64,
    },
    /// A fillet does not fit.
    #[error(transparent)]
    Fillet(#[from] FilletError),
    /// The chain of segments does not close.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

impl SideWeb {
    /// Least permitted height of the clips' pads over the mount's pad, mm.
    pub fn least_height_mm(&self) -> f64 {
        (2.0 + 3.0 * self.chamfer_mm).max(self.least_neck_mm() / MAX_NECK_OF_RISE)
    }

    /// Least length of the straight neck at a pad's end, mm. A clip that overhangs the mount hangs on this neck.
    fn least_neck_mm(&self) -> f64 {
        self.least_wall_mm + 2.0 * self.chamfer_mm + 0.2
    }

    /// Usual length of the straight neck at a pad's end on a side with this rise, mm.
    fn neck_mm(&self, rise: f64) -> f64 {
        (0.25 * rise).min(FILLET_MM).max(self.least_neck_mm()).min(MAX_NECK_OF_RISE * rise)
    }

    /// Least height of the clips' pads and of the foot of the stop over the mount's pad, mm.
    pub fn height_mm(&self) -> f64 {
        let [low, high] = self.span();
        self.pad_point(low).x.min(self.pad_point(high).x) - self.mount_pad_mm
    }

    /// Point of the drawing at the position `along` on the tool's axis and the distance `up` from it, away from the body,
    /// mm.
    pub fn point_at(&self, along: f64, up: f64) -> Point {
        let (sin, cos) = self.pitch_rad.sin_cos();
        Point::new(self.offset_mm + along * sin + up * cos, along * cos - up * sin)
    }

    /// Point on the line of the pads at the position `along` on the tool's axis.
    fn pad_point(&self, along: f64) -> Point {
        self.point_at(along, -self.pad_depth_mm)
    }

    /// Unit directions along the tool's axis and perpendicular to it, away from the body.
    fn directions(&self) -> (Point, Point) {
        let (sin, cos) = self.pitch_rad.sin_cos();
        (Point::new(sin, cos), Point::new(cos, -sin))
    }

    /// Start and end of clips and stop along the tool's axis.
    fn span(&self) -> [f64; 2] {
        let (low, high) = self
            .pads_mm
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), pad| (low.min(pad[0]), high.max(pad[1])));
        match self.stop {
            Some(stop) if stop.at_mm < low => [stop.at_mm - stop.thickness_mm, high],
            Some(stop) => [low, stop.at_mm + stop.thickness_mm],
            None => [low, high],
        }
    }

    /// Closed outline, counter-clockwise. The mount's pad comes first, then the clips' pads in ascending order.
    pub fn outline(&self) -> Result<Outline, SideWebError> {
        self.check()?;
        let mut path = Path { segments: Vec::new() };
        let (mount, half) = (self.mount_pad_mm, self.mount_half_mm);
        path.push(Curve::line(Point::new(mount, half), Point::new(mount, -half)), Role::Pad);
        let [low, high] = self.span();
        self.add_side(&mut path, [Point::new(mount, -half), self.pad_point(low)], false)?;
        let stop = self.stop;
        if let Some(stop) = stop.filter(|s| s.at_mm < self.pads_mm[0][0]) {
            self.add_stop(&mut path, &stop, true)?;
            self.add_valley(&mut path, [stop.at_mm, self.pads_mm[0][0]], [Some(stop.top_mm), None])?;
        }
        for (index, pad) in self.pads_mm.iter().enumerate() {
            if let Some(before) = index.checked_sub(1).and_then(|i| self.pads_mm.get(i)) {
                self.add_valley(&mut path, [before[1], pad[0]], [None, None])?;
            }
            path.push(Curve::line(self.pad_point(pad[0]), self.pad_point(pad[1])), Role::Pad);
        }
        let last = self.pads_mm.last().map_or(high, |pad| pad[1]);
        if let Some(stop) = stop.filter(|s| s.at_mm > last) {
            self.add_valley(&mut path, [last, stop.at_mm], [None, Some(stop.top_mm)])?;
            self.add_stop(&mut path, &stop, false)?;
        }
        self.add_side(&mut path, [self.pad_point(high), Point::new(mount, half)], true)?;
        let outline = Outline::new(path.segments)?;
        self.check_walls(&outline)?;
        Ok(outline)
    }

    /// Checks the least wall of an outline of this web, before and after chamfering. A web that was changed, for example
    /// by a pocket, must pass the same check.
    pub fn check_walls(&self, outline: &Outline) -> Result<(), SideWebError> {
        check_least_wall(outline, self.least_wall_mm)?;
        let amounts: Vec<f64> =
            outline.segments().iter().map(|s| if s.role == Role::Pad { 0.0 } else { self.chamfer_mm }).collect();
        let chamfered = inset(outline, &amounts).ok().and_then(|moved| moved.to_outline(outline).ok());
        let chamfered = chamfered.ok_or(SideWebError::Chamfer { chamfer_mm: self.chamfer_mm })?;
        check_least_wall(&chamfered, LEAST_WALL_AT_CHAMFER_MM)
    }

    fn check(&self) -> Result<(), SideWebError> {
        if self.pads_mm.is_empty() || self.pads_mm.iter().any(|[low, high]| high - low <= 0.0 || (high - low).is_nan())
        {
            return Err(SideWebError::NoPad);
        }
        let gap = |gap_mm: f64| {
            let fault = SideWebError::Overlap { gap_mm, least_mm: LEAST_PAD_GAP_MM };
            if gap_mm < LEAST_PAD_GAP_MM - 1e-9 || gap_mm.is_nan() { Err(fault) } else { Ok(()) }
        };
        for pair in self.pads_mm.windows(2) {
            gap(pair[1][0] - pair[0][1])?;
        }
        if let Some(stop) = self.stop {
            let least_mm = 2.0 * self.stop_edge_mm();
            let (first, last) = (self.pads_mm[0][0], self.pads_mm[self.pads_mm.len() - 1][1]);
            if (stop.at_mm > first && stop.at_mm < last) || stop.thickness_mm <= least_mm {
                return Err(SideWebError::Stop { at_mm: stop.at_mm, thickness_mm: stop.thickness_mm, least_mm });
            }
            gap((first - stop.at_mm).max(stop.at_mm - last))?;
        }
        let (height_mm, least_mm) = (self.height_mm(), self.least_height_mm());
        if height_mm < least_mm - 1e-9 || height_mm.is_nan() {
            return Err(SideWebError::TooClose { height_mm, least_mm });
        }
        Ok(())
    }

    /// Radius of the stop's upper edges, mm.
    fn stop_edge_mm(&self) -> f64 {
        (self.chamfer_mm + RADIUS_BEYOND_CHAMFER_MM).max(0.8)
    }

    /// Adds a side with rounded corners between the mount's pad and the outermost end on the tool's axis. It is downward
    /// if it leads from the tool to the mount.
    fn add_side(&self, path: &mut Path, ends: [Point; 2], downward: bool) -> Result<(), SideWebError> {
        let (_, up) = self.directions();
        let rise = (ends[1].x - ends[0].x).abs();
        let away = Point::new(1.0, 0.0);
        let (first, second) = if downward { (-up, -away) } else { (away, up) };
        let corners = |neck: f64| [ends[0] + first * neck, ends[1] - second * neck];
        let bend = |a: Point, b: Point| a.cross(b).atan2(a.dot(b)).abs();
        // The necks must be long enough for rounded corners that remain after the chamfer.
        let mut neck = self.neck_mm(rise);
        for _ in 0..4 {
            let [a, b] = corners(neck);
            let sharpest = bend(first, b - a).max(bend(b - a, second));
            let needed = (self.chamfer_mm + 2.0 * RADIUS_BEYOND_CHAMFER_MM) * (0.5 * sharpest).tan() / 0.9;
            neck = neck.max(needed).min(MAX_NECK_OF_RISE * rise);
        }
        let [a, b] = corners(neck);
        let middle = Curve::line(a, b);
        let radius = |turn: f64| {
            let room = (0.9 * neck).min(0.45 * middle.length()) / (0.5 * turn).tan();
            // A gentle bend gets a large radius, because files drop arcs that are too short.
            room.min((2.0 * FILLET_MM).max(0.01 / turn))
        };
        let (one, other) = (bend(first, b - a), bend(b - a, second));
        if one.max(other) < STRAIGHT_RAD {
            path.push(Curve::line(ends[0], ends[1]), Role::Web);
            return Ok(());
        }
        let (mut start, mut end) = (Curve::line(ends[0], a), Curve::line(b, ends[1]));
        let mut middle = middle;
        let mut rounds = [None, None];
        if one >= STRAIGHT_RAD {
            let RoundedCorner { before: kept, arc: round, after: rest } = fillet(&start, &middle, radius(one))?;
            (start, rounds[0], middle) = (kept, Some(round), rest);
        }
        if other >= STRAIGHT_RAD {
            let RoundedCorner { before: kept, arc: round, after: rest } = fillet(&middle, &end, radius(other))?;
            (middle, rounds[1], end) = (kept, Some(round), rest);
        }
        for curve in [Some(start), rounds[0], Some(middle), rounds[1], Some(end)].into_iter().flatten() {
            path.push(curve, Role::Web);
        }
        Ok(())
    }

    /// Adds a valley between two positions along the tool's axis. Each side rises to the line of the pads, or to the top
    /// edge of a stop at that end.
    fn add_valley(&self, path: &mut Path, ends: [f64; 2], tops: [Option<f64>; 2]) -> Result<(), SideWebError> {
        let gap = ends[1] - ends[0];
        let thickness_mm =
            (0..=8).map(|i| self.thickness_mm(ends[0] + gap * f64::from(i) / 8.0)).fold(f64::INFINITY, f64::min);
        // The thickness is measured perpendicular to the pads; perpendicular to a leaning side it is less.
        let kept = 1.25 * self.least_neck_mm();
        let least_mm = kept + LEAST_FILLET_MM / (1.0 - NECK_SHARE);
        let depth = (VALLEY_SHARE * thickness_mm).min(thickness_mm - kept).min(DEEPEST_VALLEY_MM);
        let radius = ((1.0 - NECK_SHARE) * depth).min(0.4 * gap);
        if thickness_mm < least_mm || thickness_mm.is_nan() {
            return Err(SideWebError::Thin { thickness_mm, least_mm });
        }
        let pad = -self.pad_depth_mm;
        let floor = pad - depth;
        let edge = self.stop_edge_mm();
        let top = |end: usize| tops[end].map_or(pad, |top| top - edge);
        let (along, up) = self.directions();
        let foot = floor + radius;
        path.push(Curve::line(self.point_at(ends[0], top(0)), self.point_at(ends[0], foot)), Role::Web);
        // Both arcs turn to the right, as inner corners do.
        path.push(
            Curve::arc(self.point_at(ends[0] + radius, foot), radius, (-along).angle(), -std::f64::consts::FRAC_PI_2),
            Role::Web,
        );
        path.push(
            Curve::line(self.point_at(ends[0] + radius, floor), self.point_at(ends[1] - radius, floor)),
            Role::Web,
        );
        path.push(
            Curve::arc(self.point_at(ends[1] - radius, foot), radius, (-up).angle(), -std::f64::consts::FRAC_PI_2),
            Role::Web,
        );
        path.push(Curve::line(self.point_at(ends[1], foot), self.point_at(ends[1], top(1))), Role::Web);
        Ok(())
    }

    /// Adds the stop's outer side and its rounded top, up to the adjacent valley.
    fn add_stop(&self, path: &mut Path, stop: &ToolStop, before: bool) -> Result<(), SideWebError> {
        let edge = self.stop_edge_mm();
        let (along, up) = self.directions();
        let [low, high] = if before {
            [stop.at_mm - stop.thickness_mm, stop.at_mm]
        } else {
            [stop.at_mm, stop.at_mm + stop.thickness_mm]
        };
        let shoulder = stop.top_mm - edge;
        if shoulder <= -self.pad_depth_mm {
            return Err(SideWebError::Stop {
                at_mm: stop.at_mm,
                thickness_mm: stop.thickness_mm,
                least_mm: 2.0 * edge,
            });
        }
        let quarter = std::f64::consts::FRAC_PI_2;
        if before {
            path.push(Curve::line(self.pad_point(low), self.point_at(low, shoulder)), Role::Web);
        }
        path.push(Curve::arc(self.point_at(low + edge, shoulder), edge, (-along).angle(), quarter), Role::Web);
        path.push(
            Curve::line(self.point_at(low + edge, stop.top_mm), self.point_at(high - edge, stop.top_mm)),
            Role::Web,
        );
        path.push(Curve::arc(self.point_at(high - edge, shoulder), edge, up.angle(), quarter), Role::Web);
        if !before {
            path.push(Curve::line(self.point_at(high, shoulder), self.pad_point(high)), Role::Web);
        }
        Ok(())
    }

    /// Thickness of the web below the line of the pads at a position along the tool's axis, mm: down to the mount's pad or
    /// to the straight sides between its ends and the outermost ends.
    fn thickness_mm(&self, along: f64) -> f64 {
        let [low, high] = self.span();
        let half = self.mount_half_mm;
        let mount = |y: f64| Point::new(self.mount_pad_mm, y);
        let neck = self.neck_mm(self.height_mm());
        let (_, up) = self.directions();
        let corner = |end: f64| self.pad_point(end) - up * neck;
        let sides = [
            [mount(-half), mount(half)],
            [mount(-half), corner(low)],
            [corner(low), self.pad_point(low)],
            [mount(half), corner(high)],
            [corner(high), self.pad_point(high)],
        ];
        let from = self.pad_point(along);
        sides.iter().filter_map(|[start, end]| ray_distance(from, -up, *start, *end)).fold(f64::INFINITY, f64::min)
    }
}

/// Fails if the outline touches itself or has a wall below `least_mm`.
fn check_least_wall(outline: &Outline, least_mm: f64) -> Result<(), SideWebError> {
    let touches = outline.self_contact().is_some();
    let wall = outline.least_wall().map_or(f64::INFINITY, |wall| wall.thickness_mm);
    let thickness_mm = if touches { 0.0 } else { wall };
    if thickness_mm < least_mm { Err(SideWebError::Severed { thickness_mm, least_mm }) } else { Ok(()) }
}

/// Distance along a ray to its intersection with the line segment from `start` to `end`, if it meets it.
fn ray_distance(from: Point, direction: Point, start: Point, end: Point) -> Option<f64> {
    let side = end - start;
    let sine = direction.cross(side);
    let (distance, share) = ((start - from).cross(side) / sine, (start - from).cross(direction) / sine);
    (sine.abs() > 1e-12 && distance > 0.0 && (-1e-9..=1.0 + 1e-9).contains(&share)).then_some(distance)
}

/// Chain of segments under construction.
struct Path {
    segments: Vec<Segment>,
}

impl Path {
    fn push(&mut self, curve: Curve, role: Role) {
        self.segments.push(Segment::new(curve, role));
    }
}
