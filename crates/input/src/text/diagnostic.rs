use std::ops::Range;

use serde::Serialize;

/// How grave a diagnostic is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The spec cannot be used.
    Error,
    /// The spec can be used, but may not mean what its writer thinks.
    Warning,
}

impl Severity {
    /// The word that stands in messages.
    pub fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
        }
    }
}

/// One problem of a written file: where it is, what is wrong, what is allowed, what to change.
///
/// Made by [`Source::diagnostic`](crate::Source::diagnostic), which knows where every key was written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// Error or warning.
    pub severity: Severity,
    /// Short stable name of the kind of problem, such as `unknown-key`.
    pub code: &'static str,
    /// Name of the file, as the caller gave it.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Bytes of the text that are meant.
    pub span: Range<usize>,
    /// Key path, such as `tools[1].diameter`; empty for the file as a whole.
    pub path: String,
    /// What is wrong, with the value.
    pub message: String,
    /// What would be allowed.
    pub allowed: Option<String>,
    /// What to change, one suggestion each.
    pub hints: Vec<String>,
}

impl Diagnostic {
    /// The same diagnostic as a warning.
    #[must_use]
    pub fn as_warning(mut self) -> Self {
        self.severity = Severity::Warning;
        self
    }

    /// Says what would be allowed.
    #[must_use]
    pub fn with_allowed(mut self, allowed: impl Into<String>) -> Self {
        self.allowed = Some(allowed.into());
        self
    }

    /// Adds a suggestion.
    #[must_use]
    pub fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Whether it stops the work.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}

/// Sorts by place in the file; the code breaks ties so that the order never depends on the order of the checks.
pub(crate) fn sort(problems: &mut [Diagnostic]) {
    problems
        .sort_by(|a, b| (a.span.start, a.span.end, a.code, &a.path).cmp(&(b.span.start, b.span.end, b.code, &b.path)));
}

/// One line: place, severity and message.
impl std::fmt::Display for Diagnostic {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { file, line, column, severity, message, .. } = self;
        write!(formatter, "{file}:{line}:{column}: {}: {message}", severity.word())
    }
}
