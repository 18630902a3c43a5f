//! Release of a casting from its silicone mould.
//!
//! ```text
//!  MouldHalf ──▶ face_drafts() ──▶ undercut_stretches() ──┐     straight pull
//!  outlines of the gripping faces ──▶ MouthWidths ────────┼──▶ ReleaseFindings ──▶ ReleaseVerdict::judge()
//!  meshed clip, core ──▶ core_pull_strain() ──────────────┤     pull across, mouth first
//!  meshes of all parts ──▶ thinnest_fin() ────────────────┘
//! ```
//!
//! - [`face_drafts()`] gives draft and undercut of every face in a [`MouldHalf`]; [`group_drafts()`] sums them up.
//! - [`undercut_stretches()`] and [`MouthWidths`] give the stretch that is asked of the rubber.
//! - [`thinnest_fin()`] measures the rubber between facing walls.
//! - [`core_pull_strain()`] gives the strain of arms that open over their core.
//! - [`ReleaseVerdict`] says in plain words whether the part comes off, and why.
//!
//! A part parted at its end or in the middle leaves by a straight pull. One that is cut out of its block needs no draft: the
//! block is peeled open, and mouths pass their cores in a pull across.
//!
//! Lengths in mm, angles in rad, moduli in MPa; strains and stretches are shares of one. Axes are those of the part.

mod face_draft;
mod mesh_rays;
mod mould_half;
mod pull_strain;
mod release_verdict;
mod round_face;
mod rubber_fin;
mod rubber_stretch;
#[cfg(test)]
mod turned_part;

pub use face_draft::{FaceDraft, FaceGroup, GroupDraft, face_drafts, group_drafts};
pub use mould_half::MouldHalf;
pub use pull_strain::{GreenMaterial, PullStrain, core_pull_strain};
pub use release_verdict::{ReleaseConcern, ReleaseFindings, ReleaseLimits, ReleaseVerdict};
pub use rubber_fin::{LEAST_FIN_MM, RubberFin, thinnest_fin};
pub use rubber_stretch::{MouthWidths, STRETCH_SHARE, UndercutStretch, undercut_stretches};
