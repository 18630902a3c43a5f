//! Diagnostics: problems of a file, with position, allowed values and hints.

use std::ops::Range;

use serde::Serialize;

/// Severity of a diagnostic.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The spec cannot be used.
    Error,
    /// The spec can be used, but may not mean what its author intended.
    Warning,
}

impl Severity {
    /// Returns the word that messages use.
    pub fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
        }
    }
}

/// One problem of a file: its position, a message, the allowed values and hints.
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
    /// Byte range of the text that the problem is about.
    pub span: Range<usize>,
    /// Key path, such as `tools[1].diameter`; empty for the file as a whole.
    pub path: String,
    /// Description of the problem, with the value.
    pub message: String,
    /// Allowed values.
    pub allowed: Option<String>,
    /// Suggested changes, one each.
    pub hints: Vec<String>,
}

impl Diagnostic {
    /// Returns the diagnostic with the severity of a warning.
    #[must_use]
    pub fn as_warning(mut self) -> Self {
        self.severity = Severity::Warning;
        self
    }

    /// Sets the allowed values.
    #[must_use]
    pub fn with_allowed(mut self, allowed: impl Into<String>) -> Self {
        self.allowed = Some(allowed.into());
        self
    }

    /// Adds a suggested change.
    #[must_use]
    pub fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Returns true for an error, which stops the work, and false for a warning.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}

/// Sorts by position in the file. The code breaks ties, so that the order never depends on the order of the checks.
pub(crate) fn sort(problems: &mut [Diagnostic]) {
    problems
        .sort_by(|a, b| (a.span.start, a.span.end, a.code, &a.path).cmp(&(b.span.start, b.span.end, b.code, &b.path)));
}

/// Writes one line: position, severity and message.
impl std::fmt::Display for Diagnostic {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { file, line, column, severity, message, .. } = self;
        write!(formatter, "{file}:{line}:{column}: {}: {message}", severity.word())
    }
}
