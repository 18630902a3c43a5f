//! Smoothing of noisy points or widths: the smoothest convex polygon that the noise allows.
//!
//! The unknowns are the distances h of 720 tangents from a centre, one every half degree (the support function). The
//! polygon between the tangents is convex if no edge has a negative length, h(θ−Δ) + h(θ+Δ) ≥ 2 h(θ) cos Δ. The edge
//! length over Δ is the radius of curvature. The sum of squares of the misfits, of the steps of that radius and of the
//! negative edges is minimised. The steps have the greatest weight that the noise allows; the negative edges weigh so
//! much that none is left.

use std::f64::consts::TAU;

use gripwright_section::Point;

use crate::{
    half_planes::{HalfPlane, intersection},
    polygon::{bounds, mean_corner},
    ring_matrix::RingMatrix,
};

/// Number of tangents around the ring.
const COUNT: usize = 720;
/// Angle between neighbouring tangents, rad.
const STEP: f64 = TAU / COUNT as f64;
/// Weight of negative edges; all misfits together have the weight one.
const CONVEX: f64 = 1e-3;
/// Greatest weight of the second differences of the radius of curvature, and its divisor from one try to the next.
const MOST_SMOOTHING: f64 = 1.0;
const SMOOTHER: f64 = 3.2;
/// Misfits up to this many standard deviations are noise: the largest of a hundred normal ones is hardly more.
const FAR: f64 = 3.0;
/// Radius of curvature, over half the size, from which on an edge counts as straight.
const STRAIGHT: f64 = 3.0;
/// Greatest number of smoothing weights that are tried.
const TRIES: usize = 30;
/// Greatest number of rounds in which every point is assigned to its tangent anew.
const ROUNDS: usize = 10;
/// Greatest number of rounds in which the set of negative edges is updated.
const NEWTON_ROUNDS: usize = 40;

/// One measurement: the distance of the tangent at an angle between two tangents of the ring.
#[derive(Clone, Copy)]
struct TangentDistance {
    before: usize,
    share: f64,
    distance: f64,
}

/// Returns a convex, counter-clockwise polygon through points of this standard uncertainty.
pub(crate) fn smooth_points(points: &[Point], spread_mm: f64) -> Option<Vec<Point>> {
    let (low, high) = bounds(points);
    let (centre, scale) = (low.towards(high, 0.5), 0.5 * (high - low).length());
    let local: Vec<Point> = points.iter().map(|p| (*p - centre) * (1.0 / scale)).collect();
    let rounds = |h: &[f64]| local.iter().map(|p| nearest_tangent(*p, h)).collect::<Vec<_>>();
    let start: Vec<f64> = (0..COUNT)
        .map(|j| local.iter().map(|p| p.dot(Point::unit(angle(j)))).fold(f64::NEG_INFINITY, f64::max))
        .collect();
    let h = smoothest(start, rounds, spread_mm / scale)?;
    polygon(&h, centre, scale)
}

/// Returns a convex polygon of given widths between parallel tangents, point-symmetric about the origin.
///
/// Each width comes with the direction in which it was measured, rad.
pub(crate) fn smooth_widths(widths: &[(f64, f64)], spread_mm: f64) -> Option<Vec<Point>> {
    let scale = 0.5 * widths.iter().map(|w| w.1).fold(0.0, f64::max);
    let measured: Vec<TangentDistance> = widths
        .iter()
        .flat_map(|&(direction, width)| {
            [0.0, 0.5 * TAU].map(|other| tangent_distance((direction + other).rem_euclid(TAU), 0.5 * width / scale))
        })
        .collect();
    let mean = measured.iter().map(|k| k.distance).sum::<f64>() / measured.len().max(1) as f64;
    let h = smoothest(vec![mean; COUNT], |_| measured.clone(), 0.5 * spread_mm / scale)?;
    polygon(&h, Point::ORIGIN, scale)
}

fn angle(index: usize) -> f64 {
    STEP * index as f64
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an angle of one turn has 720 places")]
fn tangent_distance(direction: f64, distance: f64) -> TangentDistance {
    let place = direction / STEP;
    let before = place.floor();
    TangentDistance { before: before as usize % COUNT, share: place - before, distance }
}

/// Returns the tangent beyond which a point lies farthest: the one of its nearest edge.
fn nearest_tangent(p: Point, h: &[f64]) -> TangentDistance {
    let beyond = |j: usize| p.dot(Point::unit(angle(j))) - h[j];
    let (mut best, mut most) = (0, f64::NEG_INFINITY);
    for j in 0..COUNT {
        let b = beyond(j);
        if b > most {
            (best, most) = (j, b);
        }
    }
    TangentDistance { before: best, share: 0.0, distance: most + h[best] }
}

fn misfit(measured: &TangentDistance, h: &[f64]) -> f64 {
    (1.0 - measured.share) * h[measured.before] + measured.share * h[(measured.before + 1) % COUNT] - measured.distance
}

/// Returns the smoothest ring whose misfits are no more than noise.
fn smoothest(start: Vec<f64>, find: impl Fn(&[f64]) -> Vec<TangentDistance>, spread: f64) -> Option<Vec<f64>> {
    let mut best: Option<(Vec<f64>, f64)> = None;
    let (mut h, mut smoothing) = (start, MOST_SMOOTHING);
    for _ in 0..TRIES {
        // If the smoothing is so small that rounding decides, the equations fail and this try is skipped.
        smoothing /= SMOOTHER;
        let Some((next, off)) = fit_with_smoothing(&h, &find, smoothing) else { continue };
        h = next;
        let rms = root_mean_square(&off);
        if best.as_ref().is_none_or(|(_, least)| rms < *least) {
            best = Some((h.clone(), rms));
        }
        if is_noise(&off, spread) {
            break;
        }
    }
    best.map(|(h, _)| h)
}

/// Returns the ring for one smoothing weight, with its misfits in order.
fn fit_with_smoothing(
    start: &[f64],
    find: &impl Fn(&[f64]) -> Vec<TangentDistance>,
    smoothing: f64,
) -> Option<(Vec<f64>, Vec<f64>)> {
    let mut h = start.to_vec();
    let mut measured = find(&h);
    for _ in 0..ROUNDS {
        h = solve(&measured, smoothing, h)?;
        let again = find(&h);
        let unchanged = again.iter().zip(&measured).all(|(a, b)| a.before == b.before);
        measured = again;
        if unchanged {
            break;
        }
    }
    let off: Vec<f64> = measured.iter().map(|k| misfit(k, &h)).collect();
    off.iter().all(|o| o.is_finite()).then_some((h, off))
}

fn root_mean_square(off: &[f64]) -> f64 {
    (off.iter().map(|o| o * o).sum::<f64>() / off.len().max(1) as f64).sqrt()
}

/// True if the misfits look like noise: small in total, and no run of neighbours off to one side together.
///
/// The mean of m values of pure noise has the m-th part of its variance.
fn is_noise(off: &[f64], spread: f64) -> bool {
    let runs = [1_usize, 2, 4, 8].into_iter().filter(|m| 4 * m <= off.len());
    let even = runs.into_iter().all(|m| {
        let most = FAR * spread * (m as f64).sqrt();
        (0..off.len()).all(|i| (0..m).map(|k| off[(i + k) % off.len()]).sum::<f64>().abs() <= most)
    });
    even && root_mean_square(off) <= spread
}

/// Returns the ring of least misfit, smoothed, without negative edges.
fn solve(measured: &[TangentDistance], smoothing: f64, start: Vec<f64>) -> Option<Vec<f64>> {
    let at = |j: usize, k: usize| (j + k + COUNT - 2) % COUNT;
    let (side, middle) = (1.0 / (STEP * STEP), -2.0 * STEP.cos() / (STEP * STEP));
    let radius = |h: &[f64], j: usize| side * (h[at(j, 1)] + h[at(j, 3)]) + middle * h[j];
    let weight = 1.0 / measured.len().max(1) as f64;
    let mut h = start;
    // A straight side is one edge much longer than its neighbours: its ends must not be smoothed away.
    let bends: Vec<f64> = (0..COUNT)
        .map(|j| {
            let longest = [1, 2, 3].map(|k| radius(&h, at(j, k)).abs()).into_iter().fold(0.0, f64::max);
            1.0 / (1.0 + (longest / STRAIGHT).powi(4))
        })
        .collect();
    let mut below: Vec<bool> = (0..COUNT).map(|j| radius(&h, j) < 0.0).collect();
    for _ in 0..NEWTON_ROUNDS {
        let mut ring = RingMatrix::new(COUNT);
        let mut right = vec![0.0; COUNT];
        for k in measured {
            let entries = [(k.before, 1.0 - k.share), ((k.before + 1) % COUNT, k.share)];
            ring.add(weight, &entries);
            for (j, share) in entries {
                right[j] += weight * share * k.distance;
            }
        }
        for j in 0..COUNT {
            let bend = [side, middle - 2.0 * side, 2.0 * (side - middle), middle - 2.0 * side, side];
            let step: Vec<(usize, f64)> = bend.iter().enumerate().map(|(k, b)| (at(j, k), *b)).collect();
            ring.add(smoothing * bends[j], &step);
            if below[j] {
                ring.add(CONVEX, &[(at(j, 1), side), (at(j, 2), middle), (at(j, 3), side)]);
            }
        }
        h = ring.solve(right)?;
        let now: Vec<bool> = (0..COUNT).map(|j| radius(&h, j) < 0.0).collect();
        if now == below {
            break;
        }
        below = now;
    }
    Some(h)
}

fn polygon(h: &[f64], centre: Point, scale: f64) -> Option<Vec<Point>> {
    let planes: Vec<HalfPlane> =
        h.iter().enumerate().map(|(j, &offset)| HalfPlane { angle: angle(j), offset }).collect();
    let corners: Vec<Point> = intersection(&planes)?.into_iter().map(|(_, p)| centre + p * scale).collect();
    mean_corner(&corners).length().is_finite().then_some(corners)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Uniform noise of standard deviation one from a fixed seed.
    fn noise(seed: u64) -> impl FnMut() -> f64 {
        let mut state = seed;
        move || {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            ((state >> 11) as f64 / (1_u64 << 53) as f64 - 0.5) * 12_f64.sqrt()
        }
    }

    #[test]
    fn a_noisy_circle_is_recovered_far_within_its_noise() {
        let mut noise = noise(7);
        let points: Vec<Point> =
            (0..72).map(|k| Point::unit(TAU * f64::from(k) / 72.0) * (15.0 + 0.05 * noise())).collect();
        let polygon = smooth_points(&points, 0.05).unwrap();
        let worst = polygon.iter().map(|p| (p.length() - 15.0).abs()).fold(0.0, f64::max);
        assert!(worst < 0.05, "{worst}");
    }

    #[test]
    fn widths_of_an_ellipse_give_the_ellipse() {
        let width = |t: f64| 2.0 * (12.0 * t.cos()).hypot(7.0 * t.sin());
        let widths: Vec<(f64, f64)> = (0..18).map(|k| TAU / 36.0 * f64::from(k)).map(|t| (t, width(t))).collect();
        let polygon = smooth_widths(&widths, 0.01).unwrap();
        let worst =
            polygon.iter().map(|p| ((p.x / 12.0).hypot(p.y / 7.0) - 1.0).abs() * p.length()).fold(0.0, f64::max);
        assert!(worst < 0.05, "{worst}");
    }
}
