//! Error of all steps, for programs that do not tell them apart.

use gripwright_input::Diagnostic;

use crate::{output_file::OutputError, problems::Problems, sizing_run::SizingError, solids::PartError};

/// Error of any step of the library; each step has a narrower type of its own, which converts into this one.
#[derive(Clone, Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A spec, or a file that it names, cannot be used, or trials cannot be evaluated.
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
}

impl Error {
    /// Problems with their places in the input file; empty for errors that have no place there.
    pub fn diagnostics(&self) -> &[Diagnostic] {
        match self {
            Self::BadInput(problems)
            | Self::Sizing(SizingError::BadSpec(problems) | SizingError::NoDesign(problems)) => &problems.diagnostics,
            Self::Part(_) | Self::Output(_) => &[],
        }
    }
}

#[cfg(test)]
mod tests {
    use std::error::Error as _;

    use gripwright_export::StlError;
    use gripwright_solid::MassError;

    use super::*;
    use crate::{PartDefect, Project};

    /// Texts of an error and of all its sources.
    fn chain(error: &Error) -> Vec<String> {
        let mut texts = vec![error.to_string()];
        let mut cause = error.source();
        while let Some(source) = cause {
            texts.push(source.to_string());
            cause = source.source();
        }
        texts
    }

    #[test]
    fn the_chain_of_each_error_says_no_sentence_twice() {
        let cause: PartDefect = MassError::Empty { volume_mm3: 0.0 }.into();
        let defect = cause.to_string();
        let part = PartError { part: "Holder A".to_owned(), cause };
        let no_design = gripwright_input::STARTER_SPEC.replace("at_most = \"40 N\"", "at_most = \"1 N\"");
        let project: Project = no_design.parse().expect("the spec is sound");
        let problems = project.design().expect_err("a push of 1 N snaps nothing on");
        let bad_spec = "".parse::<Project>().expect_err("a spec has a body");
        let encoding = OutputError::encoding("holder", StlError::NoTriangles);
        for (error, last) in [
            (Error::from(part.clone()), format!("Holder A: {defect}")),
            (Error::from(OutputError::from(part)), format!("Holder A: {defect}")),
            (Error::from(encoding), format!("holder: {}", StlError::NoTriangles)),
            (Error::from(bad_spec.clone()), bad_spec.to_string()),
            (Error::from(problems), String::new()),
        ] {
            let texts = chain(&error);
            assert!(texts.len() > 1 && texts.last().is_some_and(|text| text.ends_with(&last)), "{texts:?}");
            for (index, text) in texts.iter().enumerate() {
                assert!(texts[..index].iter().all(|earlier| !earlier.contains(text.as_str())), "{texts:?}");
            }
        }
    }
}
