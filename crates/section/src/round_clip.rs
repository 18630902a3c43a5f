//! Round clip: a circular seat, two arms that may taper toward their rounded lips, and a back.
//!
//! In its own drawing, the barrel's axis is the origin and the mouth opens toward +y.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::{
    circle::Circle,
    clip_back::{self, ArmFillet, ClipBack},
    clip_error::{ClipError, all_positive},
    curve::Curve,
    lip::{self, ArmEnd, LeadIn, Lip, LipRound},
    outline::{Outline, Segment, mirrored_segments},
    point::Point,
    role::Role,
};

/// Geometry of a round clip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoundClip {
    /// Radius of the seat, mm.
    pub seat_radius_mm: f64,
    /// Wall at the floor, mm.
    pub root_wall_mm: f64,
    /// Wall at the end of the seat, mm; if it is less than at the floor, the arms taper toward the lips.
    pub lip_wall_mm: f64,
    /// Half of the wrap angle, rad: from the floor (−y) to the end of the seat, in (π/2, π).
    pub half_wrap_rad: f64,
    /// Flare of the arms' ends; without it, they end in plain half rounds.
    pub lead_in: Option<LeadIn>,
    /// Pad or tab.
    pub back: ClipBack,
}

impl RoundClip {
    /// Closed outline, counter-clockwise.
    pub fn outline(&self) -> Result<Outline, ClipError> {
        self.check()?;
        let lip = self.right_lip()?;
        let mouth_mm = 2.0 * lip::smallest_x(&lip.segments);
        if mouth_mm <= 0.0 {
            return Err(ClipError::NoMouth { mouth_mm });
        }
        let fillet = self.right_fillet()?;
        let left_fillet = fillet.mirrored();
        let arm_start = fillet.contact_angle - PI;
        let arm = Curve::arc(
            self.outer_centre(),
            self.outer_radius_mm(),
            arm_start,
            lip.outer_angle_after(arm_start) - arm_start,
        );
        let mut right = vec![Segment::new(arm, Role::ArmBack)];
        right.extend_from_slice(&lip.segments);
        let seat =
            Curve::arc(Point::ORIGIN, self.seat_radius_mm, self.half_wrap_rad - FRAC_PI_2, -2.0 * self.half_wrap_rad);
        let mut segments = clip_back::segments(&self.back, self.floor_y(), left_fillet, fillet);
        segments.extend_from_slice(&right);
        segments.push(Segment::new(seat, Role::Seat));
        segments.extend(mirrored_segments(&right));
        Ok(Outline::new(segments)?)
    }

    /// Centre of the arms' outer arc, mm.
    fn outer_centre(&self) -> Point {
        let lip = self.seat_radius_mm + self.lip_wall_mm;
        let root = self.seat_radius_mm + self.root_wall_mm;
        let up = -self.half_wrap_rad.cos();
        // Centre of the circle through the outer points at the floor and at the end of the seat.
        Point::new(0.0, (lip * lip - root * root) / (2.0 * (root + lip * up)))
    }

    /// Radius of the arms' outer arc, mm.
    pub fn outer_radius_mm(&self) -> f64 {
        self.outer_centre().y + self.seat_radius_mm + self.root_wall_mm
    }

    /// Wall along the ray at `angle` (rad) from the floor, mm.
    pub fn wall_at_mm(&self, angle: f64) -> f64 {
        let centre = self.outer_centre().y;
        let along = -angle.cos() * centre;
        along + (along * along + self.outer_radius_mm().powi(2) - centre * centre).sqrt() - self.seat_radius_mm
    }

    /// Least gap between the lips, mm.
    pub fn mouth_mm(&self) -> Result<f64, ClipError> {
        self.check()?;
        Ok(2.0 * lip::smallest_x(&self.right_lip()?.segments))
    }

    /// Half round of the right lip. With a lead-in, it is the round at the tip of the flare.
    pub fn lip_round(&self) -> Result<LipRound, ClipError> {
        self.check()?;
        let lip = self.right_lip()?;
        Ok(LipRound::of_curve(lip.segments[usize::from(self.lead_in.is_some())].curve))
    }

    /// Angle from the floor to the root of the right arm, rad: from there on, the arm bends. The root is where the neck's
    /// side would meet the arm's back without the fillet, because fillet and neck give way.
    pub fn root_angle_rad(&self) -> Result<f64, ClipError> {
        self.check()?;
        self.right_fillet()?;
        let across = self.back.neck_half_width_mm();
        let depth = (self.outer_radius_mm().powi(2) - across * across).sqrt();
        Ok(Point::new(across, self.outer_centre().y - depth).angle() + FRAC_PI_2)
    }

    /// Height of the pad's flat, or of the shoulder where the tab begins, mm; negative.
    pub fn flat_y_mm(&self) -> Result<f64, ClipError> {
        self.check()?;
        let right = self.right_fillet()?;
        Ok(clip_back::flat_y(&self.back, self.floor_y(), [right, right]))
    }

    fn floor_y(&self) -> f64 {
        -(self.seat_radius_mm + self.root_wall_mm)
    }

    fn check(&self) -> Result<(), ClipError> {
        all_positive(&[
            ("the seat radius", self.seat_radius_mm),
            ("the root wall", self.root_wall_mm),
            ("the lip wall", self.lip_wall_mm),
            ("the pad's half width", self.back.neck_half_width_mm()),
            ("the pad's fillet", self.back.fillet_mm()),
        ])?;
        let half_wrap_rad = self.half_wrap_rad;
        if FRAC_PI_2 < half_wrap_rad && half_wrap_rad < PI { Ok(()) } else { Err(ClipError::Wrap { half_wrap_rad }) }
    }

    fn right_lip(&self) -> Result<Lip, ClipError> {
        let arm = ArmEnd {
            inner: Circle { centre: Point::ORIGIN, radius: self.seat_radius_mm },
            outer: Circle { centre: self.outer_centre(), radius: self.outer_radius_mm() },
            outward: self.half_wrap_rad - FRAC_PI_2,
        };
        arm.lip(self.lead_in)
    }

    fn right_fillet(&self) -> Result<ArmFillet, ClipError> {
        let (outer, outer_radius, fillet) = (self.outer_centre(), self.outer_radius_mm(), self.back.fillet_mm());
        let half_width_mm = self.back.neck_half_width_mm();
        let across = half_width_mm + fillet;
        // Beyond 60° around the arm, the pad would clamp a part of the arm that should bend.
        let greatest = (outer_radius + fillet) * (PI / 3.0).sin();
        if across > greatest {
            return Err(ClipError::PadTooWide { half_width_mm, greatest_mm: greatest - fillet });
        }
        let centre = Point::new(across, outer.y - ((outer_radius + fillet).powi(2) - across * across).sqrt());
        Ok(ArmFillet { centre, contact_angle: (outer - centre).angle(), radius: fillet })
    }
}
