//! Pads, and the web with them, wide enough for the stiffness that is asked for.

use gripwright_section::last_passing;

use crate::{
    design::Design,
    design::holder_plan::HolderPlan,
    pipeline::failure::{Failure, NoDesign, SoftWeb},
};

/// Widest pad that is tried, over the one without a limit.
const WIDEST_PAD_FACTOR: f64 = 6.0;
/// Sizings with ever wider pads: each changes the clip, and by that the web's length a little.
const MOST_SIZINGS: usize = 5;
/// Halvings between a width that is stiff enough and one that is not.
const HALVINGS: usize = 40;

/// Widens the pads until every tool keeps the limit of sway. Wider pads stiffen the web alone: where mount and clips move
/// farther by themselves, nothing is widened.
///
/// `design` has pads of the usual width; `with_pads` sizes with pads of a given half width (mm).
pub(crate) fn widen_until_stiff(
    design: Design,
    sway_at_most_mm: Option<f64>,
    with_pads: impl Fn(f64) -> Result<Design, NoDesign>,
) -> Result<Design, NoDesign> {
    let Some(limit_mm) = sway_at_most_mm else { return Ok(design) };
    let mut widest = None;
    for _ in 0..MOST_SIZINGS {
        let current = widest.as_ref().unwrap_or(&design);
        let Some(softest) = softest_holder(current, limit_mm) else { return Ok(widest.unwrap_or(design)) };
        let Some(width_mm) = sufficient_width_mm(softest, limit_mm) else { break };
        // Whole tenths, as all pads have.
        let half_width_mm = (5.0 * width_mm).ceil() / 10.0;
        match with_pads(half_width_mm) {
            Ok(wider) => widest = Some(wider),
            Err(_) => break,
        }
    }
    let Some(softest) = softest_holder(&design, limit_mm) else { return Ok(design) };
    Err(Failure::SoftWeb(Box::new(SoftWeb {
        letter: softest.letter,
        web: softest.web,
        limit_mm,
        clip_length_mm: softest.clip_length_mm,
        sufficient_width_mm: sufficient_width_mm(softest, limit_mm),
    }))
    .into())
}

/// The holder whose tool moves farthest beyond the limit.
fn softest_holder(design: &Design, limit_mm: f64) -> Option<&HolderPlan> {
    let beyond = design.holders.iter().filter(|h| h.web.working.at_least_mm() > limit_mm);
    beyond.max_by(|a, b| a.web.working.at_least_mm().total_cmp(&b.web.working.at_least_mm()))
}

/// Least width of the web that keeps the limit besides what mount and clips move, mm; `None` when no width does.
fn sufficient_width_mm(holder: &HolderPlan, limit_mm: f64) -> Option<f64> {
    let web = &holder.web;
    let (narrow, wide) = (web.width_mm, WIDEST_PAD_FACTOR * web.width_mm);
    let left_mm = limit_mm - web.working.supports_mm();
    let stiff = |width_mm: f64| web.bending.displacement_mm(width_mm, 0.0) <= left_mm;
    stiff(wide).then(|| last_passing(wide, narrow, HALVINGS, stiff))
}
