//! Even taper of a body: its outline shrinks evenly from one section to the other, and the mount's seat follows.
//!
//! The seat stays as far from the body everywhere, the back of the mount stays straight: its wall grows where the body
//! is thin. All faces are planes and cones, because the outline of a body that shrinks evenly keeps its segments. Other
//! bodies taper unevenly (`uneven_taper`).

use gripwright_input::{Body, BodyProfile};
use gripwright_section::{Mount, Outline, Point, Role, inset};

use crate::{
    limits::design_limits::COVERAGE,
    shape::body_outline::{body_outline, turn_rad},
    shape::taper_fault::TaperFault,
    shape::uneven_taper::UnevenTaper,
};

/// Steepest taper that is accepted, deg: a steeper body is a cone that no friction holds. Common practice, no source.
const STEEPEST_DEG: f64 = 12.0;
/// A body whose spread is said to be nothing may still be off its even taper by so much, mm: less cannot be made.
const LEAST_ALLOWED_MM: f64 = 0.02;
/// Places on the outline at which two sections are compared.
const PLACES: usize = 720;
/// Tapers below this (mm for each mm) are none: rounding of the sections.
const NO_SLOPE: f64 = 1e-7;

/// Sections nearer to an even move than this are one, mm.
const ROUNDING_MM: f64 = 1e-9;

/// Taper of a body along its mount.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Taper {
    /// Inward movement of its outline for each mm along the stations; zero for an uneven taper.
    pub slope: f64,
    /// Inward movement for each mm where it is steepest.
    pub steepest: f64,
    /// Greatest distance of the second section from the first one moved evenly, mm.
    pub residual_mm: f64,
    /// Place of the second section, from the middle of the mount, mm.
    pub at_mm: f64,
}

impl Taper {
    /// No taper: the body is as thick all along.
    pub(crate) const NONE: Self = Self { slope: 0.0, steepest: 0.0, residual_mm: 0.0, at_mm: 0.0 };

    /// True if the body is as thick all along.
    pub fn is_none(&self) -> bool {
        self.steepest <= 0.0
    }

    /// The taper between the two sections of a body, and the sections between them when it is uneven.
    pub(crate) fn from_body(body: &Body) -> Result<(Self, Option<UnevenTaper>), TaperFault> {
        let Some(far) = &body.far else { return Ok((Self::NONE, None)) };
        let (near, ..) = body_outline(&body.profile).map_err(|reason| TaperFault::SectionNotDrawable { reason })?;
        let (outline, ..) =
            body_outline(&far.profile).map_err(|reason| TaperFault::FarSectionNotDrawable { reason })?;
        let (moved_mm, residual_mm) = evenly_moved(&near, &outline);
        let allowed_mm =
            (COVERAGE * body.spread_mm + error_mm(&body.profile) + error_mm(&far.profile)).max(LEAST_ALLOWED_MM);
        if residual_mm > allowed_mm {
            let turn = turn_rad(body.opens);
            let of = |turn: f64| {
                let [near, outline] = [&near, &outline].map(|section| section.moved(turn, Point::ORIGIN));
                UnevenTaper::between(&near, &outline, far.at_mm)
                    .map_err(|error| TaperFault::FarSectionNotDrawable { reason: error.to_string() })
            };
            let uneven = of(turn)?;
            let [least, most] = uneven.slopes();
            let steepest = least.abs().max(most.abs());
            not_too_steep(steepest)?;
            // The error names directions of the profile's own drawing.
            if let Err(error) = of(0.0)?.ends(body.mount_length_mm) {
                let longest_mm = uneven.longest_mount_mm(body.mount_length_mm);
                return Err(TaperFault::NotContinued { at_mm: far.at_mm, longest_mm, reason: error.to_string() });
            }
            return Ok((Self { steepest, at_mm: far.at_mm, ..Self::NONE }, Some(uneven)));
        }
        // Two ways to the same section differ by rounding.
        let residual_mm = if residual_mm < ROUNDING_MM { 0.0 } else { residual_mm };
        let slope = moved_mm / far.at_mm;
        not_too_steep(slope.abs())?;
        if slope.abs() < NO_SLOPE {
            return Ok((Self { residual_mm, at_mm: far.at_mm, ..Self::NONE }, None));
        }
        Ok((Self { slope, steepest: slope.abs(), residual_mm, at_mm: far.at_mm }, None))
    }

    /// Movement of the outline from the middle to either end of a mount, mm.
    pub(crate) fn end_mm(&self, length_mm: f64) -> f64 {
        0.5 * length_mm * self.slope.abs()
    }

    /// Greatest deviation of the body from the even taper at the ends of a mount, mm.
    pub(crate) fn off_mm(&self, length_mm: f64) -> f64 {
        if self.at_mm.abs() > 0.0 { self.residual_mm * 0.5 * length_mm / self.at_mm.abs() } else { 0.0 }
    }

    /// The mount where the body is thickest: there its seat is widest and its wall thinnest.
    pub(crate) fn at_thick_end(&self, mount: &Mount, length_mm: f64) -> Result<Mount, String> {
        self.moved(mount, -self.end_mm(length_mm))
    }

    /// The mount where the body's outline lies so much farther inward (mm; negative is outward), its back unmoved.
    fn moved(&self, mount: &Mount, inward_mm: f64) -> Result<Mount, String> {
        if self.slope.abs() <= 0.0 {
            return Ok(mount.clone());
        }
        let amounts = vec![inward_mm; mount.body.segments().len()];
        let body = inset(&mount.body, &amounts).map_err(|e| e.to_string())?;
        let body = body.to_outline(&mount.body).map_err(|e| e.to_string())?;
        Ok(Mount { body, wall_mm: mount.wall_mm + inward_mm, ..mount.clone() })
    }

    /// Checks that a mount can be drawn at both of its ends.
    pub(crate) fn check_mount(&self, mount: &Mount, length_mm: f64) -> Result<(), String> {
        let thick = self.at_thick_end(mount, length_mm)?.outline().map_err(|e| e.to_string())?;
        self.check_end_outlines(&thick, length_mm, 0.0)
    }

    /// Checks that the outline of the thick end can be moved to that of the thin one, with a chamfer on its back.
    pub(crate) fn check_end_outlines(&self, thick: &Outline, length_mm: f64, chamfer_mm: f64) -> Result<(), String> {
        let thin = self.far_end(thick, length_mm, chamfer_mm)?;
        if thin.self_contact().is_some() {
            return Err("where the body is thin the outline touches itself".to_owned());
        }
        Ok(())
    }

    /// The outline of the thin end, from that of the thick one.
    pub(crate) fn at_thin_end(&self, thick: &Outline, length_mm: f64) -> Result<Outline, String> {
        if self.slope.abs() > 0.0 { self.far_end(thick, length_mm, 0.0) } else { Ok(thick.clone()) }
    }

    fn far_end(&self, thick: &Outline, length_mm: f64, chamfer_mm: f64) -> Result<Outline, String> {
        let grips = -2.0 * self.end_mm(length_mm);
        let amount = |role: Role| match role {
            Role::Pad => 0.0,
            role if role.grips() => grips,
            _ => chamfer_mm,
        };
        let amounts: Vec<f64> = thick.segments().iter().map(|s| amount(s.role)).collect();
        let thin = inset(thick, &amounts).map_err(|e| e.to_string())?;
        thin.to_outline(thick).map_err(|e| e.to_string())
    }

    /// Insets of seat and back (mm) at the levels over which a tapered mount is integrated: two Gauss points. Its body
    /// shrinks as its seat does, so that only the wall differs.
    pub(crate) fn levels(&self, length_mm: f64) -> Vec<(f64, f64)> {
        let off = self.end_mm(length_mm) / 3.0_f64.sqrt();
        vec![(0.0, off), (0.0, -off)]
    }
}

/// Mean distance by which `far` lies inside `near`, and the greatest deviation from it, mm: the even move of least
/// squares.
fn evenly_moved(near: &Outline, far: &Outline) -> (f64, f64) {
    let whole: f64 = far.segments().iter().map(|s| s.curve.length()).sum();
    let mut depths: Vec<(f64, f64)> = Vec::new();
    for segment in far.segments() {
        let length = segment.curve.length();
        // Every segment is seen, however short, and the places stand for their share of the whole.
        let count = f64::max((PLACES as f64 * length / whole).ceil(), 4.0);
        let mut place = 0.5;
        while place < count {
            let depth = -near.nearest(segment.curve.at(place / count)).distance_mm;
            depths.push((depth, length / count));
            place += 1.0;
        }
    }
    let mean = depths.iter().map(|(depth, weight)| depth * weight).sum::<f64>() / whole;
    (mean, depths.iter().map(|(depth, _)| (depth - mean).abs()).fold(0.0, f64::max))
}

/// Greatest distance of an outline from its measured points, mm.
fn error_mm(profile: &BodyProfile) -> f64 {
    match profile {
        BodyProfile::Surveyed(surveyed) => surveyed.largest_mm,
        _ => 0.0,
    }
}

fn not_too_steep(slope: f64) -> Result<(), TaperFault> {
    let deg = slope.atan().to_degrees();
    if deg <= STEEPEST_DEG { Ok(()) } else { Err(TaperFault::TooSteep { deg, steepest_deg: STEEPEST_DEG }) }
}

#[cfg(test)]
mod tests {
    use gripwright_section::{circle, rounded_rectangle};

    use super::*;

    #[test]
    fn even_moves_are_found_exactly() {
        let near = rounded_rectangle(24.0, 16.0, 4.0).expect("drawn");
        let far = rounded_rectangle(22.6, 14.6, 3.3).expect("drawn");
        let (moved, off) = evenly_moved(&near, &far);
        assert!((moved - 0.7).abs() < 1e-12 && off < 1e-12, "{moved} {off}");
        let (moved, off) = evenly_moved(&circle(20.0).expect("drawn"), &circle(23.0).expect("drawn"));
        assert!((moved + 1.5).abs() < 1e-12 && off < 1e-12, "{moved} {off}");
    }

    /// A corner that keeps its radius while the sides move in by 0.7 mm lies (√2 − 1) · 0.7 = 0.290 mm off at its
    /// middle, less the mean that it adds itself.
    #[test]
    fn a_corner_that_stays_is_told() {
        let near = rounded_rectangle(24.0, 16.0, 4.0).expect("drawn");
        let far = rounded_rectangle(22.6, 14.6, 4.0).expect("drawn");
        let (moved, off) = evenly_moved(&near, &far);
        assert!(moved > 0.7 && off > 0.2 && off < 0.290, "{moved} {off}");
    }
}
