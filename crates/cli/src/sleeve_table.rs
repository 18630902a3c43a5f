//! The family plan and the sleeves as text.

use std::fmt::Write;

use gripwright_input::Spec;
use gripwright_sizing::{Design, FamilyPlan, Sleeve, WayPlan};

use crate::fit_table::{bound_by, short, wrapped};

/// How many parts each way needs, and which is taken.
pub(crate) fn family_plan(out: &mut String, plan: &FamilyPlan) {
    out.push_str("\nFamily plan\n");
    let _ = writeln!(out, "{:<8} {:>8} {:>8} {:>8}  least margin", "way", "holders", "sleeves", "parts");
    for way in &plan.ways {
        let mark = if way.way == plan.taken { " (taken)" } else { "" };
        let line = line(way, mark);
        let mut lines = line.split('\n');
        let _ = writeln!(out, "{}", lines.next().unwrap_or("").trim_end());
        for rest in lines {
            let _ = writeln!(out, "{rest}");
        }
    }
    for remark in &plan.remarks {
        let _ = writeln!(out, "{}", wrapped(remark, "     "));
    }
}

fn line(way: &WayPlan, mark: &str) -> String {
    match &way.needs {
        Ok(needs) => {
            let margin = needs.margin.map_or("not worked out: needs more parts".to_owned(), |m| {
                format!("{:.2} by {}", m.ratio, m.limit.word())
            });
            format!(
                "{:<8} {:>8} {:>8} {:>8}  {margin}{mark}",
                way.way.word(),
                needs.holders,
                needs.sleeves,
                needs.holders + needs.sleeves
            )
        }
        Err(why) => format!("{:<8} does not serve:\n{}", way.way.word(), wrapped(why, "     ")),
    }
}

/// Every sleeve with its sizes and how it sits on its barrels.
pub(crate) fn sleeves(out: &mut String, spec: &Spec, design: &Design) {
    out.push_str("\nSleeves\n");
    let _ = writeln!(
        out,
        "{:<6} {:>7} {:>8} {:>6} {:>6} {:>7} {:>9} {:>6} {:>8}",
        "sleeve", "bore", "outside", "wall", "slit", "length", "slide-on", "hold", "strain %"
    );
    for sleeve in &design.sleeves {
        let ring = &sleeve.ring;
        let length = sleeve.between_mm + 2.0 * (sleeve.collar_mm + sleeve.rim_mm);
        let _ = writeln!(
            out,
            "{:<6} {:>7.2} {:>8.2} {:>6.2} {:>6.2} {length:>7.1} {:>9} {:>6} {:>8.0}",
            sleeve.identity,
            2.0 * ring.bore_radius_mm,
            2.0 * (ring.bore_radius_mm + ring.wall_mm),
            ring.wall_mm,
            sleeve.slit_mm,
            short(sleeve.slides_n.greatest),
            short(sleeve.slides_n.least / sleeve.along_needed_n),
            100.0 * sleeve.strain / sleeve.strain_limit,
        );
        let _ = writeln!(out, "{}", wrapped(&about(spec, sleeve), "     "));
    }
}

fn about(spec: &Spec, sleeve: &Sleeve) -> String {
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
        sleeve.outside_mm[0],
        sleeve.outside_mm[1],
        sleeve.off_axis_mm,
        bound_by(&[sleeve.margin.limit])
    )
}
