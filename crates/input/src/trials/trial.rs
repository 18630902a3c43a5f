//! Trials of coupons as checked values.

use crate::text::diagnostic::Diagnostic;

/// Outcome of a coupon trial, from the loosest to the tightest, and a crack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum TrialOutcome {
    /// The coupon does not carry its share of the tool's weight.
    FellOut,
    /// The coupon carries the weight, but less than its share of the required hold.
    Loose,
    /// The coupon has the required hold and snaps on with the allowed push.
    Good,
    /// The coupon needs more than the allowed push to snap on.
    Tight,
    /// The coupon cannot be pushed on by hand.
    WouldNotGo,
    /// The coupon cracked on the way in or out.
    Cracked,
}

impl TrialOutcome {
    /// All outcomes, from loose to tight.
    pub const ALL: [Self; 6] = [Self::FellOut, Self::Loose, Self::Good, Self::Tight, Self::WouldNotGo, Self::Cracked];

    /// Returns the word in files.
    pub fn word(self) -> &'static str {
        match self {
            Self::FellOut => "fell-out",
            Self::Loose => "loose",
            Self::Good => "good",
            Self::Tight => "tight",
            Self::WouldNotGo => "would-not-go",
            Self::Cracked => "cracked",
        }
    }
}

/// One clip size, or the mount, whose coupons can appear in a trials file. Rows are checked against it.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialTarget {
    /// Letter of the size, or M.
    pub letter: char,
    /// Designed diameter of its seat, mm; absent if the seat is not round and cannot be measured.
    pub seat_mm: Option<f64>,
    /// Names of its tools; empty for the mount, which is tried on the body.
    pub tools: Vec<String>,
}

/// Drag test: a barrel dragged along its axis over a flat wall of the print.
///
/// It measures friction alone, which no snapped or squeezed coupon does. The principle is that of the sled of ISO 8295 and
/// ASTM D1894, which are for film and sheeting: from memory.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drag {
    /// Force along the axis, N.
    pub force_n: f64,
    /// Total weight that presses on the wall, N.
    pub load_n: f64,
}

/// One trial of one coupon.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialRow {
    /// Letter of the size, or M.
    pub letter: char,
    /// Step of the coupon: drawn seat minus designed seat, mm.
    pub step_mm: f64,
    /// Name of the tool, as in the spec; absent for the mount.
    pub tool: Option<String>,
    /// Outcome.
    pub outcome: TrialOutcome,
    /// Force that pulled it out through the mouth, N.
    pub pull_n: Option<f64>,
    /// Force that slid it along the axis, N.
    pub slide_n: Option<f64>,
    /// Drag test of its barrel on the print.
    pub drag: Option<Drag>,
    /// Measured diameter of the coupon's seat, mm.
    pub bore_mm: Option<f64>,
    /// Note of the user.
    pub note: String,
    /// Line in the file.
    pub line: usize,
}

/// Content of a trials file.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Trials {
    /// Trials with an outcome, in the order of the file.
    pub rows: Vec<TrialRow>,
    /// Number of rows without an outcome.
    pub untried: usize,
    /// Warnings: values that are probably not meant as written.
    pub warnings: Vec<Diagnostic>,
}

/// Sorts rows by their content, so that the result does not depend on the order in the file.
pub fn sort_trials(rows: &mut [TrialRow]) {
    let key = |row: &TrialRow| {
        let force = |value: Option<f64>| value.map_or(-1.0, |v| v);
        (
            row.letter,
            row.step_mm,
            row.tool.clone(),
            row.outcome,
            [
                force(row.pull_n),
                force(row.slide_n),
                force(row.drag.map(|d| d.force_n)),
                force(row.drag.map(|d| d.load_n)),
                force(row.bore_mm),
            ],
            row.note.clone(),
        )
    };
    rows.sort_by(|a, b| {
        let (a, b) = (key(a), key(b));
        (a.0.cmp(&b.0))
            .then(a.1.total_cmp(&b.1))
            .then(a.2.cmp(&b.2))
            .then(a.3.cmp(&b.3))
            .then_with(|| {
                a.4.iter()
                    .zip(&b.4)
                    .map(|(x, y)| x.total_cmp(y))
                    .find(|o| o.is_ne())
                    .unwrap_or(std::cmp::Ordering::Equal)
            })
            .then(a.5.cmp(&b.5))
    });
}
