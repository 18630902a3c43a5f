//! Outlines for the tests of this crate.

use proptest::{
    prelude::*,
    test_runner::{Config, RngSeed},
};

use crate::{
    curve::Curve,
    outline::{Outline, Segment},
    point::Point,
    role::Role,
};

/// Property-test configuration that draws the same cases on every run.
pub(crate) fn fixed_seed(seed: u64) -> Config {
    Config { cases: 200, failure_persistence: None, rng_seed: RngSeed::Fixed(seed), ..Config::default() }
}

/// An outline of the body role.
pub(crate) fn outline(curves: &[Curve]) -> Outline {
    Outline::new(curves.iter().map(|c| Segment::new(*c, Role::Body)).collect()).unwrap()
}

/// A polygon through the points.
pub(crate) fn polygon(points: &[(f64, f64)]) -> Outline {
    let point = |i: usize| Point::new(points[i % points.len()].0, points[i % points.len()].1);
    outline(&(0..points.len()).map(|i| Curve::line(point(i), point(i + 1))).collect::<Vec<_>>())
}

/// A rectangle about the origin.
pub(crate) fn rectangle(width: f64, height: f64) -> Outline {
    let (x, y) = (width / 2.0, height / 2.0);
    polygon(&[(-x, -y), (x, -y), (x, y), (-x, y)])
}

/// A circle of two arcs.
pub(crate) fn circle(centre: Point, radius: f64) -> Outline {
    use std::f64::consts::PI;
    outline(&[Curve::arc(centre, radius, 0.0, PI), Curve::arc(centre, radius, PI, PI)])
}

/// A rectangle about the origin with rounded corners.
pub(crate) fn rounded_rectangle(width: f64, height: f64, radius: f64) -> Outline {
    let (x, y) = (width / 2.0, height / 2.0);
    rounded(&[(-x, -y), (x, -y), (x, y), (-x, y)].map(|(x, y)| Point::new(x, y)), &[radius; 4])
}

/// A polygon with a tangent arc at every corner, of the radius given for that corner.
pub(crate) fn rounded(points: &[Point], radii: &[f64]) -> Outline {
    let n = points.len();
    let arcs: Vec<Curve> = (0..n)
        .map(|i| {
            let side = |a: Point, b: Point| Curve::line(a, b).tangent(0.0);
            let before = side(points[(i + n - 1) % n], points[i]);
            let turn = turn_at(points, i);
            let inward = before.turned_left() * turn.signum();
            let foot = points[i] - before * (radii[i] * (turn.abs() / 2.0).tan());
            Curve::arc(foot + inward * radii[i], radii[i], (-inward).angle(), turn)
        })
        .collect();
    let lines = (0..n).map(|i| Curve::line(arcs[i].end(), arcs[(i + 1) % n].start()));
    outline(&arcs.iter().copied().zip(lines).flat_map(|(arc, line)| [arc, line]).collect::<Vec<_>>())
}

fn turn_at(points: &[Point], i: usize) -> f64 {
    let n = points.len();
    let (before, after) = (points[i] - points[(i + n - 1) % n], points[(i + 1) % n] - points[i]);
    before.cross(after).atan2(before.dot(after))
}

/// Points in counter-clockwise order, 8 to 14 mm from the origin, that make a simple polygon.
pub(crate) fn star() -> impl Strategy<Value = Vec<Point>> {
    proptest::collection::vec((8.0..14.0f64, -0.3..0.3f64), 3..9).prop_map(|corners| {
        let step = std::f64::consts::TAU / corners.len() as f64;
        corners
            .iter()
            .enumerate()
            .map(|(i, (radius, shift))| Point::unit(step * (i as f64 + shift)) * *radius)
            .collect()
    })
}

/// Simple tangent outlines of lines and of arcs that turn either way.
pub(crate) fn rounded_polygon() -> impl Strategy<Value = Outline> {
    (star(), proptest::collection::vec(0.2..0.9f64, 9)).prop_map(|(points, fractions)| {
        let n = points.len();
        let radii: Vec<f64> = (0..n)
            .map(|i| {
                let room = points[i].distance(points[(i + 1) % n]).min(points[i].distance(points[(i + n - 1) % n]));
                // Nearly straight corners would get radii of kilometres; 40 mm is flat enough.
                (fractions[i] * room / 2.0 / (turn_at(&points, i).abs() / 2.0).tan()).min(40.0)
            })
            .collect();
        rounded(&points, &radii)
    })
}
