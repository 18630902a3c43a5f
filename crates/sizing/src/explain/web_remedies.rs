//! Explains a web that bends too far: the single changes that stiffen it enough, each found by sizing again.

use gripwright_input::Spec;
use gripwright_section::last_passing;

use crate::{explain::remedies::remedy_hint, pipeline::failure::SoftWeb, problem::Problem, rounding::floor_to};

/// Halvings between a web that is short enough and one that is not.
const HALVINGS: usize = 40;

/// Explains a web that is too soft. `has_design` sizes a changed spec.
pub(crate) fn soft_web(spec: &Spec, soft: &SoftWeb, has_design: impl Fn(&Spec) -> bool) -> Problem {
    let limit_mm = soft.limit_mm;
    let wide = match soft.sufficient_width_mm {
        Some(width) => format!("a web {width:.1} mm wide would do, but leaves no clip or mount that keeps its limits"),
        None => "no width of web would do".to_owned(),
    };
    let message = format!(
        "the web of size {} lets the tool move {:.2} mm under its working load where {limit_mm} mm is allowed; {wide}",
        soft.letter, soft.web.working_mm
    );
    let changes = changes(spec, soft).into_iter().filter(|(_, changed)| has_design(changed));
    let remedies: Vec<String> = changes.map(|(words, _)| words).collect();
    let none = "no single change of the limit, the offset, the loads or the material frees it; change several";
    Problem::no_design("layout.sway.at_most", "web-too-soft", message).with_hint(remedy_hint(&remedies, none))
}

/// Single changes that may stiffen the web enough, in words and as specs to try.
fn changes(spec: &Spec, soft: &SoftWeb) -> Vec<(String, Spec)> {
    let (bending, width_mm) = (soft.web.bending, soft.web.width_mm);
    let (moves_mm, limit_mm) = (soft.web.working_mm, soft.limit_mm);
    let mut out = Vec::new();
    let mut add = |words: String, change: &dyn Fn(&mut Spec)| {
        let mut changed = spec.clone();
        change(&mut changed);
        out.push((words, changed));
    };
    let least = (100.0 * moves_mm + 1e-6).ceil() / 100.0;
    add(format!("`sway = {{ at_most = {least} }}`"), &|s| s.layout.sway_at_most_mm = Some(least));
    let stiff = |shorter_mm: f64| bending.displacement_mm(width_mm, shorter_mm) <= limit_mm;
    let shortest_mm = 0.99 * bending.foot_mm();
    if bending.displacement_mm(width_mm, shortest_mm) < limit_mm {
        let shorter_mm = last_passing(shortest_mm, 0.0, HALVINGS, stiff);
        let offset = floor_to(spec.layout.offset_mm - shorter_mm, 0.1);
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
