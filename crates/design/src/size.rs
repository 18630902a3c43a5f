//! From a checked spec to a design: the one entrance of this crate.

use gripwright_spec::{Spec, Uses};

use crate::{
    clip_case::{Barrel, ClipModel},
    coupons::{CouponError, CouponKind, MOUNT_LETTER, coupon_set},
    demand::{Rules, ToolDemand, body_spread_mm},
    design::{Design, FitRow, MountDesign, MountFit, Size},
    family::{Group, Unserved, split},
    holder::{draft_eats_wall, plan},
    margin::{Limit, Margin},
    mount::{MountTask, best_mount},
    mount_case::{Carrier, MountShape},
    problem::Problem,
    search::{best_clip, hold_margin, load_margin},
};

/// Sizes clips, mount, holders and coupons for a spec.
///
/// Gives a design that keeps every limit, or all the reasons found why there is none.
pub fn size(spec: &Spec) -> Result<Design, Vec<Problem>> {
    let rules = Rules::of(spec);
    let demands: Vec<ToolDemand> =
        spec.tools.iter().enumerate().map(|(index, tool)| ToolDemand::of(spec, index, tool)).collect();
    let pad_half_width_mm = pad_half_width_mm(&demands);
    let carrier = Carrier::of(&spec.body)
        .map_err(|reason| vec![Problem::bad_spec("body.profile", "body-not-drawable", reason)])?;

    let mut problems = Vec::new();
    let groups = split(&demands, pad_half_width_mm, &rules).unwrap_or_else(|unserved| {
        problems.extend(unserved.iter().map(|u| no_clip(spec, u, pad_half_width_mm, &rules)));
        Vec::new()
    });
    let task = MountTask {
        carrier: &carrier,
        pad_half_width_mm,
        length_mm: spec.body.mount_length_mm,
        spread_mm: body_spread_mm(spec),
        across_n: 0.0,
        along_n: 0.0,
        rules: &rules,
    }
    .carrying(&demands);
    let mount = best_mount(&task);
    let (Some((mount_shape, margin)), true) = (mount, mount.is_some_and(|(_, m)| m.kept())) else {
        problems.push(no_mount(&task, mount.map(|(_, m)| m)));
        return Err(without_repeats(problems));
    };
    if !problems.is_empty() {
        return Err(without_repeats(problems));
    }
    let mount = MountDesign {
        mount: mount_shape.mount(&carrier, pad_half_width_mm),
        length_mm: spec.body.mount_length_mm,
        margin,
    };
    assemble(spec, &rules, &groups, pad_half_width_mm, mount, &task, &mount_shape)
}

fn assemble(
    spec: &Spec,
    rules: &Rules,
    groups: &[Group],
    pad_half_width_mm: f64,
    mount: MountDesign,
    task: &MountTask<'_>,
    mount_shape: &MountShape,
) -> Result<Design, Vec<Problem>> {
    let Some(sizes) = sizes(groups, pad_half_width_mm) else {
        let message = format!("the family needs {} sizes; there are letters for 25", groups.len());
        return Err(vec![Problem::no_design("tools", "too-many-sizes", message)]);
    };
    let mut problems = Vec::new();
    let mut holders = Vec::new();
    for (size, group) in sizes.iter().zip(groups) {
        let across_n = group.tools.iter().map(|t| t.across_n).fold(0.0, f64::max);
        match plan(spec, rules, size, &mount, across_n) {
            Ok(holder) if holder.web.strain <= holder.web.strain_limit => holders.push(holder),
            Ok(holder) => problems.push(weak_web(spec, size.letter, holder.web.strain, holder.web.strain_limit)),
            Err(problem) => problems.push(problem),
        }
    }
    let Some(mount_fit) = mount_fit(task, mount_shape, mount.margin) else {
        problems.push(no_mount(task, None));
        return Err(without_repeats(problems));
    };
    let coupons = match coupon_set(spec, &sizes, &mount) {
        Ok(coupons) => coupons,
        Err(error) => {
            problems.push(no_coupon(&error));
            return Err(without_repeats(problems));
        }
    };
    if !problems.is_empty() {
        return Err(without_repeats(problems));
    }
    let fit = groups.iter().zip(&sizes).flat_map(|(g, s)| fit_rows(spec, rules, g, s, pad_half_width_mm)).collect();
    let notes = notes(spec, &fit, &holders);
    Ok(Design { sizes, mount, holders, fit, mount_fit, notes, coupons })
}

/// Half the width of the pads, mm, the same for mount and clips: 3 mm, or less where the smallest clip is too slender
/// for that, or more on large clips, where a web should not look like a stalk. Common practice, no source.
fn pad_half_width_mm(demands: &[ToolDemand]) -> f64 {
    let smallest = demands.iter().map(|d| 0.5 * d.least_mm).fold(f64::INFINITY, f64::min);
    let wanted = (0.3 * smallest).max(3.0);
    let room = (0.45 * smallest).max(1.0);
    (10.0 * wanted.min(room)).floor() / 10.0
}

fn sizes(groups: &[Group], pad_half_width_mm: f64) -> Option<Vec<Size>> {
    let mut letters = ('A'..='Z').filter(|letter| *letter != MOUNT_LETTER);
    groups
        .iter()
        .map(|group| {
            Some(Size {
                letter: letters.next()?,
                clip: group.clip.shape.clip(pad_half_width_mm),
                length_mm: group.clip.length_mm,
                tools: group.tools.iter().map(|t| t.index).collect(),
                least_mm: group.tools.iter().map(|t| t.least_mm).fold(f64::INFINITY, f64::min),
                greatest_mm: group.tools.iter().map(|t| t.greatest_mm).fold(0.0, f64::max),
                margin: group.clip.margin,
            })
        })
        .collect()
}

fn fit_rows(spec: &Spec, rules: &Rules, group: &Group, size: &Size, pad_half_width_mm: f64) -> Vec<FitRow> {
    let length = size.length_mm;
    let Some(model) = ClipModel::new(&group.clip.shape, pad_half_width_mm, length, rules) else {
        return Vec::new();
    };
    let row = |tool: &ToolDemand, greatest: bool| {
        let diameter_mm = if greatest { tool.greatest_mm } else { tool.least_mm };
        let found = model.estimate(&Barrel::new(diameter_mm), length, rules)?;
        let hold = hold_margin(&found, length, tool.across_n, tool.along_n);
        Some(FitRow {
            letter: size.letter,
            tool: tool.index,
            tool_name: spec.tools.get(tool.index)?.name.clone(),
            diameter_mm,
            greatest,
            interference_mm: 0.5 * diameter_mm - size.clip.seat_radius_mm,
            snap_in_n: found.snap_in_n_per_mm.scaled(length),
            snap_in_limit_n: rules.snap_on_n,
            pull_out_n: found.pull_out_n_per_mm.scaled(length),
            across_needed_n: tool.across_n,
            axial_hold_n: found.axial_n_per_mm.scaled(length),
            along_needed_n: tool.along_n,
            grip_n: found.grip_n_per_mm.scaled(length),
            strain: found.strain_peak,
            strain_limit: rules.strain_limit,
            opening_mm: found.opening_mm,
            pulls_in: found.pulls_in,
            margin: load_margin(&found, length, rules).least(hold),
        })
    };
    group.tools.iter().flat_map(|tool| [row(tool, false), row(tool, true)]).flatten().collect()
}

fn mount_fit(task: &MountTask<'_>, shape: &MountShape, margin: Margin) -> Option<MountFit> {
    let [least, greatest] = task.estimates(shape)?;
    let length = task.length_mm;
    Some(MountFit {
        interference_mm: -shape.gap_mm,
        snap_in_n: greatest.snap_in_n_per_mm.scaled(length),
        snap_in_limit_n: task.rules.snap_on_n,
        pull_out_n: least.pull_out_n_per_mm.scaled(length),
        across_needed_n: task.across_n,
        axial_hold_n: least.axial_n_per_mm.scaled(length),
        along_needed_n: task.along_n,
        strain: greatest.strain_peak,
        strain_limit: task.rules.strain_limit,
        opening_mm: greatest.opening_mm,
        margin,
    })
}

fn notes(spec: &Spec, fit: &Vec<FitRow>, holders: &[crate::HolderPlan]) -> Vec<String> {
    let mut notes = vec![
        "Forces and strains are estimates by closed forms, over the least and greatest modulus and friction of the \
         material. Against a finite-element study of round clips they come within 10 % for forces, 4 % for strain and \
         13 % for grip; mounts of other shapes are not compared. Try the coupons before you trust them."
            .to_owned(),
        "Print the parts and coupons on their side, so that the layers run round the arms: across its layers a print \
         bears much less strain."
            .to_owned(),
    ];
    for letter in holders.iter().map(|h| h.letter) {
        if fit.iter().any(|row| row.letter == letter && !row.pulls_in) {
            notes.push(format!(
                "Size {letter} may have to be pushed home: at the greatest friction its lips do not pull the barrel in."
            ));
        }
    }
    if spec.material.cast.is_some() {
        notes.push(format!(
            "Forces are those of the cast part in {}; coupons printed in {} are stiffer or softer by the ratio of the \
             moduli.",
            spec.material.of_part().title,
            spec.material.print.title
        ));
    }
    notes
}

/// Why a tool has no clip: the draft, the printer, or the limit that binds.
fn no_clip(spec: &Spec, unserved: &Unserved, pad_half_width_mm: f64, rules: &Rules) -> Problem {
    let serves = |rules: &Rules| {
        best_clip(&[unserved.tool], pad_half_width_mm, rules).is_some_and(|clip| clip.margin.kept())
    };
    if let Some(problem) = blame_finish(rules, serves) {
        return problem;
    }
    let index = unserved.tool.index;
    let tool = spec.tools.get(index).map_or("", |t| t.name.as_str());
    let (least, greatest) = (unserved.tool.least_mm, unserved.tool.greatest_mm);
    let margin = unserved.best.map_or(Margin::IMPOSSIBLE, |b| b.margin);
    Problem::no_design(
        format!("tools[{index}].diameter"),
        "no-size",
        format!("no clip serves `{tool}` from {least:.2} mm to {greatest:.2} mm: {}", shortfall(margin, rules)),
    )
    .hinting(relief(margin, rules, spec.fit.uses))
}

fn no_mount(task: &MountTask<'_>, best: Option<Margin>) -> Problem {
    let serves = |rules: &Rules| best_mount(&MountTask { rules, ..*task }).is_some_and(|(_, margin)| margin.kept());
    if let Some(problem) = blame_finish(task.rules, serves) {
        return problem;
    }
    let margin = best.unwrap_or(Margin::IMPOSSIBLE);
    let message = format!("no mount serves the body: {}", shortfall(margin, task.rules));
    Problem::no_design("body.profile", "mount-no-fit", message).hinting(relief(margin, task.rules, Uses::Repeated))
}

/// A draft or a least wall without which there would be a design, with the nearest value that works.
fn blame_finish(rules: &Rules, serves: impl Fn(&Rules) -> bool) -> Option<Problem> {
    /// Thinnest wall that any common printer makes, mm: common practice, no source.
    const FINEST_WALL_MM: f64 = 0.3;
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
        let message = format!(
            "`printer.least_wall` is {} mm: every wall that serves is thinner than that",
            rules.least_wall_mm
        );
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
        Limit::Shape => "a printer with a smaller `least_wall`, or a narrower range of diameters, may free it".to_owned(),
    }
}

fn weak_web(spec: &Spec, letter: char, strain: f64, limit: f64) -> Problem {
    let message = format!(
        "the web of size {letter} strains to {:.2} % under the load across where {:.2} % is permissible",
        100.0 * strain,
        100.0 * limit
    );
    let hint = format!("shorten `layout.offset` below {} mm or lower the load across", spec.layout.offset_mm);
    Problem::no_design("layout.offset", "web-too-weak", message).hinting(hint)
}

fn no_coupon(error: &CouponError) -> Problem {
    match error {
        CouponError::Outline { kind, .. } => {
            let at = match kind {
                CouponKind::Clip => "coupons.clip_steps",
                CouponKind::Mount => "coupons.mount_steps",
            };
            Problem::bad_spec(at, "step-too-large", error.to_string()).hinting("give smaller steps")
        }
        CouponError::Plate(_) => Problem::bad_spec("printer.bed", "bed-too-small", error.to_string())
            .hinting("take a larger printer"),
    }
}

/// The same problem found for several tools is said once.
fn without_repeats(problems: Vec<Problem>) -> Vec<Problem> {
    let mut out: Vec<Problem> = Vec::new();
    for problem in problems {
        let repeats = out.iter().any(|o| o.at == problem.at && o.code == problem.code);
        if !repeats {
            out.push(problem);
        }
    }
    out
}
