//! Uneven taper of a body: more in one direction than in another, or from one shape into another.
//!
//! The tangent in every direction across the body moves evenly from one section to the other. Sections between them, or
//! a little beyond, then have arcs whose centres and radii move evenly (`section::ConvexInterpolation`). The mount
//! keeps one wall and one gap all along, so that at every place it is the mount of the body there. It is evaluated at
//! both ends.

use gripwright_section::{ConvexInterpolation, Curve, InterpolationError, Mount, Outline};

/// Distance kept from the second section, as a share of the way to it, so that every flat is left.
const END_CLEARANCE_SHARE: f64 = 5e-4;
/// Shortest flat at the end of a mount, mm: less is lost in the single precision of STL files.
const SHORTEST_MM: f64 = 2e-3;

/// Two sections of a body and the sections between them.
#[derive(Clone, Debug, PartialEq)]
pub struct UnevenTaper {
    blend: ConvexInterpolation,
    /// Place of the second section, from the first one in the middle of the mount, mm.
    at_mm: f64,
}

impl UnevenTaper {
    /// Interpolates between two sections in the orientation of the mount.
    pub(crate) fn between(near: &Outline, far: &Outline, at_mm: f64) -> Result<Self, InterpolationError> {
        Ok(Self { blend: ConvexInterpolation::between(near, far)?, at_mm })
    }

    /// The body's section at a distance from the middle of the mount, mm.
    pub fn section(&self, along_mm: f64) -> Result<Outline, InterpolationError> {
        self.blend.at(along_mm / self.at_mm)
    }

    /// Its sections at both ends of a mount.
    pub(crate) fn ends(&self, length_mm: f64) -> Result<[Outline; 2], InterpolationError> {
        let end = |along_mm: f64| {
            // Right at the second section nothing may be left of a flat that only the first one has.
            let share = along_mm / self.at_mm;
            let outline = self.blend.at(if (share - 1.0).abs() < END_CLEARANCE_SHARE {
                1.0 - END_CLEARANCE_SHARE
            } else {
                share
            })?;
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

    /// Least and greatest inward movement of its tangents for each mm along the stations.
    pub fn slopes(&self) -> [f64; 2] {
        let [one, other] = [self.blend.least_inward_mm(), self.blend.greatest_inward_mm()].map(|mm| mm / self.at_mm);
        [one.min(other), one.max(other)]
    }

    /// Outlines of a mount at both of its ends.
    pub(crate) fn end_outlines(&self, mount: &Mount, length_mm: f64) -> Result<[Outline; 2], String> {
        let bodies = self.ends(length_mm).map_err(|e| e.to_string())?;
        mount.end_outlines(&bodies).map_err(|e| e.to_string())
    }

    /// Longest mount up to `length_mm` whose ends the body can be continued to, mm.
    pub(crate) fn longest_mount_mm(&self, length_mm: f64) -> Option<f64> {
        (0..200).rev().map(|i| f64::from(i) * 0.01 * length_mm * 0.5).find(|l| self.ends(*l).is_ok())
    }
}
