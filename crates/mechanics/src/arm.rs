//! One arm of a clip as a curved beam: cross-sections along its centreline, from the clamp to the lip.

use gripwright_section::{Curve, Point};

/// Greatest turn of the centreline within one integration interval, rad (about 10°).
const STEP_RAD: f64 = 0.18;
/// Integration intervals of a straight stretch: several, so that a tapered wall is followed.
const LINE_PIECES: usize = 6;

/// Three-point Gauss rule on (0, 1) as (abscissa, weight). Exact for polynomials up to the fifth degree.
const GAUSS: [(f64, f64); 3] =
    [(0.112_701_665_379_258_3, 5.0 / 18.0), (0.5, 4.0 / 9.0), (0.887_298_334_620_741_7, 5.0 / 18.0)];

/// Error of [`Arm::from_inner_face`] and of the solver's mesh: the geometry gives no arm.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ArmError {
    /// The wall is not positive, or too thick for the radius of its centreline.
    #[error("a wall of {wall_mm} mm cannot be bent: it must be positive, and below twice the radius of {radius_mm} mm")]
    Wall {
        /// Wall thickness, mm.
        wall_mm: f64,
        /// Radius of the centreline at that place, mm.
        radius_mm: f64,
    },
    /// The centreline has no length.
    #[error("the arm has no length between its clamp and its lip")]
    Empty,
}

/// One cross-section of an arm, with its integration weight.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct ArmSection {
    /// Centre of the wall, mm.
    pub point: Point,
    /// Unit tangent of the centreline, toward the lip.
    pub tangent: Point,
    /// Curvature of the centreline, 1/mm; positive if it turns left on the way to the lip.
    pub curvature_per_mm: f64,
    /// Wall thickness, mm.
    pub wall_mm: f64,
    /// Length of centreline that the section represents in integrals, mm.
    pub share_mm: f64,
    /// Length of centreline from the clamp to here, mm.
    pub run_mm: f64,
}

/// The right-hand arm of a clip: clamped at its first end, loaded at its tip.
#[derive(Clone, Debug, PartialEq)]
pub struct Arm {
    sections: Vec<ArmSection>,
    tip: Point,
    lip_radius_mm: f64,
}

impl Arm {
    /// Returns the arm outside `inner_face` (the cavity lies on its left).
    ///
    /// `wall` gives the thickness (mm) by the index of the curve and the fraction of its length. The lip radius is half
    /// the last wall.
    pub fn from_inner_face(inner_face: &[Curve], wall: impl Fn(usize, f64) -> f64) -> Result<Self, ArmError> {
        let mut run = 0.0;
        let mut sections = Vec::new();
        for (index, curve) in inner_face.iter().enumerate() {
            let before = run;
            for (from, share) in pieces(curve) {
                for (place, weight) in GAUSS {
                    let t = from + place * share;
                    let wall_mm = wall(index, t);
                    let inner = curvature(curve);
                    let stretch = 1.0 + 0.5 * wall_mm * inner;
                    let tangent = curve.tangent(t);
                    let share_mm = curve.length() * share * weight * stretch;
                    sections.push(ArmSection {
                        point: curve.at(t) - tangent.turned_left() * (0.5 * wall_mm),
                        tangent,
                        curvature_per_mm: inner / stretch,
                        wall_mm,
                        share_mm,
                        run_mm: run + 0.5 * share_mm,
                    });
                    run += share_mm;
                }
            }
            debug_assert!(run >= before);
        }
        let last = inner_face.len().checked_sub(1).ok_or(ArmError::Empty)?;
        let end = inner_face[last];
        let lip_radius_mm = 0.5 * wall(last, 1.0);
        let tip = end.end() - end.tangent(1.0).turned_left() * lip_radius_mm;
        Self::checked(sections, tip, lip_radius_mm)
    }

    fn checked(sections: Vec<ArmSection>, tip: Point, lip_radius_mm: f64) -> Result<Self, ArmError> {
        if sections.is_empty() {
            return Err(ArmError::Empty);
        }
        for section in &sections {
            let bend = 0.5 * section.wall_mm * section.curvature_per_mm.abs();
            // Not-a-number fails this test as well.
            if !(section.wall_mm > 0.0 && bend < 1.0) {
                let radius_mm = 1.0 / section.curvature_per_mm.abs();
                return Err(ArmError::Wall { wall_mm: section.wall_mm, radius_mm });
            }
        }
        Ok(Self { sections, tip, lip_radius_mm })
    }

    /// Returns the same arm with another lip: a rigid circle of `radius_mm` about `centre`, fixed to the arm's end.
    #[must_use]
    pub fn with_lip(mut self, centre: Point, radius_mm: f64) -> Self {
        self.tip = centre;
        self.lip_radius_mm = radius_mm;
        self
    }

    /// Cross-sections from the clamp to the lip.
    pub fn sections(&self) -> &[ArmSection] {
        &self.sections
    }

    /// Centre of the lip circle, mm.
    pub fn tip(&self) -> Point {
        self.tip
    }

    /// Radius of the lip circle, mm.
    pub fn lip_radius_mm(&self) -> f64 {
        self.lip_radius_mm
    }
}

/// Depth of the effective clamp inside the pad, along the centreline, over the wall thickness: the wall between pad and
/// clamp gives way. Source: own finite-element study of round clips whose outer face is held by a rigid pad (t/R 0.11
/// to 0.26).
pub const CLAMP_INTO_PAD: f64 = 0.40;
/// Distance from the pad's edge, over the wall thickness, from which on the strain of the beam is that of the solid.
/// Source: the same study.
pub const STRAIN_FROM_EDGE: f64 = 0.35;

/// Depth of the effective clamp inside the pad's edge, over the wall, for a wall over the radius of its inner face.
///
/// [`CLAMP_INTO_PAD`] up to a quarter. A thicker wall gives less there: by finite elements of even clips with walls of 0.3
/// to 0.8 of the seat's radius.
pub(crate) fn clamp_into_pad(wall_over_inner_radius: f64) -> f64 {
    CLAMP_INTO_PAD - (0.10 * (wall_over_inner_radius - 0.25)).clamp(0.0, 0.10)
}

/// Greatest wall over the radius of a round seat for which finite elements prove the beam model, within 2 %.
pub const GREATEST_WALL_OVER_SEAT_RADIUS: f64 = 0.8;
/// Greatest wall over the mean half extent of a body for which finite elements prove the beam model of a mount.
pub const GREATEST_WALL_OVER_HALF_EXTENT: f64 = 0.6;
/// Greatest wall over the tightest corner of a mount's seat for which finite elements prove the beam model. At sharper
/// corners, push and strain are too high: by 8 % with a wall of 1.6 corners, 15 % with 3.3.
pub const GREATEST_WALL_OVER_CORNER: f64 = 1.12;

/// Returns the angle of the effective clamp of a round arm, rad from the middle of the floor.
///
/// The pad holds the outer face up to `pad_rad`; the clamp lies [`CLAMP_INTO_PAD`] t/R further in.
pub fn effective_clamp_rad(pad_rad: f64, wall_over_radius: f64) -> f64 {
    (pad_rad - CLAMP_INTO_PAD * wall_over_radius).max(0.0)
}

/// Returns the angle at which the strain of a round arm is greatest, rad from the middle of the floor:
/// [`STRAIN_FROM_EDGE`] t/R beyond the pad.
pub fn strain_site_rad(pad_rad: f64, wall_over_radius: f64) -> f64 {
    pad_rad + STRAIN_FROM_EDGE * wall_over_radius
}

/// Curvature of a curve, 1/mm; positive if it turns left.
pub(crate) fn curvature(curve: &Curve) -> f64 {
    match *curve {
        Curve::Line { .. } => 0.0,
        Curve::Arc { radius, sweep, .. } => sweep.signum() / radius,
    }
}

/// Integration intervals of a curve as (start, length), both as fractions of its length.
fn pieces(curve: &Curve) -> impl Iterator<Item = (f64, f64)> + use<> {
    let count = match *curve {
        Curve::Line { .. } => LINE_PIECES,
        Curve::Arc { sweep, .. } => {
            // An arc has less than a few turns; a sweep that is not finite gives one piece and fails the wall check.
            let turns = (sweep.abs() / STEP_RAD).ceil().clamp(1.0, 100.0);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 1..=100 above")]
            let count = turns as usize;
            count
        }
    };
    (0..count).map(move |i| (i as f64 / count as f64, 1.0 / count as f64))
}

#[cfg(test)]
impl Arm {
    /// An arm along a centreline, for comparison with handbook formulae. `wall` gives the thickness (mm) at each
    /// fraction of the length. The lip radius is half the last wall.
    pub(crate) fn from_centreline(centreline: &[Curve], wall: impl Fn(f64) -> f64) -> Self {
        let total: f64 = centreline.iter().map(Curve::length).sum();
        let mut before = 0.0;
        let mut sections = Vec::new();
        for curve in centreline {
            let length = curve.length();
            for (from, share) in pieces(curve) {
                for (place, weight) in GAUSS {
                    let t = from + place * share;
                    sections.push(ArmSection {
                        point: curve.at(t),
                        tangent: curve.tangent(t),
                        curvature_per_mm: curvature(curve),
                        wall_mm: wall((before + t * length) / total),
                        share_mm: length * share * weight,
                        run_mm: before + t * length,
                    });
                }
            }
            before += length;
        }
        let tip = centreline.last().map_or(Point::ORIGIN, Curve::end);
        Self { sections, tip, lip_radius_mm: 0.5 * wall(1.0) }
    }
}
