//! Release of a casting from its silicone mould.
//!
//! - [`face_drafts()`] gives draft and undercut of every face in a [`MouldHalf`]; [`group_drafts()`] sums them up.
//!
//! Lengths in mm, angles in rad. Axes are those of the part.

mod face_draft;
mod mould_half;
mod round_face;
mod vector;

pub use face_draft::{FaceDraft, FaceGroup, GroupDraft, face_drafts, group_drafts};
pub use mould_half::MouldHalf;

#[cfg(test)]
mod turned_part;
