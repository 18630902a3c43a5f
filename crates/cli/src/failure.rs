//! Failures of commands, and their exit codes.

use std::io;

use gripwright::{MouldError, OutputError, PartError, Problems, SizingError};
use serde_json::{Value, json};

use crate::output_folder::WriteError;

/// Reason why a command could not do its work.
#[derive(Debug)]
pub(crate) enum Failure {
    /// Problems in the spec or another input file.
    BadInput(Problems),
    /// A sound spec that no design meets.
    NoDesign(Problems),
    /// A sound spec whose part cannot be cast as it says.
    NoMould(Problems),
    /// Files could not be written, and what the user can do.
    Unwritable { error: WriteError, hint: &'static str },
    /// The second mesher disagrees about a part.
    #[cfg(feature = "truck")]
    NotVerified(String),
    /// Data that the command prints could not be written to the standard output.
    Unprintable(io::Error),
    /// A finished part failed its own checks or could not be drawn: a defect of the program.
    Defect(String),
}

impl From<Problems> for Failure {
    fn from(problems: Problems) -> Self {
        Self::BadInput(problems)
    }
}

impl From<SizingError> for Failure {
    fn from(error: SizingError) -> Self {
        match error {
            SizingError::BadSpec(problems) => Self::BadInput(problems),
            SizingError::NoDesign(problems) => Self::NoDesign(problems),
        }
    }
}

impl From<MouldError> for Failure {
    fn from(error: MouldError) -> Self {
        match error {
            MouldError::NotCast(problems) => Self::BadInput(problems),
            MouldError::NoMould(problems) => Self::NoMould(problems),
            defect => Self::Defect(defect.to_string()),
        }
    }
}

impl From<WriteError> for Failure {
    fn from(error: WriteError) -> Self {
        let hint = error.hint();
        Self::Unwritable { error, hint }
    }
}

impl From<OutputError> for Failure {
    fn from(error: OutputError) -> Self {
        Self::Defect(error.to_string())
    }
}

#[cfg(feature = "truck")]
impl From<gripwright::MeshDisagreement> for Failure {
    fn from(error: gripwright::MeshDisagreement) -> Self {
        Self::NotVerified(error.to_string())
    }
}

impl From<PartError> for Failure {
    fn from(error: PartError) -> Self {
        Self::Defect(error.to_string())
    }
}

impl Failure {
    /// Returns the documented exit code.
    pub(crate) fn exit_code(&self) -> u8 {
        match self {
            Self::BadInput(_) => 1,
            // A part that fails its checks is no design that meets the spec: it must be sound.
            Self::NoDesign(_) | Self::NoMould(_) | Self::Defect(_) => 3,
            Self::Unwritable { .. } | Self::Unprintable(_) => 4,
            #[cfg(feature = "truck")]
            Self::NotVerified(_) => 5,
        }
    }

    /// Returns the failure as text for a person.
    pub(crate) fn text(&self) -> String {
        match self {
            Self::BadInput(problems) => problems.rendered(),
            Self::NoDesign(problems) => {
                format!("{}no design meets this spec; changes that may free it were looked for\n", problems.rendered())
            }
            Self::NoMould(problems) => format!("{}no design meets this spec\n", problems.rendered()),
            Self::Unwritable { error, hint } => format!("error: {error}\n  hint: {hint}\n"),
            Self::Unprintable(cause) => format!("error: cannot write to the standard output: {cause}\n"),
            #[cfg(feature = "truck")]
            Self::NotVerified(message) => {
                format!("error: {message}\n  a part failed the second mesher; nothing was written\n")
            }
            Self::Defect(message) => format!("error: {message}\n"),
        }
    }

    /// Returns the failure as a JSON document.
    pub(crate) fn document(&self) -> Value {
        let (reason, diagnostics) = match self {
            Self::BadInput(p) => ("bad input", json!(p.diagnostics)),
            Self::NoDesign(p) | Self::NoMould(p) => ("no design", json!(p.diagnostics)),
            Self::Unwritable { error, hint } => {
                ("not written", json!([{ "message": error.to_string(), "hints": [hint] }]))
            }
            #[cfg(feature = "truck")]
            Self::NotVerified(m) => ("not verified", json!([{ "message": m }])),
            Self::Unprintable(cause) => ("not written", json!([{ "message": cause.to_string() }])),
            Self::Defect(m) => ("defect", json!([{ "message": m }])),
        };
        let mut document =
            json!({ "done": false, "exit_code": self.exit_code(), "reason": reason, "diagnostics": diagnostics });
        if matches!(self, Self::NoDesign(_)) {
            document["remedies"] = json!("looked for");
        }
        document
    }
}

#[cfg(feature = "truck")]
#[cfg(test)]
mod tests {
    use gripwright::{MeshDisagreement, Mesher};

    use super::*;

    #[test]
    fn a_part_that_fails_the_second_mesher_has_its_own_exit_code() {
        let open = MeshDisagreement::Open { part: "Holder A".to_owned(), mesher: Mesher::Truck, open_sides: 3 };
        let failure = Failure::from(open);
        assert_eq!(failure.exit_code(), 5);
        assert!(failure.text().contains("Holder A: the second mesh has 3 open sides"), "{}", failure.text());
        assert!(failure.text().contains("nothing was written"), "{}", failure.text());
        let document = failure.document();
        assert_eq!((&document["done"], &document["exit_code"]), (&json!(false), &json!(5)));
        assert_eq!(document["reason"], "not verified");
    }
}
