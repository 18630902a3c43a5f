//! The web made as stiff as asked: pads, and the web with them, as wide as that takes.

use gripwright_input::Spec;
use gripwright_mechanics::WebBending;

use crate::{design::holder_plan::HolderPlan, design::records::Design, problem::Problem};

/// Widest pad that is tried, over the one without a limit.
const WIDEST: f64 = 6.0;
/// Sizings with ever wider pads: each changes the clip, and by that the web's length a little.
const MOST_SIZINGS: usize = 5;

/// A design with pads of a half width (mm), or of the usual one.
pub(crate) type WithPads<'a> = dyn Fn(&Spec, Option<f64>) -> Result<Design, Vec<Problem>> + 'a;

/// A design whose webs keep the limit, or why there is none. `sized` gives the design with pads of a half width (mm).
pub(crate) fn stiff(spec: &Spec, design: Design, sized: &WithPads<'_>, work_out: bool) -> Result<Design, Vec<Problem>> {
    let Some(limit_mm) = spec.layout.sway_at_most_mm else { return Ok(design) };
    let mut tried = design.clone();
    for _ in 0..MOST_SIZINGS {
        let Some(worst) = worst(&tried, limit_mm) else { return Ok(tried) };
        let Some(width_mm) = wide_enough(worst, limit_mm) else { break };
        // Whole tenths, as all pads have.
        let half_width_mm = (5.0 * width_mm).ceil() / 10.0;
        match sized(spec, Some(half_width_mm)) {
            Ok(wider) => tried = wider,
            Err(_) => break,
        }
    }
    let Some(worst) = worst(&design, limit_mm) else { return Ok(design) };
    Err(vec![too_soft(spec, worst, limit_mm, sized, work_out)])
}

/// The holder whose tool moves farthest beyond the limit.
fn worst(design: &Design, limit_mm: f64) -> Option<&HolderPlan> {
    let beyond = design.holders.iter().filter(|h| h.web.working_mm > limit_mm);
    beyond.max_by(|a, b| a.web.working_mm.total_cmp(&b.web.working_mm))
}

/// The least width that keeps the limit, mm.
fn wide_enough(holder: &HolderPlan, limit_mm: f64) -> Option<f64> {
    let (mut narrow, mut wide) = (holder.web.width_mm, WIDEST * holder.web.width_mm);
    if holder.web.bends.displacement_mm(wide, 0.0) > limit_mm {
        return None;
    }
    for _ in 0..40 {
        let middle = 0.5 * (narrow + wide);
        if holder.web.bends.displacement_mm(middle, 0.0) > limit_mm { narrow = middle } else { wide = middle }
    }
    Some(wide)
}

fn too_soft(spec: &Spec, worst: &HolderPlan, limit_mm: f64, sized: &WithPads<'_>, work_out: bool) -> Problem {
    let web = &worst.web;
    let wide = match wide_enough(worst, limit_mm) {
        Some(width) => format!("a web {width:.1} mm wide would do, but leaves no clip or mount that keeps its limits"),
        None => "no width of web would do".to_owned(),
    };
    let message = format!(
        "the web of size {} lets the tool move {:.2} mm under its working load where {limit_mm} mm is allowed; {wide}",
        worst.letter, web.working_mm
    );
    let problem = Problem::no_design("layout.sway.at_most", "web-too-soft", message);
    if !work_out {
        return problem;
    }
    let serves = |changed: &Spec| {
        let found = sized(changed, None).and_then(|design| stiff(changed, design, sized, false));
        found.is_ok()
    };
    let frees: Vec<String> = changes(spec, web.bends, web.width_mm, web.working_mm, limit_mm)
        .into_iter()
        .filter(|(_, changed)| serves(changed))
        .map(|(words, _)| words)
        .collect();
    problem.hinting(match frees.as_slice() {
        [] => {
            "no single change of the limit, the offset, the loads or the material frees it; change several".to_owned()
        }
        [one] => format!("this alone would free it: {one}"),
        _ => format!("any one of these would free it: {}", frees.join("; ")),
    })
}

/// Single changes that might free it, in words and as specs to try.
fn changes(spec: &Spec, bends: WebBending, width_mm: f64, moves_mm: f64, limit_mm: f64) -> Vec<(String, Spec)> {
    let mut out = Vec::new();
    let mut add = |words: String, change: &dyn Fn(&mut Spec)| {
        let mut changed = spec.clone();
        change(&mut changed);
        out.push((words, changed));
    };
    let least = (100.0 * moves_mm + 1e-6).ceil() / 100.0;
    add(format!("`sway = {{ at_most = {least} }}`"), &|s| s.layout.sway_at_most_mm = Some(least));
    if bends.displacement_mm(width_mm, 0.99 * bends.foot_mm()) < limit_mm {
        let (mut long, mut short) = (0.0, 0.99 * bends.foot_mm());
        for _ in 0..40 {
            let middle = 0.5 * (long + short);
            if bends.displacement_mm(width_mm, middle) > limit_mm { long = middle } else { short = middle }
        }
        let offset = (10.0 * (spec.layout.offset_mm - short)).floor() / 10.0;
        add(format!("`offset = {offset}`"), &|s| s.layout.offset_mm = offset);
    }
    let share = limit_mm / moves_mm;
    let percent = (99.0 * share).floor();
    add(format!("loads and masses of {percent:.0} % of these"), &|s| {
        for tool in &mut s.tools {
            tool.mass_kg *= 0.01 * percent;
            tool.load_across_n *= 0.01 * percent;
            tool.load_along_n *= 0.01 * percent;
        }
    });
    let stiffer = (10.5 / share).ceil() / 10.0;
    add(format!("a material {stiffer:.1} times as stiff"), &|s| {
        let material = s.material.cast.as_mut().unwrap_or(&mut s.material.print);
        material.modulus_mpa.least *= stiffer;
        material.modulus_mpa.greatest *= stiffer;
    });
    out
}
