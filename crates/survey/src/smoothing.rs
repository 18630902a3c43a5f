//! Noisy points or widths become a convex polygon: the smoothest one that the noise allows.
//!
//! The unknowns are the distances h of 720 tangents from a middle, one every half degree (the support function). The
//! polygon between them is convex where every edge has a length of at least zero, h(θ−Δ) + h(θ+Δ) ≥ 2 h(θ) cos Δ; edge
//! over Δ is the radius of curvature. Minimised are the squares of the misfits, of the steps of that radius (as much as
//! the noise lets the misfit grow), and of edges below zero (so strongly that none is left).

use std::f64::consts::TAU;

use gripwright_section::Point;

use crate::{
    half_planes::{HalfPlane, intersection},
    polygon::{bounds, middle},
    ring_matrix::RingMatrix,
};

/// Tangents around the ring.
const COUNT: usize = 720;
/// Angle between them, rad.
const STEP: f64 = TAU / COUNT as f64;
/// Weight against edges of negative length; misfits have the weight one in all.
const CONVEX: f64 = 1e-3;
/// Greatest weight against bends of the radius of curvature over the angle, and the factor from one try to the next.
const MOST_SMOOTHING: f64 = 1.0;
const SMOOTHER: f64 = 3.2;
/// Misfits up to so many standard deviations are noise: of a hundred normal ones the largest is hardly more.
const FAR: f64 = 3.0;
/// Radius of curvature, as a share of half the size, from which on an edge counts as straight.
const STRAIGHT: f64 = 3.0;
/// Tries of it.
const TRIES: usize = 30;
/// Rounds in which every point finds its tangent again.
const ROUNDS: usize = 10;
/// Rounds in which edges below zero are looked for.
const NEWTON_ROUNDS: usize = 40;

/// One measured number: the distance of the tangent at a place between two of the ring.
#[derive(Clone, Copy)]
struct TangentDistance {
    before: usize,
    share: f64,
    distance: f64,
}

/// A convex polygon about points of a spread, counter-clockwise.
pub(crate) fn smooth_points(points: &[Point], spread_mm: f64) -> Option<Vec<Point>> {
    let (low, high) = bounds(points);
    let (centre, scale) = (low.towards(high, 0.5), 0.5 * (high - low).length());
    let local: Vec<Point> = points.iter().map(|p| (*p - centre) * (1.0 / scale)).collect();
    let rounds = |h: &[f64]| local.iter().map(|p| nearest(*p, h)).collect::<Vec<_>>();
    let start: Vec<f64> = (0..COUNT)
        .map(|j| local.iter().map(|p| p.dot(Point::unit(angle(j)))).fold(f64::NEG_INFINITY, f64::max))
        .collect();
    let h = smoothest(start, rounds, spread_mm / scale)?;
    polygon(&h, centre, scale)
}

/// A convex polygon of given widths between parallel tangents, alike on both sides of its middle, which is the origin.
/// Each width has the direction in which it was taken, rad.
pub(crate) fn smooth_widths(widths: &[(f64, f64)], spread_mm: f64) -> Option<Vec<Point>> {
    let scale = 0.5 * widths.iter().map(|w| w.1).fold(0.0, f64::max);
    let known: Vec<TangentDistance> = widths
        .iter()
        .flat_map(|&(direction, width)| {
            [0.0, 0.5 * TAU].map(|other| between((direction + other).rem_euclid(TAU), 0.5 * width / scale))
        })
        .collect();
    let mean = known.iter().map(|k| k.distance).sum::<f64>() / known.len().max(1) as f64;
    let h = smoothest(vec![mean; COUNT], |_| known.clone(), 0.5 * spread_mm / scale)?;
    polygon(&h, Point::ORIGIN, scale)
}

fn angle(index: usize) -> f64 {
    STEP * index as f64
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an angle of one turn has 720 places")]
fn between(direction: f64, distance: f64) -> TangentDistance {
    let place = direction / STEP;
    let before = place.floor();
    TangentDistance { before: before as usize % COUNT, share: place - before, distance }
}

/// The tangent on which a point lies, or that it lies farthest beyond: the one of its nearest edge.
fn nearest(p: Point, h: &[f64]) -> TangentDistance {
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

fn misfit(known: &TangentDistance, h: &[f64]) -> f64 {
    (1.0 - known.share) * h[known.before] + known.share * h[(known.before + 1) % COUNT] - known.distance
}

/// The smoothest ring whose misfits are no more than noise.
fn smoothest(start: Vec<f64>, find: impl Fn(&[f64]) -> Vec<TangentDistance>, spread: f64) -> Option<Vec<f64>> {
    let mut best: Option<(Vec<f64>, f64)> = None;
    let (mut h, mut smoothing) = (start, MOST_SMOOTHING);
    for _ in 0..TRIES {
        // So little smoothing that rounding decides is no answer.
        smoothing /= SMOOTHER;
        let Some((next, off)) = settle(&h, &find, smoothing) else { continue };
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

/// The ring for one smoothing, with its misfits in order.
fn settle(
    start: &[f64],
    find: &impl Fn(&[f64]) -> Vec<TangentDistance>,
    smoothing: f64,
) -> Option<(Vec<f64>, Vec<f64>)> {
    let mut h = start.to_vec();
    let mut known = find(&h);
    for _ in 0..ROUNDS {
        h = solve(&known, smoothing, h)?;
        let again = find(&h);
        let settled = again.iter().zip(&known).all(|(a, b)| a.before == b.before);
        known = again;
        if settled {
            break;
        }
    }
    let off: Vec<f64> = known.iter().map(|k| misfit(k, &h)).collect();
    off.iter().all(|o| o.is_finite()).then_some((h, off))
}

fn root_mean_square(off: &[f64]) -> f64 {
    (off.iter().map(|o| o * o).sum::<f64>() / off.len().max(1) as f64).sqrt()
}

/// Whether misfits look like noise: small in all, and no run of neighbours off to one side together. The mean of m
/// values of pure noise has the m-th part of its variance.
fn is_noise(off: &[f64], spread: f64) -> bool {
    let runs = [1_usize, 2, 4, 8].into_iter().filter(|m| 4 * m <= off.len());
    let even = runs.into_iter().all(|m| {
        let most = FAR * spread * (m as f64).sqrt();
        (0..off.len()).all(|i| (0..m).map(|k| off[(i + k) % off.len()]).sum::<f64>().abs() <= most)
    });
    even && root_mean_square(off) <= spread
}

/// The ring of least misfit, smoothed, with no edge below zero.
fn solve(known: &[TangentDistance], smoothing: f64, start: Vec<f64>) -> Option<Vec<f64>> {
    let at = |j: usize, k: usize| (j + k + COUNT - 2) % COUNT;
    let (side, middle) = (1.0 / (STEP * STEP), -2.0 * STEP.cos() / (STEP * STEP));
    let radius = |h: &[f64], j: usize| side * (h[at(j, 1)] + h[at(j, 3)]) + middle * h[j];
    let weight = 1.0 / known.len().max(1) as f64;
    let mut h = start;
    // A side that is straight is one edge much longer than its neighbours: its bends must not be smoothed away.
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
        for k in known {
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
    middle(&corners).length().is_finite().then_some(corners)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Even noise of the standard deviation one, always the same.
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
