//! Region that a convex outline sweeps during a straight translation.

use std::f64::consts::{FRAC_PI_2, TAU};

use crate::{
    curve::Curve,
    outline::{Outline, OutlineError, Segment},
    point::Point,
};

/// Arcs are not split closer than this (rad) to their ends.
const LEAST_PIECE_RAD: f64 = 1e-4;

/// Outline of the region that a convex, counter-clockwise outline covers while it moves by `shift`.
pub fn linear_sweep(convex: &Outline, shift: Point) -> Result<Outline, OutlineError> {
    let mut pieces: Vec<Segment> = Vec::new();
    for segment in convex.segments() {
        pieces.extend(
            split_at_silhouette(&segment.curve, shift).into_iter().map(|curve| Segment::new(curve, segment.role)),
        );
    }
    let leads = |s: &Segment| -s.curve.tangent(0.5).turned_left().dot(shift) > 1e-12 * shift.length();
    let mut out: Vec<Segment> = Vec::with_capacity(pieces.len() + 2);
    for (i, piece) in pieces.iter().enumerate() {
        let next = pieces[(i + 1) % pieces.len()];
        let (moves, next_moves) = (leads(piece), leads(&next));
        let placed = if moves { piece.curve.moved(0.0, shift) } else { piece.curve };
        out.push(Segment::new(placed, piece.role));
        if moves != next_moves {
            let start = next.curve.start();
            let to = if next_moves { start + shift } else { start };
            out.push(Segment::new(Curve::line(placed.end(), to), piece.role));
        }
    }
    Outline::new(out)
}

/// Splits an arc where its outward normal is perpendicular to the translation.
fn split_at_silhouette(curve: &Curve, shift: Point) -> Vec<Curve> {
    let Curve::Arc { centre, radius, start_angle, sweep } = *curve else { return vec![*curve] };
    let turn = |side: f64| (shift.angle() + side - start_angle).rem_euclid(TAU);
    let inside = |t: &f64| *t > LEAST_PIECE_RAD && *t < sweep - LEAST_PIECE_RAD;
    let mut cuts: Vec<f64> = [turn(FRAC_PI_2), turn(-FRAC_PI_2)].into_iter().filter(inside).collect();
    cuts.sort_by(f64::total_cmp);
    let ends: Vec<f64> = std::iter::once(0.0).chain(cuts).chain([sweep]).collect();
    ends.windows(2).map(|pair| Curve::arc(centre, radius, start_angle + pair[0], pair[1] - pair[0])).collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{
        convex_volume::{ConvexVolume, VolumeAxis, VolumeProfile},
        test_outlines::{circle, fixed_seed},
    };

    #[test]
    fn a_circle_becomes_a_slot() {
        let slot = linear_sweep(&circle(Point::new(1.0, 2.0), 3.0), Point::new(4.0, 0.0)).unwrap();
        assert!((slot.area_mm2() - (9.0 * std::f64::consts::PI + 24.0)).abs() < 1e-9);
    }

    proptest! {
        #![proptest_config(fixed_seed(0xd0))]
        /// Cavalieri: the area grows by the distance times the width perpendicular to it.
        #[test]
        fn a_sweep_grows_by_its_shadow(
            from in -3.0..3.0f64, turn in 0.01..3.1f64, reach in 2.0..30.0f64, way in 0.5..40.0f64, to in -3.0..3.0f64,
        ) {
            let profile = VolumeProfile::Sweep {
                pivot: Point::new(3.0, -1.0), reach_mm: reach, half_thickness_mm: 1.2, from_rad: from, to_rad: from + turn,
            };
            let outline = ConvexVolume { axis: VolumeAxis::X, profile, from_mm: 0.0, to_mm: 1.0 }.side_view(0.5).unwrap();
            let found = linear_sweep(&outline, Point::unit(to) * way).unwrap();
            let shadow = outline.moved(-to, Point::ORIGIN).bounds().size().y;
            prop_assert!(found.self_contact().is_none());
            prop_assert!((found.area_mm2() - outline.area_mm2() - way * shadow).abs() < 1e-3 * way, "{}", found.area_mm2());
        }
    }
}
