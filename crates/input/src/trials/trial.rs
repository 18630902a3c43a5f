//! Trials of coupons as values.

use crate::text::diagnostic::Diagnostic;

/// What happened when a coupon was tried, from the loosest to the tightest; a crack stands apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum TrialOutcome {
    /// It does not bear the slice's share of the tool's weight.
    FellOut,
    /// It bears the weight and less than what is asked of the slice.
    Loose,
    /// It holds as asked and goes on by the allowed push.
    Good,
    /// It goes on by more than the allowed push.
    Tight,
    /// It does not go on by hand.
    WouldNotGo,
    /// The coupon cracked on the way in or out.
    Cracked,
}

impl TrialOutcome {
    /// All of them, from loose to tight.
    pub const ALL: [Self; 6] = [Self::FellOut, Self::Loose, Self::Good, Self::Tight, Self::WouldNotGo, Self::Cracked];

    /// Its word in files.
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

/// One size, or the mount, of which coupons can be: what a row is held against.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialTarget {
    /// Letter of the size, or M.
    pub letter: char,
    /// Diameter of its seat as it was designed, mm; absent where nothing round can be measured.
    pub seat_mm: Option<f64>,
    /// The tools that it is meant for; none for the mount, which is tried on the body.
    pub tools: Vec<String>,
}

/// A barrel dragged along its axis over a flat wall of the print: a measure of friction alone, which nothing that is
/// snapped or squeezed gives. The principle is that of the sled of ISO 8295 and ASTM D1894, which are for film and
/// sheeting: from memory.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drag {
    /// Force along the axis, N.
    pub force_n: f64,
    /// Whole weight that presses, N.
    pub load_n: f64,
}

/// One coupon tried once.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialRow {
    /// Letter of the size, or M.
    pub letter: char,
    /// How far its seat was drawn wider than designed, mm.
    pub step_mm: f64,
    /// Name of the tool, as in the spec; absent for the mount.
    pub tool: Option<String>,
    /// What happened.
    pub outcome: TrialOutcome,
    /// Force that pulled it out through the mouth, N.
    pub pull_n: Option<f64>,
    /// Force that slid it along the axis, N.
    pub slide_n: Option<f64>,
    /// Its barrel dragged over the print.
    pub drag: Option<Drag>,
    /// Measured diameter of the coupon's seat, mm.
    pub bore_mm: Option<f64>,
    /// What else was written.
    pub note: String,
    /// Line in the file.
    pub line: usize,
}

/// What a trials file says.
#[derive(Clone, Debug, PartialEq)]
pub struct Trials {
    /// The coupons that were tried, in the order of the file.
    pub rows: Vec<TrialRow>,
    /// How many rows have no outcome yet.
    pub untried: usize,
    /// What may not be meant as it is written.
    pub warnings: Vec<Diagnostic>,
}

/// Rows in an order of their own, whatever order they were written in.
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
