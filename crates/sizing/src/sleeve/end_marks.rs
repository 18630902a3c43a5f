//! Strokes that identify sleeves: as many on one end as the sleeve's number.
//!
//! The end of a sleeve is a ring two or three millimetres wide. No letter that prints fits there, a stroke does. The
//! strokes begin beside the slit, where a ring on a barrel bends least.

use gripwright_section::{Point, SplitRing};

/// Width of a stroke, mm, as in the labels of coupons.
pub(crate) const STROKE_MM: f64 = 0.6;
/// Least material beside a stroke, mm: one line of a common 0.4 mm nozzle. Common practice, no source.
const LEAST_BESIDE_MM: f64 = 0.4;
/// From one stroke to the next in the middle of the ring, mm, and at least at its inner end. Common practice, no
/// source.
const PITCH_MM: f64 = 1.8;
const LEAST_PITCH_MM: f64 = 1.2;

/// The end of a sleeve, between its chamfers.
#[derive(Clone, Copy, Debug)]
pub(crate) struct End {
    /// The ring with its collar.
    pub(crate) rim: SplitRing,
    pub(crate) chamfer_mm: f64,
    /// Material under a stroke beside the collar's cone, mm.
    pub(crate) under_mm: f64,
    pub(crate) least_wall_mm: f64,
}

/// Centre lines of `count` radial strokes; empty when they have no room.
pub(crate) fn marks(end: &End, count: usize) -> Vec<[Point; 2]> {
    let End { rim, chamfer_mm, under_mm, least_wall_mm } = *end;
    // The cone under the rim adds to what is left there what the stroke keeps from the edge.
    let beside = LEAST_BESIDE_MM.max(0.5 * least_wall_mm).max(least_wall_mm - under_mm);
    let keeps = chamfer_mm + beside + 0.5 * STROKE_MM;
    let (inner, outer) = (rim.bore_radius_mm + keeps, rim.bore_radius_mm + rim.wall_mm - keeps);
    // A stroke is longer than a dot by what its two ends must not fall together.
    if outer - inner < 0.01 {
        return Vec::new();
    }
    let step = (PITCH_MM / (0.5 * (inner + outer))).max(LEAST_PITCH_MM / inner);
    let turn = |index: usize| rim.half_wrap_rad - step * (index + 1) as f64;
    if count > 0 && turn(count) < -rim.half_wrap_rad {
        return Vec::new();
    }
    let direction = |index: usize| Point::unit(turn(index) - std::f64::consts::FRAC_PI_2);
    (0..count).map(|index| [direction(index) * inner, direction(index) * outer]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const END: End = End {
        rim: SplitRing { bore_radius_mm: 6.0, wall_mm: 2.45, half_wrap_rad: 2.88, edge_mm: 0.3 },
        chamfer_mm: 0.2,
        under_mm: 0.6,
        least_wall_mm: 0.8,
    };

    #[test]
    fn strokes_keep_off_the_edges_and_each_other() {
        for bore_radius_mm in [1.5, 3.0, 6.0, 20.0] {
            let end = End { rim: SplitRing { bore_radius_mm, ..END.rim }, ..END };
            let strokes = marks(&end, 4);
            assert_eq!(strokes.len(), 4);
            for [a, b] in &strokes {
                assert!((a.length() - bore_radius_mm - 0.9).abs() < 1e-12, "{a:?}");
                assert!((bore_radius_mm + 2.45 - 0.9 - b.length()).abs() < 1e-12, "{b:?}");
            }
            for pair in strokes.windows(2) {
                let [gap, _] = [0, 1].map(|end| pair[0][end].distance(pair[1][end]));
                assert!(gap - STROKE_MM >= 0.55, "{bore_radius_mm} {gap}");
            }
            // From the slit's face, which is radial.
            let face = Point::unit(END.rim.half_wrap_rad - std::f64::consts::FRAC_PI_2);
            assert!((strokes[0][0].cross(face)).abs() > 1.1, "{strokes:?}");
        }
    }

    #[test]
    fn an_end_without_room_has_no_strokes() {
        assert!(marks(&END, 0).is_empty());
        assert!(marks(&END, 40).is_empty());
        assert!(marks(&End { rim: SplitRing { wall_mm: 1.7, ..END.rim }, ..END }, 1).is_empty());
        assert!(marks(&End { least_wall_mm: 1.6, ..END }, 1).is_empty());
    }
}
