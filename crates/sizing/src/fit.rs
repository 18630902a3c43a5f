//! Fit of clips, mount and sleeves: figures, odds, active limits.

pub(crate) mod active_limits;
pub(crate) mod clip_fit;
pub(crate) mod fit_brief;
pub(crate) mod fit_context;
pub(crate) mod material_runs;
pub(crate) mod mount_fit;
pub(crate) mod odds;
pub(crate) mod response_surface;
pub(crate) mod sleeve_fit;
pub(crate) mod strain_profiles;
pub(crate) mod tool_surfaces;
