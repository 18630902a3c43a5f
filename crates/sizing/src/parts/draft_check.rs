//! Outlines that bear draft and chamfer.

use gripwright_input::{Finish, GrippingFaces};
use gripwright_section::{Outline, Role, inset, last_passing, round_inner_corners, run_out_at_lips};

use crate::{parts::holder_fault::HolderFault, rounding::floor_to};

/// Halvings between a draft that the outline bears and one that it does not.
const HALVINGS: usize = 24;

/// Radius in the inner corners of shoulders, mm. Common practice, no source.
const SHOULDER_FILLET_MM: f64 = 0.5;

/// Prism whose ends draft and chamfer move.
#[derive(Clone, Copy)]
pub(crate) struct FinishedEnds<'a> {
    pub(crate) length_mm: f64,
    pub(crate) finish: &'a Finish,
    /// Greatest outward move of gripping faces that follow a tapered body, mm.
    pub(crate) grip_out_mm: f64,
}

impl FinishedEnds<'_> {
    /// Ends of a part whose body or barrel does not taper.
    pub(crate) fn straight(length_mm: f64, finish: &Finish) -> FinishedEnds<'_> {
        FinishedEnds { length_mm, finish, grip_out_mm: 0.0 }
    }

    /// Greatest inward move of the back, mm. The draft ends where the chamfer begins.
    fn back_in_mm(&self, draft_rad: f64) -> f64 {
        let chamfer_mm = self.finish.chamfer_mm;
        (0.5 * self.length_mm - chamfer_mm).max(0.0) * draft_rad.tan() + chamfer_mm
    }

    /// Outlines of one part at several heights, with round shoulders, and with flats beside straight lips that leave no step
    /// there. A lip too thin for them keeps the step.
    pub(crate) fn run_out<const N: usize>(&self, outlines: &[Outline; N]) -> [Outline; N] {
        self.run_out_for(outlines, self.finish.draft_rad)
    }

    fn run_out_for<const N: usize>(&self, outlines: &[Outline; N], draft_rad: f64) -> [Outline; N] {
        let apart_mm = match self.finish.gripping_faces {
            GrippingFaces::Straight => self.back_in_mm(draft_rad) + self.grip_out_mm,
            GrippingFaces::Drafted => 0.0,
        };
        let out = run_out_at_lips(outlines, apart_mm).unwrap_or_else(|_| outlines.clone());
        let back_in_mm = self.back_in_mm(draft_rad);
        out.map(|outline| round_inner_corners(&outline, SHOULDER_FILLET_MM, back_in_mm).unwrap_or(outline))
    }

    /// The outlines with flats beside straight lips, if they can be moved inward as draft and chamfer ask.
    pub(crate) fn checked<const N: usize>(&self, outlines: &[Outline; N]) -> Result<[Outline; N], HolderFault> {
        let drawn = |draft_rad: f64| {
            let out = self.run_out_for(outlines, draft_rad);
            out.iter().all(|outline| self.bears(outline, self.back_in_mm(draft_rad))).then_some(out)
        };
        let draft_rad = self.finish.draft_rad;
        drawn(draft_rad).ok_or_else(|| {
            let works_rad = last_passing(0.0, draft_rad, HALVINGS, |draft_rad| drawn(draft_rad).is_some());
            HolderFault::Draft { works_deg: floor_to(works_rad.to_degrees(), 0.1) }
        })
    }

    fn bears(&self, outline: &Outline, back_in_mm: f64) -> bool {
        let amount = |role: Role| match (role, self.finish.gripping_faces) {
            (Role::Pad, _) => 0.0,
            (role, GrippingFaces::Straight) if role.grips() => -self.grip_out_mm,
            _ => back_in_mm,
        };
        let amounts: Vec<f64> = outline.segments().iter().map(|s| amount(s.role)).collect();
        inset(outline, &amounts).is_ok_and(|moved| moved.to_outline(outline).is_ok_and(|o| o.self_contact().is_none()))
    }
}
