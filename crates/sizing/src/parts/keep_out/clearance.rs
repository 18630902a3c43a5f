//! Clearance of keep-outs: distance of each part of a holder, and the relief of the web.
//!
//! The layout fixes mount, clips and tools, so only the web can give way. In side view, all that lies within the
//! clearance is cut out of it, and the corners are rounded. The width of the keep-out volume does not matter. Wall,
//! chamfers and pads must stay.

use gripwright_input::{KeepOut, Parting};
use gripwright_section::{APPROACH_ERROR_MM, ClosestApproach, ConvexVolume, Outline, SideWeb, StackedPart};
use rayon::prelude::*;

use crate::{
    design::clearance::{Approach, KeepOutPart, KeepOutPlan},
    design::holder_plan::WebPlan,
    parts::holder_brief::HolderBrief,
    parts::keep_out::holder_solids::{HolderSolids, volume},
    parts::keep_out::relief::{ReliefRefusal, relieve_web},
};

/// A keep-out that a holder cannot leave free.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum KeepOutBlock {
    /// All of the mount lies in it.
    Swallowed,
    /// A part that does not give way is too near.
    Part(Approach),
    /// The web would have to give way, and has draft.
    Drafted(Approach),
    /// The web would have to give way, and a mould that parts at its end would not let go of a pocket in it.
    Flush(Approach),
    /// The web cannot give way.
    Web(Approach, ReliefRefusal),
}

/// The web after its relief, and the free space that is left.
pub(crate) struct ClearedWeb {
    /// The web as it is made.
    pub(crate) web: WebPlan,
    /// One for each keep-out of the spec.
    pub(crate) keep_outs: Vec<KeepOutPlan>,
    /// Least length along the body that the relief leaves of the web, mm: it is as deep as that there. Infinite without a
    /// relief.
    pub(crate) left_mm: f64,
    /// Closest approach to each keep-out of everything but the web.
    of_rigid: Vec<Approach>,
}

impl ClearedWeb {
    /// Free space after windows have been cut through the web.
    pub(crate) fn with_windows(
        self,
        asked: &[KeepOut],
        solids: &HolderSolids<'_>,
        side_web: &SideWeb,
        windows: &[Outline],
    ) -> Vec<KeepOutPlan> {
        let web = if windows.is_empty() { None } else { solids.web(&self.web) };
        let Some(web) = web.map(|web| web.with_windows(windows)) else { return self.keep_outs };
        let mut keep_outs = self.keep_outs;
        for (index, (plan, keep_out)) in keep_outs.iter_mut().zip(asked).enumerate() {
            // Only where the web was the nearest part do windows change anything.
            if !matches!(plan.after.part, KeepOutPart::Web | KeepOutPart::Stop) {
                continue;
            }
            let of_web = HolderSolids::named(side_web, approach(KeepOutPart::Web, &web, &volume(&keep_out.shape)));
            plan.after = self.of_rigid.get(index).copied().into_iter().fold(of_web, nearest_approach);
        }
        keep_outs
    }
}

/// Measures the free space at all keep-outs and relieves the web where needed. Errors name the index of the keep-out.
pub(crate) fn clear_keep_outs(
    brief: &HolderBrief<'_>,
    solids: &HolderSolids<'_>,
    side_web: &SideWeb,
    web: WebPlan,
) -> Result<ClearedWeb, (usize, KeepOutBlock)> {
    if brief.keep_outs.is_empty() {
        return Ok(ClearedWeb { web, keep_outs: Vec::new(), left_mm: f64::INFINITY, of_rigid: Vec::new() });
    }
    let volumes: Vec<ConvexVolume> = brief.keep_outs.iter().map(|k| volume(&k.shape)).collect();
    let rigid = solids.rigid();
    let (mut of_rigid, mut before): (Vec<Approach>, Vec<Approach>) = (Vec::new(), Vec::new());
    let mut to_relieve: Vec<usize> = Vec::new();
    let own_web = solids.web(&web);
    for (index, (keep_out, volume)) in brief.keep_outs.iter().zip(&volumes).enumerate() {
        if solids.mount_points().into_iter().all(|p| volume.distance_mm(p) < 0.0) {
            return Err((index, KeepOutBlock::Swallowed));
        }
        let to_parts = || rigid.par_iter().map(|(part, stacked)| approach(*part, stacked, volume)).collect::<Vec<_>>();
        let to_web = || own_web.as_ref().map(|w| HolderSolids::named(side_web, approach(KeepOutPart::Web, w, volume)));
        let (of_parts, of_web) = rayon::join(to_parts, to_web);
        let nearest = of_parts.into_iter().reduce(nearest_approach);
        if let Some(found) = nearest.filter(|a| too_near(keep_out, a)) {
            return Err((index, KeepOutBlock::Part(found)));
        }
        if let Some(found) = of_web.filter(|a| too_near(keep_out, a)) {
            if found.part == KeepOutPart::Stop || solids.stop_is_near(side_web, volume, keep_out.clearance_mm) {
                return Err((index, KeepOutBlock::Part(Approach { part: KeepOutPart::Stop, ..found })));
            }
            if brief.finish.parting == Parting::End {
                return Err((index, KeepOutBlock::Flush(found)));
            }
            if brief.finish.draft_rad > 0.0 {
                return Err((index, KeepOutBlock::Drafted(found)));
            }
            to_relieve.push(index);
        }
        of_rigid.extend(nearest);
        before.extend(nearest.into_iter().chain(of_web).reduce(nearest_approach));
    }
    let (web, left_mm) = if to_relieve.is_empty() {
        (web, f64::INFINITY)
    } else {
        let (outline, left_mm) = relieve_web(brief.keep_outs, side_web, &web, &volumes, &to_relieve)
            .map_err(|(index, refused)| (index, KeepOutBlock::Web(before[index], refused)))?;
        (WebPlan::Side(outline), left_mm)
    };
    // Without a relief the web is as it was.
    let made = if to_relieve.is_empty() { None } else { solids.web(&web) };
    let mut keep_outs = Vec::with_capacity(volumes.len());
    for (index, (keep_out, volume)) in brief.keep_outs.iter().zip(&volumes).enumerate() {
        let of_web = made.as_ref().map(|w| HolderSolids::named(side_web, approach(KeepOutPart::Web, w, volume)));
        let relieved_web = of_rigid.get(index).copied().into_iter().chain(of_web).reduce(nearest_approach);
        let after = if to_relieve.is_empty() { before.get(index).copied() } else { relieved_web };
        let Some(after) = after else { continue };
        if too_near(keep_out, &after) {
            return Err((index, KeepOutBlock::Web(after, ReliefRefusal::StillTooNear)));
        }
        let relieved = to_relieve.contains(&index);
        keep_outs.push(KeepOutPlan {
            name: keep_out.name.clone(),
            clearance_mm: keep_out.clearance_mm,
            before: before[index],
            after,
            relieved,
        });
    }
    Ok(ClearedWeb { web, keep_outs, left_mm, of_rigid })
}

fn approach(part: KeepOutPart, stacked: &StackedPart, volume: &ConvexVolume) -> Approach {
    let ClosestApproach { distance_mm, at_mm } = stacked.closest_approach(&volume.distances(), volume.inner_point_mm());
    Approach { part, distance_mm, at_mm }
}

fn nearest_approach(one: Approach, other: Approach) -> Approach {
    if other.distance_mm < one.distance_mm { other } else { one }
}

fn too_near(keep_out: &KeepOut, approach: &Approach) -> bool {
    approach.distance_mm < keep_out.clearance_mm - APPROACH_ERROR_MM
}
