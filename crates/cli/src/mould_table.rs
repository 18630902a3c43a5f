//! Mould of a cast part as text for the terminal: sizes, vents, release, box, quantities, clock.

use gripwright::{MouldPlan, ProjectDesign, casting::PourStep, input::Parting};

use crate::text_report::{
    Column::{self, Left, Right},
    TextReport,
};

const SIZE_COLUMNS: [Column; 5] = [Left(26), Right(10), Right(10), Right(10), Right(10)];
const MASTER_COLUMNS: [Column; 5] = [Left(12), Right(7), Right(7), Right(12), Right(12)];

/// Returns the plan of a mould as text.
pub(crate) fn mould_table(design: &ProjectDesign<'_>, plan: &MouldPlan) -> String {
    let mut out = TextReport::default();
    out.paragraph(&headline(design, plan), "");
    out.blank();
    sizes(&mut out, design, plan);
    masters(&mut out, plan);
    quantities(&mut out, plan);
    out.into_text()
}

fn headline(design: &ProjectDesign<'_>, plan: &MouldPlan) -> String {
    let parting = match plan.parting {
        Parting::End => "parts at the lower end, where holder and lid meet",
        Parting::Cut => "is one block, cut open by knife",
        Parting::Middle => "parts in the middle of the holders",
    };
    let size = plan.box_size();
    let [width, depth] = size.outer_mm;
    format!(
        "{}: the mould {parting}. It casts {} and {} at a time, in a printed box of {width:.0} × {depth:.0} mm, {:.0} mm high.",
        design.project().spec().name,
        counted(plan.holders(), "holder"),
        counted(plan.slices(), "slice"),
        size.height_mm
    )
}

/// Sizes on their way from the master to the casting.
fn sizes(out: &mut TextReport, design: &ProjectDesign<'_>, plan: &MouldPlan) {
    out.row(&SIZE_COLUMNS, &["size, mm", "wanted", "drawn", "cast", "± (95 %)"]);
    for row in plan.sizes(design.design()) {
        out.row(
            &SIZE_COLUMNS,
            &[
                row.name,
                format!("{:.3}", row.wanted_mm),
                format!("{:.3}", row.drawn_mm),
                format!("{:.3}", row.cast_mm),
                format!("{:.3}", 2.0 * row.cast_sd_mm),
            ],
        );
    }
    if !plan.settings.learnt {
        out.blank();
        out.paragraph(
            "The shrinkage is that of a class. Measure the first casting, and give what it shrank as `net_shrinkage` under \
             [casting.resin]: the master is then drawn for it. Until then the odds count at least 0.08 mm of spread for a seat.",
            "",
        );
    }
    out.blank();
}

fn masters(out: &mut TextReport, plan: &MouldPlan) {
    out.row(&MASTER_COLUMNS, &["master", "count", "vents", "air left", "thinnest fin"]);
    for ((master, vents), release) in plan.masters.iter().zip(&plan.vents).zip(&plan.releases) {
        let left = vents.pockets_left.iter().map(|pocket| pocket.volume_mm3).fold(0.0, |sum, volume| sum + volume);
        let fin =
            release.findings.fin.map_or_else(|| "over 3 mm".to_owned(), |fin| format!("{:.1} mm", fin.thickness_mm));
        let cells = [
            master.name.clone(),
            master.count.to_string(),
            vents.vents.len().to_string(),
            format!("{left:.0} mm³"),
            fin,
        ];
        out.row(&MASTER_COLUMNS, &cells);
    }
    out.blank();
    for (master, release) in plan.masters.iter().zip(&plan.releases) {
        let strain = release.strain_text();
        if release.verdict.concerns().is_empty() && strain.is_none() {
            continue;
        }
        let strain = strain.map_or(String::new(), |text| format!(" {text}"));
        out.paragraph(&format!("{} {}.{strain}", master.name, release.verdict), "");
        out.blank();
    }
}

fn quantities(out: &mut TextReport, plan: &MouldPlan) {
    let found = &plan.quantities;
    let [a, b] = found.resin.parts_g;
    for (k, rubber) in found.rubber.iter().enumerate() {
        let [first, second] = rubber.batch.parts_g;
        let which = if found.rubber.len() == 1 { "the block" } else { ["the first half", "the lid"][k.min(1)] };
        out.line(&format!("Silicone for {which}: {first:.1} + {second:.1} g for {:.0} cm³", 1e-3 * rubber.volume_mm3));
    }
    let batches = found.batches_per_shot;
    let times = if batches == 1 { String::new() } else { format!("{batches} cups of ") };
    out.paragraph(
        &format!(
            "Resin for one shot: {times}{a:.1} + {b:.1} g for {:.1} cm³; the ratio is off by {:.1} % at most",
            1e-3 * found.resin_mm3,
            100.0 * found.resin.ratio_error
        ),
        "",
    );
    out.line(&format!(
        "For {} of each holder: {} in {}",
        counted(plan.settings.copies as usize, "casting"),
        counted(found.run.shots as usize, "shot"),
        counted(found.run.moulds as usize, "mould")
    ));
    let steps: Vec<String> = found.clock.steps.iter().map(|step| moment(step.step, step.done_by_min)).collect();
    out.paragraph(
        &format!(
            "Clock, after the components meet: {}. That is two thirds of a pot life of {:.1} min.",
            steps.join(", "),
            plan.settings.resin.pot_life_min
        ),
        "",
    );
    if plan.settings.vessel.is_none() {
        out.paragraph(
            "No pressure vessel: expect bubbles at lips and flexures and more rejects. Take a thin resin with a long pot life, \
             brush the cavity first, pour slowly from one side and tilt the mould.",
            "",
        );
    }
    out.blank();
}

fn moment(step: PourStep, done_by_min: f64) -> String {
    let seconds = (60.0 * done_by_min).floor();
    format!("{} by {:.0}:{:02.0}", done(step), (seconds / 60.0).floor(), seconds % 60.0)
}

fn done(step: PourStep) -> &'static str {
    match step {
        PourStep::Mix => "mixed",
        PourStep::Degas => "degassed",
        PourStep::Pour => "poured",
        PourStep::Close => "closed",
        PourStep::Press => "under pressure",
    }
}

fn counted(count: usize, noun: &str) -> String {
    if count == 1 { format!("1 {noun}") } else { format!("{count} {noun}s") }
}
