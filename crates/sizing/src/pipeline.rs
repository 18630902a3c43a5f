//! Pipeline of sizing: from a spec to a design, or to typed failures.
//!
//! The spec is split into briefs in [`design_run`]; nothing below takes the whole of it. The mount and the family are
//! searched in [`mount_and_family`], one after the other where an aim or the order of letting go couples them.
//! [`assembly`] puts the parts together and checks them. [`pad_width`] repeats this with wider pads until the web is stiff
//! enough. Messages and remedies are made afterwards, by `explain`.

pub(crate) mod ambition;
pub(crate) mod assembly;
pub(crate) mod calibrated;
pub(crate) mod clip_lengths;
pub(crate) mod design_run;
pub(crate) mod failure;
pub(crate) mod mount_and_family;
pub(crate) mod pad_width;
pub(crate) mod refusal_work;
pub(crate) mod support_movement;
