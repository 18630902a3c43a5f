//! Why a command could not do its work, and the exit code that says so.

use gripwright_input::{Diagnostic, render};
use serde_json::{Value, json};

use crate::folder::WriteError;
use gripwright::solids::Unsound;

/// Why a command could not do its work.
#[derive(Debug)]
pub(crate) enum Failure {
    /// Problems in the spec or another input file.
    BadInput(Problems),
    /// A sound spec that no design meets.
    NoDesign(Problems),
    /// Files could not be written.
    Unwritable(WriteError),
    /// A finished part failed its own checks or could not be drawn: the fault is ours.
    Defect(String),
}

/// Diagnostics with the text that they point into.
#[derive(Debug)]
pub(crate) struct Problems {
    /// What is wrong, in order of place.
    pub diagnostics: Vec<Diagnostic>,
    /// The text, empty when it could not be read.
    pub text: String,
}

impl From<WriteError> for Failure {
    fn from(error: WriteError) -> Self {
        Self::Unwritable(error)
    }
}

impl From<Unsound> for Failure {
    fn from(error: Unsound) -> Self {
        Self::Defect(error.to_string())
    }
}

impl Failure {
    /// The documented exit code.
    pub(crate) fn exit_code(&self) -> u8 {
        match self {
            Self::BadInput(_) => 1,
            // A part that fails its checks is no design that meets the spec: it must be sound.
            Self::NoDesign(_) | Self::Defect(_) => 3,
            Self::Unwritable(_) => 4,
        }
    }

    /// The failure as text for a person.
    pub(crate) fn text(&self) -> String {
        match self {
            Self::BadInput(problems) => problems.text(),
            Self::NoDesign(problems) => format!("{}no design meets this spec\n", problems.text()),
            Self::Unwritable(error) => {
                format!("error: {error}\n  hint: choose a folder that can be written with `--out`, or make room\n")
            }
            Self::Defect(message) => format!("error: {message}\n"),
        }
    }

    /// The failure as a JSON document.
    pub(crate) fn document(&self) -> Value {
        let (reason, diagnostics) = match self {
            Self::BadInput(p) => ("bad input", json!(p.diagnostics)),
            Self::NoDesign(p) => ("no design", json!(p.diagnostics)),
            Self::Unwritable(e) => ("not written", json!([{ "message": e.to_string() }])),
            Self::Defect(m) => ("defect", json!([{ "message": m }])),
        };
        json!({ "done": false, "exit_code": self.exit_code(), "reason": reason, "diagnostics": diagnostics })
    }
}

impl Problems {
    fn text(&self) -> String {
        self.diagnostics.iter().map(|d| render(d, &self.text) + "\n").collect()
    }
}
