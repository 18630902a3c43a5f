//! From a checked spec to a design: the one entrance of this crate.

use gripwright_spec::Spec;

use crate::{
    clip_case::{Barrel, ClipModel},
    coupons::{MOUNT_LETTER, coupon_set},
    demand::{Rules, ToolDemand, body_spread_mm},
    design::{Design, FitFigures, FitRow, HolderPlan, MountDesign, Size},
    family::{Group, split},
    holder::{self, plan},
    margin::Margin,
    mount::{MountTask, best_mount},
    mount_case::{Carrier, MountShape},
    problem::Problem,
    reasons::{no_clip, no_coupon, no_mount, weak_web},
    search::{hold_margin, load_margin},
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
    let (mut holders, mut faults) = (Vec::new(), Vec::new());
    for (size, group) in sizes.iter().zip(groups) {
        let across_n = group.tools.iter().map(|t| t.across_n).fold(0.0, f64::max);
        match plan(spec, rules, size, &mount, across_n) {
            Ok(holder) if holder.web.strain <= holder.web.strain_limit => holders.push(holder),
            Ok(holder) => problems.push(weak_web(spec, size.letter, holder.web.strain, holder.web.strain_limit)),
            Err(fault) => faults.push(fault),
        }
    }
    problems.extend(holder::problems(spec, &faults));
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
    let fit: Vec<FitRow> =
        groups.iter().zip(&sizes).flat_map(|(g, s)| fit_rows(spec, rules, g, s, pad_half_width_mm)).collect();
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
            figures: FitFigures {
                interference_mm: 0.5 * diameter_mm - size.clip.seat_radius_mm,
                snap_in_n: found.snap_in_n_per_mm.scaled(length),
                snap_in_limit_n: rules.snap_on_n,
                pull_out_n: found.pull_out_n_per_mm.scaled(length),
                across_needed_n: tool.across_n,
                axial_hold_n: found.axial_n_per_mm.scaled(length),
                along_needed_n: tool.along_n,
                strain: found.strain_peak,
                strain_limit: rules.strain_limit,
                opening_mm: found.opening_mm,
                margin: load_margin(&found, length, rules).least(hold),
            },
            grip_n: found.grip_n_per_mm.scaled(length),
            pulls_in: found.pulls_in,
        })
    };
    group.tools.iter().flat_map(|tool| [row(tool, false), row(tool, true)]).flatten().collect()
}

fn mount_fit(task: &MountTask<'_>, shape: &MountShape, margin: Margin) -> Option<FitFigures> {
    let [least, greatest] = task.estimates(shape)?;
    let length = task.length_mm;
    Some(FitFigures {
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

fn notes(spec: &Spec, fit: &[FitRow], holders: &[HolderPlan]) -> Vec<String> {
    let mut notes = vec![
        "Forces and strains are estimates by closed forms, over the least and greatest modulus and friction of the \
         material. Against a finite-element study of round clips they come within 10 % for forces, 4 % for strain and \
         13 % for grip; mounts of other shapes are not compared. Try the coupons before you trust them."
            .to_owned(),
        "Print the parts and coupons on their side, so that the layers run round the arms: across its layers a print \
         bears much less strain."
            .to_owned(),
    ];
    let pushed = |letter: &char| fit.iter().any(|row| row.letter == *letter && !row.pulls_in);
    let letters: Vec<String> = holders.iter().map(|h| h.letter).filter(pushed).map(String::from).collect();
    if !letters.is_empty() {
        notes.push(format!(
            "At the greatest friction the lips do not pull the barrel in, so it may have to be pushed home: size {}.",
            letters.join(", ")
        ));
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
