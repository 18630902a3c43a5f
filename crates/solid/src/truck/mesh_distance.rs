//! Distance of points from a triangle mesh, by a tree of bounding boxes.

use crate::{
    bounding_box::BoundingBox,
    brep::Point3,
    mesh::Mesh,
    vector::{along, cross, distance, dot, sub},
};

/// Greatest number of triangles in a leaf of the tree.
const LEAF_TRIANGLES: usize = 4;

/// Greatest distance (mm) of the used vertices of one mesh from the triangles of another; infinite if that has none.
pub(super) fn greatest_distance(from: &Mesh, to: &Mesh) -> f64 {
    let mut corners: Vec<[Point3; 3]> = to.triangles.iter().map(|t| t.map(|i| to.vertices[i as usize])).collect();
    let Some(tree) = Tree::new(&mut corners) else { return f64::INFINITY };
    let mut used: Vec<u32> = from.triangles.iter().flatten().copied().collect();
    used.sort_unstable();
    used.dedup();
    used.iter().map(|&i| tree.nearest(&corners, from.vertices[i as usize], f64::INFINITY)).fold(0.0, f64::max)
}

/// Tree over a list of triangles, which it sorts: each node covers a range of the list.
struct Tree {
    bounds: BoundingBox,
    range: std::ops::Range<usize>,
    halves: Option<Box<[Self; 2]>>,
}

impl Tree {
    fn new(triangles: &mut [[Point3; 3]]) -> Option<Self> {
        Self::over(triangles, 0)
    }

    /// Tree over triangles that begin at the index `start` of the whole list.
    fn over(triangles: &mut [[Point3; 3]], start: usize) -> Option<Self> {
        let bounds = BoundingBox::containing(triangles.iter().flatten().copied())?;
        let range = start..start + triangles.len();
        if triangles.len() <= LEAF_TRIANGLES {
            return Some(Self { bounds, range, halves: None });
        }
        let size = bounds.size_mm();
        let axis = (0..3).max_by(|&a, &b| size[a].total_cmp(&size[b])).unwrap_or(0);
        let middle = |t: &[Point3; 3]| t[0][axis] + t[1][axis] + t[2][axis];
        let half = triangles.len() / 2;
        triangles.select_nth_unstable_by(half, |a, b| middle(a).total_cmp(&middle(b)));
        let (low, high) = triangles.split_at_mut(half);
        let halves = Self::over(low, start).zip(Self::over(high, start + half)).map(|(a, b)| Box::new([a, b]));
        Some(Self { bounds, range, halves })
    }

    /// Distance of a point from the nearest triangle, or `best` if none is nearer.
    fn nearest(&self, triangles: &[[Point3; 3]], p: Point3, best: f64) -> f64 {
        if self.gap(p) >= best {
            return best;
        }
        match &self.halves {
            None => triangles[self.range.clone()].iter().fold(best, |least, t| least.min(distance_to(t, p))),
            Some(halves) => {
                let order = if halves[0].gap(p) <= halves[1].gap(p) { [0, 1] } else { [1, 0] };
                order.iter().fold(best, |least, &i| halves[i].nearest(triangles, p, least))
            }
        }
    }

    /// Distance of a point from the box.
    fn gap(&self, p: Point3) -> f64 {
        let outside = [0, 1, 2].map(|i| (self.bounds.min_mm[i] - p[i]).max(p[i] - self.bounds.max_mm[i]).max(0.0));
        dot(outside, outside).sqrt()
    }
}

/// Distance of a point from a triangle.
fn distance_to(&[a, b, c]: &[Point3; 3], p: Point3) -> f64 {
    let normal = cross(sub(b, a), sub(c, a));
    let square = dot(normal, normal);
    let inside = |from: Point3, to: Point3| dot(cross(sub(to, from), sub(p, from)), normal) >= 0.0;
    if square > 0.0 && inside(a, b) && inside(b, c) && inside(c, a) {
        return dot(sub(p, a), normal).abs() / square.sqrt();
    }
    distance_to_side(a, b, p).min(distance_to_side(b, c, p)).min(distance_to_side(c, a, p))
}

/// Distance of a point from a straight piece.
fn distance_to_side(a: Point3, b: Point3, p: Point3) -> f64 {
    let d = sub(b, a);
    let square = dot(d, d);
    let share = if square > 0.0 { (dot(sub(p, a), d) / square).clamp(0.0, 1.0) } else { 0.0 };
    distance(along(a, d, share), p)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_from_a_triangle_are_those_of_its_inside_sides_and_corners() {
        let triangle = [[0.0, 0.0, 0.0], [4.0, 0.0, 0.0], [0.0, 4.0, 0.0]];
        for (p, wanted) in [
            ([1.0, 1.0, -3.0], 3.0),
            ([2.0, -2.0, 0.0], 2.0),
            ([3.0, 3.0, 0.0], 2.0_f64.sqrt()),
            ([-3.0, -4.0, 0.0], 5.0),
        ] {
            assert!((distance_to(&triangle, p) - wanted).abs() < 1e-15, "{p:?}");
        }
    }

    #[test]
    fn the_tree_finds_the_same_distance_as_a_search_of_all_triangles() {
        let at = |i: u32, j: u32| [f64::from(i), f64::from(j), 0.3 * f64::from(i * j % 7)];
        let square =
            |i: u32, j: u32| [[at(i, j), at(i + 1, j), at(i, j + 1)], [at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)]];
        let mut triangles: Vec<[Point3; 3]> = (0..12).flat_map(|i| (0..9).flat_map(move |j| square(i, j))).collect();
        let tree = Tree::new(&mut triangles).expect("there are triangles");
        for k in 0..200_u32 {
            let p = [f64::from(k * 37 % 140) * 0.1, f64::from(k * 53 % 110) * 0.1, f64::from(k % 9) - 4.0];
            let wanted = triangles.iter().map(|t| distance_to(t, p)).fold(f64::INFINITY, f64::min);
            let found = tree.nearest(&triangles, p, f64::INFINITY);
            assert!((found - wanted).abs() <= 0.0, "{p:?}: {found} {wanted}");
        }
    }
}
