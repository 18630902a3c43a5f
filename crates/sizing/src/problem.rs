//! Problem of a spec: place, code, message, allowed range, hint.

/// Whose fault a problem is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ProblemKind {
    /// A value of the spec contradicts another or leaves no part to make.
    BadSpec,
    /// The spec is sound, but nothing meets all its limits.
    NoDesign,
}

/// A reason why a spec has no design, with the place in the spec that it is about.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{message}")]
#[non_exhaustive]
pub struct Problem {
    /// Key path in the spec, such as `layout.offset` or `tools[1].diameter`.
    pub at: String,
    /// Stable short name of the kind of problem.
    pub code: &'static str,
    /// Whose fault it is.
    pub kind: ProblemKind,
    /// Description of the problem, with the value.
    pub message: String,
    /// Allowed range, when it is known.
    pub allowed: Option<String>,
    /// Suggested change.
    pub hint: Option<String>,
}

impl Problem {
    pub(crate) fn bad_spec(at: impl Into<String>, code: &'static str, message: String) -> Self {
        Self { at: at.into(), code, kind: ProblemKind::BadSpec, message, allowed: None, hint: None }
    }

    pub(crate) fn no_design(at: impl Into<String>, code: &'static str, message: String) -> Self {
        Self { at: at.into(), code, kind: ProblemKind::NoDesign, message, allowed: None, hint: None }
    }

    #[must_use]
    pub(crate) fn with_allowed(mut self, allowed: String) -> Self {
        self.allowed = Some(allowed);
        self
    }

    #[must_use]
    pub(crate) fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}
