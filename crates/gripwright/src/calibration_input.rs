//! Calibration that a spec names: read, compared with the spec, and turned into what sizing takes.

use gripwright_input::{
    Calibration, CalibrationOrigin, FigureBounds, LoadedCalibration, LoadedSpec, MAX_FILE_BYTES, RecordedEstimate,
    RecordedUpdate, Source, Spec, read_calibration,
};
use gripwright_sizing::{Calibrated, CalibratedSeat, Design};

use crate::{calibration_origin, problems::Problems, spec_files::SpecFiles};

/// Key of the spec that names its calibration.
const KEY: &str = "printer.calibration";

/// Reads the calibration that a spec names, if any, and refuses one that was made for another spec.
///
/// Its coupons can be compared only after sizing: see [`check_coupons`].
pub(crate) fn read_named_calibration(
    loaded: &LoadedSpec,
    files: &dyn SpecFiles,
) -> Result<Option<Calibration>, Problems> {
    let (spec, source) = (&loaded.spec, &loaded.source);
    let Some(name) = &spec.calibration else { return Ok(None) };
    let shown = files.shown_path(name);
    let bytes = files.read(name, MAX_FILE_BYTES).map_err(|cause| {
        let message = format!("`{shown}` cannot be read: {cause}");
        let hint = "`gripwright calibrate` writes it; before any trial, leave the key out".to_owned();
        Problems::in_source(vec![source.diagnostic(KEY, "unreadable", message).with_hint(hint)], source)
    })?;
    let calibration = parse_calibration(&bytes, &shown)?.calibration;
    match first_mismatch(&calibration, &calibration_origin::spec_origin(spec)) {
        Some(mismatch) => Err(refusal(source, mismatch)),
        None => Ok(Some(calibration)),
    }
}

/// Parses a calibration file. `file` is its path as messages show it.
pub fn parse_calibration(bytes: &[u8], file: &str) -> Result<LoadedCalibration, Problems> {
    read_calibration(bytes, file).map_err(|found| Problems::in_bytes(found, bytes))
}

/// First part of a spec in which it differs from the one that a calibration was made for.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct OriginMismatch {
    /// Name of the part: one of [`gripwright_input::ORIGIN_PARTS`].
    pub part: &'static str,
    /// Description of the difference.
    pub message: String,
}

/// Compares the origin of a calibration with that of the present spec; `None` if all parts agree.
pub fn first_mismatch(calibration: &Calibration, now: &[CalibrationOrigin]) -> Option<OriginMismatch> {
    now.iter().find_map(|now| {
        let then = calibration.made_for.iter().find(|then| then.part == now.part)?;
        if then.digest == now.digest {
            return None;
        }
        // Long lists are reduced to the first item that differs.
        let (mut old, mut new) = (then.description.as_str(), now.description.as_str());
        let mut items = then.description.split("; ").zip(now.description.split("; "));
        if let Some(differing) = items.find(|(old, new)| old != new) {
            (old, new) = differing;
        }
        let message = if old == new {
            format!(
                "the calibration was made for another {}: some figure of \"{}\" has changed",
                now.part,
                shortened(new)
            )
        } else {
            format!(
                "the calibration was made for other {}: \"{}\" there, \"{}\" here",
                now.part,
                shortened(old),
                shortened(new)
            )
        };
        Some(OriginMismatch { part: now.part, message })
    })
}

fn shortened(text: &str) -> String {
    const MOST: usize = 90;
    if text.chars().count() <= MOST { text.to_owned() } else { text.chars().take(MOST).chain(['…']).collect() }
}

/// Returns the problem of a spec that names a calibration made for something else.
fn refusal(source: &Source, mismatch: OriginMismatch) -> Problems {
    let OriginMismatch { part, message } = mismatch;
    let hint = format!(
        "take the key out, or put the {part} back as they were; trials of new coupons start with `gripwright calibrate --afresh`"
    );
    let problem = source.diagnostic(KEY, "calibration-mismatch", message).with_hint(hint);
    Problems::in_source(vec![problem], source)
}

/// Refuses a calibration that was made with other coupons than those of this design.
pub(crate) fn check_coupons(calibration: &Calibration, loaded: &LoadedSpec, design: &Design) -> Result<(), Problems> {
    match first_mismatch(calibration, &[calibration_origin::coupon_origin(&loaded.spec, design)]) {
        Some(mismatch) => Err(refusal(&loaded.source, mismatch)),
        None => Ok(()),
    }
}

/// Returns the spec with the printing process as calibrated, and the seats to draw.
///
/// If the part is the print itself, and a force, a slide or a drag was measured, the ranges of modulus and friction become
/// those that the trials leave. Words alone leave the ranges of the material. A casting keeps its own ranges. The spread of a seat combines the scatter between prints with the remaining uncertainty of its
/// error.
pub(crate) fn calibrated_process(spec: &Spec, calibration: &Calibration) -> Calibrated {
    let mut calibrated = spec.clone();
    let rows = || calibration.rounds.iter().flat_map(|round| &round.rows);
    let measured = rows().any(|row| row.pull_n.is_some() || row.slide_n.is_some() || row.drag.is_some());
    if spec.material.cast.is_none() && measured {
        let modulus = spec.material.print.modulus_mpa;
        let middle = (modulus.least * modulus.greatest).sqrt();
        let material = &mut calibrated.material.print;
        material.modulus_mpa = bounds(middle, &calibration.stiffness);
        material.friction = bounds(1.0, &calibration.friction);
    }
    let unknown_mm = calibration.sizes.iter().map(|size| size.error.after.sd).fold(0.0, f64::max);
    calibrated.printer.seat_spread_mm = calibration.scatter.after.median.hypot(unknown_mm);
    let sizes = calibration.sizes.iter().map(|size| CalibratedSeat {
        letter: size.letter,
        seat_mm: size.seat_mm,
        draw_mm: size.draw_mm,
        target_mm: size.target_mm,
    });
    Calibrated { spec: calibrated, sizes: sizes.collect() }
}

/// Returns a range of four standard deviations of the logarithm, which is how material files state their ranges.
fn bounds(unit: f64, change: &RecordedUpdate) -> FigureBounds {
    let RecordedEstimate { median, sd, .. } = change.after;
    let half = (2.0 * sd / median).exp();
    FigureBounds { least: unit * median / half, greatest: unit * median * half }
}
