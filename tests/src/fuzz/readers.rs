//! Targets that read files: whatever the bytes are, the answer is a checked value or diagnostics with their place.

use std::{collections::BTreeMap, sync::LazyLock};

use gripwright::Project;
use gripwright_input::{
    Diagnostic, MaterialLibrary, STARTER_SPEC, TrialTarget, read_calibration, read_spec, read_trials,
    render_diagnostic, write_calibration,
};
use gripwright_survey::{
    CutAxis, DrawingOptions, OutlineOptions, SectionCut, SurveyError, SurveyedOutline, outline_from_dxf,
    outline_from_stl, outline_from_svg,
};

use super::random_bytes::RandomBytes;

static MATERIALS: LazyLock<MaterialLibrary> = LazyLock::new(MaterialLibrary::built_in);

/// Checks that each diagnostic says something and points into the text.
fn check_diagnostics(problems: &[Diagnostic], bytes: &[u8]) {
    assert!(!problems.is_empty(), "refused without a reason");
    let text = String::from_utf8_lossy(bytes);
    for problem in problems {
        assert!(!problem.message.is_empty() && !problem.code.is_empty());
        assert!(problem.line >= 1 && problem.column >= 1, "{problem:?}");
        let valid = std::str::from_utf8(bytes).is_ok() && problem.span != (0..0);
        assert!(!valid || text.get(problem.span.clone()).is_some(), "{problem:?} lies outside of the text");
        assert!(!render_diagnostic(problem, &text).is_empty());
    }
}

/// A spec: read twice, it gives the same; what is accepted has warnings with their place.
pub(super) fn spec(bytes: &[u8]) {
    let files = BTreeMap::from([
        ("mine.toml".to_owned(), MaterialLibrary::built_in_text("petg").unwrap_or_default().as_bytes().to_vec()),
        ("body.svg".to_owned(), b"<svg xmlns=\"http://www.w3.org/2000/svg\"><circle r=\"10\"/></svg>".to_vec()),
    ]);
    match Project::read(bytes, "spec.toml", &files) {
        Ok(project) => {
            if !project.warnings().is_empty() {
                check_diagnostics(project.warnings(), bytes);
            }
            let again = Project::read(bytes, "spec.toml", &files).expect("it was accepted before");
            assert_eq!(format!("{:?}", project.spec()), format!("{:?}", again.spec()));
        }
        Err(problems) => {
            let shown = problems.to_string();
            assert!(!shown.is_empty());
            if std::str::from_utf8(bytes).is_ok() {
                let found = read_spec(&String::from_utf8_lossy(bytes), "spec.toml", &MATERIALS);
                if let Err(problems) = found {
                    check_diagnostics(&problems, bytes);
                }
            }
        }
    }
}

/// A trials file: the first byte picks its kind.
pub(super) fn trials(bytes: &[u8]) {
    let mut input = RandomBytes::new(bytes);
    let file = if input.byte() == b'T' { "trials.toml" } else { "trials.csv" };
    let target = |letter: char, seat_mm, tools: &[&str]| TrialTarget {
        letter,
        seat_mm,
        tools: tools.iter().map(|&tool| tool.to_owned()).collect(),
    };
    let targets = [
        target('A', Some(12.0), &["small lamp", "large lamp"]),
        target('B', None, &["pen"]),
        target('M', Some(28.6), &[]),
    ];
    match read_trials(input.rest(), file, &targets) {
        Ok(trials) => {
            for row in &trials.rows {
                assert!(row.step_mm.is_finite(), "{row:?}");
            }
            if !trials.warnings.is_empty() {
                check_diagnostics(&trials.warnings, input.rest());
            }
        }
        Err(problems) => check_diagnostics(&problems, input.rest()),
    }
}

/// A calibration: one that is accepted is written so that it is read again, as the same bytes.
pub(super) fn calibration(bytes: &[u8]) {
    match read_calibration(bytes, "calibration.toml") {
        Ok(loaded) => {
            let written = write_calibration(&loaded.calibration);
            let again = read_calibration(written.as_bytes(), "calibration.toml").unwrap_or_else(|problems| {
                panic!("what was written is refused: {}\n{written}", problems[0]);
            });
            assert_eq!(write_calibration(&again.calibration), written);
        }
        Err(problems) => check_diagnostics(&problems, bytes),
    }
}

/// A library of materials: all figures of what is accepted are finite and lie in order.
pub(super) fn materials(bytes: &[u8]) {
    match MATERIALS.extended(bytes, "materials.toml") {
        Ok(library) => {
            for key in library.keys() {
                assert!(library.get(key).is_some(), "{key}");
            }
        }
        Err(problems) => check_diagnostics(&problems, bytes),
    }
}

const OPTIONS: OutlineOptions = OutlineOptions { tolerance_mm: 0.05, corner_mm: 0.3, hull: false, centre: None };

/// Options drawn from the first byte of an input.
fn options(first: u8) -> OutlineOptions {
    OutlineOptions { hull: first & 1 == 1, tolerance_mm: if first & 2 == 2 { 0.3 } else { 0.05 }, ..OPTIONS }
}

/// Checks a surveyed outline, or that a refusal says what to do.
fn check_survey(found: Result<SurveyedOutline, SurveyError>) {
    match found {
        Ok(survey) => {
            let size = survey.outline.bounds().size();
            assert!(size.x.is_finite() && size.x > 0.0 && size.y.is_finite() && size.y > 0.0);
            assert!(survey.largest_mm.is_finite() && survey.largest_mm >= 0.0);
            assert!(survey.outline.area_mm2() > 0.0, "the outline must run counter-clockwise");
            assert_eq!(survey.outline.self_contact(), None);
        }
        Err(error) => {
            assert!(!error.code().is_empty() && !error.hint().is_empty());
            assert!(!error.to_string().is_empty());
        }
    }
}

fn drawing_options(first: u8) -> DrawingOptions {
    DrawingOptions { unit_mm: 1.0, scale: 1.0, gap_mm: 0.05, check: None, outline_options: options(first) }
}

/// A DXF drawing; the first byte picks the options.
pub(super) fn dxf(bytes: &[u8]) {
    let mut input = RandomBytes::new(bytes);
    let options = drawing_options(input.byte());
    check_survey(outline_from_dxf(input.rest(), &options));
}

/// An SVG drawing; the first byte picks the options.
pub(super) fn svg(bytes: &[u8]) {
    let mut input = RandomBytes::new(bytes);
    let options = drawing_options(input.byte());
    check_survey(outline_from_svg(input.rest(), &options));
}

/// A scan; the first byte picks the options, the second the height of the cut.
pub(super) fn stl(bytes: &[u8]) {
    let mut input = RandomBytes::new(bytes);
    let (first, height) = (input.byte(), input.byte());
    let axis = [CutAxis::X, CutAxis::Y, CutAxis::Z][usize::from(first >> 2) % 3];
    let cut = SectionCut {
        unit_mm: 1.0,
        axis,
        height_mm: f64::from(height) - 64.0,
        gap_mm: 0.05,
        outline_options: options(first),
    };
    check_survey(outline_from_stl(input.rest(), &cut));
}

/// Lines of the starter that are replaced, with the text before and after the value.
const QUANTITIES: [(&str, &str, &str); 6] = [
    ("mount_length = ", "mount_length = ", ""),
    ("draft = ", "draft = ", ""),
    ("offset = ", "offset = ", ""),
    ("mass = ", "mass = ", ""),
    ("diameter = ", "diameter = ", ""),
    ("working_load = ", "working_load = { along = \"1 N\", across = ", " }"),
];

/// Text of the starter with the first line of a key replaced by a quoted value.
fn with_quantity(which: usize, value: &str) -> String {
    let (start, before, after) = QUANTITIES[which % QUANTITIES.len()];
    let quoted = value.replace('\\', "\\\\").replace('"', "\\\"");
    let mut found = false;
    let lines = STARTER_SPEC.lines().map(|line| {
        if !found && line.trim_start().starts_with(start) {
            found = true;
            return format!("{before}\"{quoted}\"{after}");
        }
        line.to_owned()
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// A quantity with its unit, in each of six keys: what is accepted is finite, and blanks about it change nothing.
pub(super) fn units(bytes: &[u8]) {
    let value = String::from_utf8_lossy(bytes);
    if value.chars().any(char::is_control) || value.len() > 100 {
        return;
    }
    for which in 0..QUANTITIES.len() {
        let text = with_quantity(which, &value);
        match read_spec(&text, "spec.toml", &MATERIALS) {
            Ok(loaded) => {
                let shown = format!("{:?}", loaded.spec);
                assert!(!shown.contains("NaN") && !shown.contains(": inf"), "{shown}");
                let padded = read_spec(&with_quantity(which, &format!(" {value} ")), "spec.toml", &MATERIALS);
                let padded = padded.unwrap_or_else(|p| panic!("blanks matter about {value:?}: {}", p[0]));
                assert_eq!(format!("{:?}", padded.spec), shown);
            }
            Err(problems) => check_diagnostics(&problems, text.as_bytes()),
        }
    }
}
