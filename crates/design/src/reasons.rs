//! Why there is no design, and what would free it.

use gripwright_spec::{Spec, Uses};

use crate::{
    coupons::{CouponError, CouponKind},
    demand::Rules,
    family::Unserved,
    holder::draft_eats_wall,
    margin::{Limit, Margin},
    mount::{MountTask, mount_serves},
    problem::Problem,
    search::clip_serves,
};

/// Why a tool has no clip: the draft, the printer, or the limit that binds.
pub(crate) fn no_clip(spec: &Spec, unserved: &Unserved, pad_half_width_mm: f64, rules: &Rules) -> Problem {
    let serves = |rules: &Rules| clip_serves(&[unserved.tool], pad_half_width_mm, rules);
    let margin = unserved.best.map_or(Margin::IMPOSSIBLE, |b| b.margin);
    if let Some(problem) = blame_finish(rules, margin, serves) {
        return problem;
    }
    let index = unserved.tool.index;
    let tool = spec.tools.get(index).map_or("", |t| t.name.as_str());
    let (least, greatest) = (unserved.tool.least_mm, unserved.tool.greatest_mm);
    Problem::no_design(
        format!("tools[{index}].diameter"),
        "no-size",
        format!("no clip serves `{tool}` from {least:.2} mm to {greatest:.2} mm: {}", shortfall(margin, rules)),
    )
    .hinting(relief(margin, rules, spec.fit.uses))
}

/// Why the body has no mount.
pub(crate) fn no_mount(task: &MountTask<'_>, best: Option<Margin>) -> Problem {
    let serves = |rules: &Rules| mount_serves(&MountTask { rules, ..*task });
    let margin = best.unwrap_or(Margin::IMPOSSIBLE);
    if let Some(problem) = blame_finish(task.rules, margin, serves) {
        return problem;
    }
    let message = format!("no mount serves the body: {}", shortfall(margin, task.rules));
    Problem::no_design("body.profile", "mount-no-fit", message).hinting(relief(margin, task.rules, Uses::Repeated))
}

/// A draft or a least wall without which there would be a design, with the nearest value that works.
///
/// `margin` is the best there is as things are. A near miss is the fault of its binding limit: a little less draft or
/// wall would mend it, as would a little of anything else.
fn blame_finish(rules: &Rules, margin: Margin, serves: impl Fn(&Rules) -> bool) -> Option<Problem> {
    /// Margins from here up are near misses.
    const NEAR_MISS: f64 = 0.8;
    /// Thinnest wall that any common printer makes, mm: common practice, no source.
    const FINEST_WALL_MM: f64 = 0.3;
    if margin.ratio >= NEAR_MISS {
        return None;
    }
    let drafted = |draft_rad: f64| {
        let mut changed = rules.clone();
        changed.finish.draft_rad = draft_rad;
        serves(&changed)
    };
    if rules.finish.draft_rad > 0.0 && drafted(0.0) {
        let works = greatest_that_works(0.0, rules.finish.draft_rad, drafted);
        let works_deg = (10.0 * works.to_degrees()).floor() / 10.0;
        // A design that bears no draft worth the name fails by another limit, which says more.
        if works_deg > 0.0 {
            return Some(draft_eats_wall(rules.finish.draft_rad, works_deg));
        }
    }
    let walled = |least_wall_mm: f64| serves(&Rules { least_wall_mm, ..rules.clone() });
    if rules.least_wall_mm > FINEST_WALL_MM && walled(FINEST_WALL_MM) {
        let works = greatest_that_works(FINEST_WALL_MM, rules.least_wall_mm, walled);
        let works = (20.0 * works).floor() / 20.0;
        let message =
            format!("`printer.least_wall` is {} mm: every wall that serves is thinner than that", rules.least_wall_mm);
        return Some(
            Problem::bad_spec("printer.least_wall", "wall-too-thin", message)
                .allowing(format!("at most {works} mm for this family"))
                .hinting("take a printer or nozzle that prints thinner walls, or relax the limits under [fit]"),
        );
    }
    None
}

/// The greatest value between one that works and one that does not, to 1/64 of their distance.
fn greatest_that_works(works: f64, fails: f64, test: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (works, fails);
    for _ in 0..6 {
        let middle = 0.5 * (low + high);
        if test(middle) { low = middle } else { high = middle }
    }
    low
}

fn shortfall(margin: Margin, rules: &Rules) -> String {
    let share = 100.0 * margin.ratio;
    match margin.limit {
        Limit::Strain => format!(
            "the best geometry strains to {:.2} % where {:.2} % is permissible",
            100.0 * rules.strain_limit / margin.ratio,
            100.0 * rules.strain_limit
        ),
        Limit::SnapOn => format!(
            "the best geometry needs {:.0} N to snap on where {:.0} N is allowed",
            rules.snap_on_n / margin.ratio,
            rules.snap_on_n
        ),
        Limit::HoldAcross | Limit::HoldAlong => {
            format!("the {} of the best geometry is {share:.0} % of what is needed", margin.limit.word())
        }
        Limit::Shape => "no geometry within the walls and wraps that are tried takes it".to_owned(),
    }
}

fn relief(margin: Margin, rules: &Rules, uses: Uses) -> String {
    match margin.limit {
        Limit::Strain => {
            let needed = 100.0 * rules.strain_limit / margin.ratio;
            let single = if uses == Uses::Repeated { ", `uses = \"single\"`" } else { "" };
            format!("a material that bears {needed:.2} %{single}, lower loads or a narrower range would free it")
        }
        Limit::SnapOn => {
            let needed = (rules.snap_on_n / margin.ratio).ceil();
            format!("`snap_on = {{ at_most = \"{needed:.0} N\" }}`, lower loads or a narrower range would free it")
        }
        Limit::HoldAcross | Limit::HoldAlong => {
            "lower loads or safety, a greater `fit.snap_on` or a material with more friction would free it".to_owned()
        }
        Limit::Shape => {
            "a printer with a smaller `least_wall`, or a narrower range of diameters, may free it".to_owned()
        }
    }
}

/// A web that bends too far.
pub(crate) fn weak_web(spec: &Spec, letter: char, strain: f64, limit: f64) -> Problem {
    let message = format!(
        "the web of size {letter} strains to {:.2} % under the load across where {:.2} % is permissible",
        100.0 * strain,
        100.0 * limit
    );
    let hint = format!("shorten `layout.offset` below {} mm or lower the load across", spec.layout.offset_mm);
    Problem::no_design("layout.offset", "web-too-weak", message).hinting(hint)
}

/// Why there are no coupons.
pub(crate) fn no_coupon(error: &CouponError) -> Problem {
    match error {
        CouponError::Outline { kind, .. } => {
            let at = match kind {
                CouponKind::Clip => "coupons.clip_steps",
                CouponKind::Mount => "coupons.mount_steps",
            };
            Problem::bad_spec(at, "step-too-large", error.to_string()).hinting("give smaller steps")
        }
        CouponError::Plate(_) => {
            Problem::bad_spec("printer.bed", "bed-too-small", error.to_string()).hinting("take a larger printer")
        }
    }
}
