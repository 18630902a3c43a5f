//! Mount: a clip that follows the section of a body and embraces it beyond its greatest width.
//!
//! In its own drawing, the body's axis is the origin and the mouth opens toward +y.

pub(crate) mod gauge;
mod tapered;

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use crate::{
    clip_back::{self, ArmFillet, ClipBack},
    clip_error::{ClipError, all_positive},
    curve::Curve,
    lip::{self, LeadIn},
    outline::{Outline, Segment, mirrored_segments},
    point::Point,
    role::Role,
};

/// Geometry of a mount with a uniform wall.
#[derive(Clone, Debug, PartialEq)]
pub struct Mount {
    /// Section of the body: convex, tangent-continuous, counter-clockwise, axis at the origin, mouth side at +y.
    pub body: Outline,
    /// Clearance between body and seat, mm; negative is interference.
    pub gap_mm: f64,
    /// Wall of floor and arms, mm.
    pub wall_mm: f64,
    /// Half of the wrap angle: direction of the body's outward normal at the arm's end, rad from the floor (−y), in
    /// (π/2, π).
    pub half_wrap_rad: f64,
    /// Flare of the arms' ends; without it, they end in plain half rounds.
    pub lead_in: Option<LeadIn>,
    /// Pad or tab.
    pub back: ClipBack,
}

/// Right side of a mount in order of travel: outer face, lip, seat from the lip down to the y axis.
struct MountSide {
    arm_and_lip: Vec<Segment>,
    seat: Vec<Segment>,
    fillet: ArmFillet,
    /// Lowest point of the outer face.
    floor_y: f64,
}

impl MountSide {
    /// Distance of the lip from the y axis, mm. The arm is excluded: it starts nearer to the axis, below the floor.
    fn half_mouth_mm(&self) -> f64 {
        let lip: Vec<Segment> = self.arm_and_lip.iter().filter(|s| s.role == Role::Lip).copied().collect();
        lip::smallest_x(&lip)
    }
}

impl Mount {
    /// Closed outline, counter-clockwise.
    pub fn outline(&self) -> Result<Outline, ClipError> {
        let right = self.side(&self.body)?;
        let left = self.side(&self.body.mirrored())?;
        let mouth_mm = right.half_mouth_mm() + left.half_mouth_mm();
        if mouth_mm <= 0.0 {
            return Err(ClipError::NoMouth { mouth_mm });
        }
        let left_fillet = left.fillet.mirrored();
        let floor_y = right.floor_y.min(left.floor_y);
        let back = clip_back::segments(&self.back, floor_y, left_fillet, right.fillet);
        close_outline(back, right, &left)
    }

    /// Inner face of the right arm from the middle of the floor to the end of the seat. On a body that is not symmetric
    /// about y, [`Mount::left_arm`] differs.
    pub fn right_arm(&self) -> Result<Vec<Curve>, ClipError> {
        self.arm_inner_face(&self.body)
    }

    /// Inner face of the left arm, mirrored to the right, from the middle of the floor to the end of the seat.
    pub fn left_arm(&self) -> Result<Vec<Curve>, ClipError> {
        self.arm_inner_face(&self.body.mirrored())
    }

    /// Root of the right arm: where the neck's side would meet the arm's back without the fillet. From there on, the arm
    /// bends, because fillet and neck give way.
    pub fn right_root(&self) -> Result<Point, ClipError> {
        self.root(&self.body)
    }

    /// Root of the left arm, mirrored to the right.
    pub fn left_root(&self) -> Result<Point, ClipError> {
        self.root(&self.body.mirrored())
    }

    fn root(&self, body: &Outline) -> Result<Point, ClipError> {
        self.check()?;
        self.fillet(body)?;
        let half_width_mm = self.back.neck_half_width_mm();
        let back = offset_path(body, self.gap_mm + self.wall_mm, FRAC_PI_2)?;
        let greatest_mm = back.last().map_or(0.0, |curve| curve.end().x);
        let crossed = back.iter().find_map(|curve| crossing(curve, half_width_mm));
        crossed.map(|(root, _)| root).ok_or(ClipError::PadTooWide { half_width_mm, greatest_mm })
    }

    fn arm_inner_face(&self, body: &Outline) -> Result<Vec<Curve>, ClipError> {
        self.check()?;
        offset_path(body, self.gap_mm, self.half_wrap_rad)
    }

    /// Least gap between the lips, mm.
    pub fn mouth_mm(&self) -> Result<f64, ClipError> {
        let (right, left) = (self.side(&self.body)?, self.side(&self.body.mirrored())?);
        Ok(right.half_mouth_mm() + left.half_mouth_mm())
    }

    /// Width of the seat where it is widest, as the inner jaws of a calliper measure it across the mouth, mm.
    pub fn seat_width_mm(&self) -> f64 {
        self.body.bounds().size().x + 2.0 * self.gap_mm
    }

    /// Height of the pad's flat, or of the shoulder where the tab begins, mm; negative.
    pub fn flat_y_mm(&self) -> Result<f64, ClipError> {
        let (right, left) = (self.side(&self.body)?, self.side(&self.body.mirrored())?);
        Ok(clip_back::flat_y(&self.back, right.floor_y.min(left.floor_y), [right.fillet, left.fillet]))
    }

    fn check(&self) -> Result<(), ClipError> {
        all_positive(&[
            ("the wall", self.wall_mm),
            ("the pad's half width", self.back.neck_half_width_mm()),
            ("the pad's fillet", self.back.fillet_mm()),
        ])?;
        let half_wrap_rad = self.half_wrap_rad;
        if FRAC_PI_2 < half_wrap_rad && half_wrap_rad < PI { Ok(()) } else { Err(ClipError::Wrap { half_wrap_rad }) }
    }

    fn side(&self, body: &Outline) -> Result<MountSide, ClipError> {
        self.check()?;
        let fillet = self.fillet(body)?;
        self.side_with_fillet(body, fillet)
    }

    /// One side of the mount with the given fillet.
    fn side_with_fillet(&self, body: &Outline, fillet: ArmFillet) -> Result<MountSide, ClipError> {
        let inner = offset_path(body, self.gap_mm, self.half_wrap_rad)?;
        let outer = offset_path(body, self.gap_mm + self.wall_mm, self.half_wrap_rad)?;
        let Some(end) = inner.last().map(Curve::end) else {
            return Err(ClipError::CornerLost { gap_mm: self.gap_mm });
        };
        let mut arm_and_lip: Vec<Segment> =
            after_fillet(&outer, fillet).into_iter().map(|curve| Segment::new(curve, Role::ArmBack)).collect();
        arm_and_lip.extend(self.lip(end)?);
        let seat = inner.iter().rev().map(|c| Segment::new(c.reversed(), Role::Seat)).collect();
        // Where the floor leans, an arm reaches lower than straight below the axis.
        let floor_y = outer.iter().map(|curve| curve.bounds().min.y).fold(0.0, f64::min);
        Ok(MountSide { arm_and_lip, seat, fillet, floor_y })
    }

    fn lip(&self, end: Point) -> Result<Vec<Segment>, ClipError> {
        let outward = self.half_wrap_rad - FRAC_PI_2;
        let along = Point::unit(outward);
        match self.lead_in {
            None => {
                let radius = 0.5 * self.wall_mm;
                Ok(lip::plain_lip(end + along * radius, radius, outward, outward).segments)
            }
            Some(lead_in) => {
                let outer_radius = lead_in.radius_mm - self.wall_mm;
                // Below a tenth of a millimetre, the outer side of the flare would be a crease.
                if outer_radius < 0.1 || lead_in.angle_rad <= 0.0 {
                    let least_mm = self.wall_mm + 0.1;
                    return Err(ClipError::LeadInTight { radius_mm: lead_in.radius_mm, least_mm });
                }
                let centre = end + along * lead_in.radius_mm;
                Ok(lip::flared_lip(centre, lead_in, outer_radius, outward + PI, outward).segments)
            }
        }
    }

    /// Fillet between neck and arm. Its centre is the intersection of the arm's outer face and the neck's side, both moved
    /// out by the fillet radius.
    fn fillet(&self, body: &Outline) -> Result<ArmFillet, ClipError> {
        let half_width_mm = self.back.neck_half_width_mm();
        let fillet = self.back.fillet_mm();
        let across = half_width_mm + fillet;
        let chain = offset_path(body, self.gap_mm + self.wall_mm + fillet, FRAC_PI_2)?;
        let mut greatest_mm: f64 = 0.0;
        for curve in &chain {
            greatest_mm = greatest_mm.max(curve.end().x - fillet);
            let Some((centre, normal)) = crossing(curve, across) else { continue };
            // A fillet needs an arm that still runs outward. Beyond 60°, the pad would clamp a part that should bend.
            if normal.y > -0.5 {
                break;
            }
            return Ok(ArmFillet { centre, contact_angle: (-normal).angle(), radius: fillet });
        }
        Err(ClipError::PadTooWide { half_width_mm, greatest_mm })
    }
}

/// Point of a curve of a lower outer face at this distance from the y axis, with the outward normal there. `None` when the
/// curve does not cross it outward.
fn crossing(curve: &Curve, across: f64) -> Option<(Point, Point)> {
    if !(curve.start().x <= across && across < curve.end().x) {
        return None;
    }
    let (y, normal) = match *curve {
        Curve::Line { start, end } => {
            let y = start.y + (end.y - start.y) * (across - start.x) / (end.x - start.x);
            (y, -curve.tangent(0.0).turned_left())
        }
        Curve::Arc { centre, radius, .. } => {
            let dx = across - centre.x;
            let dy = -(radius * radius - dx * dx).max(0.0).sqrt();
            (centre.y + dy, Point::new(dx, dy) * (1.0 / radius))
        }
    };
    Some((Point::new(across, y), normal))
}

/// Joins the back and both sides to a closed outline.
fn close_outline(back: Vec<Segment>, right: MountSide, left: &MountSide) -> Result<Outline, ClipError> {
    let mut segments = back;
    segments.extend_from_slice(&right.arm_and_lip);
    segments.extend(join_seats(right.seat, mirrored_segments(&left.seat)));
    segments.extend(mirrored_segments(&left.arm_and_lip));
    Ok(Outline::new(segments)?)
}

/// Direction of the outward normal at the start of a curve of a counter-clockwise convex chain, rad.
fn normal_angle(curve: &Curve) -> f64 {
    match *curve {
        Curve::Line { .. } => curve.tangent(0.0).angle() - FRAC_PI_2,
        Curve::Arc { start_angle, .. } => start_angle,
    }
}

/// The body's outline moved out by `gap_mm`, from straight below the axis to where its normal has turned by `turn` (rad).
fn offset_path(body: &Outline, gap_mm: f64, turn: f64) -> Result<Vec<Curve>, ClipError> {
    let mut out = Vec::new();
    let mut cut = start_below(body)?;
    cut.extend(body.segments().iter().map(|s| s.curve));
    for curve in cut {
        // Turn of the normal from −y to the start of this curve; it is negative on a floor that leans the other way.
        let from = (normal_angle(&curve) + PI).rem_euclid(TAU) - FRAC_PI_2;
        let moved = match curve {
            Curve::Line { start, end } => {
                let shift = Point::unit(normal_angle(&curve)) * gap_mm;
                Curve::line(start + shift, end + shift)
            }
            Curve::Arc { centre, radius, start_angle, sweep } => {
                if radius + gap_mm <= 1e-6 {
                    return Err(ClipError::CornerLost { gap_mm });
                }
                // The normals of a line and of the next arc may differ by rounding; the arc's own angle is kept.
                Curve::arc(centre, radius + gap_mm, start_angle, sweep)
            }
        };
        match moved {
            Curve::Line { .. } if from < turn - 1e-9 => out.push(moved),
            Curve::Arc { centre, radius, start_angle, sweep } if from < turn - 1e-9 => {
                out.push(Curve::arc(centre, radius, start_angle, sweep.min(turn - from)));
                if from + sweep >= turn - 1e-9 {
                    return Ok(out);
                }
            }
            _ => return Ok(out),
        }
    }
    Ok(out)
}

/// Curves of the body from the point straight below the axis to the end of the list. The curve that crosses there is
/// split, and the list starts with its second part.
fn start_below(body: &Outline) -> Result<Vec<Curve>, ClipError> {
    let segments = body.segments();
    for (index, segment) in segments.iter().enumerate() {
        let Some(part) = part_right_of_axis(&segment.curve) else { continue };
        let mut out = vec![part];
        out.extend(segments[index + 1..].iter().map(|s| s.curve));
        return Ok(out);
    }
    Err(ClipError::NotPositive { what: "the depth of the body below its axis", value: 0.0 })
}

/// Part of a curve beyond x = 0, if it crosses x = 0 below the axis toward +x.
fn part_right_of_axis(curve: &Curve) -> Option<Curve> {
    match *curve {
        Curve::Line { start, end } => {
            let below = start.y.min(end.y) < 0.0 && start.x <= 1e-12 && end.x > 1e-12;
            below.then(|| {
                let t = (-start.x / (end.x - start.x)).max(0.0);
                Curve::line(start.towards(end, t), end)
            })
        }
        Curve::Arc { centre, radius, start_angle, sweep } => {
            let angle = if centre.x.abs() < 1e-12 { -FRAC_PI_2 } else { -(-centre.x / radius).clamp(-1.0, 1.0).acos() };
            let lead = (angle - start_angle + 1e-9).rem_euclid(TAU) - 1e-9;
            let crosses = centre.x.abs() <= radius && lead < sweep - 1e-9 && centre.y + radius * angle.sin() < 0.0;
            crosses.then(|| {
                let lead = lead.max(0.0);
                Curve::arc(centre, radius, start_angle + lead, sweep - lead)
            })
        }
    }
}

/// The outer chain without the part before the fillet's contact.
fn after_fillet(outer: &[Curve], fillet: ArmFillet) -> Vec<Curve> {
    let contact = fillet.centre + Point::unit(fillet.contact_angle) * fillet.radius;
    let normal = fillet.contact_angle - PI;
    let mut out = Vec::new();
    for curve in outer {
        if !out.is_empty() {
            out.push(*curve);
            continue;
        }
        match *curve {
            Curve::Line { start, end } => {
                let along = curve.tangent(0.0);
                let off = along.cross(contact - start).abs();
                if off < 1e-7 && (contact - start).dot(along) > -1e-9 && (end - contact).dot(along) > 1e-9 {
                    out.push(Curve::line(contact, end));
                }
            }
            Curve::Arc { centre, radius, start_angle, sweep } => {
                let lead = (normal - start_angle + 1e-9).rem_euclid(TAU) - 1e-9;
                if lead < sweep - 1e-9 && (contact.distance(centre) - radius).abs() < 1e-7 {
                    out.push(Curve::arc(centre, radius, normal, sweep - lead));
                }
            }
        }
    }
    out
}

/// Joins two seats end to end. The pieces that meet below the axis become one if they lie on the same carrier.
fn join_seats(mut first: Vec<Segment>, second: Vec<Segment>) -> Vec<Segment> {
    let mut rest = second.into_iter();
    if let (Some(last), Some(next)) = (first.pop(), rest.next()) {
        match (last.curve, next.curve) {
            (Curve::Line { start, end }, Curve::Line { start: from, end: to })
                if (end - start).cross(to - from).abs() < 1e-12 * (end - start).length() * (to - from).length() =>
            {
                first.push(Segment::new(Curve::line(start, to), last.role));
            }
            (Curve::Arc { centre, radius, start_angle, sweep }, Curve::Arc { centre: c, radius: r, sweep: s, .. })
                if centre.distance(c) < 1e-12 && (radius - r).abs() < 1e-12 =>
            {
                first.push(Segment::new(Curve::arc(centre, radius, start_angle, sweep + s), last.role));
            }
            _ => first.extend([last, next]),
        }
    }
    first.extend(rest);
    first
}
