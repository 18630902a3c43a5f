//! Rigid section that is pushed into a clip: a round barrel or a body, as the right-hand lip meets it.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use gripwright_section::{Curve, Outline, Point};

use crate::rigid_shape::RigidShape;

/// Turn of the normal between neighbouring contacts, rad: their forces differ by less than 0.1 %.
const STEP_RAD: f64 = 0.035;
/// Number of contacts on a straight side.
const LINE_STEPS: usize = 8;

/// Error of [`RigidSection::from_outline`]: the outline cannot be pushed into a clip.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum RigidSectionError {
    /// The outline has a hollow, which the lip would bridge.
    #[error("the body's outline turns inward at its segment {index}")]
    Hollow {
        /// Index of the segment.
        index: usize,
    },
    /// The outline has no part to the right of the axis.
    #[error("the body has no right half")]
    Empty,
}

/// Point of the rigid outline where the right-hand lip may touch.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct LipContact {
    /// Point on the rigid outline, mm.
    pub point: Point,
    /// Direction of the outward normal, rad counter-clockwise from −y; at π it points along +y.
    pub normal_rad: f64,
    /// Outward normal as a unit vector.
    pub normal: Point,
}

impl LipContact {
    /// Returns the contact at a point with the direction of its normal (rad from −y).
    pub fn new(point: Point, normal_rad: f64) -> Self {
        let (sin, cos) = normal_rad.sin_cos();
        Self { point, normal_rad, normal: Point::new(sin, -cos) }
    }
}

/// A rigid section: the contacts of its right half in the order in which a lip passes them, and its whole shape.
#[derive(Clone, Debug, PartialEq)]
pub struct RigidSection {
    contacts: Vec<LipContact>,
    shape: RigidShape,
}

impl RigidSection {
    /// Returns a round barrel.
    pub fn round(radius_mm: f64) -> Self {
        let count = 90;
        let contacts = (1..count)
            .map(|i| {
                let contact = LipContact::new(Point::ORIGIN, PI * f64::from(i) / f64::from(count));
                LipContact { point: contact.normal * radius_mm, ..contact }
            })
            .collect();
        Self { contacts, shape: RigidShape::Circle(radius_mm) }
    }

    /// True if the section is a circle about its axis.
    pub fn is_round(&self) -> bool {
        matches!(self.shape, RigidShape::Circle(_))
    }

    /// Returns the section of a convex, counter-clockwise outline without corners, its axis at the origin.
    pub fn from_outline(outline: &Outline) -> Result<Self, RigidSectionError> {
        let mut contacts = Vec::new();
        for (index, segment) in outline.segments().iter().enumerate() {
            push_contacts(&mut contacts, &segment.curve, index)?;
        }
        contacts.retain(|c| c.point.x > 1e-9 && c.normal_rad > 0.0 && c.normal_rad < PI);
        // Along a straight side all normals are equal; there the lip passes the lower contact first.
        contacts.sort_by(|a, b| a.normal_rad.total_cmp(&b.normal_rad).then(a.point.y.total_cmp(&b.point.y)));
        let shape = RigidShape::from_outline(outline);
        if contacts.is_empty() { Err(RigidSectionError::Empty) } else { Ok(Self { contacts, shape }) }
    }

    /// Returns the section with its outline moved outward by `mm` along its normals (negative is inward). This gives
    /// the largest or smallest body within a measuring uncertainty.
    #[must_use]
    pub fn grown(mut self, mm: f64) -> Self {
        for contact in &mut self.contacts {
            contact.point = contact.point + contact.normal * mm;
        }
        self.shape = self.shape.grown(mm);
        self
    }

    /// Radius of the smallest circle about the axis that contains the section, mm.
    pub fn reach_mm(&self) -> f64 {
        self.shape.reach_mm()
    }

    /// The whole section as a signed distance.
    pub(crate) fn shape(&self) -> &RigidShape {
        &self.shape
    }

    /// Contacts of the right half in the order in which a lip passes them.
    pub fn contacts(&self) -> &[LipContact] {
        &self.contacts
    }

    /// Half the opening that a lip of this radius needs to pass, mm: from the axis to the centre of the lip circle.
    pub fn half_opening_mm(&self, lip_radius_mm: f64) -> f64 {
        self.contacts.iter().map(|c| c.point.x + lip_radius_mm * c.normal.x).fold(0.0, f64::max)
    }
}

fn push_contacts(contacts: &mut Vec<LipContact>, curve: &Curve, index: usize) -> Result<(), RigidSectionError> {
    let steps = match *curve {
        Curve::Line { .. } => LINE_STEPS,
        Curve::Arc { sweep, .. } if sweep > 0.0 => {
            let steps = (sweep / STEP_RAD).ceil().clamp(1.0, 200.0);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 1..=200 above")]
            let steps = steps as usize;
            steps
        }
        Curve::Arc { .. } => return Err(RigidSectionError::Hollow { index }),
    };
    for step in 0..=steps {
        let t = step as f64 / steps as f64;
        // The tangent of a counter-clockwise outline is a quarter turn ahead of its normal; −y is a quarter turn back.
        let turn = curve.tangent(t).angle() - FRAC_PI_2 + FRAC_PI_2;
        contacts.push(LipContact::new(curve.at(t), (turn + 1e-9).rem_euclid(TAU) - 1e-9));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use gripwright_section::{circle, rounded_rectangle};

    use super::*;

    #[test]
    fn circle_is_the_round_barrel() {
        let by_outline = RigidSection::from_outline(&circle(16.0).unwrap()).unwrap();
        for contact in by_outline.contacts() {
            assert!((contact.point - contact.normal * 8.0).length() < 1e-9);
        }
        assert!((by_outline.half_opening_mm(1.0) - 9.0).abs() < 1e-9);
        assert!((RigidSection::round(8.0).half_opening_mm(1.0) - 9.0).abs() < 1e-9);
    }

    #[test]
    fn rectangle_is_passed_from_floor_to_top() {
        let rigid = RigidSection::from_outline(&rounded_rectangle(24.0, 16.0, 4.0).unwrap()).unwrap();
        let y: Vec<f64> = rigid.contacts().iter().map(|c| c.point.y).collect();
        assert!(y.windows(2).all(|w| w[0] <= w[1] + 1e-12), "{y:?}");
        assert!((rigid.half_opening_mm(0.5) - 12.5).abs() < 1e-12);
    }
}
