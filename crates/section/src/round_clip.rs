//! The round clip: an arc for a seat, two arms that may thin toward their lips, rounded lips, and a back.
//!
//! In its own drawing the barrel's axis is the origin and the mouth looks along +y.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::{
    clip_back::{self, Back, FilletPlace},
    curve::Curve,
    lip::{self, ArmEnd, LeadIn, Lip},
    outline::{Outline, OutlineError, Segment},
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
    /// Wall at the end of the seat, mm; less than at the floor makes arms that thin toward the lip.
    pub lip_wall_mm: f64,
    /// Half the angle embraced, rad, from the floor (−y) to the end of the seat, in (π/2, π).
    pub half_wrap_rad: f64,
    /// Flare of the arms' ends; a plain half round when absent.
    pub lead_in: Option<LeadIn>,
    /// Pad or tab.
    pub back: Back,
}

/// Why a clip or mount cannot be drawn.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ClipError {
    /// On a body that tapers, both ends of a mount have not the same segments.
    #[error("the two ends of the mount have not the same lines and arcs")]
    EndsUnlike,
    /// A dimension that is not finite and greater than zero.
    #[error("{what} is {value}; it must be greater than zero")]
    NotPositive {
        /// Which dimension.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// The seat must embrace more than half the barrel and leave a mouth.
    #[error("the half wrap is {half_wrap_rad} rad; it must lie between π/2 and π")]
    Wrap {
        /// Half the angle embraced, rad.
        half_wrap_rad: f64,
    },
    /// Lips that touch or cross: no mouth is left.
    #[error("the lips leave a mouth of {mouth_mm} mm")]
    NoMouth {
        /// Gap between the lips, mm.
        mouth_mm: f64,
    },
    /// A flare too tight for the wall.
    #[error("a lead-in radius of {radius_mm} mm must exceed {least_mm} mm for this wall")]
    LeadInTight {
        /// Radius asked for, mm.
        radius_mm: f64,
        /// Least radius, mm.
        least_mm: f64,
    },
    /// A vee that is flat, closed, or whose arms do not close over.
    #[error("a vee of {angle_rad} rad with a half wrap of {half_wrap_rad} rad does not close over")]
    Vee {
        /// Included angle, rad.
        angle_rad: f64,
        /// Half the angle embraced, rad.
        half_wrap_rad: f64,
    },
    /// Flats shorter than the rounding of the vee's root.
    #[error("flats of {flat_mm} mm must be longer than {least_mm} mm, where the root's round ends")]
    FlatShort {
        /// Length asked for, mm.
        flat_mm: f64,
        /// Length that the round takes, mm.
        least_mm: f64,
    },
    /// A pad wider than the arms allow.
    #[error("a pad of half width {half_width_mm} mm with its fillet must stay below {greatest_mm} mm")]
    PadTooWide {
        /// Half width asked for, mm.
        half_width_mm: f64,
        /// Greatest half width, mm.
        greatest_mm: f64,
    },
    /// An interference that eats a corner of the body.
    #[error("a seat {gap_mm} mm off the body leaves no corner radius")]
    CornerLost {
        /// Clearance asked for, mm.
        gap_mm: f64,
    },
    /// The chain does not close; the dimensions contradict each other.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// Names the first dimension that is not finite and greater than zero.
pub(crate) fn all_positive(values: &[(&'static str, f64)]) -> Result<(), ClipError> {
    match values.iter().find(|(_, v)| !(v.is_finite() && *v > 0.0)) {
        Some(&(what, value)) => Err(ClipError::NotPositive { what, value }),
        None => Ok(()),
    }
}

impl RoundClip {
    /// Closed outline, counter-clockwise.
    pub fn outline(&self) -> Result<Outline, ClipError> {
        self.check()?;
        let lip = self.right_lip()?;
        let mouth_mm = 2.0 * lip::least_x(&lip.segments);
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
        segments.extend(lip::mirrored(&right));
        Ok(Outline::new(segments)?)
    }

    /// Centre of the arms' outer arc, mm.
    pub fn outer_centre(&self) -> Point {
        let lip = self.seat_radius_mm + self.lip_wall_mm;
        let root = self.seat_radius_mm + self.root_wall_mm;
        let up = -self.half_wrap_rad.cos();
        // The circle through the outer points at the floor and at the end of the seat.
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
        Ok(2.0 * lip::least_x(&self.right_lip()?.segments))
    }

    /// The right lip's half round: centre and radius, mm. With a lead-in it is the round at the flare's tip.
    pub fn lip_round(&self) -> Result<(Point, f64), ClipError> {
        self.check()?;
        let lip = self.right_lip()?;
        let round = lip.segments[usize::from(self.lead_in.is_some())].curve;
        match round {
            Curve::Arc { centre, radius, .. } => Ok((centre, radius)),
            Curve::Line { start, .. } => Ok((start, 0.0)),
        }
    }

    /// Angle from the floor to where the arm leaves the right fillet, rad: from there on the arm bends.
    pub fn root_angle_rad(&self) -> Result<f64, ClipError> {
        self.check()?;
        let fillet = self.right_fillet()?;
        let contact = fillet.centre + Point::unit(fillet.contact_angle) * self.back.fillet_mm();
        Ok(contact.angle() + FRAC_PI_2)
    }

    /// Height of the pad's flat, or of the place where the tab begins, mm; negative.
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
            inner: (Point::ORIGIN, self.seat_radius_mm),
            outer: (self.outer_centre(), self.outer_radius_mm()),
            outward: self.half_wrap_rad - FRAC_PI_2,
        };
        arm.lip(self.lead_in)
    }

    fn right_fillet(&self) -> Result<FilletPlace, ClipError> {
        let (outer, reach, fillet) = (self.outer_centre(), self.outer_radius_mm(), self.back.fillet_mm());
        let half_width_mm = self.back.neck_half_width_mm();
        let across = half_width_mm + fillet;
        // Beyond 60° round the arm the pad would clamp what should bend.
        let greatest = (reach + fillet) * (PI / 3.0).sin();
        if across > greatest {
            return Err(ClipError::PadTooWide { half_width_mm, greatest_mm: greatest - fillet });
        }
        let centre = Point::new(across, outer.y - ((reach + fillet).powi(2) - across * across).sqrt());
        Ok(FilletPlace { centre, contact_angle: (outer - centre).angle(), radius: fillet })
    }
}

impl Lip {
    /// Direction at which the arm's outer arc ends, taken as the first one after `start` (rad).
    pub(crate) fn outer_angle_after(&self, start: f64) -> f64 {
        start + (self.outer_angle - start).rem_euclid(std::f64::consts::TAU)
    }
}
