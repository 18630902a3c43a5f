//! Thinnest fin of rubber that stands in a part or between parts: a core, a wall in a slot, a web in a gap.

use std::f64::consts::TAU;

use gripwright_solid::{
    Mesh, Point3,
    vector::{self, along, cross, dot, sub},
};

use crate::vector::unit;

use super::mesh_rays::MeshRays;

/// Least thickness of a fin of silicone that stands being demoulded again and again, mm (common practice, no source).
pub const LEAST_FIN_MM: f64 = 3.0;
/// Rubber that is less than this many times as deep as thick is a ridge, not a fin: engraving, a groove (own choice).
const LEAST_SLENDERNESS: f64 = 2.0;
/// Cosine of the greatest angle between facing walls, 30°. Between walls at a greater one the rubber is a wedge.
const FACING: f64 = 0.866_025_403_784_438_6;
/// Distance from a wall at which a ray starts, mm.
const START_MM: f64 = 1e-6;
/// Directions in the middle plane of a fin in which its ends are looked for.
const DIRECTIONS: u32 = 16;
/// A fin is looked along as far as this, mm.
const REACH_MM: f64 = 15.0;
/// Thicknesses within this ratio are alike.
const SAME_FIN: f64 = 1.01;
/// A fin ends where the rubber is this many times as thick.
const OPENING: f64 = 1.5;

/// Thinnest fin of rubber.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct RubberFin {
    /// Distance between the two facing walls, mm.
    pub thickness_mm: f64,
    /// How far the fin stands out of thicker rubber at that place, mm; half of it where it is held at both ends, and 15 mm
    /// where it reaches farther.
    pub depth_mm: f64,
    /// Point halfway between the walls, mm.
    pub at_mm: Point3,
}

impl RubberFin {
    /// True if this place is the thinner one; of places alike, the one where the fin is deeper: its corners look shallow.
    fn counts_before(&self, other: &Self) -> bool {
        let thinner = SAME_FIN * self.thickness_mm < other.thickness_mm;
        thinner || (self.thickness_mm <= SAME_FIN * other.thickness_mm && self.depth_mm > other.depth_mm)
    }
}

/// Thinnest fin of rubber between facing walls of all parts in one mould, if one is thinner than `range_mm`.
///
/// From points of every face, `spacing_mm` apart at most, a ray along the outward normal measures the distance to the next
/// wall, if the two face each other within 30°. The distance is exact but for the chords of the meshes, and within 1 %
/// of the least; a thin place
/// smaller than the spacing can be missed. Rubber less than twice as deep as thick does not count.
pub fn thinnest_fin(parts: &[&Mesh], range_mm: f64, spacing_mm: f64) -> Option<RubberFin> {
    let rays = MeshRays::new(parts);
    let mut thinnest: Option<RubberFin> = None;
    for triangle in rays.triangles() {
        let [a, b, c] = *triangle;
        let normal = unit(cross(sub(b, a), sub(c, a)));
        for start in spread_points(triangle, spacing_mm) {
            let limit = thinnest.map_or(range_mm, |fin| SAME_FIN * fin.thickness_mm);
            let Some(hit) = rays.nearest(along(start, normal, START_MM), normal, limit) else { continue };
            if -dot(hit.normal, normal) < FACING {
                continue;
            }
            let thickness_mm = hit.distance_mm + START_MM;
            let at_mm = along(start, normal, 0.5 * thickness_mm);
            let depth_mm = Gap { rays: &rays, at_mm, normal, thickness_mm }.depth_mm();
            let found = RubberFin { thickness_mm, depth_mm, at_mm };
            if depth_mm >= LEAST_SLENDERNESS * thickness_mm && thinnest.is_none_or(|fin| found.counts_before(&fin)) {
                thinnest = Some(found);
            }
        }
    }
    thinnest
}

/// Points of a triangle in rows along its longest side, at most `spacing_mm` apart.
fn spread_points(triangle: &[Point3; 3], spacing_mm: f64) -> Vec<Point3> {
    let length = |i: usize| vector::length(sub(triangle[(i + 1) % 3], triangle[i]));
    let longest = if length(1) > length(0).max(length(2)) { 1 } else { usize::from(length(2) > length(0)) * 2 };
    let [a, b, c] = [0, 1, 2].map(|i| triangle[(longest + i) % 3]);
    let (side, slant) = (sub(b, a), sub(c, a));
    let base = vector::length(side);
    let height = vector::length(cross(side, slant)) / base;
    let mut points = Vec::new();
    let rows = parts_of(height, spacing_mm);
    for row in 0..rows {
        let v = (f64::from(row) + 0.5) / f64::from(rows);
        let columns = parts_of(base * (1.0 - v), spacing_mm);
        for column in 0..columns {
            let u = (1.0 - v) * (f64::from(column) + 0.5) / f64::from(columns);
            points.push(along(along(a, side, u), slant, v));
        }
    }
    points
}

/// Number of equal parts of a length, none longer than the spacing.
fn parts_of(length_mm: f64, spacing_mm: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between the two bounds")]
    let parts = (length_mm / spacing_mm).ceil().clamp(1.0, 10_000.0) as u32;
    parts
}

/// Rubber between two facing walls.
struct Gap<'a> {
    rays: &'a MeshRays,
    /// Point halfway between the walls.
    at_mm: Point3,
    /// Normal of one wall.
    normal: Point3,
    thickness_mm: f64,
}

impl Gap<'_> {
    /// Depth of the fin: the least, over directions in its middle plane, from where it opens to where it ends.
    fn depth_mm(&self) -> f64 {
        let seed = if self.normal[2].abs() < 0.9 { [0.0, 0.0, 1.0] } else { [1.0, 0.0, 0.0] };
        let x = unit(cross(seed, self.normal));
        let y = cross(self.normal, x);
        let mut least = REACH_MM;
        for i in 0..DIRECTIONS {
            let (sin, cos) = (TAU * f64::from(i) / f64::from(DIRECTIONS)).sin_cos();
            let way = along(x.map(|c| c * cos), y, sin);
            let Some(opens_mm) = self.opens_mm(way) else { continue };
            let back = way.map(|c| -c);
            let depth_mm = match self.opens_mm(back) {
                Some(other_mm) => 0.5 * (opens_mm + other_mm),
                None => {
                    opens_mm + self.rays.nearest(self.at_mm, back, REACH_MM).map_or(REACH_MM, |hit| hit.distance_mm)
                }
            };
            least = least.min(depth_mm);
            if least < LEAST_SLENDERNESS * self.thickness_mm {
                break;
            }
        }
        least
    }

    /// Way to where the rubber gets thicker, mm; `None` where a wall comes before, or nothing does within reach.
    fn opens_mm(&self, way: Point3) -> Option<f64> {
        let wall_mm = self.rays.nearest(self.at_mm, way, REACH_MM).map_or(REACH_MM, |hit| hit.distance_mm);
        let step_mm = 0.5 * self.thickness_mm;
        let mut gone_mm = step_mm;
        while gone_mm < wall_mm {
            let at = along(self.at_mm, way, gone_mm);
            let wide = OPENING * self.thickness_mm;
            let side = |normal: Point3| self.rays.nearest(at, normal, wide).map_or(wide, |hit| hit.distance_mm);
            if side(self.normal) + side(self.normal.map(|c| -c)) >= wide {
                return Some(gone_mm);
            }
            gone_mm += step_mm;
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use gripwright_section::{Curve, Outline, Point, Role, Segment, rounded_rectangle};
    use gripwright_solid::{Motion, PrismSpec, prism, triangulate};

    use super::*;

    fn mesh(outline: Outline, half_height_mm: f64, motion: &Motion) -> Mesh {
        let solid = prism("part", &PrismSpec::plain(outline, half_height_mm)).unwrap();
        triangulate(&solid.brep().moved(motion), 0.01).unwrap()
    }

    fn polygon(points: &[(f64, f64)]) -> Outline {
        let at = |i: usize| Point::new(points[i % points.len()].0, points[i % points.len()].1);
        let line = |i: usize| Segment::new(Curve::line(at(i), at(i + 1)), Role::Body);
        Outline::new((0..points.len()).map(line).collect()).unwrap()
    }

    /// Block of 20 × 16 mm with a slot of some width and depth from above.
    fn slotted(width: f64, depth: f64) -> Outline {
        let (w, bottom) = (0.5 * width, 16.0 - depth);
        let corners =
            [(-10.0, 0.0), (10.0, 0.0), (10.0, 16.0), (w, 16.0), (w, bottom), (-w, bottom), (-w, 16.0), (-10.0, 16.0)];
        polygon(&corners)
    }

    #[test]
    fn a_slot_holds_a_fin_of_its_width() {
        let slot = mesh(slotted(1.8, 9.0), 12.0, &Motion::shift([0.0; 3]));
        let fin = thinnest_fin(&[&slot], 6.0, 1.0).unwrap();
        assert!((fin.thickness_mm - 1.8).abs() < 1e-6, "{fin:?}");
        // Measured in steps of half a thickness.
        assert!(fin.depth_mm > 8.0 && fin.depth_mm < 10.9, "{fin:?}");
        assert!(fin.at_mm[0].abs() < 1e-6 && fin.at_mm[1] > 7.0 && fin.at_mm[1] < 16.0);
    }

    #[test]
    fn grooves_and_convex_parts_hold_no_fin() {
        for outline in [slotted(1.8, 1.5), rounded_rectangle(20.0, 16.0, 2.0).unwrap()] {
            let part = mesh(outline, 12.0, &Motion::shift([0.0; 3]));
            assert_eq!(thinnest_fin(&[&part], 6.0, 1.0), None);
        }
    }

    #[test]
    fn rubber_between_two_parts_is_a_fin_too() {
        let block = || rounded_rectangle(20.0, 16.0, 2.0).unwrap();
        let left = mesh(block(), 12.0, &Motion::shift([0.0; 3]));
        let right = mesh(block(), 12.0, &Motion::shift([22.4, 0.0, 0.0]));
        let fin = thinnest_fin(&[&left, &right], 6.0, 1.0).unwrap();
        assert!((fin.thickness_mm - 2.4).abs() < 1e-6 && (fin.at_mm[0] - 11.2).abs() < 1e-6, "{fin:?}");
        let far = mesh(block(), 12.0, &Motion::shift([27.0, 0.0, 0.0]));
        assert_eq!(thinnest_fin(&[&left, &far], 6.0, 1.0), None);
    }

    /// Walls at 40° hold a wedge, whose edge may be as sharp as it likes; walls at 12° hold a fin.
    #[test]
    fn a_wedge_is_no_fin() {
        let vee = |degrees: f64| {
            let half = 9.0 * (0.5 * degrees).to_radians().tan();
            polygon(&[(-10.0, 0.0), (10.0, 0.0), (10.0, 16.0), (half, 16.0), (0.0, 7.0), (-half, 16.0), (-10.0, 16.0)])
        };
        let part = |degrees| mesh(vee(degrees), 12.0, &Motion::shift([0.0; 3]));
        assert_eq!(thinnest_fin(&[&part(40.0)], 6.0, 1.0), None);
        assert!(thinnest_fin(&[&part(12.0)], 6.0, 1.0).is_some_and(|fin| fin.thickness_mm < 1.5));
    }
}
