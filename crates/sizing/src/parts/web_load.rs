//! Working load of a web, and the width that draft takes from it.

use gripwright_input::Tool;
use gripwright_mechanics::{STANDARD_GRAVITY_M_PER_S2, WorkingLoad};

use crate::limits::design_limits::DesignLimits;

/// Greatest working load of any of these tools, acting at `at_mm` along the tool. `shock` is the factor on the weight.
pub(crate) fn worst_working_load(tools: &[&Tool], shock: f64, at_mm: f64) -> WorkingLoad {
    let most = |of: &dyn Fn(&Tool) -> f64| tools.iter().map(|t| of(t)).fold(0.0, f64::max);
    WorkingLoad {
        // The holder may be turned any way: the weight counts where it bends the web most.
        across_n: most(&|t| t.load_across_n + shock * t.mass_kg * STANDARD_GRAVITY_M_PER_S2),
        along_n: most(&|t| t.load_along_n),
        at_mm,
    }
}

/// Mean width that draft takes from a web of this depth, mm.
pub(crate) fn mean_width_lost_mm(depth_mm: f64, limits: &DesignLimits) -> f64 {
    // Nothing at the parting plane, all of it at the far ends, on either side.
    limits.end_inset_mm(depth_mm)
}
