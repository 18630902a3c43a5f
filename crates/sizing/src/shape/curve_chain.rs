//! Chains of curves: length up to a point, remainder, offset.

use gripwright_section::{Curve, CurvePoint, Point};

/// Length of the chain up to the point nearest to `point`, mm.
pub(crate) fn length_up_to(chain: &[Curve], point: Point) -> f64 {
    let mut best = (f64::INFINITY, 0.0);
    let mut run = 0.0;
    for curve in chain {
        let CurvePoint { t, point: nearest } = curve.nearest(point);
        let distance = nearest.distance(point);
        if distance < best.0 - 1e-9 {
            best = (distance, run + t * curve.length());
        }
        run += curve.length();
    }
    best.1
}

/// Chain without its first `run` mm.
pub(crate) fn without_start(chain: &[Curve], run: f64) -> Vec<Curve> {
    let mut left = run;
    let mut out = Vec::new();
    for curve in chain {
        let length = curve.length();
        if left >= length - 1e-6 {
            left -= length;
            continue;
        }
        let t = (left / length).max(0.0);
        left = 0.0;
        out.push(match *curve {
            Curve::Line { end, .. } => Curve::line(curve.at(t), end),
            Curve::Arc { centre, radius, start_angle, sweep } => {
                Curve::arc(centre, radius, start_angle + t * sweep, (1.0 - t) * sweep)
            }
        });
    }
    out
}

/// All numbers of a curve, for keys.
pub(crate) fn curve_numbers(curve: &Curve) -> [f64; 5] {
    match *curve {
        Curve::Line { start, end } => [start.x, start.y, end.x, end.y, f64::NAN],
        Curve::Arc { centre, radius, start_angle, sweep } => [centre.x, centre.y, radius, start_angle, sweep],
    }
}

/// Curve of a seat moved away from the cavity by minus `mm`.
pub(crate) fn moved_outward(curve: Curve, mm: f64) -> Curve {
    match curve {
        Curve::Line { start, end } => {
            let shift = curve.tangent(0.0).turned_left() * mm;
            Curve::line(start + shift, end + shift)
        }
        Curve::Arc { centre, radius, start_angle, sweep } => {
            Curve::arc(centre, radius - mm * sweep.signum(), start_angle, sweep)
        }
    }
}
