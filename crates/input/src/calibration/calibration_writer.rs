//! Writing of a calibration file, with comments for people.

use std::fmt::Write as _;

use crate::calibration::record::{CalibratedSize, Calibration, RecordedEstimate, RecordedUpdate, TrialRound};
use crate::trials::trial::TrialRow;

/// Returns the text of a calibration file. Equal calibrations give equal bytes.
pub fn write_calibration(calibration: &Calibration) -> String {
    let mut out = String::from(
        "# What trials of coupons taught about one printer, one material and one family of tools, with the rows it rests on.\n\
         # Written by `gripwright calibrate`, which keeps these rows when it runs again; do not edit it by hand.\n\
         # Lengths mm, forces N. An error is positive when bores come out wider than drawn.\n\nformat = 1\n",
    );
    let rows: usize = calibration.rounds.iter().map(|round| round.rows.len()).sum();
    let _ = writeln!(out, "# {rows} rows of {} trials files\n", calibration.rounds.len());
    out.push_str("# A spec that differs in one of these is refused.\n[made_for]\n");
    for origin in &calibration.made_for {
        let _ = writeln!(
            out,
            "{} = {{ digest = {}, is = {} }}",
            origin.part,
            toml_string(&origin.digest),
            toml_string(&origin.description)
        );
    }
    for (name, about, change) in [
        ("bore_error", "Error of bore that all sizes share, mm of diameter.", &calibration.bore_error),
        (
            "stiffness",
            "Factor on the printed material's modulus, against the middle of its range.",
            &calibration.stiffness,
        ),
        ("friction", "Friction of the printed material on the tools.", &calibration.friction),
        ("scatter", "Standard deviation from print to print of one seat, mm.", &calibration.scatter),
    ] {
        let _ = write!(out, "\n# {about}\n[{name}]\n{}", update_lines(change));
    }
    for size in &calibration.sizes {
        write_size(&mut out, size);
    }
    for sentence in &calibration.contradictions {
        let _ = write!(out, "\n[[contradictions]]\nsays = {}\n", toml_string(sentence));
    }
    for round in &calibration.rounds {
        write_round(&mut out, round);
    }
    out
}

fn write_size(out: &mut String, size: &CalibratedSize) {
    let _ = write!(
        out,
        "\n[[sizes]]\nsize = {}\nseat = {}\nform = \"{}\"\ndraw = {}\ndraw_90 = [{}, {}]\ntarget = {}\nrows = {}\n",
        toml_string(&size.letter.to_string()),
        four_decimals(size.seat_mm),
        if size.round { "round" } else { "other" },
        four_decimals(size.draw_mm),
        four_decimals(size.draw_interval90[0]),
        four_decimals(size.draw_interval90[1]),
        four_decimals(size.target_mm),
        size.rows,
    );
    let held = size.hold_probabilities.iter().map(|held| {
        let tool = held.tool.as_ref().map(|tool| format!("tool = {}", toml_string(tool)));
        let known = held.probability.map(|p| format!("probability = {}", four_decimals(p)));
        let cells: Vec<String> = tool.into_iter().chain(known).collect();
        format!("  {{ {} }},\n", cells.join(", "))
    });
    let _ = writeln!(out, "held = [\n{}]", held.collect::<String>());
    let _ = write!(out, "[sizes.error]\n{}", update_lines(&size.error));
}

fn write_round(out: &mut String, round: &TrialRound) {
    let _ = write!(out, "\n[[rounds]]\nfile = {}\ntrials = [\n", toml_string(&round.file));
    for row in &round.rows {
        let _ = writeln!(out, "  {{ {} }},", trial_cells(row));
    }
    out.push_str("]\n");
}

fn update_lines(change: &RecordedUpdate) -> String {
    let known = |known: &RecordedEstimate| {
        let [from, to] = known.interval90.map(four_decimals);
        format!(
            "{{ median = {}, from = {from}, to = {to}, sd = {} }}",
            four_decimals(known.median),
            four_decimals(known.sd)
        )
    };
    format!("before = {}\nafter = {}\n", known(&change.before), known(&change.after))
}

fn trial_cells(row: &TrialRow) -> String {
    let mut cells = vec![format!("coupon = {}", toml_string(&coupon_identity(row.letter, row.step_mm)))];
    cells.extend(row.tool.as_ref().map(|tool| format!("tool = {}", toml_string(tool))));
    cells.push(format!("outcome = \"{}\"", row.outcome.word()));
    let (drag_n, load_n) = (row.drag.map(|d| d.force_n), row.drag.map(|d| d.load_n));
    for (key, value, unit) in [
        ("pull", row.pull_n, "N"),
        ("slide", row.slide_n, "N"),
        ("drag", drag_n, "N"),
        ("load", load_n, "N"),
        ("bore", row.bore_mm, "mm"),
    ] {
        // All digits are written, so that a row that is read again equals the row that was written.
        cells.extend(value.map(|value| format!("{key} = \"{value} {unit}\"")));
    }
    if !row.note.is_empty() {
        cells.push(format!("note = {}", toml_string(&row.note)));
    }
    cells.join(", ")
}

/// Returns the identity that is engraved on a coupon: letter and signed step, with one to three decimals as needed.
pub fn coupon_identity(letter: char, step_mm: f64) -> String {
    format!("{letter}{}", signed_step(step_mm))
}

/// Returns a step with its sign and one to three decimals as needed, as it is engraved.
pub fn signed_step(step_mm: f64) -> String {
    let whole = |factor: f64| ((step_mm * factor) - (step_mm * factor).round()).abs() < 1e-6;
    // Adding zero turns minus zero into zero.
    let step = step_mm + 0.0;
    if whole(10.0) {
        format!("{step:+.1}")
    } else if whole(100.0) {
        format!("{step:+.2}")
    } else {
        format!("{step:+.3}")
    }
}

/// Formats a value with four decimals: a tenth of a micrometre, which is finer than any trial resolves.
fn four_decimals(value: f64) -> String {
    let text = format!("{:.4}", value + 0.0);
    // Rounding can leave a minus sign before zero.
    if text == "-0.0000" { "0.0000".to_owned() } else { text }
}

/// Returns a text as a quoted TOML string.
fn toml_string(text: &str) -> String {
    let mut out = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            letter if letter.is_control() => {
                let _ = write!(out, "\\u{:04x}", u32::from(letter));
            }
            letter => out.push(letter),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::coupon_identity;

    #[test]
    fn identities_show_the_step() {
        for (step, expected) in
            [(-0.2, "A-0.2"), (0.0, "A+0.0"), (-0.0, "A+0.0"), (0.1, "A+0.1"), (0.05, "A+0.05"), (-0.125, "A-0.125")]
        {
            assert_eq!(coupon_identity('A', step), expected);
        }
    }
}
