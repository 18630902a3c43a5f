//! Check that an outline bears draft and chamfer.

use gripwright_input::{Finish, GrippingFaces};
use gripwright_section::{Outline, Role, inset, largest_inset};

use crate::{parts::holder_fault::HolderFault, rounding::floor_to};

/// Checks that the outline can be moved inward as draft and chamfer ask at its ends.
pub(crate) fn check_draft(outline: &Outline, length_mm: f64, finish: &Finish) -> Result<(), HolderFault> {
    // The draft ends where the chamfer begins.
    let drafted_mm = (0.5 * length_mm - finish.chamfer_mm).max(0.0);
    let moved_mm = drafted_mm * finish.draft_rad.tan() + finish.chamfer_mm;
    let moves: Vec<bool> = outline
        .segments()
        .iter()
        .map(|s| match (s.role, finish.gripping_faces) {
            (Role::Pad, _) => false,
            (role, GrippingFaces::Straight) => !role.grips(),
            (_, GrippingFaces::Drafted) => true,
        })
        .collect();
    let amounts: Vec<f64> = moves.iter().map(|m| if *m { moved_mm } else { 0.0 }).collect();
    let sound =
        inset(outline, &amounts).is_ok_and(|moved| moved.to_outline(outline).is_ok_and(|o| o.self_contact().is_none()));
    if sound {
        return Ok(());
    }
    let largest = largest_inset(outline, &moves);
    let draft = ((largest - finish.chamfer_mm) / drafted_mm).atan().to_degrees();
    Err(HolderFault::Draft { works_deg: floor_to(draft, 0.1) })
}
