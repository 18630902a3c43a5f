//! Place of the generator of a surface of revolution, from which truck can find every point of the face again.
//!
//! Truck finds the angle of a point by an arc cosine. Near 0 and half a turn from the generator, that loses half of the
//! digits: about 2e-8 rad, which is more than truck's 1e-6 mm on a radius of 50 mm. The face is then left without a mesh.
//! So the generator stands in the gap of the arc, and the point half a turn from it is no point at which truck divides arcs.

use std::f64::consts::PI;

use crate::rational_arc::arc_pieces;

/// Least distance (rad) of the ends of a face from 0 and half a turn. At 0.01 rad, the arc cosine keeps 14 digits.
const CLEAR_RAD: f64 = 0.01;

/// Angle (rad) from the generator to the start of an arc of the given sweep.
pub(super) fn meridian_angle(sweep: f64) -> f64 {
    if sweep <= PI - 2.0 * CLEAR_RAD {
        return 0.5 * (PI - sweep);
    }
    let gap = 2.0 * PI - sweep;
    0.5 * gap - offset_from_middle(sweep, gap)
}

/// Distance (rad) from the middle of the arc to a point that truck does not use, at most a quarter of the gap.
///
/// Truck halves parameters of arcs again and again. In its piece, the point has the parameter m + 1/(3·2ⁿ), where m is
/// the middle of the arc: a parameter that no halving meets.
fn offset_from_middle(sweep: f64, gap: f64) -> f64 {
    let pieces = arc_pieces(sweep);
    let piece = sweep / f64::from(pieces);
    let middle = if pieces.is_multiple_of(2) { 0.0 } else { 0.5 };
    // Angle from the middle of a quadratic piece to its parameter t.
    let angle_at = |t: f64| 2.0 * ((2.0 * t - 1.0) * (0.25 * piece).tan()).atan();
    let mut step = 1.0 / 3.0;
    loop {
        step *= 0.5;
        let offset = angle_at(middle + step) - angle_at(middle);
        // The step has become nothing if there is no gap at all.
        if offset <= 0.25 * gap || step < f64::EPSILON {
            return offset;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Angle from the start of an arc to its point with this parameter in a piece.
    fn angle_of(piece: f64, t: f64) -> f64 {
        0.5 * piece + 2.0 * ((2.0 * t - 1.0) * (0.25 * piece).tan()).atan()
    }

    #[test]
    fn no_division_point_of_an_arc_is_near_the_generator_or_half_a_turn_from_it() {
        let special = [PI - 0.02, PI - 1e-9, PI, PI + 1e-9, 1.5 * PI, 2.0 * PI - 0.1, 2.0 * PI - 0.01];
        for sweep in (1..620).map(|k| f64::from(k) * 0.01).chain(special) {
            let start = meridian_angle(sweep);
            let pieces = arc_pieces(sweep);
            let piece = sweep / f64::from(pieces);
            for k in 0..=512 * pieces {
                let angle = start + f64::from(k / 512) * piece + angle_of(piece, f64::from(k % 512) / 512.0);
                let least = [0.0, PI, 2.0 * PI].map(|bad| (angle - bad).abs()).into_iter().fold(PI, f64::min);
                assert!(least > 1e-4, "{sweep}: {least}");
            }
        }
    }
}
