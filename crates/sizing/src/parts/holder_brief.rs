//! Brief of a holder: what the spec says about its parts.

use gripwright_input::{Finish, KeepOut, Layout, Spec, Tool};

use crate::{design::holder_plan::PointMovement, limits::design_limits::DesignLimits};

/// Everything that the parts of a holder take from the spec.
#[derive(Clone, Copy, Debug)]
pub(crate) struct HolderBrief<'a> {
    /// Name of the family of holders.
    pub(crate) name: &'a str,
    pub(crate) layout: &'a Layout,
    pub(crate) finish: &'a Finish,
    pub(crate) keep_outs: &'a [KeepOut],
    /// All tools of the family, in the order of the spec.
    pub(crate) tools: &'a [Tool],
    /// Safety factor on weight and working loads.
    pub(crate) hold_safety: f64,
    /// Factor on the weight for use in motion.
    pub(crate) shock: f64,
    pub(crate) limits: &'a DesignLimits,
}

/// Loads of one size on its holder, and what mount and clips move under them.
#[derive(Clone, Copy, Debug)]
pub(crate) struct HolderLoads {
    /// Load across that the web bears, safety included, N.
    pub(crate) across_n: f64,
    /// Movement of the aimed point under that load, and of the tool under the working load, without the web's part.
    pub(crate) tip: PointMovement,
    pub(crate) working: PointMovement,
}

impl<'a> HolderBrief<'a> {
    pub(crate) fn new(spec: &'a Spec, limits: &'a DesignLimits) -> Self {
        Self {
            name: &spec.name,
            layout: &spec.layout,
            finish: &spec.finish,
            keep_outs: &spec.keep_outs,
            tools: &spec.tools,
            hold_safety: spec.fit.hold_safety,
            shock: spec.fit.shock,
            limits,
        }
    }
}
