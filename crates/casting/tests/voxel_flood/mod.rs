//! Flood of a cavity in small cubes, by brute force: no surface, no order of heights, no integral.
#![allow(dead_code, reason = "each test file uses its own share of these")]
#![expect(clippy::cast_sign_loss, clippy::cast_possible_truncation, reason = "counts of cubes are small")]

use std::{cmp::Ordering, collections::BinaryHeap};

use gripwright_casting::{AirLimits, AirPocket, Attitude, Opening, SurfacePoint, VentBrief, find_pockets, plan_vents};
use gripwright_solid::Mesh;

/// Edge of a cube, mm.
const VOXEL_MM: f64 = 0.4;
/// Pockets of more cubes are compared.
const LEAST_CUBES: f64 = 1000.0;
/// Most cubes that vents may leave dry, beside their edges.
const MOST_CUBES_LEFT: f64 = 100.0;
/// Place of a cube's middle in a grid that starts off the part, as a share of a cube: no middle lies on a face or an edge.
const MIDDLE: [f64; 3] = [0.4637, 0.5411, 0.2689];

/// Cubes of a cavity.
pub(crate) struct VoxelCavity<'a> {
    mesh: &'a Mesh,
    size_mm: f64,
    from: [f64; 3],
    count: [usize; 3],
    inside: Vec<bool>,
}

/// Air that cannot rise to an opening.
pub(crate) struct VoxelPocket {
    /// Middles of its cubes.
    pub(crate) places: Vec<[f64; 3]>,
    /// Height of its highest cube's middle, mm.
    pub(crate) top_mm: f64,
    /// Volume, mm³.
    pub(crate) volume_mm3: f64,
}

/// Cube with the greatest least height of a way from an opening to it.
#[derive(PartialEq)]
struct Reached(f64, usize);

impl Eq for Reached {}

impl Ord for Reached {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0).then(other.1.cmp(&self.1))
    }
}

impl PartialOrd for Reached {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    let d = [0, 1, 2].map(|i| a[i] - b[i]);
    dot(d, d).sqrt()
}

impl<'a> VoxelCavity<'a> {
    /// Cubes whose middles lie inside a mesh: columns along z are crossed with all triangles.
    pub(crate) fn new(mesh: &'a Mesh) -> Self {
        let size_mm = VOXEL_MM;
        let bound = |start: f64, pick: fn(f64, f64) -> f64| {
            mesh.vertices.iter().fold([start; 3], |b, v| [0, 1, 2].map(|i| pick(b[i], v[i])))
        };
        let (low, high) = (bound(f64::INFINITY, f64::min), bound(f64::NEG_INFINITY, f64::max));
        let from = low.map(|x| x - 1.5 * size_mm);
        let count = [0, 1, 2].map(|i| ((high[i] - from[i]) / size_mm).ceil() as usize + 2);
        let mut cavity = Self { mesh, size_mm, from, count, inside: vec![false; count[0] * count[1] * count[2]] };
        let mut crossings: Vec<Vec<f64>> = vec![Vec::new(); count[0] * count[1]];
        for t in &mesh.triangles {
            cavity.cross_columns(t.map(|v| mesh.vertices[v as usize]), &mut crossings);
        }
        for (column, heights) in crossings.iter_mut().enumerate() {
            assert_eq!(heights.len() % 2, 0, "a column leaves the cavity as often as it enters");
            heights.sort_by(f64::total_cmp);
            for z in 0..count[2] {
                let height = cavity.from[2] + (z as f64 + MIDDLE[2]) * size_mm;
                let below = heights.partition_point(|crossing| *crossing < height);
                cavity.inside[column * count[2] + z] = below % 2 == 1;
            }
        }
        cavity
    }

    /// Adds the height at which each column crosses a triangle.
    fn cross_columns(&self, corners: [[f64; 3]; 3], crossings: &mut [Vec<f64>]) {
        let place = |axis: usize, k: usize| self.from[axis] + (k as f64 + MIDDLE[axis]) * self.size_mm;
        let range = |axis: usize| {
            let low = corners.iter().map(|c| c[axis]).fold(f64::INFINITY, f64::min);
            let high = corners.iter().map(|c| c[axis]).fold(f64::NEG_INFINITY, f64::max);
            let first = ((low - self.from[axis]) / self.size_mm - 1.0).max(0.0) as usize;
            (first..self.count[axis])
                .skip_while(move |k| place(axis, *k) < low)
                .take_while(move |k| place(axis, *k) <= high)
        };
        for x in range(0) {
            for y in range(1) {
                let p = [place(0, x), place(1, y)];
                // Twice the areas of the triangles of each side with the column.
                let area = |i: usize| {
                    let (a, b) = (corners[(i + 1) % 3], corners[(i + 2) % 3]);
                    (a[0] - p[0]) * (b[1] - p[1]) - (b[0] - p[0]) * (a[1] - p[1])
                };
                let areas = [area(0), area(1), area(2)];
                if areas.iter().all(|a| *a > 0.0) || areas.iter().all(|a| *a < 0.0) {
                    let sum: f64 = areas.iter().sum();
                    let height = (0..3).map(|i| areas[i] / sum * corners[i][2]).sum();
                    crossings[x * self.count[1] + y].push(height);
                }
            }
        }
    }

    fn place(&self, cube: usize) -> [f64; 3] {
        let z = cube % self.count[2];
        let (x, y) = (cube / self.count[2] / self.count[1], cube / self.count[2] % self.count[1]);
        let at = |axis: usize, k: usize| self.from[axis] + (k as f64 + MIDDLE[axis]) * self.size_mm;
        [at(0, x), at(1, y), at(2, z)]
    }

    /// The 26 cubes round a cube that lie inside. The outermost layer of cubes is empty.
    fn around(&self, cube: usize) -> impl Iterator<Item = usize> {
        let (row, layer) = (self.count[2].cast_signed(), (self.count[1] * self.count[2]).cast_signed());
        let steps =
            (0..27).filter(|k| *k != 13).map(move |k: isize| (k / 9 - 1) * layer + (k / 3 % 3 - 1) * row + k % 3 - 1);
        steps.map(move |step| cube.wrapping_add_signed(step)).filter(|next| self.inside[*next])
    }

    /// Air that cannot rise to any opening, in connected parts. An opening takes all cubes within its radius that touch
    /// the outside.
    pub(crate) fn pockets(&self, up: [f64; 3], openings: &[Opening]) -> Vec<VoxelPocket> {
        let height = |cube: usize| dot(self.place(cube), up);
        let mut least = vec![f64::NEG_INFINITY; self.inside.len()];
        let mut heap = BinaryHeap::new();
        for cube in (0..self.inside.len()).filter(|cube| self.inside[*cube]) {
            let place = self.place(cube);
            let is_open = || openings.iter().any(|o| distance(place, o.at_mm) <= o.radius_mm);
            if self.around(cube).count() < 26 && is_open() {
                least[cube] = height(cube);
                heap.push(Reached(least[cube], cube));
            }
        }
        while let Some(Reached(reached, cube)) = heap.pop() {
            if reached < least[cube] {
                continue;
            }
            for next in self.around(cube) {
                let way = reached.min(height(next));
                if way > least[next] {
                    least[next] = way;
                    heap.push(Reached(way, next));
                }
            }
        }
        let mut is_dry: Vec<bool> =
            (0..self.inside.len()).map(|cube| self.inside[cube] && least[cube] < height(cube) - 1e-9).collect();
        let mut found = Vec::new();
        for first in 0..is_dry.len() {
            if std::mem::take(&mut is_dry[first]) {
                found.push(self.dry_part(first, &mut is_dry, up));
            }
        }
        found
    }

    fn dry_part(&self, first: usize, is_dry: &mut [bool], up: [f64; 3]) -> VoxelPocket {
        let mut cubes = vec![first];
        let mut next = 0;
        while next < cubes.len() {
            for cube in self.around(cubes[next]) {
                if std::mem::take(&mut is_dry[cube]) {
                    cubes.push(cube);
                }
            }
            next += 1;
        }
        let places: Vec<_> = cubes.iter().map(|cube| self.place(*cube)).collect();
        let top_mm = places.iter().map(|p| dot(*p, up)).fold(f64::NEG_INFINITY, f64::max);
        VoxelPocket { top_mm, volume_mm3: cubes.len() as f64 * self.size_mm.powi(3), places }
    }
}

/// Difference of an exact pocket from one in cubes: of the volume, in layers of half a cube over the area of the pocket,
/// and of the highest points, in cubes.
fn difference(exact: &AirPocket, cubes: &VoxelPocket) -> (f64, f64) {
    let area = exact.area_mm2 + exact.wall_area_mm2;
    let layers = (exact.volume_mm3 - cubes.volume_mm3).abs() / (0.5 * VOXEL_MM * area);
    let nearest = cubes.places.iter().map(|p| distance(*p, exact.highest_mm)).fold(f64::INFINITY, f64::min);
    (layers, nearest.max((exact.top_height_mm - cubes.top_mm).abs()) / VOXEL_MM)
}

impl VoxelCavity<'_> {
    /// Compares all pockets of more than 1,000 cubes. Returns their number.
    pub(crate) fn compare(&self, name: &str, up: [f64; 3], openings: &[Opening]) -> usize {
        let cubes = self.pockets(up, openings);
        let exact = find_pockets(self.mesh, up, openings, &AirLimits::default()).unwrap().pockets;
        let least = LEAST_CUBES * VOXEL_MM.powi(3);
        let mut count = 0;
        for pocket in cubes.iter().filter(|pocket| pocket.volume_mm3 > least) {
            let differences = exact.iter().map(|e| difference(e, pocket));
            let (layers, away) = differences.min_by(|a, b| a.0.max(a.1).total_cmp(&b.0.max(b.1))).unwrap_or((9.9, 9.9));
            assert!(
                layers < 1.0 && away < 2.0,
                "{name}: {} mm³ in cubes, {layers}, {away}\n{exact:?}",
                pocket.volume_mm3
            );
            count += 1;
        }
        for pocket in exact.iter().filter(|pocket| pocket.volume_mm3 > least) {
            let found = cubes.iter().map(|c| difference(pocket, c)).any(|(layers, away)| layers < 1.0 && away < 2.0);
            assert!(found, "{name}: not in cubes: {pocket:?}");
        }
        count
    }

    /// Plans vents and floods the cavity with them.
    pub(crate) fn assert_vented(&self, name: &str, attitudes: &[Attitude], is_free: &dyn Fn(&SurfacePoint) -> bool) {
        let plan = plan_vents(self.mesh, &VentBrief::new(attitudes, is_free, is_free)).unwrap();
        assert!(plan.pockets_left.is_empty(), "{name}: {:?}", plan.pockets_left);
        let openings: Vec<Opening> = std::iter::once(&plan.sprue).chain(&plan.vents).map(|o| o.opening).collect();
        let left = self.pockets(plan.attitude.up, &openings);
        let most = left.iter().map(|pocket| pocket.volume_mm3).fold(0.0, f64::max) / VOXEL_MM.powi(3);
        assert!(most <= MOST_CUBES_LEFT, "{name}: {most} cubes are left");
    }
}
