//! Rays that meet triangles, sorted into a grid so that short rays look at few of them.

use gripwright_solid::{
    Mesh, Point3,
    vector::{along, cross, dot, sub},
};

use crate::vector::unit;

/// Number of cells along the longest side of the grid.
const CELLS: f64 = 32.0;
/// A ray that misses a triangle by less than this share of its size meets it, so that none slips through a joint.
const SLACK: f64 = 1e-9;

/// Place where a ray meets a surface.
#[derive(Clone, Copy, Debug)]
pub(super) struct RayHit {
    /// Distance along the ray, mm.
    pub(super) distance_mm: f64,
    /// Outward unit normal of the triangle.
    pub(super) normal: Point3,
}

/// Triangles of some parts in a grid of equal cells.
pub(super) struct MeshRays {
    triangles: Vec<[Point3; 3]>,
    low: Point3,
    cell_mm: f64,
    counts: [usize; 3],
    cells: Vec<Vec<u32>>,
}

impl MeshRays {
    pub(super) fn new(parts: &[&Mesh]) -> Self {
        let corner = |part: &Mesh, i: u32| part.vertices[i as usize];
        let of_part = |part: &&Mesh| part.triangles.iter().map(|t| t.map(|i| corner(part, i))).collect::<Vec<_>>();
        let triangles: Vec<[Point3; 3]> = parts.iter().flat_map(of_part).collect();
        let points = || triangles.iter().flatten();
        let low = [0, 1, 2].map(|i| points().map(|p| p[i]).fold(f64::INFINITY, f64::min));
        let high = [0, 1, 2].map(|i| points().map(|p| p[i]).fold(f64::NEG_INFINITY, f64::max));
        let longest = [0, 1, 2].map(|i| high[i] - low[i]).into_iter().fold(0.0, f64::max);
        let cell_mm = if longest > 0.0 { longest / CELLS } else { 1.0 };
        let counts = [0, 1, 2].map(|i| index((high[i] - low[i]) / cell_mm) + 1);
        let mut grid = Self { triangles, low, cell_mm, counts, cells: vec![Vec::new(); counts.iter().product()] };
        for number in 0..grid.triangles.len() {
            let corners = grid.triangles[number];
            for cell in grid.cells_in(&corners) {
                grid.cells[cell].push(u32::try_from(number).unwrap_or(u32::MAX));
            }
        }
        grid
    }

    pub(super) fn triangles(&self) -> &[[Point3; 3]] {
        &self.triangles
    }

    /// All places that a ray meets up to a range (mm), the nearest first.
    pub(super) fn hits(&self, start: Point3, direction: Point3, range_mm: f64) -> Vec<RayHit> {
        let mut numbers: Vec<u32> = self
            .cells_in(&[start, along(start, direction, range_mm)])
            .into_iter()
            .flat_map(|c| self.cells[c].iter().copied())
            .collect();
        numbers.sort_unstable();
        numbers.dedup();
        let met = numbers.into_iter().filter_map(|n| hit(&self.triangles[n as usize], start, direction));
        let mut hits: Vec<RayHit> = met.filter(|hit| hit.distance_mm > 0.0 && hit.distance_mm <= range_mm).collect();
        hits.sort_by(|a, b| a.distance_mm.total_cmp(&b.distance_mm));
        hits
    }

    /// The nearest place that a ray meets up to a range (mm).
    pub(super) fn nearest(&self, start: Point3, direction: Point3, range_mm: f64) -> Option<RayHit> {
        self.hits(start, direction, range_mm).into_iter().next()
    }

    /// Indices of the cells that the box about some points covers.
    fn cells_in(&self, points: &[Point3]) -> Vec<usize> {
        let range = |i: usize| {
            let place = |p: &Point3| (p[i] - self.low[i]) / self.cell_mm;
            let from = points.iter().map(place).fold(f64::INFINITY, f64::min);
            let to = points.iter().map(place).fold(f64::NEG_INFINITY, f64::max);
            index(from).min(self.counts[i])..=index(to).min(self.counts[i] - 1)
        };
        let mut cells = Vec::new();
        for z in range(2) {
            for y in range(1) {
                cells.extend(range(0).map(|x| (z * self.counts[1] + y) * self.counts[0] + x));
            }
        }
        cells
    }
}

fn index(place: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "negative places belong to the first cell"
    )]
    let index = place.max(0.0) as usize;
    index
}

/// Meeting of a ray with a triangle, by the signed volumes of Möller and Trumbore.
fn hit(triangle: &[Point3; 3], start: Point3, direction: Point3) -> Option<RayHit> {
    let [a, b, c] = *triangle;
    let (ab, ac) = (sub(b, a), sub(c, a));
    let normal = cross(ab, ac);
    let facing = -dot(normal, direction);
    if facing.abs() <= 1e-12 * dot(normal, normal).sqrt() {
        return None;
    }
    let to_start = sub(start, a);
    let turned = cross(to_start, direction);
    let (u, v) = (dot(ac, turned) / facing, -dot(ab, turned) / facing);
    let meets = u >= -SLACK && v >= -SLACK && u + v <= 1.0 + SLACK;
    meets.then(|| RayHit { distance_mm: dot(to_start, normal) / facing, normal: unit(normal) })
}
