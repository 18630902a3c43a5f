//! What is left free of each keep-out, as text and in the document.

use std::fmt::Write;

use gripwright_sizing::{Approach, Design, HolderPlan, KeepOutPlan};
use serde_json::{Value, json};

/// Rows of at most 80 columns; nothing without keep-outs.
pub(crate) fn table(design: &Design) -> String {
    let mut out = String::new();
    if design.holders.iter().all(|plan| plan.keep_outs.is_empty()) {
        return out;
    }
    let _ = writeln!(
        out,
        "\nKeep-outs, mm: least free space before the web was relieved and as made\n{:<4} {:<26} {:>6} {:>8} {:<8} {:>8} {:<8}",
        "size", "keep-out", "asked", "before", "at", "made", "at"
    );
    for plan in &design.holders {
        for keep_out in &plan.keep_outs {
            let name: String = keep_out.name.chars().take(26).collect();
            let line = format!(
                "{:<4} {name:<26} {:>6.2} {:>8} {:<8} {:>8} {:<8}",
                plan.letter,
                keep_out.clearance_mm,
                hundredths(keep_out.before.distance_mm),
                keep_out.before.part.word(),
                hundredths(keep_out.after.distance_mm),
                keep_out.after.part.word(),
            );
            let _ = writeln!(out, "{}", line.trim_end());
        }
    }
    out
}

/// To a hundredth of a millimetre; what rounds to nothing has no sign.
fn hundredths(mm: f64) -> String {
    format!("{:.2}", (100.0 * mm).round() / 100.0 + 0.0)
}

/// One entry for each keep-out of a holder.
pub(crate) fn document(plan: &HolderPlan) -> Value {
    let entry = |keep_out: &KeepOutPlan| {
        json!({
            "name": keep_out.name,
            "clearance_mm": keep_out.clearance_mm,
            "web_relieved": keep_out.relieved,
            "before": approach(&keep_out.before),
            "after": approach(&keep_out.after),
        })
    };
    plan.keep_outs.iter().map(entry).collect()
}

fn approach(found: &Approach) -> Value {
    json!({ "part": found.part.word(), "distance_mm": found.distance_mm, "at_mm": found.at_mm })
}
