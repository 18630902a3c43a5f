//! Checked values, as reading produces them. They depend on no notation.

pub(crate) mod casting;
pub(crate) mod casting_figures;
pub(crate) mod checked_spec;
pub(crate) mod material;
pub(crate) mod measured_profile;
