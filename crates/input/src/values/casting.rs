//! Values of a cast part's mould.

use serde::Serialize;

/// Parting of the mould of a cast part.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Parting {
    /// Two halves that part in the middle of all parts; the draft leans inward both ways. Also the parting of a part that is
    /// only printed.
    #[default]
    Middle,
    /// Two halves that part at the lower end, where mount and clip are flush; the draft runs one way over the full length.
    End,
    /// One block that is cut open by knife; no draft.
    Cut,
}
