//! What a calibration file holds, as values.

use crate::text::source::Source;
use crate::trials::trial::TrialRow;

/// What trials taught, and all that it rests on. Lengths mm, forces N.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibration {
    /// What it was made for.
    pub made_for: Vec<CalibrationOrigin>,
    /// Error of bore that all sizes share, mm of diameter, positive when bores come out wider than drawn.
    pub bore_error: RecordedUpdate,
    /// Factor on the printed material's modulus against the geometric mean of its range.
    pub stiffness: RecordedUpdate,
    /// Friction.
    pub friction: RecordedUpdate,
    /// Standard deviation from print to print of one seat, mm.
    pub scatter: RecordedUpdate,
    /// The sizes, then the mount.
    pub sizes: Vec<CalibratedSize>,
    /// What does not go together, in plain sentences.
    pub contradictions: Vec<String>,
    /// The rows that it rests on, by file.
    pub rounds: Vec<TrialRound>,
}

/// One part of what a calibration was made for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CalibrationOrigin {
    /// Which part, such as `tools`.
    pub part: &'static str,
    /// What it is, for people.
    pub description: String,
    /// Digest of all that counts of it.
    pub digest: String,
}

/// The parts of a spec that a calibration is held against.
pub const ORIGIN_PARTS: [&str; 5] = ["body", "tools", "material", "printer", "coupons"];

/// What is known of one number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RecordedEstimate {
    /// As probably above as below.
    pub median: f64,
    /// The middle 90 %.
    pub interval90: [f64; 2],
    /// Standard deviation.
    pub sd: f64,
}

/// What was known of one number before and after the trials.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RecordedUpdate {
    /// Before the first trial.
    pub before: RecordedEstimate,
    /// After all of them.
    pub after: RecordedEstimate,
}

/// What is known of one size, or of the mount.
#[derive(Clone, Debug, PartialEq)]
pub struct CalibratedSize {
    /// Its letter; M for the mount.
    pub letter: char,
    /// Diameter of its seat as designed (of the barrel from which on a vee grips), or clearance of the mount counted over
    /// both sides, mm.
    pub seat_mm: f64,
    /// Whether the seat is round.
    pub round: bool,
    /// Its whole error of bore, mm.
    pub error: RecordedUpdate,
    /// By how much the seat should be drawn wider than designed, mm, on the grid of what is engraved.
    pub draw_mm: f64,
    /// The middle 90 % of that, mm.
    pub draw_interval90: [f64; 2],
    /// How far the printed seat should differ from the designed one, mm.
    pub target_mm: f64,
    /// The tools (none for the mount) and the probability that a part so drawn holds each of them well, where it is known.
    pub hold_probabilities: Vec<HoldProbability>,
    /// How many rows tried it.
    pub rows: usize,
}

/// Probability that a part, drawn as its calibration asks, holds one tool well.
#[derive(Clone, Debug, PartialEq)]
pub struct HoldProbability {
    /// Name of the tool; absent for the mount, which holds the body.
    pub tool: Option<String>,
    /// The probability; absent where it is not known.
    pub probability: Option<f64>,
}

/// The rows of one trials file.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialRound {
    /// Name of the file, without its folder.
    pub file: String,
    /// Its rows, sorted; their lines are those of the calibration file.
    pub rows: Vec<TrialRow>,
}

/// A calibration that was read, with the way back to its text.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadedCalibration {
    /// What it says.
    pub calibration: Calibration,
    /// Where it says so.
    pub source: Source,
}
