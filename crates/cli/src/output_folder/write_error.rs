//! Error of a folder that could not be written.

use std::{
    io,
    path::{Path, PathBuf},
};

/// Reason why the files of a run could not be written.
#[derive(Debug, thiserror::Error)]
pub(crate) enum WriteError {
    /// The system refuses an action.
    #[error("cannot {action} `{}`: {cause}", path.display())]
    System {
        /// Action that failed, as an imperative.
        action: &'static str,
        /// Path of the file or folder.
        path: PathBuf,
        /// Error of the system.
        cause: io::Error,
    },
    /// Files in the way that are not the program's.
    #[error("no run wrote {}, or somebody changed it since", listed(.0))]
    NotOurs(Vec<PathBuf>),
    /// Another run writes into the folder.
    #[error("`{}` is in use by {holder}", folder.display())]
    InUse {
        /// The folder.
        folder: PathBuf,
        /// The other run, as it describes itself.
        holder: String,
    },
    /// Somebody wrote a file while this run was writing.
    #[error("somebody wrote `{}` during this run", .0.display())]
    WrittenMeanwhile(PathBuf),
    /// A run stopped half-way and could not be taken back either.
    #[error("{failure}; taking the run back failed as well: {undo}")]
    Interrupted {
        /// Reason why the run could not go on.
        failure: Box<WriteError>,
        /// Reason why it could not be taken back.
        undo: Box<WriteError>,
    },
}

impl WriteError {
    /// Returns a function that names the action of an error of the system.
    pub(super) fn system(action: &'static str, path: &Path) -> impl FnOnce(io::Error) -> Self {
        let path = path.to_path_buf();
        move |cause| Self::System { action, path, cause }
    }

    /// Returns what the user can do.
    pub(crate) fn hint(&self) -> &'static str {
        match self {
            Self::System { .. } => "choose a folder that can be written with `--out`, or make room",
            Self::NotOurs(_) => "move or rename it, or choose another folder with `--out`",
            Self::InUse { .. } => "run the command again when the other one has ended",
            Self::WrittenMeanwhile(_) => "run the command again",
            Self::Interrupted { .. } => {
                "run the command again once the folder can be written: it first completes the interrupted run or takes it back"
            }
        }
    }
}

fn listed(paths: &[PathBuf]) -> String {
    let shown: Vec<String> = paths.iter().map(|path| format!("`{}`", path.display())).collect();
    shown.join(", ")
}
