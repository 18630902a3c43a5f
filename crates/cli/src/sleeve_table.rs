//! Tables of the family plan and of the sleeves.

use gripwright::input::Spec;
use gripwright::sizing::{Design, FamilyPlan, Sleeve, StrategyPlan};

use crate::text_report::{
    Column::{self, Left, Right},
    TextReport, limit_words, table_row, two_digits,
};

/// Columns of the parts that each way needs; its least margin follows them.
const PLAN_COLUMNS: [Column; 4] = [Left(8), Right(8), Right(8), Right(8)];
/// Columns of the sleeves.
const SLEEVE_COLUMNS: [Column; 9] =
    [Left(6), Right(7), Right(8), Right(6), Right(6), Right(7), Right(9), Right(6), Right(8)];

/// Adds the numbers of parts that each way of serving the family needs.
pub(crate) fn family_plan_table(out: &mut TextReport, plan: &FamilyPlan) {
    out.line("\nFamily plan");
    out.line(&format!(
        "{}  least margin of the clips",
        table_row(&PLAN_COLUMNS, &["way", "holders", "sleeves", "parts"])
    ));
    out.line(&format!("{}  times", table_row(&PLAN_COLUMNS, &["", "number", "number", "number"])));
    for entry in &plan.strategies {
        plan_row(out, entry, if entry.strategy == plan.chosen { " (taken)" } else { "" });
    }
    for remark in &plan.remarks {
        out.paragraph(remark, "     ");
    }
}

fn plan_row(out: &mut TextReport, entry: &StrategyPlan, mark: &str) {
    match &entry.needs {
        Ok(needs) => {
            let margin = needs.margin.map_or("not worked out: needs more parts".to_owned(), |m| {
                format!("{:.2} by {}", m.ratio, m.limit.word())
            });
            let counts = [needs.holders, needs.sleeves, needs.holders + needs.sleeves];
            let [holders, sleeves, parts] = counts.map(|count| count.to_string());
            let cells = [entry.strategy.word().to_owned(), holders, sleeves, parts];
            out.line(&format!("{}  {margin}{mark}", table_row(&PLAN_COLUMNS, &cells)));
        }
        Err(why) => {
            out.line(&format!("{:<8} does not serve:", entry.strategy.word()));
            out.paragraph(&why.reason, "     ");
        }
    }
}

/// Adds every sleeve with its sizes and its fit on its barrels.
pub(crate) fn sleeve_table(out: &mut TextReport, spec: &Spec, design: &Design) {
    out.line("\nSleeves");
    let head = ["sleeve", "bore", "outside", "wall", "slit", "length", "slide-on", "hold", "strain"];
    out.row(&SLEEVE_COLUMNS, &head);
    out.row(&SLEEVE_COLUMNS, &["", "mm", "mm", "mm", "mm", "mm", "N", "times", "%"]);
    for sleeve in &design.sleeves {
        let ring = &sleeve.ring;
        let length = sleeve.between_mm + 2.0 * (sleeve.collar_mm + sleeve.rim_mm);
        let cells = [
            sleeve.identity.clone(),
            format!("{:.2}", 2.0 * ring.bore_radius_mm),
            format!("{:.2}", 2.0 * (ring.bore_radius_mm + ring.wall_mm)),
            format!("{:.2}", ring.wall_mm),
            format!("{:.2}", sleeve.slit_mm),
            format!("{length:.1}"),
            two_digits(sleeve.slides_n.greatest),
            two_digits(sleeve.slides_n.least / sleeve.along_needed_n),
            format!("{:.0}", 100.0 * sleeve.strain / sleeve.strain_limit),
        ];
        out.row(&SLEEVE_COLUMNS, &cells);
        out.paragraph(&sleeve_details(spec, sleeve), "     ");
    }
}

fn sleeve_details(spec: &Spec, sleeve: &Sleeve) -> String {
    let tools: Vec<&str> = sleeve.tools.iter().filter_map(|t| spec.tools.get(*t)).map(|t| t.name.as_str()).collect();
    let marked = match sleeve.marks.len() {
        0 => "no room for a mark".to_owned(),
        1 => "marked by 1 stroke".to_owned(),
        count => format!("marked by {count} strokes"),
    };
    format!(
        "for {}; {marked}; meets clip {} with {:.2} to {:.2} mm; barrel within {:.2} mm of its middle; bound by {}",
        tools.join(", "),
        sleeve.letter,
        sleeve.outside_mm.least,
        sleeve.outside_mm.greatest,
        sleeve.off_axis_mm,
        limit_words(&[sleeve.margin.limit])
    )
}
