//! Checks that the volume is positive, so that the faces point outward.

use super::defect::SolidDefect;
use crate::{
    brep::Brep,
    mass::{MassError, mass_properties},
};

/// Defect of a boundary without positive volume.
pub(super) fn volume(brep: &Brep) -> Option<SolidDefect> {
    match mass_properties(brep) {
        Ok(mass) if mass.volume_mm3 > 0.0 => None,
        Ok(mass) => Some(SolidDefect::Volume { volume_mm3: mass.volume_mm3 }),
        Err(MassError::Empty { volume_mm3 }) => Some(SolidDefect::Volume { volume_mm3 }),
        Err(cause) => Some(SolidDefect::NoVolume { cause }),
    }
}
