//! Outline of a body from its profile.

use std::f64::consts::{FRAC_PI_2, PI};

use gripwright_input::{BodyProfile, MouthDirection};
use gripwright_section::{Outline, circle, ellipse, flatted_circle, rounded_rectangle};

/// Greatest distance of the arcs from the ellipse that they approximate, mm.
const ELLIPSE_TOLERANCE_MM: f64 = 0.001;

/// Outline of a body's section, and its width and height, mm. Fails with the reason in words.
pub(crate) fn body_outline(profile: &BodyProfile) -> Result<(Outline, f64, f64), String> {
    Ok(match profile {
        &BodyProfile::Circle { diameter_mm } => {
            (circle(diameter_mm).map_err(|e| e.to_string())?, diameter_mm, diameter_mm)
        }
        &BodyProfile::Ellipse { width_mm, height_mm } => {
            let drawn = ellipse(width_mm, height_mm, ELLIPSE_TOLERANCE_MM).map_err(|e| e.to_string())?;
            (drawn, width_mm, height_mm)
        }
        &BodyProfile::RoundedRectangle { width_mm, height_mm, corner_mm } => {
            let drawn = rounded_rectangle(width_mm, height_mm, corner_mm).map_err(|e| e.to_string())?;
            (drawn, width_mm, height_mm)
        }
        &BodyProfile::FlattedCircle { diameter_mm, across_mm, corner_mm } => {
            let drawn = flatted_circle(diameter_mm, across_mm, corner_mm).map_err(|e| e.to_string())?;
            (drawn, diameter_mm, across_mm)
        }
        BodyProfile::Surveyed(surveyed) => {
            let size = surveyed.outline.bounds().size();
            (surveyed.outline.clone(), size.x, size.y)
        }
        BodyProfile::Measured(_) => return Err("its outline has not been made from what was measured".to_owned()),
    })
}

/// Turn that makes the mount's mouth look along +y, rad.
pub(crate) fn turn_rad(opens: MouthDirection) -> f64 {
    match opens {
        MouthDirection::Up => 0.0,
        MouthDirection::Down => PI,
        MouthDirection::Left => -FRAC_PI_2,
        MouthDirection::Right => FRAC_PI_2,
    }
}
