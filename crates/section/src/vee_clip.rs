//! The vee clip: two flats with a rounded root for a seat, backed by a block, and two arms that close over.
//!
//! In its own drawing the mouth looks along +y and the vertex of the flats lies straight below the origin.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::{
    clip_back::{self, Back, Block, FilletPlace},
    curve::Curve,
    lip::{self, ArmEnd, LeadIn, Lip},
    outline::{Outline, Segment},
    point::Point,
    role::Role,
    round_clip::{ClipError, all_positive},
};

/// How high the axis of a round barrel of this radius stands above the vertex of a vee, mm. Exact, by geometry: the
/// axis, the vertex and a place of contact make a right angle there, with half the vee's angle at the vertex.
pub fn vee_axis_mm(angle_rad: f64, radius_mm: f64) -> f64 {
    radius_mm / (0.5 * angle_rad).sin()
}

/// How far from the vertex, along each flat, a round barrel touches, mm; exact likewise.
pub fn vee_contact_mm(angle_rad: f64, radius_mm: f64) -> f64 {
    radius_mm / (0.5 * angle_rad).tan()
}

/// Geometry of a vee clip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VeeClip {
    /// Angle between the flats, rad, in (0, π).
    pub angle_rad: f64,
    /// Height of the origin above the vertex where the flats would meet, mm: where the axis of one barrel stands.
    pub axis_mm: f64,
    /// Rounding of the root, mm.
    pub root_radius_mm: f64,
    /// Length of the flats from the vertex, mm: up to where the arms begin to close over.
    pub flat_mm: f64,
    /// Radius of the arms' inner face, mm.
    pub closing_radius_mm: f64,
    /// Direction of the inner face's outward normal at the arm's end, rad from straight down, in (π/2, π).
    pub half_wrap_rad: f64,
    /// Wall at the root and along the flats, at least, mm.
    pub root_wall_mm: f64,
    /// Wall at the end of the arm, mm; less than at the root makes arms that thin toward the lip.
    pub lip_wall_mm: f64,
    /// Flare of the arms' ends; a plain half round when absent.
    pub lead_in: Option<LeadIn>,
    /// Pad or tab.
    pub back: Back,
}

/// Least height of the block's straight side, mm: draft and chamfer take their part of it.
const BLOCK_SIDE_MM: f64 = 1.0;
/// The same over the wall: a thick wall bears more draft, and the side must bear it as well.
const BLOCK_SIDE_OVER_WALL: f64 = 0.3;

/// The right fillet, and the block above the neck where the flats reach beyond the neck.
struct Foot {
    fillet: FilletPlace,
    block: Option<Block>,
}

impl VeeClip {
    /// Closed outline, counter-clockwise.
    pub fn outline(&self) -> Result<Outline, ClipError> {
        let lip = self.right_lip()?;
        let mouth_mm = 2.0 * lip::least_x(&lip.segments);
        if mouth_mm <= 0.0 {
            return Err(ClipError::NoMouth { mouth_mm });
        }
        let foot = self.foot()?;
        let fillet = foot.fillet;
        let left_fillet = fillet.mirrored();
        let arm_start = fillet.contact_angle - PI;
        let (outer, reach) = self.outer_arc();
        let arm = Curve::arc(outer, reach, arm_start, lip.outer_angle_after(arm_start) - arm_start);
        let mut right = vec![Segment::new(arm, Role::ArmBack)];
        right.extend_from_slice(&lip.segments);
        let [_, flat, closing] = self.inner_face()?;
        let down = [closing, flat].map(|c| Segment::new(c.reversed(), Role::Seat));
        let lean = self.lean_rad();
        let round = Curve::arc(self.root_centre(), self.root_radius_mm, lean - FRAC_PI_2, -2.0 * lean);
        let mut segments = match foot.block {
            Some(block) => clip_back::segments_below_block(&self.back, block, left_fillet, fillet),
            None => clip_back::segments(&self.back, self.floor_y(), left_fillet, fillet),
        };
        segments.extend_from_slice(&right);
        segments.extend_from_slice(&down);
        segments.push(Segment::new(round, Role::Seat));
        segments.extend(lip::mirrored(&down));
        segments.extend(lip::mirrored(&right));
        Ok(Outline::new(segments)?)
    }

    /// Height above the origin at which the axis of a round barrel stands when it rests on both flats, mm.
    pub fn seat_mm(&self, radius_mm: f64) -> f64 {
        vee_axis_mm(self.angle_rad, radius_mm) - self.axis_mm
    }

    /// Inner face of the right arm from the middle of the root: half the root's round, the flat, the closing arc.
    pub fn inner_face(&self) -> Result<[Curve; 3], ClipError> {
        self.check()?;
        let lean = self.lean_rad();
        let root = Curve::arc(self.root_centre(), self.root_radius_mm, -FRAC_PI_2, lean);
        let flat = Curve::line(root.end(), self.flat_end());
        let closing =
            Curve::arc(self.closing_centre(), self.closing_radius_mm, lean - FRAC_PI_2, self.half_wrap_rad - lean);
        Ok([root, flat, closing])
    }

    /// Wall beyond a fraction `t` of a curve of the inner face (0: root, 1: flat, 2: closing arc), mm. The block makes
    /// it thicker along the flats.
    pub fn wall_at_mm(&self, curve: usize, t: f64) -> f64 {
        if curve < 2 {
            return self.root_wall_mm;
        }
        let lean = self.lean_rad();
        let along = Point::unit(lean + t * (self.half_wrap_rad - lean) - FRAC_PI_2);
        let (outer, reach) = self.outer_arc();
        let way = outer - self.closing_centre();
        let shift = along.dot(way);
        shift + (shift * shift + reach * reach - way.dot(way)).sqrt() - self.closing_radius_mm
    }

    /// Length of inner face, from the middle of the root, behind which block or pad hold the outer face, mm.
    pub fn held_mm(&self) -> Result<f64, ClipError> {
        let [root, flat, _] = self.inner_face()?;
        let fillet = self.foot()?.fillet;
        let contact = fillet.centre + Point::unit(fillet.contact_angle) * self.back.fillet_mm();
        let turn = (contact - self.closing_centre()).angle() + FRAC_PI_2 - self.lean_rad();
        Ok(root.length() + flat.length() + turn.max(0.0) * self.closing_radius_mm)
    }

    /// Least gap between the lips, mm.
    pub fn mouth_mm(&self) -> Result<f64, ClipError> {
        Ok(2.0 * lip::least_x(&self.right_lip()?.segments))
    }

    /// The right lip's half round: centre and radius, mm. With a lead-in it is the round at the flare's tip.
    pub fn lip_round(&self) -> Result<(Point, f64), ClipError> {
        let lip = self.right_lip()?;
        match lip.segments[usize::from(self.lead_in.is_some())].curve {
            Curve::Arc { centre, radius, .. } => Ok((centre, radius)),
            Curve::Line { start, .. } => Ok((start, 0.0)),
        }
    }

    /// Height of the pad's flat, or of the place where the tab begins, mm; negative.
    pub fn flat_y_mm(&self) -> Result<f64, ClipError> {
        self.check()?;
        let foot = self.foot()?;
        Ok(match foot.block {
            Some(block) => block.flat_y(&self.back),
            None => clip_back::flat_y(&self.back, self.floor_y(), [foot.fillet, foot.fillet]),
        })
    }

    /// Direction of the right flat's outward normal, rad from straight down.
    fn lean_rad(&self) -> f64 {
        FRAC_PI_2 - 0.5 * self.angle_rad
    }

    /// Outward normal of the right flat, a unit vector.
    pub(crate) fn flat_normal(&self) -> Point {
        Point::unit(self.lean_rad() - FRAC_PI_2)
    }

    fn root_centre(&self) -> Point {
        Point::new(0.0, vee_axis_mm(self.angle_rad, self.root_radius_mm) - self.axis_mm)
    }

    pub(crate) fn flat_end(&self) -> Point {
        Point::new(0.0, -self.axis_mm) + self.flat_normal().turned_left() * self.flat_mm
    }

    fn closing_centre(&self) -> Point {
        self.flat_end() - self.flat_normal() * self.closing_radius_mm
    }

    /// Centre and radius of the arm's outer face: tangent to the flat's wall, and of the lip's wall at the arm's end.
    fn outer_arc(&self) -> (Point, f64) {
        let root = self.closing_radius_mm + self.root_wall_mm;
        let lip = self.closing_radius_mm + self.lip_wall_mm;
        let turn = (self.half_wrap_rad - self.lean_rad()).cos();
        let shift = (root * root - lip * lip) / (2.0 * (root - lip * turn));
        (self.closing_centre() + self.flat_normal() * shift, root - shift)
    }

    fn floor_y(&self) -> f64 {
        self.root_centre().y - self.root_radius_mm - self.root_wall_mm
    }

    fn check(&self) -> Result<(), ClipError> {
        all_positive(&[
            ("the vee's angle", self.angle_rad),
            ("the height of the axis", self.axis_mm),
            ("the root's round", self.root_radius_mm),
            ("the flat", self.flat_mm),
            ("the closing radius", self.closing_radius_mm),
            ("the root wall", self.root_wall_mm),
            ("the lip wall", self.lip_wall_mm),
            ("the pad's half width", self.back.neck_half_width_mm()),
            ("the pad's fillet", self.back.fillet_mm()),
        ])?;
        let Self { angle_rad, half_wrap_rad, flat_mm, .. } = *self;
        if !(angle_rad < PI && FRAC_PI_2 < half_wrap_rad && half_wrap_rad < PI) {
            return Err(ClipError::Vee { angle_rad, half_wrap_rad });
        }
        let least_mm = vee_contact_mm(angle_rad, self.root_radius_mm);
        if flat_mm > least_mm + 1e-6 { Ok(()) } else { Err(ClipError::FlatShort { flat_mm, least_mm }) }
    }

    fn right_lip(&self) -> Result<Lip, ClipError> {
        self.check()?;
        let arm = ArmEnd {
            inner: (self.closing_centre(), self.closing_radius_mm),
            outer: self.outer_arc(),
            outward: self.half_wrap_rad - FRAC_PI_2,
        };
        arm.lip(self.lead_in)
    }

    /// Block or pad hold the arms up to the end of the flats at least, so that the flats do not give way.
    fn foot(&self) -> Result<Foot, ClipError> {
        self.check()?;
        let (fillet, neck) = (self.back.fillet_mm(), self.back.neck_half_width_mm());
        let normal = self.flat_normal();
        let centre = self.flat_end() + normal * (self.root_wall_mm + fillet);
        let half_width_mm = centre.x - fillet;
        if half_width_mm > neck {
            let side = BLOCK_SIDE_MM.max(BLOCK_SIDE_OVER_WALL * self.root_wall_mm);
            let shoulder_y = self.floor_y().min(centre.y - side);
            let block = Some(Block { half_width_mm, shoulder_y });
            return Ok(Foot {
                fillet: FilletPlace { centre, contact_angle: (-normal).angle(), radius: fillet },
                block,
            });
        }
        // The neck is wider than the flats need: the arms begin where it ends.
        let (outer, reach) = self.outer_arc();
        let across = neck + fillet - outer.x;
        // Beyond 60° round the arm the pad would clamp what should bend.
        let greatest = (reach + fillet) * (PI / 3.0).sin();
        if across > greatest {
            let greatest_mm = greatest + outer.x - fillet;
            return Err(ClipError::PadTooWide { half_width_mm: neck, greatest_mm });
        }
        let depth = ((reach + fillet).powi(2) - across * across).sqrt();
        let centre = Point::new(neck + fillet, outer.y - depth);
        Ok(Foot {
            fillet: FilletPlace { centre, contact_angle: (outer - centre).angle(), radius: fillet },
            block: None,
        })
    }
}
