//! Outlines that bear draft and chamfer.

use gripwright_input::{Finish, GrippingFaces, Parting};
use gripwright_section::{Outline, Role, inset, last_passing, round_inner_corners, run_out_at_lips};

use crate::{
    limits::design_limits::drafted_length_mm, parts::holder_fault::HolderFault, rounding::floor_to,
    shape::clip_geometry::ClipGeometry,
};

/// Halvings between a draft that the outline bears and one that it does not.
const HALVINGS: usize = 24;

/// Radius in the inner corners of shoulders, mm. Common practice, no source.
const SHOULDER_FILLET_MM: f64 = 0.5;

/// Least wall between the chamfers of seat and back at the end on the bed, mm, and shallowest chamfer of a seat over that
/// of the back. Common practice, no source.
const KEPT_AT_BED_MM: f64 = 0.25;
const SHALLOWEST: f64 = 0.5;

/// Narrowest shoulder beside what draft and chamfer take of it, mm: a round of 0.3 mm, and a line beside it.
const NARROWEST_SHOULDER_MM: f64 = 0.4;

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
    pub(crate) fn back_in_mm(&self, draft_rad: f64) -> f64 {
        let chamfer_mm = self.finish.chamfer_mm;
        (drafted_length_mm(self.length_mm, self.finish.parting) - chamfer_mm).max(0.0) * draft_rad.tan() + chamfer_mm
    }

    /// The clip without shoulders that have no room for a round, if it can be drawn.
    pub(crate) fn without_narrow_shoulders(&self, clip: ClipGeometry) -> ClipGeometry {
        let ClipGeometry::Vee(vee) = clip else { return clip };
        let least_mm = self.back_in_mm(self.finish.draft_rad) + NARROWEST_SHOULDER_MM;
        let flush = ClipGeometry::Vee(vee.without_narrow_shoulders(least_mm));
        if flush.outline().is_ok() { flush } else { clip }
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

    /// Depth of the chamfer on straight gripping faces at the end on the printer's bed, mm, for outlines with flats and the
    /// thinnest wall between them: as deep as that of the back, or as the wall leaves.
    ///
    /// It takes less than 1 % of an arm's stiffness at the lengths of clips, so that the solver does not count it.
    pub(crate) fn seat_chamfer_mm(&self, outlines: &[Outline], thinnest_mm: f64) -> f64 {
        // At a parting end the edges are sharp: resin would run under a chamfer.
        if self.finish.gripping_faces == GrippingFaces::Drafted || self.finish.parting == Parting::End {
            return 0.0;
        }
        let back_in_mm = self.back_in_mm(self.finish.draft_rad);
        let chamfer_mm = self.finish.chamfer_mm;
        let depth_mm = (thinnest_mm - back_in_mm - KEPT_AT_BED_MM).min(chamfer_mm);
        let bears = depth_mm > 0.0
            && depth_mm >= SHALLOWEST * chamfer_mm
            && outlines.iter().all(|outline| bears(outline, [back_in_mm, depth_mm]));
        if bears { floor_to(depth_mm, 0.01) } else { 0.0 }
    }

    fn bears(&self, outline: &Outline, back_in_mm: f64) -> bool {
        let grip_in_mm = match self.finish.gripping_faces {
            GrippingFaces::Straight => -self.grip_out_mm,
            GrippingFaces::Drafted => back_in_mm,
        };
        bears(outline, [back_in_mm, grip_in_mm])
    }
}

/// True if the back and the gripping faces of an outline can move in by these lengths, mm.
fn bears(outline: &Outline, [back_in_mm, grip_in_mm]: [f64; 2]) -> bool {
    let amount = |role: Role| match role {
        Role::Pad => 0.0,
        role if role.grips() => grip_in_mm,
        _ => back_in_mm,
    };
    let amounts: Vec<f64> = outline.segments().iter().map(|s| amount(s.role)).collect();
    inset(outline, &amounts).is_ok_and(|moved| moved.to_outline(outline).is_ok_and(|o| o.self_contact().is_none()))
}

#[cfg(test)]
mod tests {
    use gripwright_section::{ClipBack, RoundClip};

    use super::*;

    fn chamfer_mm(wall_mm: f64, gripping_faces: GrippingFaces) -> f64 {
        let back = ClipBack::Pad { half_width_mm: 2.0, depth_mm: 1.0, fillet_mm: 1.0 };
        let clip = RoundClip {
            seat_radius_mm: 6.0,
            root_wall_mm: wall_mm,
            lip_wall_mm: wall_mm,
            half_wrap_rad: 2.0,
            lead_in: None,
            back,
        };
        let finish = Finish { draft_rad: 0.0, parting: Parting::Middle, gripping_faces, chamfer_mm: 0.4 };
        let ends = FinishedEnds::straight(10.0, &finish);
        let outlines = ends.checked(&[clip.outline().expect("drawn")]).expect("it bears the chamfer");
        ends.seat_chamfer_mm(&outlines, wall_mm)
    }

    #[test]
    fn seats_have_the_chamfer_that_their_wall_leaves() {
        let near = |found: f64, wanted: f64| (found - wanted).abs() < 1e-9;
        assert!(near(chamfer_mm(1.6, GrippingFaces::Straight), 0.4));
        assert!(near(chamfer_mm(0.9, GrippingFaces::Straight), 0.25));
        assert!(near(chamfer_mm(0.8, GrippingFaces::Straight), 0.0));
        assert!(near(chamfer_mm(1.6, GrippingFaces::Drafted), 0.0));
    }
}
