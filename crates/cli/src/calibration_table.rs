//! Table of a calibration: results of the trials for each size, and advice on the next coupons and measurements.

use gripwright::{
    CalibrationRun, ProjectDesign,
    calibration::NextPlate,
    input::{CalibratedSize, Calibration, RecordedEstimate, coupon_identity},
    section::Mount,
};

use crate::text_report::{
    Column::{self, Left, Right},
    TextReport,
};

/// Columns of what is known before and after the trials.
const CHANGE_COLUMNS: [Column; 3] = [Left(24), Right(26), Right(27)];
const MOUNT_LETTER: char = 'M';
/// Columns of the sizes.
const SIZE_COLUMNS: [Column; 6] = [Left(4), Right(9), Right(24), Right(8), Right(18), Right(6)];

/// Returns the calibration as text. `untried` is the number of rows without an outcome; `refusal` says why the spec has no
/// design with the calibration.
pub(crate) fn calibration_table(
    design: &ProjectDesign<'_>,
    run: &CalibrationRun,
    untried: usize,
    refusal: Option<&str>,
) -> String {
    let calibration = &run.calibration;
    let mut out = TextReport::default();
    out.paragraph(&format!("Calibration of {}", design.project().spec().name), "");
    out.blank();
    out.paragraph(&sources(calibration, untried), "");
    out.blank();
    changes(&mut out, calibration);
    sizes(&mut out, calibration, &design.design().mount.mount);
    for sentence in design.person_sentences(run) {
        out.blank();
        out.paragraph(&sentence, "  ");
    }
    contradictions(&mut out, &calibration.contradictions);
    if let Some(refusal) = refusal {
        out.blank();
        out.paragraph(&format!("No design: {refusal}"), "  ");
    }
    out.blank();
    out.paragraph(&format!("Next: {}", next_coupons(calibration, &run.next)), "  ");
    if let Some(sentence) = design.next_measurement(run) {
        out.blank();
        out.paragraph(&format!("Measure: {sentence}"), "  ");
    }
    out.blank();
    out.into_text()
}

/// Names the first contradictions, and counts the others.
fn contradictions(out: &mut TextReport, all: &[String]) {
    const MOST: usize = 4;
    for sentence in all.iter().take(MOST) {
        out.blank();
        out.paragraph(&format!("Contradiction: {sentence}"), "  ");
    }
    if all.len() > MOST {
        out.blank();
        out.paragraph(&format!("And {} more rows contradict the others; `--json` lists them.", all.len() - MOST), "  ");
    }
}

fn sources(calibration: &Calibration, untried: usize) -> String {
    let files: Vec<String> =
        calibration.rounds.iter().map(|round| format!("{} ({} rows)", round.file, round.rows.len())).collect();
    let blank = match untried {
        0 => String::new(),
        1 => "; one row has no outcome yet".to_owned(),
        n => format!("; {n} rows have no outcome yet"),
    };
    format!("From {}{blank}.", files.join(", "))
}

fn changes(out: &mut TextReport, calibration: &Calibration) {
    out.row(&CHANGE_COLUMNS, &["", "before the trials", "after them"]);
    out.row(&CHANGE_COLUMNS, &["", "median (middle 90 %)", "median (middle 90 %)"]);
    for (name, change) in [
        ("bore error, mm", &calibration.bore_error),
        ("stiffness, times", &calibration.stiffness),
        ("friction", &calibration.friction),
        ("print to print, mm", &calibration.scatter),
    ] {
        let signed = name.starts_with("bore");
        out.row(
            &CHANGE_COLUMNS,
            &[name.to_owned(), estimate_text(&change.before, signed), estimate_text(&change.after, signed)],
        );
    }
}

/// The seat of the mount is shown by its width, which a calliper reads.
fn sizes(out: &mut TextReport, calibration: &Calibration, mount: &Mount) {
    out.line("\nSizes");
    out.row(&SIZE_COLUMNS, &["size", "seat", "bore error", "draw", "middle 90 %", "rows"]);
    out.row(&SIZE_COLUMNS, &["", "mm", "mm", "mm", "mm", "number"]);
    let body_mm = mount.seat_width_mm() - 2.0 * mount.gap_mm;
    for size in &calibration.sizes {
        let [from, to] = size.draw_interval90;
        let cells = [
            size.letter.to_string(),
            format!("{:.2}", if size.letter == MOUNT_LETTER { body_mm + size.seat_mm } else { size.seat_mm + 0.0 }),
            estimate_text(&size.error.after, true),
            format!("{:+.2}", size.draw_mm + 0.0),
            format!("{:+.2} to {:+.2}", hundredths(from), hundredths(to)),
            size.rows.to_string(),
        ];
        out.row(&SIZE_COLUMNS, &cells);
        out.paragraph(&hold_odds(size), "     ");
    }
}

/// Returns a sentence on the coupons that are worth printing next.
fn next_coupons(calibration: &Calibration, next: &NextPlate) -> String {
    if next.enough || next.coupons.is_empty() {
        return next.reason.trim_end_matches('.').to_owned() + ".";
    }
    let name = |size: usize| calibration.sizes.get(size).map_or('M', |s| s.letter);
    let coupons: Vec<String> = next.coupons.iter().map(|c| coupon_identity(name(c.size), c.step_mm)).collect();
    format!("{}. `gripwright coupons --next` makes {}.", next.reason.trim_end_matches('.'), coupons.join(", "))
}

/// Rounds to hundredths, without a minus before zero.
fn hundredths(mm: f64) -> f64 {
    (100.0 * mm).round() / 100.0 + 0.0
}

fn estimate_text(estimate: &RecordedEstimate, signed: bool) -> String {
    let RecordedEstimate { median, interval90: [from, to], .. } = *estimate;
    // Rounding must not leave a minus before zero.
    let [median, from, to] = [median, from, to].map(|v| (1000.0 * v).round() / 1000.0 + 0.0);
    if signed {
        format!("{median:+.3} ({from:+.3} to {to:+.3})")
    } else {
        format!("{median:.3} ({from:.3} to {to:.3})")
    }
}

fn hold_odds(size: &CalibratedSize) -> String {
    let all = size.hold_probabilities.iter().map(|held| {
        let odds = held.probability.map_or("not known".to_owned(), percent);
        format!("{} {odds}", held.tool.as_deref().unwrap_or("the body"))
    });
    format!("held well: {}", all.collect::<Vec<_>>().join(", "))
}

/// Returns a probability in percent, never as certain.
fn percent(probability: f64) -> String {
    match 100.0 * probability {
        p if p >= 99.5 => "over 99 %".to_owned(),
        p if p < 0.5 => "below 1 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}
