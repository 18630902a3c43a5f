//! The calibration that a spec names: read, held against the spec, and turned into what sizing takes.

use std::{
    ops::Range,
    path::{Path, PathBuf},
};

use gripwright_input::{
    Calibration, Change, Diagnostic, Known, LoadedCalibration, Origin, Range as Bounds, Severity, Source, Spec,
    read_calibration,
};
use gripwright_sizing::{Design, Learnt, LearntSize};

use crate::{
    failure::{Failure, Problems},
    load::read_bytes_of,
};
use gripwright::calibration_origin as origin;

/// Key of the spec that names it.
pub(crate) const KEY: &str = "printer.calibration";

/// Where the calibration of a spec lies, if the spec names one.
pub(crate) fn named(spec: &Spec, path: &Path) -> Option<PathBuf> {
    let name = spec.calibration.as_ref()?;
    Some(path.parent().unwrap_or(Path::new("")).join(name))
}

/// The calibration that a spec names, made for this very spec as far as can be told before sizing.
pub(crate) fn calibration(spec: &Spec, source: &Source, path: &Path) -> Result<Option<Calibration>, Failure> {
    let Some(file) = named(spec, path) else { return Ok(None) };
    let bytes = read_bytes_of(&file).map_err(|cause| {
        let message = format!("`{}` cannot be read: {cause}", file.display());
        let hint = "`gripwright calibrate` writes it; before any trial, leave the key out".to_owned();
        let problem = source.diagnostic(KEY, "unreadable", message).with_hint(hint);
        Failure::BadInput(Problems { diagnostics: vec![problem], text: source.text().to_owned() })
    })?;
    let loaded = parsed(&bytes, &file)?;
    match differs(&loaded.calibration, &origin::of_spec(spec)) {
        Some((part, message)) => Err(mismatch(source, part, message)),
        None => Ok(Some(loaded.calibration)),
    }
}

/// The text of a calibration file as a calibration.
pub(crate) fn parsed(bytes: &[u8], file: &Path) -> Result<LoadedCalibration, Failure> {
    read_calibration(bytes, &file.display().to_string()).map_err(|diagnostics| {
        Failure::BadInput(Problems { diagnostics, text: String::from_utf8_lossy(bytes).into_owned() })
    })
}

/// The first part in which a calibration was made for something else, and that in words.
pub(crate) fn differs(calibration: &Calibration, now: &[Origin]) -> Option<(&'static str, String)> {
    now.iter().find_map(|now| {
        let then = calibration.made_for.iter().find(|then| then.part == now.part)?;
        if then.digest == now.digest {
            return None;
        }
        // Of a long list, the item that differs is what a person looks for.
        let (mut old, mut new) = (then.is.as_str(), now.is.as_str());
        let pairs = then.is.split("; ").zip(now.is.split("; "));
        if let Some((a, b)) = pairs.into_iter().find(|(a, b)| a != b) {
            (old, new) = (a, b);
        }
        let message = if old == new {
            format!("the calibration was made for another {}: some figure of \"{}\" has changed", now.part, short(new))
        } else {
            format!(
                "the calibration was made for other {}: \"{}\" there, \"{}\" here",
                now.part,
                short(old),
                short(new)
            )
        };
        Some((now.part, message))
    })
}

fn short(text: &str) -> String {
    const MOST: usize = 90;
    if text.chars().count() <= MOST { text.to_owned() } else { text.chars().take(MOST).chain(['…']).collect() }
}

/// The refusal of a calibration that was made for something else.
pub(crate) fn mismatch(source: &Source, part: &str, message: String) -> Failure {
    let hint = format!(
        "take the key out, or put the {part} back as they were; trials of new coupons start with `gripwright calibrate --afresh`"
    );
    let problem = source.diagnostic(KEY, "calibration-mismatch", message).with_hint(hint);
    Failure::BadInput(Problems { diagnostics: vec![problem], text: source.text().to_owned() })
}

/// Refuses a calibration of other coupons than those of this design.
pub(crate) fn hold_against(
    calibration: &Calibration,
    (spec, source): (&Spec, &Source),
    design: &Design,
) -> Result<(), Failure> {
    match differs(calibration, &[origin::of_coupons(spec, design)]) {
        Some((part, message)) => Err(mismatch(source, part, message)),
        None => Ok(()),
    }
}

/// What a calibration teaches about the process of a spec.
///
/// The ranges of modulus and friction become those that the trials leave when the part is the print itself; a casting
/// keeps its own. The spread of a seat is that from print to print with what is left unknown of its error.
pub(crate) fn learnt(spec: &Spec, calibration: &Calibration) -> Learnt {
    let mut known = spec.clone();
    let printed = spec.material.cast.is_none();
    if printed {
        let modulus = spec.material.print.modulus_mpa;
        let middle = (modulus.least * modulus.greatest).sqrt();
        let material = &mut known.material.print;
        material.modulus_mpa = bounds(middle, &calibration.stiffness);
        material.friction = bounds(1.0, &calibration.friction);
    }
    let left = calibration.sizes.iter().map(|size| size.error.after.sd).fold(0.0, f64::max);
    known.printer.seat_spread_mm = calibration.scatter.after.median.hypot(left);
    let sizes = calibration.sizes.iter().map(|size| LearntSize {
        letter: size.letter,
        seat_mm: size.seat_mm,
        draw_mm: size.draw_mm,
        target_mm: size.target_mm,
    });
    Learnt { spec: known, sizes: sizes.collect() }
}

/// Four standard deviations of the logarithm, as the ranges of the material files are taken.
fn bounds(unit: f64, change: &Change) -> Bounds {
    let Known { median, sd, .. } = change.after;
    let half = (2.0 * sd / median).exp();
    Bounds { least: unit * median / half, greatest: unit * median * half }
}

/// A problem of a file as a whole.
pub(crate) fn of_file(path: &Path, code: &'static str, message: String, allowed: &str, hint: &str) -> Failure {
    let problem = Diagnostic {
        severity: Severity::Error,
        code,
        file: path.display().to_string(),
        line: 1,
        column: 1,
        span: Range { start: 0, end: 0 },
        path: String::new(),
        message,
        allowed: Some(allowed.to_owned()),
        hints: vec![hint.to_owned()],
    };
    Failure::BadInput(Problems { diagnostics: vec![problem], text: String::new() })
}
