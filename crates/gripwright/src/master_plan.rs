//! Plan of a master: the plan of its holder with every size taken backwards through the chain of sizes.

use gripwright_casting::{MasterOutlineError, MasterScale};
use gripwright_section::Outline;
use gripwright_sizing::{HolderPlan, WebPlan};

/// Returns the plan of the master from which a holder is cast.
pub(crate) fn master_plan(holder: &HolderPlan, scale: &MasterScale) -> Result<HolderPlan, MasterOutlineError> {
    let mut plan = holder.clone();
    plan.name = format!("Master {}", holder.letter);
    plan.mount_outline = scale.outline(&holder.mount_outline)?;
    plan.mount_upper = holder.mount_upper.as_ref().map(|upper| scale.outline(upper)).transpose()?;
    plan.clip_outline = scale.outline(&holder.clip_outline)?;
    plan.mount_length_mm = scale.outer_size_mm(holder.mount_length_mm);
    plan.clip_length_mm = scale.outer_size_mm(holder.clip_length_mm);
    plan.offset_mm = scale.distance_mm(holder.offset_mm);
    plan.chamfer_mm = scale.chamfer_mm(holder.chamfer_mm);
    plan.stop_at_mm = holder.stop_at_mm.map(|at| scale.distance_mm(at));
    for (station, cast) in plan.stations.iter_mut().zip(&holder.stations) {
        station.at_mm = scale.distance_mm(cast.at_mm);
        station.length_mm = scale.outer_size_mm(cast.length_mm);
        // A clip beside the parting plane is drawn at its nearest end, which the layer on that end moves along the draft.
        let nearest = |at_mm: f64, length_mm: f64| (at_mm.abs() - 0.5 * length_mm).max(0.0);
        let moved_mm =
            nearest(station.at_mm, station.length_mm) - scale.distance_mm(nearest(cast.at_mm, cast.length_mm));
        let outer_mm = scale.outer_mm + moved_mm * holder.draft_rad.tan();
        station.outline = MasterScale { outer_mm, ..*scale }.outline(&cast.outline)?;
    }
    plan.windows = holder.windows.iter().map(|window| hole(scale, window)).collect::<Result<_, _>>()?;
    if let WebPlan::Side(outline) = &holder.web_plan {
        plan.web_plan = WebPlan::Side(scale.outline(outline)?);
    }
    Ok(plan)
}

/// Returns the outline of a hole, which a layer on its faces makes smaller.
fn hole(scale: &MasterScale, outline: &Outline) -> Result<Outline, MasterOutlineError> {
    Ok(scale.outline(&outline.reversed())?.reversed())
}
