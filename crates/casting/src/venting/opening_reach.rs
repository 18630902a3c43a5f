//! Heights at which an opening lets air out: the surface within its radius.

use std::collections::BTreeSet;

use gripwright_solid::{
    Point3,
    vector::{along, cross, distance, dot, length, sub},
};

use crate::vector::direction;

use super::{
    air_pocket::Opening,
    cavity_surface::{CavitySurface, index},
};

/// Highest place of one triangle within an opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct OpeningReach {
    pub(super) triangle: u32,
    /// Height of the place, mm.
    pub(super) height_mm: f64,
}

/// Triangles within the radius of an opening, on the part of the surface that is connected to the opening's point within the
/// radius. The point itself is moved to the nearest point of the surface.
pub(super) fn opening_reach(surface: &CavitySurface, opening: &Opening) -> Vec<OpeningReach> {
    let (first, centre) = nearest_triangle(surface, opening.at_mm);
    let mut found = vec![OpeningReach { triangle: first, height_mm: dot(centre, surface.up) }];
    let mut waiting = vec![first];
    let mut seen = BTreeSet::from([first]);
    while let Some(triangle) = waiting.pop() {
        let height_mm = highest_within(surface, triangle, centre, opening.radius_mm);
        if height_mm > f64::NEG_INFINITY {
            found.push(OpeningReach { triangle, height_mm });
        }
        let corners = surface.corners(triangle);
        for k in 0..3 {
            let reached = distance(nearest_on_segment([corners[k], corners[(k + 1) % 3]], centre), centre);
            let next = surface.beyond[triangle as usize][k];
            if reached <= opening.radius_mm && seen.insert(next) {
                waiting.push(next);
            }
        }
    }
    found
}

/// Triangle nearest to a point, and its nearest point.
fn nearest_triangle(surface: &CavitySurface, p: Point3) -> (u32, Point3) {
    let mut best = (0, surface.corners(0)[0], f64::INFINITY);
    for triangle in 0..index(surface.mesh.triangles.len()) {
        let nearest = nearest_on_triangle(surface.corners(triangle), p);
        let away = distance(nearest, p);
        if away < best.2 {
            best = (triangle, nearest, away);
        }
    }
    (best.0, best.1)
}

fn nearest_on_segment(ends: [Point3; 2], p: Point3) -> Point3 {
    let side = sub(ends[1], ends[0]);
    let share = dot(sub(p, ends[0]), side) / dot(side, side).max(f64::MIN_POSITIVE);
    along(ends[0], side, share.clamp(0.0, 1.0))
}

fn nearest_on_triangle(corners: [Point3; 3], p: Point3) -> Point3 {
    let normal = direction(cross(sub(corners[1], corners[0]), sub(corners[2], corners[0])));
    if let Some(normal) = normal {
        let foot = along(p, normal, dot(sub(corners[0], p), normal));
        if is_inside(&corners, normal, foot) {
            return foot;
        }
    }
    let sides = (0..3).map(|k| nearest_on_segment([corners[k], corners[(k + 1) % 3]], p));
    sides.min_by(|a, b| distance(*a, p).total_cmp(&distance(*b, p))).unwrap_or(corners[0])
}

/// True if a point of the triangle's plane lies in the triangle.
fn is_inside(corners: &[Point3; 3], normal: Point3, p: Point3) -> bool {
    (0..3).all(|k| dot(cross(sub(corners[(k + 1) % 3], corners[k]), sub(p, corners[k])), normal) >= 0.0)
}

/// Greatest height of a triangle within a ball, mm; −∞ if they do not meet.
fn highest_within(surface: &CavitySurface, triangle: u32, centre: Point3, radius: f64) -> f64 {
    let corners = surface.corners(triangle);
    let mut best = f64::NEG_INFINITY;
    let mut consider = |p: Point3| best = best.max(dot(p, surface.up));
    corners.into_iter().filter(|p| distance(*p, centre) <= radius).for_each(&mut consider);
    for k in 0..3 {
        let (from, side) = (corners[k], sub(corners[(k + 1) % 3], corners[k]));
        // |from + s·side − centre| = radius
        let (a, b) = (dot(side, side), dot(side, sub(from, centre)));
        let c = dot(sub(from, centre), sub(from, centre)) - radius * radius;
        let root = (b * b - a * c).max(0.0).sqrt();
        if b * b >= a * c && a > 0.0 {
            let ends = [(-b - root) / a, (-b + root) / a];
            ends.into_iter().filter(|s| (0.0..=1.0).contains(s)).for_each(|s| consider(along(from, side, s)));
        }
    }
    // Highest point of the circle in which the plane cuts the ball.
    if let Some(normal) = direction(surface.area_vector(triangle)) {
        let depth = dot(sub(corners[0], centre), normal);
        let foot = along(centre, normal, depth);
        let slope = along(surface.up, normal, -dot(surface.up, normal));
        if depth.abs() <= radius && length(slope) > 0.0 {
            let top = along(foot, slope, (radius * radius - depth * depth).sqrt() / length(slope));
            if is_inside(&corners, normal, top) {
                consider(top);
            }
        }
    }
    best
}
