//! Diagnostics of bad specs and trials files: `tests/suite/spec/*.toml` and `tests/suite/trials/*` are compared with the
//! expectations in their own comments.
//!
//! `tests/suite/README.md` explains the form of the expectations.

use std::fs;
use std::path::{Path, PathBuf};

use gripwright_input::{Diagnostic, MaterialLibrary, TrialTarget, read_spec_bytes, read_trials, render_diagnostic};

/// One expected diagnostic, from the comments of a fixture.
#[derive(Debug, Default, PartialEq)]
struct Expectation {
    severity: String,
    code: String,
    line: usize,
    columns: [usize; 2],
    says: Vec<String>,
    allowed: Vec<String>,
    hints: Vec<String>,
}

/// A folder of fixtures with the function that diagnoses them.
struct Suite {
    folder: &'static str,
    fewest: usize,
    diagnose: fn(&[u8], &str) -> Vec<Diagnostic>,
}

const SUITES: [Suite; 2] = [
    Suite { folder: "suite/spec", fewest: 35, diagnose: diagnose_spec },
    Suite { folder: "suite/trials", fewest: 35, diagnose: diagnose_trials },
];

/// Diagnostics of a spec: its errors, or the warnings of a valid spec.
fn diagnose_spec(bytes: &[u8], file: &str) -> Vec<Diagnostic> {
    match read_spec_bytes(bytes, file, &MaterialLibrary::built_in()) {
        Ok(loaded) => loaded.warnings,
        Err(problems) => problems,
    }
}

/// Diagnostics of a trials file for three sizes, the last one a vee.
fn diagnose_trials(bytes: &[u8], file: &str) -> Vec<Diagnostic> {
    let size = |letter, seat_mm, tools: &[&str]| TrialTarget {
        letter,
        seat_mm,
        tools: tools.iter().map(|t| (*t).to_owned()).collect(),
    };
    let tried = [
        size('A', Some(9.32), &["slim lamp", "round lamp"]),
        size('B', Some(9.4), &["long lamp"]),
        size('C', None, &["wide lamp"]),
        size('M', None, &[]),
    ];
    match read_trials(bytes, file, &tried) {
        Ok(trials) => trials.warnings,
        Err(problems) => problems,
    }
}

#[test]
fn every_bad_file_says_what_is_wrong_and_where() {
    for suite in &SUITES {
        let files = fixtures(suite);
        assert!(files.len() >= suite.fewest, "{}: only {} fixtures were found", suite.folder, files.len());
        let mismatches: Vec<String> = files.iter().filter_map(|file| mismatch(suite, file)).collect();
        assert!(mismatches.is_empty(), "{} of {}\n\n{}", mismatches.len(), files.len(), mismatches.join("\n\n"));
    }
}

fn fixtures(suite: &Suite) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(suite.folder);
    let entries = fs::read_dir(folder).expect("the fixtures are beside this file");
    let mut files: Vec<PathBuf> = entries.map(|entry| entry.expect("the folder can be listed").path()).collect();
    files.retain(|file| file.extension().is_some_and(|extension| extension == "toml" || extension == "csv"));
    files.sort();
    files
}

/// Describes the difference between expected and found diagnostics; `None` if there is none.
fn mismatch(suite: &Suite, file: &Path) -> Option<String> {
    let bytes = fs::read(file).expect("a fixture can be read");
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let text = String::from_utf8_lossy(&bytes);
    let expected = expectations(&text);
    let found = (suite.diagnose)(&bytes, &name);
    let agree =
        expected.len() == found.len() && expected.iter().zip(&found).all(|(one, other)| matches(one, other, &text));
    if agree {
        return None;
    }
    let notation: Vec<String> = found.iter().map(|problem| as_expectation(problem, &text)).collect();
    Some(format!("{name} expects\n{expected:#?}\nand gives\n{}", notation.join("\n")))
}

fn expectations(text: &str) -> Vec<Expectation> {
    let mut found: Vec<Expectation> = Vec::new();
    let mut line = 1;
    for (index, written) in text.lines().enumerate() {
        let Some((word, rest)) = written.strip_prefix("# ").and_then(|comment| comment.split_once(' ')) else {
            line = index + 1;
            continue;
        };
        match (word, found.last_mut()) {
            ("error" | "warning", _) => found.push(heading(word, rest, line)),
            ("says:", Some(last)) => last.says.push(rest.to_owned()),
            ("allowed:", Some(last)) => last.allowed.push(rest.to_owned()),
            ("hint:", Some(last)) => last.hints.push(rest.to_owned()),
            _ => line = index + 1,
        }
    }
    found
}

fn heading(severity: &str, rest: &str, line: usize) -> Expectation {
    let (columns, code) = rest.split_once(' ').expect("an expectation has columns and a code");
    let (first, last) = columns.split_once('-').expect("columns are written FIRST-LAST");
    let columns = [first, last].map(|column| column.parse().expect("a column is a number"));
    Expectation { severity: severity.to_owned(), code: code.to_owned(), line, columns, ..Expectation::default() }
}

fn matches(expected: &Expectation, found: &Diagnostic, text: &str) -> bool {
    let contains = |wanted: &[String], there: &str| wanted.iter().all(|part| there.contains(part));
    expected.severity == found.severity.word()
        && expected.code == found.code
        && expected.line == found.line
        && expected.columns == columns(found, text)
        && contains(&expected.says, &found.message)
        && contains(&expected.allowed, found.allowed.as_deref().unwrap_or(""))
        && expected.hints.iter().all(|part| found.hints.iter().any(|hint| hint.contains(part)))
}

/// First and last column of the span; a span over several lines ends with its first one.
fn columns(found: &Diagnostic, text: &str) -> [usize; 2] {
    let span = text.get(found.span.clone()).unwrap_or("");
    let length = span.lines().next().unwrap_or("").chars().count().max(1);
    [found.column, found.column + length - 1]
}

/// A diagnostic in the notation of the fixtures, to be copied into a fixture after review.
fn as_expectation(found: &Diagnostic, text: &str) -> String {
    let [first, last] = columns(found, text);
    let mut lines = vec![format!("line {}\n# {} {first}-{last} {}", found.line, found.severity.word(), found.code)];
    lines.push(format!("# says: {}", found.message));
    lines.extend(found.allowed.iter().map(|allowed| format!("# allowed: {allowed}")));
    lines.extend(found.hints.iter().map(|hint| format!("# hint: {hint}")));
    lines.join("\n")
}

/// Every diagnostic has advice and renders as text.
#[test]
fn every_diagnostic_is_complete() {
    for suite in &SUITES {
        for file in fixtures(suite) {
            let bytes = fs::read(&file).unwrap();
            let text = String::from_utf8_lossy(&bytes);
            let name = format!("file.{}", file.extension().unwrap_or_default().to_string_lossy());
            for problem in (suite.diagnose)(&bytes, &name) {
                // The message of a syntax error states what the parser expected.
                let advice = problem.allowed.is_some() || !problem.hints.is_empty() || problem.code == "syntax";
                assert!(advice, "{}: {problem}", file.display());
                assert!(!problem.message.ends_with('.'), "{problem}");
                let page = render_diagnostic(&problem, &text);
                assert!(page.starts_with(&format!("{name}:{}:{}: ", problem.line, problem.column)), "{page}");
                assert!(!page.chars().any(|letter| letter.is_control() && letter != '\n' && letter != '\t'), "{page}");
            }
        }
    }
}
