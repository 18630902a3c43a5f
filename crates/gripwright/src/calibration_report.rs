//! Report of a calibration: the page `calibration-report.html` beside the calibration.

use gripwright_input::{Calibration, Spec, coupon_identity, write_calibration};
use gripwright_report::{CalibrationFigure, CalibrationPage, SourceText, calibration_page};
use gripwright_sizing::Design;
use serde_json::Value;

use crate::{
    calibration_figures::figures,
    calibration_run::CalibrationRun,
    cautions::{CautionStep, PRECEDENCE},
    design_report::{page_cautions, revision},
    output_file::OutputFile,
    seal::{sealed, sha256},
    version::MADE_BY,
};

/// What a report tells of a calibration.
pub(crate) struct CalibrationContext<'a> {
    pub(crate) spec: &'a Spec,
    pub(crate) design: &'a Design,
    pub(crate) run: &'a CalibrationRun,
    /// Document of the calibration.
    pub(crate) document: Value,
    /// Measurement that would teach most, in a sentence.
    pub(crate) measure: Option<String>,
    /// Sentences on the person who tried the coupons.
    pub(crate) person: Vec<String>,
    /// Texts that the run was made from.
    pub(crate) sources: Vec<SourceText>,
    /// Why the spec has no design with the calibration.
    pub(crate) refusal: Option<&'a str>,
}

/// Returns the page with its seal. Its name begins with `stem`, as those of the figures do.
pub(crate) fn calibration_report(stem: &str, context: CalibrationContext<'_>) -> OutputFile {
    let CalibrationContext { spec, design, run, mut document, measure, person, mut sources, refusal } = context;
    let text = write_calibration(&run.calibration);
    sources.push(SourceText {
        name: "the calibration with the rows of all rounds".to_owned(),
        sha256: sha256(text.as_bytes()),
        text: Some(text),
    });
    let names = ["What the trials taught", "Coupons that were tried", "Fit before and after"];
    let figures = figures(spec, design, run).into_iter().zip(names);
    let page = CalibrationPage {
        title: format!("{}: calibration", spec.name),
        subtitle: format!("Report of a run of {MADE_BY}. Lengths in mm."),
        revision: revision(&sources),
        refusal: refusal.map(str::to_owned),
        next: next_coupons(&run.calibration, run),
        measure,
        person,
        figures: figures.map(|((_, svg), words)| CalibrationFigure { words: words.to_owned(), svg }).collect(),
        cautions: page_cautions(spec, &[CautionStep::Print, CautionStep::Try]),
        precedence: PRECEDENCE.to_owned(),
        sources,
    };
    document["no_design"] = refusal.into();
    let page = sealed(&calibration_page(&page, &document), "<!-- ", " -->\n");
    OutputFile::new(format!("{stem}-report.html"), page.into_bytes())
}

fn next_coupons(calibration: &Calibration, run: &CalibrationRun) -> String {
    let next = &run.next;
    let reason = next.reason.trim_end_matches('.');
    if next.enough || next.coupons.is_empty() {
        return format!("{reason}.");
    }
    let letter = |size: usize| calibration.sizes.get(size).map_or('M', |size| size.letter);
    let coupons: Vec<String> = next.coupons.iter().map(|c| coupon_identity(letter(c.size), c.step_mm)).collect();
    format!("{reason}. `gripwright coupons SPEC --next` makes {}.", coupons.join(", "))
}
