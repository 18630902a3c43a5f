//! Reasons why a design has no mould.

use gripwright_casting::{
    BatchError, CavityError, MasterOutlineError,
    mould::{LayoutError, PartError as MouldPartError},
};

use gripwright_input::{Diagnostic, Source};

use crate::{problems::Problems, solids::PartError};

/// Reason why a design has no mould.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MouldError {
    /// The spec does not say how the part is cast.
    #[error("the spec does not say how the part is cast")]
    NotCast(#[source] Problems),
    /// The spec is sound, but no mould meets it.
    #[error("no mould meets the spec")]
    NoMould(#[source] Problems),
    /// A master has no outline: a defect of the library.
    #[error("{master}: {cause}")]
    Outline {
        /// Name of the master.
        master: String,
        /// Reason.
        cause: MasterOutlineError,
    },
    /// A part fails its checks: a defect of the library.
    #[error(transparent)]
    Part(#[from] PartError),
    /// The cavity of a master cannot be searched for air: a defect of the library.
    #[error("{master}: {cause}")]
    Cavity {
        /// Name of the master.
        master: String,
        /// Reason.
        cause: CavityError,
    },
    /// The masters have no layout: a defect of the library.
    #[error(transparent)]
    Layout(#[from] LayoutError),
    /// A printed part of the mould cannot be drawn: a defect of the library.
    #[error(transparent)]
    MouldPart(#[from] MouldPartError),
    /// A batch cannot be divided: a defect of the library.
    #[error(transparent)]
    Batch(#[from] BatchError),
}

impl MouldError {
    /// A problem at a key of the spec that no mould can meet.
    pub(crate) fn unmet(source: &Source, problem: Diagnostic) -> Self {
        Self::NoMould(Problems::in_source(vec![problem], source))
    }
}
