//! Content of a calibration file as values.

use serde::Serialize;

use crate::text::source::Source;
use crate::trials::trial::TrialRow;

/// Estimates from trials, with the trials that they are based on. Lengths mm, forces N.
#[derive(Clone, Debug, PartialEq)]
pub struct Calibration {
    /// Parts of the spec that the calibration is valid for.
    pub made_for: Vec<CalibrationOrigin>,
    /// Bore error that all sizes share, mm of diameter; positive if bores print wider than drawn.
    pub bore_error: RecordedUpdate,
    /// Factor on the printed material's modulus, relative to the geometric mean of its range.
    pub stiffness: RecordedUpdate,
    /// Friction of the printed material on the tools.
    pub friction: RecordedUpdate,
    /// Standard deviation of one seat from print to print, mm.
    pub scatter: RecordedUpdate,
    /// The sizes, then the mount.
    pub sizes: Vec<CalibratedSize>,
    /// Contradictions between trials, as sentences.
    pub contradictions: Vec<String>,
    /// Trials that the estimates are based on, by file.
    pub rounds: Vec<TrialRound>,
}

/// One part of a spec that a calibration is valid for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CalibrationOrigin {
    /// Name of the part, such as `tools`.
    pub part: &'static str,
    /// Description for people.
    pub description: String,
    /// Digest of all values of the part that matter for the trials.
    pub digest: String,
}

/// Parts of a spec that must match those of a calibration.
pub const ORIGIN_PARTS: [&str; 5] = ["body", "tools", "material", "printer", "coupons"];

/// Estimate of one parameter, as the file records it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RecordedEstimate {
    /// Median.
    pub median: f64,
    /// Central 90 % interval.
    #[serde(rename = "middle_90")]
    pub interval90: [f64; 2],
    /// Standard deviation.
    pub sd: f64,
}

/// Estimate of one parameter before and after the trials.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RecordedUpdate {
    /// Before the first trial.
    pub before: RecordedEstimate,
    /// After all of them.
    pub after: RecordedEstimate,
}

/// Calibration of one clip size, or of the mount. It serialises with the keys of the JSON document of a calibration.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CalibratedSize {
    /// Letter of the size; M for the mount.
    #[serde(rename = "size")]
    pub letter: char,
    /// Designed seat diameter, mm.
    ///
    /// For a vee: diameter of the smallest barrel that it grips. For the mount: clearance, counted over both sides.
    pub seat_mm: f64,
    /// True if the seat is round.
    #[serde(skip)]
    pub round: bool,
    /// Total bore error, mm.
    #[serde(rename = "error_mm")]
    pub error: RecordedUpdate,
    /// Correction: drawn seat minus designed seat, mm, rounded to the steps that can be engraved.
    pub draw_mm: f64,
    /// Central 90 % interval of the correction, mm.
    #[serde(rename = "draw_90_mm")]
    pub draw_interval90: [f64; 2],
    /// Target of the printed seat: printed minus designed, mm.
    pub target_mm: f64,
    /// Probability for each tool that the corrected part holds it well.
    #[serde(rename = "held")]
    pub hold_probabilities: Vec<HoldProbability>,
    /// Number of trials of this size.
    pub rows: usize,
}

/// Probability that the corrected part holds one tool well.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HoldProbability {
    /// Name of the tool; absent for the mount, which holds the body.
    pub tool: Option<String>,
    /// The probability; absent where it is not known.
    pub probability: Option<f64>,
}

/// Trials of one trials file.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialRound {
    /// Name of the file, without its folder.
    pub file: String,
    /// Sorted rows; their line numbers are those of the calibration file.
    pub rows: Vec<TrialRow>,
}

/// A calibration that was read from a file, with its source text.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct LoadedCalibration {
    /// Content.
    pub calibration: Calibration,
    /// Positions of the values in the text.
    pub source: Source,
}
