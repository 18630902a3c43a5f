//! Lips: the rounded ends of the arms, plain or with a flare that leads the barrel in.

use std::f64::consts::{PI, TAU};

use crate::{curve::Curve, outline::Segment, point::Point, role::Role, round_clip::ClipError};

/// A flare of the arm's end that leads the barrel in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeadIn {
    /// Radius of the flare's inner face, mm; greater than the lip's wall.
    pub radius_mm: f64,
    /// Angle over which the arm turns outward, rad.
    pub angle_rad: f64,
}

/// The right lip in order of travel, from the arm's outer face round to the seat.
#[derive(Clone, Debug)]
pub(crate) struct Lip {
    pub(crate) segments: Vec<Segment>,
    /// Direction from the lip's centre (or the flare's) at which the outer face ends.
    pub(crate) outer_angle: f64,
}

/// Half round about `centre`. `outward` is the direction from the seat into the lip, rad.
pub(crate) fn plain(centre: Point, radius: f64, outer_angle: f64, outward: f64) -> Lip {
    let sweep = (outward + PI - outer_angle).rem_euclid(TAU);
    Lip { segments: vec![Segment::new(Curve::arc(centre, radius, outer_angle, sweep), Role::Lip)], outer_angle }
}

/// Flare about `centre` (outside the arm): the outer face follows with `outer_radius`, the inner with the lead-in's.
/// `contact` is the direction from the centre to where the arm's outer face meets the flare.
pub(crate) fn flared(centre: Point, lead_in: LeadIn, outer_radius: f64, contact: f64, outward: f64) -> Lip {
    let tip = outward + PI - lead_in.angle_rad;
    // The two directions are near each other; the shorter way round is the flare.
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

/// The end of an arm between two arcs: centre and radius (mm) of its inner and its outer face.
pub(crate) struct ArmEnd {
    pub(crate) inner: (Point, f64),
    pub(crate) outer: (Point, f64),
    /// Direction from the cavity into the lip, rad.
    pub(crate) outward: f64,
}

impl ArmEnd {
    /// The lip of this end, plain or with a flare.
    pub(crate) fn lip(&self, lead_in: Option<LeadIn>) -> Result<Lip, ClipError> {
        let along = Point::unit(self.outward);
        let ((inner, seat), (outer, reach)) = (self.inner, self.outer);
        match lead_in {
            None => {
                // Tangent to the inner face at its end and to the outer arc from within.
                let way = outer - inner;
                let shift = along.dot(way);
                let radius =
                    (reach * reach - way.dot(way) - seat * seat + 2.0 * seat * shift) / (2.0 * (seat + reach - shift));
                let centre = inner + along * (seat + radius);
                Ok(plain(centre, radius, (centre - outer).angle(), self.outward))
            }
            Some(lead_in) => {
                let centre = inner + along * (seat + lead_in.radius_mm);
                let outer_radius = centre.distance(outer) - reach;
                // Below this the outer side of the flare would be a crease.
                let least = 0.1;
                if outer_radius < least || lead_in.angle_rad <= 0.0 {
                    let least_mm = lead_in.radius_mm + least - outer_radius;
                    return Err(ClipError::LeadInTight { radius_mm: lead_in.radius_mm, least_mm });
                }
                Ok(flared(centre, lead_in, outer_radius, (outer - centre).angle(), self.outward))
            }
        }
    }
}

/// The same stretch seen in a mirror (the y axis) and travelled so that the material stays on the left.
pub(crate) fn mirrored(segments: &[Segment]) -> Vec<Segment> {
    segments.iter().rev().map(|s| Segment::new(s.curve.mirrored().reversed(), s.role)).collect()
}

/// Least distance of a right lip from the y axis, mm: half the mouth.
pub(crate) fn least_x(segments: &[Segment]) -> f64 {
    segments.iter().map(|s| least_x_of(&s.curve)).fold(f64::INFINITY, f64::min)
}

fn least_x_of(curve: &Curve) -> f64 {
    let ends = curve.start().x.min(curve.end().x);
    match *curve {
        Curve::Line { .. } => ends,
        Curve::Arc { centre, radius, start_angle, sweep } => {
            let (from, span) = if sweep < 0.0 { (start_angle + sweep, -sweep) } else { (start_angle, sweep) };
            if (PI - from).rem_euclid(TAU) <= span { centre.x - radius } else { ends }
        }
    }
}
