//! Windows: closed outlines that are cut straight through a prism from cap to cap. Each one is a tunnel of the solid.

use gripwright_section::Outline;

use crate::{
    pocket::{Cap, Pocket, check_pockets},
    prism::OpenPrism,
    prism_error::PrismError,
    side_walls::{add_walls, straight_stack},
};

/// Cuts windows through a prism without pockets whose caps are its last two faces. Each window must be counter-clockwise
/// and lie inside both caps, and no two windows may touch.
pub(crate) fn cut_windows(parts: &mut OpenPrism, half_height_mm: f64, windows: &[Outline]) -> Result<(), PrismError> {
    if windows.is_empty() {
        return Ok(());
    }
    // Both caps are equal, and windows must meet the same conditions as pockets of any depth.
    let cut = Pocket { outlines: windows.to_vec(), depth_mm: half_height_mm, cap: Cap::Upper };
    for level in &parts.levels {
        check_pockets(std::slice::from_ref(&cut), half_height_mm, [&level.outline; 2])?;
    }
    let upper = parts.brep.faces.len().saturating_sub(1);
    let lower = upper.saturating_sub(1);
    for window in windows {
        // A reversed window has the material on its left, like the outline of a prism.
        let stack = straight_stack(&window.reversed(), [-half_height_mm, half_height_mm]);
        let walls = add_walls(&mut parts.brep, &stack, &[]).map_err(PrismError::from)?;
        parts.brep.faces[lower].loops.push(walls.rings[0].backward_loop());
        parts.brep.faces[upper].loops.push(walls.rings[1].forward_loop());
    }
    Ok(())
}
