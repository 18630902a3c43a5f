//! Circular arcs as exact rational B-spline curves of degree 2, in pieces of at most a quarter turn.

use std::f64::consts::FRAC_PI_2;

use crate::brep::{Frame, Point3};

/// Circular arc as a rational B-spline curve. Knots are the whole numbers from 0 to the number of pieces: the ends
/// three times, the others twice.
#[derive(Clone, Debug, PartialEq)]
pub struct RationalArc {
    /// Number of pieces, each of the same angle.
    pub pieces: u32,
    /// Control points, mm: two for each piece, and the end.
    pub points: Vec<Point3>,
    /// Weight of each control point.
    pub weights: Vec<f64>,
}

impl RationalArc {
    /// Arc about `centre` (mm, in the frame) that starts along the frame's x axis and turns by `sweep` (rad) about its z.
    pub fn new(frame: &Frame, centre: Point3, radius: f64, sweep: f64) -> Self {
        let pieces = arc_pieces(sweep);
        let half = 0.5 * sweep / f64::from(pieces);
        let mut arc = Self { pieces, points: Vec::new(), weights: Vec::new() };
        for k in 0..=2 * pieces {
            // Between two points on the arc lies the intersection of their tangents.
            let weight = if k % 2 == 0 { 1.0 } else { half.cos() };
            let (sin, cos) = (half * f64::from(k)).sin_cos();
            let local = [radius / weight * cos + centre[0], radius / weight * sin + centre[1], centre[2]];
            arc.points.push(frame.world(local));
            arc.weights.push(weight);
        }
        arc
    }
}

/// Number of pieces of at most a quarter turn.
pub(crate) fn arc_pieces(sweep: f64) -> u32 {
    let mut pieces = 1_u32;
    while sweep / f64::from(pieces) > FRAC_PI_2 * (1.0 + 1e-9) {
        pieces += 1;
    }
    pieces
}
