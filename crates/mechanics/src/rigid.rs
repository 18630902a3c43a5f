//! The rigid thing that goes into a clip: a round barrel or a body, as the right-hand lip meets it.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use gripwright_section::{Curve, Outline, Point};

use crate::contact::gap::Shape;

/// Turn of the normal between neighbouring contacts, rad: forces between them differ by less than 0.1 %.
const STEP_RAD: f64 = 0.035;
/// Contacts on a straight side.
const LINE_STEPS: usize = 8;

/// Why an outline cannot be pushed into a clip.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RigidError {
    /// A hollow: the lip would bridge it.
    #[error("the body's outline turns inward at its segment {index}")]
    Hollow {
        /// Index of the segment.
        index: usize,
    },
    /// Nothing lies to the right of the axis.
    #[error("the body has no right half")]
    Empty,
}

/// A place where the right-hand lip may touch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contact {
    /// Point on the rigid outline, mm.
    pub point: Point,
    /// Outward normal there, rad from −y counter-clockwise: a half turn later it looks along +y.
    pub normal_rad: f64,
    /// The same as a unit vector.
    pub normal: Point,
}

impl Contact {
    /// A contact from its place and the direction of its normal (rad from −y).
    pub fn new(point: Point, normal_rad: f64) -> Self {
        let (sin, cos) = normal_rad.sin_cos();
        Self { point, normal_rad, normal: Point::new(sin, -cos) }
    }
}

/// The right half of a rigid section, as contacts in the order in which a lip passes them on the way in.
#[derive(Clone, Debug, PartialEq)]
pub struct Rigid {
    contacts: Vec<Contact>,
    shape: Shape,
}

impl Rigid {
    /// A round barrel.
    pub fn round(radius_mm: f64) -> Self {
        let count = 90;
        let contacts = (1..count)
            .map(|i| {
                let contact = Contact::new(Point::ORIGIN, PI * f64::from(i) / f64::from(count));
                Contact { point: contact.normal * radius_mm, ..contact }
            })
            .collect();
        Self { contacts, shape: Shape::Circle(radius_mm) }
    }

    /// Whether it is alike all round.
    pub fn is_round(&self) -> bool {
        matches!(self.shape, Shape::Circle(_))
    }

    /// The right half of a convex, counter-clockwise outline without corners, its axis at the origin.
    pub fn outline(outline: &Outline) -> Result<Self, RigidError> {
        let mut contacts = Vec::new();
        for (index, segment) in outline.segments().iter().enumerate() {
            push_contacts(&mut contacts, &segment.curve, index)?;
        }
        contacts.retain(|c| c.point.x > 1e-9 && c.normal_rad > 0.0 && c.normal_rad < PI);
        // Along a straight side all normals are equal; there the way in goes up.
        contacts.sort_by(|a, b| a.normal_rad.total_cmp(&b.normal_rad).then(a.point.y.total_cmp(&b.point.y)));
        let shape = Shape::outline(outline);
        if contacts.is_empty() { Err(RigidError::Empty) } else { Ok(Self { contacts, shape }) }
    }

    /// The same section with its outline moved out by `mm` (negative is inward) along its normals: what a measured
    /// body may be at most or at least.
    #[must_use]
    pub fn grown(mut self, mm: f64) -> Self {
        for contact in &mut self.contacts {
            contact.point = contact.point + contact.normal * mm;
        }
        self.shape = self.shape.grown(mm);
        self
    }

    /// The whole section by its distance.
    pub(crate) fn shape(&self) -> &Shape {
        &self.shape
    }

    /// Contacts in the order in which a lip passes them.
    pub fn contacts(&self) -> &[Contact] {
        &self.contacts
    }

    /// Half the width as a lip of radius `lip_radius_mm` has to open for it, mm: up to the centre of the lip round.
    pub fn half_width_for_mm(&self, lip_radius_mm: f64) -> f64 {
        self.contacts.iter().map(|c| c.point.x + lip_radius_mm * c.normal.x).fold(0.0, f64::max)
    }
}

fn push_contacts(contacts: &mut Vec<Contact>, curve: &Curve, index: usize) -> Result<(), RigidError> {
    let steps = match *curve {
        Curve::Line { .. } => LINE_STEPS,
        Curve::Arc { sweep, .. } if sweep > 0.0 => {
            let steps = (sweep / STEP_RAD).ceil().clamp(1.0, 200.0);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 1..=200 above")]
            let steps = steps as usize;
            steps
        }
        Curve::Arc { .. } => return Err(RigidError::Hollow { index }),
    };
    for step in 0..=steps {
        let t = step as f64 / steps as f64;
        // The tangent of a counter-clockwise outline is a quarter turn ahead of its normal; −y is a quarter turn back.
        let turn = curve.tangent(t).angle() - FRAC_PI_2 + FRAC_PI_2;
        contacts.push(Contact::new(curve.at(t), (turn + 1e-9).rem_euclid(TAU) - 1e-9));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use gripwright_section::{circle, rounded_rectangle};

    use super::*;

    #[test]
    fn circle_is_the_round_barrel() {
        let by_outline = Rigid::outline(&circle(16.0).unwrap()).unwrap();
        for contact in by_outline.contacts() {
            assert!((contact.point - contact.normal * 8.0).length() < 1e-9);
        }
        assert!((by_outline.half_width_for_mm(1.0) - 9.0).abs() < 1e-9);
        assert!((Rigid::round(8.0).half_width_for_mm(1.0) - 9.0).abs() < 1e-9);
    }

    #[test]
    fn rectangle_is_passed_from_floor_to_top() {
        let rigid = Rigid::outline(&rounded_rectangle(24.0, 16.0, 4.0).unwrap()).unwrap();
        let y: Vec<f64> = rigid.contacts().iter().map(|c| c.point.y).collect();
        assert!(y.windows(2).all(|w| w[0] <= w[1] + 1e-12), "{y:?}");
        assert!((rigid.half_width_for_mm(0.5) - 12.5).abs() < 1e-12);
    }
}
