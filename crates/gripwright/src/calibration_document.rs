//! Document of a calibration, and its files.

use gripwright_calibration::NextPlate;
use gripwright_input::{Spec, coupon_identity, write_calibration};
use gripwright_sizing::Design;
use serde_json::{Value, json};

use crate::{
    calibration_figures::figures, calibration_person, calibration_run::CalibrationRun, next_measurement,
    output_file::OutputFile, seal::sealed, version::MADE_BY,
};

/// Returns the calibration as a TOML file called `file_name`, and its figures, whose names begin with `stem`.
pub(crate) fn calibration_files(
    spec: &Spec,
    design: &Design,
    run: &CalibrationRun,
    file_name: &str,
    stem: &str,
) -> Vec<OutputFile> {
    let text = sealed(&write_calibration(&run.calibration), "# ", "\n");
    let calibration = OutputFile::new(file_name.to_owned(), text.into_bytes());
    let figures = figures(spec, design, run)
        .map(|(name, text)| OutputFile::new(format!("{stem}-{name}"), sealed(&text, "<!-- ", " -->\n").into_bytes()));
    std::iter::once(calibration).chain(figures).collect()
}

/// Returns the document of a calibration. `files` are the paths that were written.
pub(crate) fn calibration_document(spec: &Spec, design: &Design, run: &CalibrationRun, files: &[String]) -> Value {
    let calibration = &run.calibration;
    let letter = |size: usize| calibration.sizes.get(size).map_or('M', |s| s.letter);
    json!({
        "done": true,
        "exit_code": 0,
        "made_by": MADE_BY,
        "name": spec.name,
        "bore_error_mm": calibration.bore_error,
        "stiffness": calibration.stiffness,
        "friction": calibration.friction,
        "scatter_mm": calibration.scatter,
        "person": calibration_person::document(&run.after),
        "sizes": calibration.sizes,
        "contradictions": calibration.contradictions,
        "rows": calibration.rounds.iter().map(|r| r.rows.len()).sum::<usize>(),
        "rounds": calibration.rounds.iter().map(|r| json!({ "file": r.file, "rows": r.rows.len() })).collect::<Vec<_>>(),
        "next": plate_document(&letter, &run.next),
        "measure": next_measurement::document(run.after.next_measurement.as_ref(), spec, design),
        "files": files.iter().map(|path| json!({ "path": path })).collect::<Vec<_>>(),
    })
}

/// Returns the coupons that are worth printing next; `letter` gives the letter of a size.
pub(crate) fn plate_document(letter: &dyn Fn(usize) -> char, next: &NextPlate) -> Value {
    let coupons = next.coupons.iter().map(|c| {
        json!({ "coupon": coupon_identity(letter(c.size), c.step_mm), "size": letter(c.size), "step_mm": c.step_mm, "gain": c.gain })
    });
    json!({ "enough": next.enough, "why": next.reason, "coupons": coupons.collect::<Vec<_>>() })
}
