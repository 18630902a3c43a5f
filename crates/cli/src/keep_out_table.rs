//! Table of the free space at keep-outs.

use gripwright::sizing::Design;

use crate::text_report::{
    Column::{self, Left, Right},
    TextReport,
};

/// Columns of the table.
const COLUMNS: [Column; 7] = [Left(4), Left(NAME_WIDTH), Right(6), Right(8), Left(8), Right(8), Left(8)];
/// Longest name of a keep-out that is shown whole.
const NAME_WIDTH: usize = 26;

/// Adds the least free space at each keep-out, before and after the web was relieved; nothing without keep-outs.
pub(crate) fn keep_out_table(out: &mut TextReport, design: &Design) {
    if design.holders.iter().all(|plan| plan.keep_outs.is_empty()) {
        return;
    }
    out.line("\nKeep-outs: least free space before the web was relieved and as made");
    out.row(&COLUMNS, &["size", "keep-out", "asked", "before", "at", "made", "at"]);
    out.row(&COLUMNS, &["", "", "mm", "mm", "", "mm", ""]);
    for plan in &design.holders {
        for keep_out in &plan.keep_outs {
            let cells = [
                plan.letter.to_string(),
                keep_out.name.chars().take(NAME_WIDTH).collect(),
                format!("{:.2}", keep_out.clearance_mm),
                hundredths(keep_out.before.distance_mm),
                keep_out.before.part.word(),
                hundredths(keep_out.after.distance_mm),
                keep_out.after.part.word(),
            ];
            out.row(&COLUMNS, &cells);
        }
    }
}

/// Returns hundredths of a millimetre; zero has no sign.
fn hundredths(mm: f64) -> String {
    format!("{:.2}", (100.0 * mm).round() / 100.0 + 0.0)
}
