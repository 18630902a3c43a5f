//! Error of all steps, for programs that do not tell them apart.

use gripwright_calibration::FitModelError;
use gripwright_input::Diagnostic;

use crate::{output_file::OutputError, problems::Problems, sizing_run::SizingError, solids::PartError};

/// Error of any step of the library; each step has a narrower type of its own, which converts into this one.
#[derive(Clone, Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A spec, or a file that it names, cannot be used.
    #[error("an input file cannot be used")]
    BadInput(#[from] Problems),
    /// The spec is contradictory, or no design meets it.
    #[error(transparent)]
    Sizing(#[from] SizingError),
    /// A part fails its checks: a defect of the library.
    #[error("a part fails its checks")]
    Part(#[from] PartError),
    /// A file cannot be encoded: a defect of the library.
    #[error("a file cannot be encoded")]
    Output(#[from] OutputError),
    /// Trials cannot be evaluated.
    #[error("the trials cannot be evaluated")]
    FitModel(#[from] FitModelError),
}

impl Error {
    /// Problems with their places in the input file; empty for errors that have no place there.
    pub fn diagnostics(&self) -> &[Diagnostic] {
        match self {
            Self::BadInput(problems)
            | Self::Sizing(SizingError::BadSpec(problems) | SizingError::NoDesign(problems)) => &problems.diagnostics,
            Self::Part(_) | Self::Output(_) | Self::FitModel(_) => &[],
        }
    }
}
