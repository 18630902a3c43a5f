//! Explains a tool that moves too far: the single changes that stiffen web, mount and clips enough, each found by sizing
//! again.

use gripwright_input::Spec;
use gripwright_section::last_passing;

use crate::{
    design::holder_plan::PointMovement, explain::remedies::remedy_hint, pipeline::failure::SoftWeb, problem::Problem,
    rounding::floor_to,
};

/// Halvings between a web that is short enough and one that is not.
const HALVINGS: usize = 40;
/// Lengths of mount and clips that are tried, over the present ones.
const LONGER_PARTS: [f64; 4] = [1.25, 1.5, 2.0, 3.0];
/// Shares of the greatest load for a web alone that are tried: springs of mount and clips soften under load.
const LESS_LOAD: [f64; 4] = [1.0, 0.8, 0.6, 0.4];

/// One change that may help, the least first: in words and as specs to try.
type Remedy = Vec<(String, Spec)>;

/// Explains a holder that is too soft. `has_design` sizes a changed spec.
pub(crate) fn soft_web(spec: &Spec, soft: &SoftWeb, has_design: impl Fn(&Spec) -> bool) -> Problem {
    let (limit_mm, moved) = (soft.limit_mm, &soft.web.working);
    let (code, wide) = match soft.sufficient_width_mm {
        Some(width) => (
            "web-too-soft",
            format!("a web {width:.1} mm wide would do, but leaves no clip or mount that keeps its limits"),
        ),
        None if moved.supports_mm() >= limit_mm => {
            ("supports-too-soft", "no width of web would do, because mount and clips alone move too far".to_owned())
        }
        None => ("web-too-soft", "no width of web would do".to_owned()),
    };
    let message = format!(
        "the tool of size {} moves {:.2} mm under its working load where {limit_mm} mm is allowed: {}; {wide}",
        soft.letter,
        moved.at_least_mm(),
        movement_words(moved)
    );
    let works = |remedy: Remedy| remedy.into_iter().find(|(_, changed)| has_design(changed)).map(|(words, _)| words);
    let remedies: Vec<String> = changes(spec, soft).into_iter().filter_map(works).collect();
    let none = "no single change of the limit, the lengths, the offset, the loads or the material frees it; change \
                several";
    Problem::no_design("layout.sway.at_most", code, message).with_hint(remedy_hint(&remedies, none))
}

/// Parts of a movement in words.
pub(crate) fn movement_words(moved: &PointMovement) -> String {
    let part = |part_mm: Option<f64>, what: &str| match part_mm {
        Some(mm) => format!("{mm:.2} mm by {what}"),
        None => format!("an unknown part by {what}, which let go under it"),
    };
    let (mount, clips) = (part(moved.mount_mm, "the arms of the mount"), part(moved.clips_mm, "those of the clips"));
    format!("{:.2} mm by the web, {mount} and {clips}", moved.web_mm)
}

/// Single changes that may stiffen the holder enough.
fn changes(spec: &Spec, soft: &SoftWeb) -> Vec<Remedy> {
    let moves_mm = soft.web.working.at_least_mm();
    let changed = |words: String, change: &dyn Fn(&mut Spec)| {
        let mut changed = spec.clone();
        change(&mut changed);
        (words, changed)
    };
    let least = (100.0 * moves_mm + 1e-6).ceil() / 100.0;
    let limit = changed(format!("`sway = {{ at_most = {least} }}`"), &|s| s.layout.sway_at_most_mm = Some(least));
    let longer = LONGER_PARTS.map(|factor| {
        let length = (factor * spec.body.mount_length_mm).ceil();
        changed(format!("`mount_length = {length}`"), &|s| s.body.mount_length_mm = length)
    });
    let gripped = LONGER_PARTS.map(|factor| {
        let all =
            spec.layout.lengths_mm.clone().unwrap_or_else(|| vec![soft.clip_length_mm; spec.layout.stations_mm.len()]);
        let lengths: Vec<f64> = all.iter().map(|length| (10.0 * factor * length).ceil() / 10.0).collect();
        changed(format!("`lengths = {lengths:?}`"), &|s| s.layout.lengths_mm = Some(lengths.clone()))
    });
    let nearer = shorter_web_mm(soft).map(|shorter_mm| {
        let offset = floor_to(spec.layout.offset_mm - shorter_mm, 0.1);
        changed(format!("`offset = {offset}`"), &|s| s.layout.offset_mm = offset)
    });
    let share = soft.limit_mm / moves_mm;
    let lighter = LESS_LOAD.map(|less| {
        let percent = (99.0 * less * share).floor();
        changed(format!("loads and masses of {percent:.0} % of these"), &|s| {
            for tool in &mut s.tools {
                tool.mass_kg *= 0.01 * percent;
                tool.load_across_n *= 0.01 * percent;
                tool.load_along_n *= 0.01 * percent;
            }
        })
    });
    let stiffer = (10.5 / share).ceil() / 10.0;
    let material = changed(format!("a material {stiffer:.1} times as stiff"), &|s| {
        let material = s.material.cast.as_mut().unwrap_or(&mut s.material.print);
        material.modulus_mpa.least *= stiffer;
        material.modulus_mpa.greatest *= stiffer;
    });
    vec![vec![limit], longer.to_vec(), gripped.to_vec(), nearer.into_iter().collect(), lighter.to_vec(), vec![material]]
}

/// Length by which the web must be shorter to keep the limit besides what mount and clips move, mm; `None` when the web is
/// not the cause.
fn shorter_web_mm(soft: &SoftWeb) -> Option<f64> {
    let (bending, width_mm) = (soft.web.bending, soft.web.width_mm);
    let left_mm = soft.limit_mm - soft.web.working.supports_mm();
    let shortest_mm = 0.99 * bending.foot_mm();
    let stiff = |shorter_mm: f64| bending.displacement_mm(width_mm, shorter_mm) <= left_mm;
    stiff(shortest_mm).then(|| last_passing(shortest_mm, 0.0, HALVINGS, stiff))
}
