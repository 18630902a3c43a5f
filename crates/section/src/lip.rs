//! Lips: the rounded ends of the arms, plain or with a flare that guides the barrel in.

use std::f64::consts::{PI, TAU};

use crate::{circle::Circle, clip_error::ClipError, curve::Curve, outline::Segment, point::Point, role::Role};

/// Flare of an arm's end that guides the barrel in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeadIn {
    /// Radius of the flare's inner face, mm; greater than the lip's wall.
    pub radius_mm: f64,
    /// Angle over which the arm turns outward, rad.
    pub angle_rad: f64,
}

/// Round at the end of an arm that the barrel slides over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LipRound {
    /// Centre, mm.
    pub centre: Point,
    /// Radius, mm.
    pub radius_mm: f64,
}

impl LipRound {
    /// Returns the round of a lip's curve; a line is a round without a radius at its start.
    pub(crate) fn of_curve(curve: Curve) -> Self {
        match curve {
            Curve::Arc { centre, radius, .. } => Self { centre, radius_mm: radius },
            Curve::Line { start, .. } => Self { centre: start, radius_mm: 0.0 },
        }
    }
}

/// The right lip in order of travel, from the arm's outer face round to the seat.
#[derive(Clone, Debug)]
pub(crate) struct Lip {
    pub(crate) segments: Vec<Segment>,
    /// Direction of the outer face's outward normal where it ends at the lip, rad.
    pub(crate) outer_angle: f64,
}

impl Lip {
    /// Angle at which the arm's outer arc ends: the first equivalent of the outer angle after `start` (rad).
    pub(crate) fn outer_angle_after(&self, start: f64) -> f64 {
        start + (self.outer_angle - start).rem_euclid(TAU)
    }
}

/// Half round about `centre`. `outward` is the direction from the seat into the lip, rad.
pub(crate) fn plain_lip(centre: Point, radius: f64, outer_angle: f64, outward: f64) -> Lip {
    let sweep = (outward + PI - outer_angle).rem_euclid(TAU);
    Lip { segments: vec![Segment::new(Curve::arc(centre, radius, outer_angle, sweep), Role::Lip)], outer_angle }
}

/// Flare about `centre`, which lies outside the arm. The outer face has `outer_radius`, the inner face the radius of the
/// lead-in. `contact` is the direction from the centre to the point where the arm's outer face meets the flare, rad.
pub(crate) fn flared_lip(centre: Point, lead_in: LeadIn, outer_radius: f64, contact: f64, outward: f64) -> Lip {
    let tip = outward + PI - lead_in.angle_rad;
    // The two directions are near each other; the flare takes the shorter way around.
    let sweep = (tip - contact + PI).rem_euclid(TAU) - PI;
    let half = 0.5 * (lead_in.radius_mm - outer_radius);
    let end = centre + Point::unit(tip) * (outer_radius + half);
    Lip {
        segments: vec![
            Segment::new(Curve::arc(centre, outer_radius, contact, sweep), Role::ArmBack),
            Segment::new(Curve::arc(end, half, tip - PI, PI), Role::Lip),
            Segment::new(Curve::arc(centre, lead_in.radius_mm, tip, lead_in.angle_rad), Role::Lip),
        ],
        outer_angle: contact - PI,
    }
}

/// End of an arm between the circles of its inner and its outer face.
pub(crate) struct ArmEnd {
    pub(crate) inner: Circle,
    pub(crate) outer: Circle,
    /// Direction from the cavity into the lip, rad.
    pub(crate) outward: f64,
}

impl ArmEnd {
    /// Lip at this end, plain or with a flare.
    pub(crate) fn lip(&self, lead_in: Option<LeadIn>) -> Result<Lip, ClipError> {
        let along = Point::unit(self.outward);
        let Circle { centre: inner, radius: inner_radius } = self.inner;
        let Circle { centre: outer, radius: arm_radius } = self.outer;
        match lead_in {
            None => {
                // Tangent to the inner face at its end and to the outer arc from within.
                let between = outer - inner;
                let shift = along.dot(between);
                let radius = (arm_radius * arm_radius - between.dot(between) - inner_radius * inner_radius
                    + 2.0 * inner_radius * shift)
                    / (2.0 * (inner_radius + arm_radius - shift));
                let centre = inner + along * (inner_radius + radius);
                Ok(plain_lip(centre, radius, (centre - outer).angle(), self.outward))
            }
            Some(lead_in) => {
                let centre = inner + along * (inner_radius + lead_in.radius_mm);
                let outer_radius = centre.distance(outer) - arm_radius;
                // Below this radius, the outer side of the flare would be a crease.
                let least = 0.1;
                if outer_radius < least || lead_in.angle_rad <= 0.0 {
                    let least_mm = lead_in.radius_mm + least - outer_radius;
                    return Err(ClipError::LeadInTight { radius_mm: lead_in.radius_mm, least_mm });
                }
                Ok(flared_lip(centre, lead_in, outer_radius, (outer - centre).angle(), self.outward))
            }
        }
    }
}

/// Least distance of a right lip from the y axis, mm: half of the mouth.
pub(crate) fn smallest_x(segments: &[Segment]) -> f64 {
    segments.iter().map(|s| smallest_x_of(&s.curve)).fold(f64::INFINITY, f64::min)
}

fn smallest_x_of(curve: &Curve) -> f64 {
    let ends = curve.start().x.min(curve.end().x);
    match *curve {
        Curve::Line { .. } => ends,
        Curve::Arc { centre, radius, start_angle, sweep } => {
            let (from, span) = if sweep < 0.0 { (start_angle + sweep, -sweep) } else { (start_angle, sweep) };
            if (PI - from).rem_euclid(TAU) <= span { centre.x - radius } else { ends }
        }
    }
}
