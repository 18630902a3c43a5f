//! Vee clip: a seat of two flats with a rounded root, a block behind them, and two arms that close over the barrel.
//!
//! In its own drawing, the mouth opens toward +y and the vertex of the flats lies straight below the origin.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::{
    circle::Circle,
    clip_back::{self, ArmFillet, ClipBack, VeeBlock},
    clip_error::{ClipError, all_positive},
    curve::Curve,
    lip::{self, ArmEnd, LeadIn, Lip, LipRound},
    outline::{Outline, Segment, mirrored_segments},
    point::Point,
    role::Role,
};

/// Height of the axis of a round barrel above the vertex of a vee, mm. Exact by geometry: axis, vertex and point of contact
/// form a right triangle with half of the vee's angle at the vertex.
pub fn vee_axis_mm(angle_rad: f64, radius_mm: f64) -> f64 {
    radius_mm / (0.5 * angle_rad).sin()
}

/// Distance from the vertex, along each flat, to the point of contact with a round barrel, mm. Exact by geometry.
pub fn vee_contact_mm(angle_rad: f64, radius_mm: f64) -> f64 {
    radius_mm / (0.5 * angle_rad).tan()
}

/// Geometry of a vee clip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VeeClip {
    /// Angle between the flats, rad, in (0, π).
    pub angle_rad: f64,
    /// Height of the origin above the vertex where the flats would meet, mm. One size of barrel has its axis there.
    pub axis_mm: f64,
    /// Radius of the rounded root, mm.
    pub root_radius_mm: f64,
    /// Length of the flats from the vertex to the start of the arms' closing arcs, mm.
    pub flat_mm: f64,
    /// Radius of the arms' inner face, mm.
    pub closing_radius_mm: f64,
    /// Direction of the inner face's outward normal at the arm's end, rad from straight down, in (π/2, π).
    pub half_wrap_rad: f64,
    /// Least wall at the root and along the flats, mm.
    pub root_wall_mm: f64,
    /// Wall at the end of the arm, mm; if it is less than at the root, the arms taper toward the lips.
    pub lip_wall_mm: f64,
    /// Flare of the arms' ends; without it, they end in plain half rounds.
    pub lead_in: Option<LeadIn>,
    /// Pad or tab.
    pub back: ClipBack,
}

/// Least height of the block's straight side, mm. Draft and chamfer shorten this side, so it needs a reserve.
const BLOCK_SIDE_MM: f64 = 1.0;
/// Least height of the block's straight side, as a multiple of the wall. A thick wall allows more draft, for which the
/// side needs height as well.
const BLOCK_SIDE_OVER_WALL: f64 = 0.3;

/// Difference of widths up to which block and neck are flush, mm: rounding.
const FLUSH_MM: f64 = 1e-9;

/// Root of the right arm: its fillet, and the block above the neck if the flats reach beyond the neck.
struct ArmRoot {
    fillet: ArmFillet,
    block: Option<VeeBlock>,
}

impl VeeClip {
    /// Closed outline, counter-clockwise.
    pub fn outline(&self) -> Result<Outline, ClipError> {
        let lip = self.right_lip()?;
        let mouth_mm = 2.0 * lip::smallest_x(&lip.segments);
        if mouth_mm <= 0.0 {
            return Err(ClipError::NoMouth { mouth_mm });
        }
        let root = self.arm_root()?;
        let fillet = root.fillet;
        let left_fillet = fillet.mirrored();
        let arm_start = fillet.contact_angle - PI;
        let outer = self.outer_circle();
        let arm = Curve::arc(outer.centre, outer.radius, arm_start, lip.outer_angle_after(arm_start) - arm_start);
        let mut right = vec![Segment::new(arm, Role::ArmBack)];
        right.extend_from_slice(&lip.segments);
        let [_, flat, closing] = self.inner_face()?;
        let seat = [closing, flat].map(|c| Segment::new(c.reversed(), Role::Seat));
        let lean = self.lean_rad();
        let root_arc = Curve::arc(self.root_centre(), self.root_radius_mm, lean - FRAC_PI_2, -2.0 * lean);
        let mut segments = match root.block {
            Some(block) => clip_back::segments_with_block(&self.back, block, left_fillet, fillet),
            None => clip_back::segments(&self.back, self.floor_y(), left_fillet, fillet),
        };
        segments.extend_from_slice(&right);
        segments.extend_from_slice(&seat);
        segments.push(Segment::new(root_arc, Role::Seat));
        segments.extend(mirrored_segments(&seat));
        segments.extend(mirrored_segments(&right));
        Ok(Outline::new(segments)?)
    }

    /// Height above the origin of the axis of a round barrel that rests on both flats, mm.
    pub fn barrel_axis_mm(&self, radius_mm: f64) -> f64 {
        vee_axis_mm(self.angle_rad, radius_mm) - self.axis_mm
    }

    /// Inner face of the right arm from the middle of the root: half of the root's arc, the flat, and the closing arc.
    pub fn inner_face(&self) -> Result<[Curve; 3], ClipError> {
        self.check_dimensions()?;
        let lean = self.lean_rad();
        let root = Curve::arc(self.root_centre(), self.root_radius_mm, -FRAC_PI_2, lean);
        let flat = Curve::line(root.end(), self.flat_end());
        let closing =
            Curve::arc(self.closing_centre(), self.closing_radius_mm, lean - FRAC_PI_2, self.half_wrap_rad - lean);
        Ok([root, flat, closing])
    }

    /// Wall at the fraction `t` of a curve of the inner face (0: root, 1: flat, 2: closing arc), mm. The block behind the
    /// flats is not included.
    pub fn wall_at_mm(&self, curve: usize, t: f64) -> f64 {
        if curve < 2 {
            return self.root_wall_mm;
        }
        let lean = self.lean_rad();
        let along = Point::unit(lean + t * (self.half_wrap_rad - lean) - FRAC_PI_2);
        let outer = self.outer_circle();
        let between = outer.centre - self.closing_centre();
        let shift = along.dot(between);
        shift + (shift * shift + outer.radius * outer.radius - between.dot(between)).sqrt() - self.closing_radius_mm
    }

    /// Length of the inner face, from the middle of the root, that the block or the pad backs, mm. From there on, the arm
    /// bends: where the side of block or neck would meet the arm's back without the fillet, because fillet and neck give
    /// way.
    pub fn backed_length_mm(&self) -> Result<f64, ClipError> {
        let [root, flat, _] = self.inner_face()?;
        let across = self.arm_root()?.block.map_or(self.back.neck_half_width_mm(), |block| block.half_width_mm);
        let flat_back = self.flat_end() + self.flat_normal() * self.root_wall_mm;
        let short_mm = (flat_back.x - across) / self.lean_rad().cos();
        if short_mm >= 0.0 {
            return Ok((root.length() + flat.length() - short_mm).max(0.0));
        }
        let Circle { centre: outer, radius } = self.outer_circle();
        let out = across - outer.x;
        let back = Point::new(across, outer.y - (radius * radius - out * out).sqrt());
        let turn = (back - self.closing_centre()).angle() + FRAC_PI_2 - self.lean_rad();
        Ok(root.length() + flat.length() + turn.max(0.0) * self.closing_radius_mm)
    }

    /// The same clip without shoulders narrower than `least_mm`, in which there is no room for a round: larger fillets set
    /// the block flush with the neck.
    #[must_use]
    pub fn without_narrow_shoulders(self, least_mm: f64) -> Self {
        let flat_back_mm = (self.flat_end() + self.flat_normal() * self.root_wall_mm).x;
        // A fillet draws the block's side in by its radius times this share.
        let share = 1.0 - self.flat_normal().x;
        let over_mm = flat_back_mm - share * self.back.fillet_mm() - self.back.neck_half_width_mm();
        if over_mm <= 0.0 || over_mm >= least_mm {
            return self;
        }
        Self { back: self.back.with_fillets(self.back.fillet_mm() + over_mm / share), ..self }
    }

    /// Least gap between the lips, mm.
    pub fn mouth_mm(&self) -> Result<f64, ClipError> {
        Ok(2.0 * lip::smallest_x(&self.right_lip()?.segments))
    }

    /// Half round of the right lip. With a lead-in, it is the round at the tip of the flare.
    pub fn lip_round(&self) -> Result<LipRound, ClipError> {
        let lip = self.right_lip()?;
        Ok(LipRound::of_curve(lip.segments[usize::from(self.lead_in.is_some())].curve))
    }

    /// Height of the pad's flat, or of the shoulder where the tab begins, mm; negative.
    pub fn flat_y_mm(&self) -> Result<f64, ClipError> {
        self.check_dimensions()?;
        let root = self.arm_root()?;
        Ok(match root.block {
            Some(block) => block.flat_y(&self.back),
            None => clip_back::flat_y(&self.back, self.floor_y(), [root.fillet, root.fillet]),
        })
    }

    /// Direction of the right flat's outward normal, rad from straight down.
    fn lean_rad(&self) -> f64 {
        FRAC_PI_2 - 0.5 * self.angle_rad
    }

    /// Outward unit normal of the right flat.
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

    /// Circle of the arm's outer face: tangent to the outside of the flat's wall, with the lip's wall at the arm's end.
    fn outer_circle(&self) -> Circle {
        let root_radius = self.closing_radius_mm + self.root_wall_mm;
        let lip_radius = self.closing_radius_mm + self.lip_wall_mm;
        let turn_cos = (self.half_wrap_rad - self.lean_rad()).cos();
        let shift =
            (root_radius * root_radius - lip_radius * lip_radius) / (2.0 * (root_radius - lip_radius * turn_cos));
        Circle { centre: self.closing_centre() + self.flat_normal() * shift, radius: root_radius - shift }
    }

    fn floor_y(&self) -> f64 {
        self.root_centre().y - self.root_radius_mm - self.root_wall_mm
    }

    fn check_dimensions(&self) -> Result<(), ClipError> {
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
        self.check_dimensions()?;
        let arm = ArmEnd {
            inner: Circle { centre: self.closing_centre(), radius: self.closing_radius_mm },
            outer: self.outer_circle(),
            outward: self.half_wrap_rad - FRAC_PI_2,
        };
        arm.lip(self.lead_in)
    }

    /// Fillet and block. The block or the pad backs the arms at least up to the end of the flats, so that the flats do not
    /// deflect.
    fn arm_root(&self) -> Result<ArmRoot, ClipError> {
        self.check_dimensions()?;
        let (fillet, neck) = (self.back.fillet_mm(), self.back.neck_half_width_mm());
        let normal = self.flat_normal();
        let centre = self.flat_end() + normal * (self.root_wall_mm + fillet);
        let half_width_mm = centre.x - fillet;
        if half_width_mm > neck - FLUSH_MM {
            let side = BLOCK_SIDE_MM.max(BLOCK_SIDE_OVER_WALL * self.root_wall_mm);
            let shoulder_y = self.floor_y().min(centre.y - side);
            let block = (half_width_mm > neck + FLUSH_MM).then_some(VeeBlock { half_width_mm, shoulder_y });
            return Ok(ArmRoot {
                fillet: ArmFillet { centre, contact_angle: (-normal).angle(), radius: fillet },
                block,
            });
        }
        // The neck is wider than the flats need: the arms begin at its edge.
        let Circle { centre: outer, radius: outer_radius } = self.outer_circle();
        let across = neck + fillet - outer.x;
        // Beyond 60° around the arm, the pad would clamp a part of the arm that should bend.
        let greatest = (outer_radius + fillet) * (PI / 3.0).sin();
        if across > greatest {
            let greatest_mm = greatest + outer.x - fillet;
            return Err(ClipError::PadTooWide { half_width_mm: neck, greatest_mm });
        }
        let depth = ((outer_radius + fillet).powi(2) - across * across).sqrt();
        let centre = Point::new(neck + fillet, outer.y - depth);
        Ok(ArmRoot {
            fillet: ArmFillet { centre, contact_angle: (outer - centre).angle(), radius: fillet },
            block: None,
        })
    }
}
