//! Contradictions between trials in words.

use gripwright_calibration::{Contradiction, DoubtfulPart};
use gripwright_input::{Drag, TrialRound, TrialRow, coupon_identity};

use crate::read_limits::MOST_NAMED_ROWS;

/// Describes a contradiction by naming its rows, so that nobody has to count lines.
pub(crate) fn describe_contradiction(contradiction: &Contradiction, rounds: &[TrialRound]) -> String {
    let rows: Vec<(&str, &TrialRow)> =
        rounds.iter().flat_map(|round| round.rows.iter().map(|row| (round.file.as_str(), row))).collect();
    let named = contradiction.lines.iter().filter_map(|line| rows.get(line.checked_sub(1)?)).map(|(file, row)| {
        let with = row.tool.as_deref().unwrap_or("the body");
        let coupon = coupon_identity(row.letter, row.step_mm);
        match contradiction.part {
            DoubtfulPart::Outcome => format!("{coupon} with {with}, \"{}\" ({file})", row.outcome.word()),
            DoubtfulPart::Drag(Drag { force_n, load_n }) => {
                format!("the drag of {force_n:.1} N under {load_n:.1} N beside {coupon} ({file})")
            }
        }
    });
    let count = named.clone().count();
    let mut named: Vec<String> = named.take(MOST_NAMED_ROWS).collect();
    if count > MOST_NAMED_ROWS {
        named.push(format!("{} more rows", count - MOST_NAMED_ROWS));
    }
    let drag = matches!(contradiction.part, DoubtfulPart::Drag(_));
    let against = match named.split_first() {
        Some((first, [])) if drag => format!("{first} does not go with the other rows"),
        Some((first, [])) => format!("{first}, does not go with the other rows"),
        Some((first, rest)) => format!("{first}, stands against {}", rest.join(" and ")),
        None => "some rows do not go together".to_owned(),
    };
    if drag {
        return format!(
            "{against}. A slip of the pen, a wrong load or another face would explain it; it counts for little."
        );
    }
    format!("{against}. A bad print, a wrong tool or a slip of the pen would explain it; its word counts for little.")
}
