//! Bodies that taper unevenly: more in one direction than in another, or from one shape into another.
//!
//! Of every direction across the body, the tangent moves evenly from one section to the other; what lies between them, or a
//! little beyond, then has arcs whose centres and radii move evenly (`section::ConvexInterpolation`). The mount keeps one wall and one
//! gap all along, so that at every place it is just the mount of the body there, and it is held fit at both of its ends.

use gripwright_input::FarProfile;
use gripwright_section::{ConvexInterpolation, Curve, InterpolationError, Mount, Outline};

use crate::problem::Problem;

/// Share of the way to the second section that is kept from it, so that every flat is left.
const A_LITTLE: f64 = 5e-4;
/// Shortest flat at the end of a mount, mm: less is lost in the single precision of STL files.
const SHORTEST_MM: f64 = 2e-3;

/// Two sections of a body and what lies between them.
#[derive(Clone, Debug, PartialEq)]
pub struct UnevenTaper {
    blend: ConvexInterpolation,
    /// Where the second section is, from the first one in the middle of the mount, mm.
    at_mm: f64,
}

impl UnevenTaper {
    /// From the two sections, turned as the mount sees them.
    pub(crate) fn of(near: &Outline, far: &Outline, at_mm: f64) -> Result<Self, InterpolationError> {
        Ok(Self { blend: ConvexInterpolation::between(near, far)?, at_mm })
    }

    /// The body's section so far from the middle of the mount, mm.
    pub fn section(&self, along_mm: f64) -> Result<Outline, InterpolationError> {
        self.blend.at(along_mm / self.at_mm)
    }

    /// Its sections at both ends of a mount.
    pub(crate) fn ends(&self, length_mm: f64) -> Result<[Outline; 2], InterpolationError> {
        let end = |along_mm: f64| {
            // Right at the second section nothing may be left of a flat that only the first one has.
            let share = along_mm / self.at_mm;
            let outline = self.blend.at(if (share - 1.0).abs() < A_LITTLE { 1.0 - A_LITTLE } else { share })?;
            let short = outline
                .segments()
                .iter()
                .find(|s| matches!(s.curve, Curve::Line { .. }) && s.curve.length() < SHORTEST_MM);
            match short {
                Some(flat) => {
                    let normal_deg = (-flat.curve.tangent(0.0).turned_left()).angle().to_degrees().rem_euclid(360.0);
                    Err(InterpolationError::Beyond { line: true, normal_deg })
                }
                None => Ok(outline),
            }
        };
        Ok([end(-0.5 * length_mm)?, end(0.5 * length_mm)?])
    }

    /// How far its tangents move inward at least and at most for each mm toward where the stations count up.
    pub fn slopes(&self) -> [f64; 2] {
        let [one, other] = [self.blend.least_inward_mm(), self.blend.greatest_inward_mm()].map(|mm| mm / self.at_mm);
        [one.min(other), one.max(other)]
    }

    /// Outlines of a mount at both of its ends.
    pub(crate) fn drawn(&self, mount: &Mount, length_mm: f64) -> Result<[Outline; 2], String> {
        let bodies = self.ends(length_mm).map_err(|e| e.to_string())?;
        mount.end_outlines(&bodies).map_err(|e| e.to_string())
    }

    /// Why the body cannot be continued to both ends of a mount, and what helps.
    pub(crate) fn problem(&self, far: &FarProfile, length_mm: f64, error: &InterpolationError) -> Problem {
        let toward = if self.at_mm > 0.0 { "-" } else { "" };
        let message = format!(
            "`body.far.profile`: {toward}{} mm from the middle of the mount, beyond `body.profile`, the body cannot be told \
             from its two sections: {error}",
            0.5 * length_mm
        );
        let longest = (0..200).rev().map(|i| f64::from(i) * 0.01 * length_mm * 0.5).find(|l| self.ends(*l).is_ok());
        let problem = Problem::bad_spec("body.far.profile", "taper-unknown", message)
            .allowing("sections that can be continued beyond the first one, as far as the mount reaches".to_owned());
        let other = format!("a second section at {} mm, on the other side", -far.at_mm);
        match longest.map(|mm| (10.0 * mm).floor() / 10.0).filter(|mm| *mm >= 4.0) {
            Some(mm) => problem.hinting(format!("measure {other}, or make the mount at most {mm} mm long")),
            None => problem.hinting(format!("measure {other}, or one with the flats that the first has")),
        }
    }

    /// What the user should know of it.
    pub(crate) fn note(&self, length_mm: f64) -> String {
        let [least, most] = self.slopes().map(|slope| slope.atan().to_degrees());
        format!(
            "The body tapers unevenly: toward where the stations count up its sides move inward by {least:.2}° to \
             {most:.2}°. Between the two sections, and beyond the first as far as the mount reaches, every side moves \
             evenly. The mount follows it over its {length_mm:.1} mm with one wall, in planes, cones and oblique cones; push, \
             strain and hold are the worse of its two ends, odds and coupons those of its middle. Along the axis the steepest \
             side is taken off the hold."
        )
    }
}
