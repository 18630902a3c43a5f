//! Points of triangles at a spacing, on which openings may stand.

use std::collections::BTreeSet;

use gripwright_solid::{
    Point3,
    vector::{along, cross, distance, dot, length, sub},
};

use crate::vector::{direction, mean};

use super::{
    cavity_surface::CavitySurface,
    vent_plan::{OpeningPlace, SurfacePoint},
};

/// Least upward component of the normal where an opening may stand: it leaves upwards or sideways.
const LEAST_FACING_UP: f64 = -0.3;
/// Greatest angle between the normals of one face round an opening, as a cosine.
const SAME_FACE: f64 = 0.9;

/// Sampling of a surface, by a rule for places and a spacing (mm).
pub(super) struct SurfaceSampler<'a> {
    pub(super) surface: &'a CavitySurface<'a>,
    pub(super) place: &'a OpeningPlace<'a>,
    pub(super) spacing_mm: f64,
}

impl SurfaceSampler<'_> {
    /// Height of a point, mm.
    pub(super) fn height(&self, point: &SurfacePoint) -> f64 {
        dot(point.at_mm, self.surface.up)
    }

    /// Height of the highest permitted point, mm. The triangles must be sorted by their highest vertex.
    pub(super) fn highest(&self, triangles: &[u32]) -> Option<f64> {
        let mut best: Option<f64> = None;
        for &triangle in triangles {
            let top = self.surface.heights[self.surface.top(triangle) as usize];
            if best.is_some_and(|best| best >= top) {
                break;
            }
            let points = self.permitted(triangle, best.unwrap_or(f64::NEG_INFINITY));
            best = points.iter().map(|p| self.height(p)).fold(best, |a, b| Some(a.map_or(b, |a| a.max(b))));
        }
        best
    }

    /// Permitted points of triangles above a height.
    pub(super) fn all_permitted(&self, triangles: &[u32], above_mm: f64) -> Vec<SurfacePoint> {
        triangles.iter().flat_map(|t| self.permitted(*t, above_mm)).collect()
    }

    fn permitted(&self, triangle: u32, above_mm: f64) -> Vec<SurfacePoint> {
        let highest = self.surface.heights[self.surface.top(triangle) as usize];
        if highest < above_mm || self.surface.facing_up(triangle) < LEAST_FACING_UP {
            return Vec::new();
        }
        let Some(normal) = direction(self.surface.area_vector(triangle)) else { return Vec::new() };
        let points = self.points(triangle).into_iter().map(|at_mm| SurfacePoint { at_mm, normal });
        points.filter(|p| self.height(p) >= above_mm && (self.place)(p)).collect()
    }

    /// Points of a triangle in rows along its longest side, corners included.
    pub(super) fn points(&self, triangle: u32) -> Vec<Point3> {
        let corners = self.surface.corners(triangle);
        let side = |k: usize| distance(corners[k], corners[(k + 1) % 3]);
        let longest = (0..3).max_by(|a, b| side(*a).total_cmp(&side(*b))).unwrap_or(0);
        let [a, b, apex] = [0, 1, 2].map(|k| corners[(longest + k) % 3]);
        let width = length(cross(sub(b, a), sub(apex, a))) / side(longest).max(f64::MIN_POSITIVE);
        let mut points = vec![apex];
        for share in shares(width, self.spacing_mm).into_iter().skip(1) {
            let [from, to] = [a, b].map(|end| along(apex, sub(end, apex), share));
            points.extend(self.points_between([from, to]));
        }
        points
    }

    /// The first of all points in each cube of the spacing.
    pub(super) fn thinned<T>(&self, points: Vec<T>, place: impl Fn(&T) -> Point3) -> Vec<T> {
        let mut taken = BTreeSet::new();
        let cell = |p: &T| place(p).map(|x| ((x / self.spacing_mm).floor() + 0.0).to_bits());
        points.into_iter().filter(|p| taken.insert(cell(p))).collect()
    }

    /// Points of a straight line, ends included.
    pub(super) fn points_between(&self, ends: [Point3; 2]) -> Vec<Point3> {
        let line = sub(ends[1], ends[0]);
        shares(length(line), self.spacing_mm).into_iter().map(|share| along(ends[0], line, share)).collect()
    }
}

/// Shares from 0 to 1 that divide a length evenly, no farther apart than the spacing.
fn shares(length: f64, spacing: f64) -> Vec<f64> {
    let mut shares = Vec::new();
    let steps = (length / spacing).ceil().max(1.0);
    let mut k = 0.0;
    while k <= steps {
        shares.push(k / steps);
        k += 1.0;
    }
    shares
}

/// Point in the middle of some points: the one nearest to their mean; of several, the one that faces up most.
pub(super) fn middle_point<'a>(
    points: impl Iterator<Item = &'a SurfacePoint> + Clone,
    up: Point3,
) -> Option<SurfacePoint> {
    let middle = mean(points.clone().map(|p| p.at_mm))?;
    nearest_point(points, middle, up)
}

/// Point nearest to a place; of several, the one that faces up most.
fn nearest_point<'a>(points: impl Iterator<Item = &'a SurfacePoint>, to: Point3, up: Point3) -> Option<SurfacePoint> {
    /// Distance below which points are the same, mm.
    const SAME_MM: f64 = 1e-6;
    points
        .fold(None, |best: Option<(f64, SurfacePoint)>, p| {
            let away = distance(p.at_mm, to);
            let is_better = best.as_ref().is_none_or(|(least, old)| {
                away < least - SAME_MM || (away < least + SAME_MM && dot(p.normal, up) > dot(old.normal, up))
            });
            if is_better { Some((away, *p)) } else { best }
        })
        .map(|best| best.1)
}

/// Place of an opening that stands on the face of a point as far as it can, and still reaches the point.
pub(super) fn standing_on_face(
    points: &[SurfacePoint],
    around: &SurfacePoint,
    radius_mm: f64,
    up: Point3,
) -> SurfacePoint {
    let is_near =
        |p: &&SurfacePoint| distance(p.at_mm, around.at_mm) < radius_mm && dot(p.normal, around.normal) > SAME_FACE;
    middle_point(points.iter().filter(is_near), up).unwrap_or(*around)
}
