//! Sizing of a spec that was read, with or without a calibration.

use gripwright_input::{Calibration, Diagnostic, LoadedSpec};
use gripwright_sizing::{Design, Problem, ProblemKind, Sizer};

use crate::{body_survey, calibration_input, material_remedy::material_hint, problems::Problems};

/// Reason why a spec has no design. There are these two and no others.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SizingError {
    /// Values of the spec contradict each other, or its calibration does not belong to it.
    #[error("values of the spec contradict each other")]
    BadSpec(#[source] Problems),
    /// The spec is sound, but no design meets it.
    #[error("no design meets the spec")]
    NoDesign(#[source] Problems),
}

/// Sizes a spec with its calibration, if it has one.
///
/// Refuses a calibration that was made with other coupons than those of this design.
pub(crate) fn size_spec(
    sizer: &Sizer,
    loaded: &LoadedSpec,
    calibration: Option<&Calibration>,
) -> Result<Design, SizingError> {
    let Some(calibration) = calibration else { return size_without_trials(sizer, loaded) };
    let spec = &loaded.spec;
    let process = calibration_input::calibrated_process(spec, calibration);
    let refused = |problems| {
        let mut error = sizing_error(problems, loaded);
        if let SizingError::NoDesign(problems) = &mut error
            && let Some(first) = problems.diagnostics.first_mut()
        {
            first.hints.push(calibration_hint(sizer, loaded));
        }
        error
    };
    let mut design = sizer.size_calibrated(spec, &process).map_err(refused)?;
    calibration_input::check_coupons(calibration, loaded, &design).map_err(SizingError::BadSpec)?;
    let rows: usize = calibration.rounds.iter().map(|round| round.rows.len()).sum();
    design.notes.push(format!(
        "Bores, ranges and odds follow {rows} trials of coupons ({}). Coupons keep their names: the step on them is still \
         the seat as drawn against the seat as first designed.",
        spec.calibration.as_deref().unwrap_or_default()
    ));
    design.notes.extend(body_survey::survey_note(&spec.body));
    Ok(design)
}

/// Says what the calibration has to do with a refusal.
fn calibration_hint(sizer: &Sizer, loaded: &LoadedSpec) -> String {
    let name = loaded.spec.calibration.as_deref().unwrap_or("calibration.toml");
    if sizer.size(&loaded.spec).is_ok() {
        format!(
            "without the calibration `{name}` the spec has a design: what the trials taught of bores, stiffness or friction rules it out"
        )
    } else {
        format!("the calibration `{name}` is not the cause: the spec has no design without it either")
    }
}

/// Sizes a spec without its calibration.
pub(crate) fn size_without_trials(sizer: &Sizer, loaded: &LoadedSpec) -> Result<Design, SizingError> {
    let explained = |problems| {
        let mut error = sizing_error(problems, loaded);
        let (SizingError::BadSpec(problems) | SizingError::NoDesign(problems)) = &mut error;
        if let Some(first) = problems.diagnostics.first_mut() {
            first.hints.extend(material_hint(sizer, loaded));
        }
        error
    };
    let mut design = sizer.size(&loaded.spec).map_err(explained)?;
    design.notes.extend(body_survey::survey_note(&loaded.spec.body));
    Ok(design)
}

/// Converts the problems of a design into diagnostics with their places in the spec.
pub(crate) fn sizing_error(problems: Vec<Problem>, loaded: &LoadedSpec) -> SizingError {
    // A contradiction between values outranks a missing design: it must be corrected first.
    let bad_spec = problems.iter().any(|p| p.kind == ProblemKind::BadSpec);
    let source = &loaded.source;
    let located = |problem: Problem| {
        let mut diagnostic = source.diagnostic(&problem.at, problem.code, problem.message);
        diagnostic.allowed = problem.allowed;
        diagnostic.hints.extend(problem.hint);
        diagnostic
    };
    let mut diagnostics: Vec<Diagnostic> = problems.into_iter().map(located).collect();
    diagnostics.sort_by_key(|d| (d.line, d.column));
    let problems = Problems::in_source(diagnostics, source);
    if bad_spec { SizingError::BadSpec(problems) } else { SizingError::NoDesign(problems) }
}
