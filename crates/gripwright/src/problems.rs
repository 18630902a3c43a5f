//! Problems of an input file, with the text that they point into.

use std::ops::Range;

use gripwright_input::{Diagnostic, Severity, Source, render_diagnostic};

/// Error of every step that reads an input file: all problems of that file. Its text is [`Problems::rendered`].
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.rendered().trim_end())]
#[non_exhaustive]
pub struct Problems {
    /// The problems, in the order of their places.
    pub diagnostics: Vec<Diagnostic>,
    /// Text of the file; empty when it could not be read.
    pub text: String,
}

impl Problems {
    /// Problems of a file given as bytes, which need not be UTF-8.
    pub fn in_bytes(diagnostics: Vec<Diagnostic>, bytes: &[u8]) -> Self {
        Self { diagnostics, text: String::from_utf8_lossy(bytes).into_owned() }
    }

    /// Problems with places in a text that was read.
    pub fn in_source(diagnostics: Vec<Diagnostic>, source: &Source) -> Self {
        Self { diagnostics, text: source.text().to_owned() }
    }

    /// A problem of a whole file, without a place in its text. `file` is the path as messages show it.
    pub fn in_file(file: &str, problem: FileProblem<'_>) -> Self {
        let diagnostic = Diagnostic {
            severity: Severity::Error,
            code: problem.code,
            file: file.to_owned(),
            line: 1,
            column: 1,
            span: Range { start: 0, end: 0 },
            path: problem.key.to_owned(),
            message: problem.message,
            allowed: Some(problem.allowed.to_owned()),
            hints: vec![problem.hint.to_owned()],
        };
        Self { diagnostics: vec![diagnostic], text: String::new() }
    }

    /// Returns all problems as text for a terminal.
    pub fn rendered(&self) -> String {
        self.diagnostics.iter().map(|d| render_diagnostic(d, &self.text) + "\n").collect()
    }
}

/// One problem of a whole file.
#[derive(Clone, Debug)]
pub struct FileProblem<'a> {
    /// Stable code of the problem.
    pub code: &'static str,
    /// Key of the spec that names the file; empty for a file from the command line.
    pub key: &'a str,
    /// Description of the problem.
    pub message: String,
    /// What is allowed instead.
    pub allowed: &'a str,
    /// What the user can do.
    pub hint: &'a str,
}
