//! Pieces of steps: quantities, clock times and ranges in words.

use gripwright_report::{BenchStep, Quantity};

use crate::bench_cautions::{BenchCaution, CautionedStep};

/// A step without quantities and clock.
pub(super) fn step(name: &str, doing: Vec<String>, checks: &[&str], cautions: &[BenchCaution]) -> CautionedStep {
    let checks = checks.iter().map(|&check| check.to_owned()).collect();
    let step = BenchStep { name: name.to_owned(), doing, checks, ..BenchStep::default() };
    CautionedStep { step, cautions: cautions.to_vec() }
}

pub(super) fn quantity(name: impl Into<String>, value: impl Into<String>, unit: &str) -> Quantity {
    Quantity { name: name.into(), value: value.into(), unit: unit.to_owned(), noted: false }
}

/// A quantity beside which the reader writes what was weighed or measured.
pub(super) fn noted(name: impl Into<String>, value: impl Into<String>, unit: &str) -> Quantity {
    Quantity { noted: true, ..quantity(name, value, unit) }
}

/// Masses of both parts of a batch and their sum, as fine as the scale reads.
pub(super) fn masses(parts_g: [f64; 2], scale_step_g: f64) -> Vec<Quantity> {
    let decimals = if scale_step_g < 0.1 { 2 } else { usize::from(scale_step_g < 1.0) };
    let grams = |mass: f64| format!("{mass:.decimals$}");
    vec![
        noted("Part A", grams(parts_g[0]), "g"),
        noted("Part B", grams(parts_g[1]), "g"),
        quantity("Both together", grams(parts_g[0] + parts_g[1]), "g"),
    ]
}

/// Text of a moment or a duration in minutes, as minutes and seconds.
pub(super) fn clock(minutes: f64) -> String {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a moment of a working day")]
    let seconds = (60.0 * minutes.max(0.0) + 1e-6) as u64;
    format!("{}:{:02} min", seconds / 60, seconds % 60)
}

/// Text of a range with its unit; one figure if both ends print alike.
pub(super) fn range(ends: [f64; 2], unit: &str) -> String {
    let [least, greatest] = ends.map(|end| format!("{end:.0}"));
    if least == greatest { format!("{least} {unit}") } else { format!("{least} to {greatest} {unit}") }
}

pub(super) fn hours(hours: f64) -> String {
    if hours >= 48.0 { format!("{:.0} days", hours / 24.0) } else { format!("{hours:.0} h") }
}

pub(super) fn counted(count: u32, noun: &str) -> String {
    if count == 1 { format!("1 {noun}") } else { format!("{count} {noun}s") }
}

/// The text with a capital at the front and a full stop at the end.
pub(super) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first: String = letters.next().map(|letter| letter.to_uppercase().collect()).unwrap_or_default();
    let stop = if text.ends_with(['.', '!']) { "" } else { "." };
    format!("{first}{}{stop}", letters.as_str())
}
