//! Rounds in the inner corners of shoulders, which would be notches in the part and fins in its silicone mould.

use crate::{
    curve::Curve,
    fillet::{RoundedCorner, fillet},
    outline::{Outline, OutlineError, Segment},
    role::Role,
};

/// Shortest line beside a round, mm: shorter edges vanish in the single precision of meshes.
const SHORTEST_MM: f64 = 0.08;

/// Rounds every inner corner between two lines with `radius_mm`, or with less where a line is short.
///
/// All lines must still bear an inward move by `move_mm`, by which a line from a round to an outer corner gets shorter; a
/// line that ends at a pad does not, because pads stay. A corner without room for any round stays sharp.
pub fn round_inner_corners(outline: &Outline, radius_mm: f64, move_mm: f64) -> Result<Outline, OutlineError> {
    let segments = outline.segments();
    let lost_mm = |beyond: usize| if segments[beyond % segments.len()].role == Role::Pad { 0.0 } else { move_mm };
    let mut out: Vec<Segment> = Vec::with_capacity(segments.len());
    for (index, segment) in segments.iter().enumerate() {
        let lost_mm = [index + segments.len() - 2, index + 1].map(lost_mm);
        match out.last_mut().and_then(|last| rounded(&last.curve, &segment.curve, radius_mm, lost_mm).zip(Some(last))) {
            Some((RoundedCorner { before, arc, after }, last)) => {
                last.curve = before;
                let role = last.role;
                out.extend([Segment::new(arc, role), Segment::new(after, segment.role)]);
            }
            None => out.push(*segment),
        }
    }
    Outline::new(out)
}

/// The corner of two lines, rounded if it is an inner corner with room: the lines lose these lengths to inward moves, mm.
fn rounded(first: &Curve, second: &Curve, radius_mm: f64, lost_mm: [f64; 2]) -> Option<RoundedCorner> {
    let lines = matches!((first, second), (Curve::Line { .. }, Curve::Line { .. }));
    let (before, after) = (first.tangent(1.0), second.tangent(0.0));
    let sine = -before.cross(after);
    if !(lines && sine > 0.0) {
        return None;
    }
    // Way from the corner to the end of a round, over its radius: the tangent of half of the turn.
    let way = sine / (1.0 + before.dot(after));
    let room = (first.length() - lost_mm[0]).min(second.length() - lost_mm[1]) - SHORTEST_MM;
    fillet(first, second, radius_mm.min(room / way)).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{ClipBack, VeeClip, inset, vee_axis_mm};

    fn vee(neck_mm: f64) -> Outline {
        let back = ClipBack::Pad { half_width_mm: neck_mm, depth_mm: 1.5, fillet_mm: 1.0 };
        let clip = VeeClip {
            angle_rad: 1.6,
            axis_mm: vee_axis_mm(1.6, 6.0),
            root_radius_mm: 1.0,
            flat_mm: 7.0,
            closing_radius_mm: 6.0,
            half_wrap_rad: 2.1,
            root_wall_mm: 1.6,
            lip_wall_mm: 1.2,
            lead_in: None,
            back,
        };
        clip.outline().expect("it can be drawn")
    }

    fn inner_corners(outline: &Outline) -> usize {
        let segments = outline.segments();
        let next = segments.iter().cycle().skip(1);
        segments.iter().zip(next).filter(|(a, b)| a.curve.tangent(1.0).cross(b.curve.tangent(0.0)) < -1e-6).count()
    }

    #[test]
    fn the_shoulders_of_a_vee_are_rounded_and_bear_the_move() {
        let plain = vee(2.0);
        assert_eq!(inner_corners(&plain), 2);
        let out = round_inner_corners(&plain, 0.5, 0.5).expect("drawn");
        assert_eq!(inner_corners(&out), 0);
        assert_eq!(out.segments().len(), plain.segments().len() + 2);
        let amounts: Vec<f64> =
            out.segments().iter().map(|s| if s.role.grips() || s.role == Role::Pad { 0.0 } else { 0.5 }).collect();
        let moved = inset(&out, &amounts).expect("it bears the move").to_outline(&out).expect("it closes");
        assert!(moved.self_contact().is_none());
        // A quarter of a square less a quarter of a circle is filled in each corner.
        let filled = 2.0 * 0.25 * (1.0 - std::f64::consts::FRAC_PI_4);
        assert!((out.area_mm2() - plain.area_mm2() - filled).abs() < 1e-9);
    }

    /// The pad under a neck stays where draft and chamfer move the neck's sides, so that a short neck has room for a round.
    #[test]
    fn a_short_neck_has_room_for_a_round() {
        let plain = vee(2.0);
        let neck_mm = plain.segments().windows(2).find(|s| s[1].role == Role::Pad).map(|s| s[0].curve.length());
        let move_mm = neck_mm.expect("it stands on a pad") - 0.3;
        let out = round_inner_corners(&plain, 0.5, move_mm).expect("drawn");
        assert_eq!(inner_corners(&out), 0);
        let least_mm = out.segments().iter().filter_map(|s| match s.curve {
            Curve::Arc { radius, .. } => Some(radius),
            Curve::Line { .. } => None,
        });
        assert!(least_mm.fold(f64::INFINITY, f64::min) >= 0.5 - 1e-9);
    }

    #[test]
    fn a_corner_without_room_stays() {
        assert_eq!(round_inner_corners(&vee(2.0), 0.5, 50.0).as_ref(), Ok(&vee(2.0)));
    }
}
