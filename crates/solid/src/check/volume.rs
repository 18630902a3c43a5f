//! The volume is positive: the faces look outward.

use super::Finding;
use crate::{
    brep::Brep,
    mass::{MassError, mass_properties},
};

pub(super) fn volume(brep: &Brep) -> Option<Finding> {
    match mass_properties(brep) {
        Ok(mass) if mass.volume_mm3 > 0.0 => None,
        Ok(mass) => Some(Finding::Volume { volume_mm3: mass.volume_mm3 }),
        Err(MassError::Empty { volume_mm3 }) => Some(Finding::Volume { volume_mm3 }),
        Err(source) => Some(Finding::NoVolume { source }),
    }
}
