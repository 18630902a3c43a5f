//! A calibration as text for people, at most 80 columns wide, and as a document for machines.

use std::{fmt::Write, path::PathBuf};

use gripwright_calibration::NextPlate;
use gripwright_input::{CalibratedSize, Calibration, Change, Known, Spec, coupon_identity};
use serde_json::{Value, json};

use crate::fit_table::wrapped;

/// What the trials taught, size by size, what is worth printing next and, if anything, what to measure.
pub(crate) fn table(
    spec: &Spec,
    calibration: &Calibration,
    (next, measure): (&NextPlate, Option<String>),
    untried: usize,
) -> String {
    let mut out = format!("{}\n\n", wrapped(&format!("Calibration of {}", spec.name), ""));
    let files: Vec<String> =
        calibration.rounds.iter().map(|round| format!("{} ({} rows)", round.file, round.rows.len())).collect();
    let blank = match untried {
        0 => String::new(),
        1 => "; one row has no outcome yet".to_owned(),
        n => format!("; {n} rows have no outcome yet"),
    };
    out.push_str(&wrapped(&format!("From {}{blank}.", files.join(", ")), ""));
    let _ = write!(out, "\n\n{:<24} {:>26}  {:>26}\n", "", "before the trials", "after them");
    let _ = writeln!(out, "{:<24} {:>26}  {:>26}", "", "median (middle 90 %)", "median (middle 90 %)");
    for (name, change) in [
        ("bore error, mm", &calibration.bore_error),
        ("stiffness, times", &calibration.stiffness),
        ("friction", &calibration.friction),
        ("print to print, mm", &calibration.scatter),
    ] {
        let signed = name.starts_with("bore");
        let _ = writeln!(out, "{name:<24} {:>26}  {:>26}", known(&change.before, signed), known(&change.after, signed));
    }
    out.push_str("\nSizes\n");
    let _ = writeln!(
        out,
        "{:<4} {:>9} {:>24} {:>8} {:>18} {:>6}",
        "size", "seat, mm", "bore error, mm", "draw", "middle 90 %", "rows"
    );
    for size in &calibration.sizes {
        let [from, to] = size.draw_interval90;
        let _ = writeln!(
            out,
            "{:<4} {:>9.2} {:>24} {:>+8.2} {:>18} {:>6}",
            size.letter,
            size.seat_mm + 0.0,
            known(&size.error.after, true),
            size.draw_mm + 0.0,
            format!("{:+.2} to {:+.2}", cents(from), cents(to)),
            size.rows,
        );
        let _ = writeln!(out, "{}", wrapped(&held(size), "     "));
    }
    for sentence in &calibration.contradictions {
        let _ = write!(out, "\n{}\n", wrapped(&format!("Contradiction: {sentence}"), "  "));
    }
    let _ = write!(out, "\n{}\n", wrapped(&format!("Next: {}", what_next(calibration, next)), "  "));
    if let Some(measure) = measure {
        let _ = write!(out, "\n{}\n", wrapped(&format!("Measure: {measure}"), "  "));
    }
    out.push('\n');
    out
}

/// What is worth printing, in a sentence.
pub(crate) fn what_next(calibration: &Calibration, next: &NextPlate) -> String {
    if next.enough || next.coupons.is_empty() {
        return next.why.trim_end_matches('.').to_owned() + ".";
    }
    let name = |size: usize| calibration.sizes.get(size).map_or('M', |s| s.letter);
    let coupons: Vec<String> = next.coupons.iter().map(|c| coupon_identity(name(c.size), c.step_mm)).collect();
    format!("{}. `gripwright coupons --next` makes {}.", next.why.trim_end_matches('.'), coupons.join(", "))
}

/// Hundredths, without a minus before nothing.
fn cents(mm: f64) -> f64 {
    (100.0 * mm).round() / 100.0 + 0.0
}

fn known(known: &Known, signed: bool) -> String {
    let Known { median, interval90: [from, to], .. } = *known;
    // Rounding must not leave a minus before nothing.
    let [median, from, to] = [median, from, to].map(|v| (1000.0 * v).round() / 1000.0 + 0.0);
    if signed {
        format!("{median:+.3} ({from:+.3} to {to:+.3})")
    } else {
        format!("{median:.3} ({from:.3} to {to:.3})")
    }
}

fn held(size: &CalibratedSize) -> String {
    let all = size.held.iter().map(|(tool, p)| {
        let odds = p.map_or("not known".to_owned(), percent);
        format!("{} {odds}", tool.as_deref().unwrap_or("the body"))
    });
    format!("held well: {}", all.collect::<Vec<_>>().join(", "))
}

/// A probability as far as it deserves digits: nothing is certain.
fn percent(probability: f64) -> String {
    match 100.0 * probability {
        p if p >= 99.5 => "over 99 %".to_owned(),
        p if p < 0.5 => "below 1 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}

/// The same for machines.
pub(crate) fn document(
    spec: &Spec,
    calibration: &Calibration,
    (next, measure): (&NextPlate, Value),
    files: &[PathBuf],
) -> Value {
    let size = |size: &CalibratedSize| {
        json!({
            "size": size.letter,
            "seat_mm": size.seat_mm,
            "error_mm": change(&size.error),
            "draw_mm": size.draw_mm,
            "draw_90_mm": size.draw_interval90,
            "target_mm": size.target_mm,
            "rows": size.rows,
            "held": size.held.iter().map(|(tool, p)| json!({ "tool": tool, "probability": p })).collect::<Vec<_>>(),
        })
    };
    json!({
        "done": true,
        "exit_code": 0,
        "made_by": concat!("gripwright ", env!("CARGO_PKG_VERSION")),
        "name": spec.name,
        "bore_error_mm": change(&calibration.bore_error),
        "stiffness": change(&calibration.stiffness),
        "friction": change(&calibration.friction),
        "scatter_mm": change(&calibration.scatter),
        "sizes": calibration.sizes.iter().map(size).collect::<Vec<_>>(),
        "contradictions": calibration.contradictions,
        "rows": calibration.rounds.iter().map(|r| r.rows.len()).sum::<usize>(),
        "rounds": calibration.rounds.iter().map(|r| json!({ "file": r.file, "rows": r.rows.len() })).collect::<Vec<_>>(),
        "next": plate(calibration, next),
        "measure": measure,
        "files": files.iter().map(|f| json!({ "path": f.display().to_string() })).collect::<Vec<_>>(),
    })
}

/// What is worth printing next, for machines.
pub(crate) fn plate(calibration: &Calibration, next: &NextPlate) -> Value {
    let letter = |size: usize| calibration.sizes.get(size).map_or('M', |s| s.letter);
    plate_of(&letter, next)
}

/// The same with letters from elsewhere.
pub(crate) fn plate_of(letter: &dyn Fn(usize) -> char, next: &NextPlate) -> Value {
    let coupons = next.coupons.iter().map(|c| {
        json!({ "coupon": coupon_identity(letter(c.size), c.step_mm), "size": letter(c.size), "step_mm": c.step_mm, "gain": c.gain })
    });
    json!({ "enough": next.enough, "why": next.why, "coupons": coupons.collect::<Vec<_>>() })
}

fn change(change: &Change) -> Value {
    let known = |k: &Known| json!({ "median": k.median, "middle_90": k.interval90, "sd": k.sd });
    json!({ "before": known(&change.before), "after": known(&change.after) })
}
