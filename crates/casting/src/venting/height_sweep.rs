//! Pockets of air, by one sweep over the vertices of the surface from the top downwards.
//!
//! The sweep keeps the connected parts of the cavity above the level, as sets of vertices (union-find). Parts meet where
//! their surfaces meet, with one exception: round the top of a core, the surface begins anew inside a part. A level
//! ray from there finds the surface of this part, and its number of crossings tells cores from tops of the cavity.
//!
//! A part is open as soon as the level passes an opening of it. A closed part becomes a pocket when it meets an open one
//! or reaches an opening. Volumes are exact integrals over the clipped triangles: air on a level floor has the
//! volume ∫(z − level) n·up dA over the surface above the level.
//!
//! No parts but these can meet: the height has no critical point inside the cavity. Parts of the volume therefore
//! meet only at saddles of the surface with the cavity below, where their surfaces meet too.

use gripwright_solid::{
    Mesh, Point3,
    vector::{along, distance, dot, length},
};

use crate::vector::{level_directions, mean};

use super::{
    air_pocket::{AirLimits, AirPocket, CavityError, Opening, TrappedAir},
    cavity_surface::{CavitySurface, index},
    opening_reach::{OpeningReach, opening_reach},
};

/// Volume below which a pocket is rounding, mm³.
const ROUNDING_MM3: f64 = 1e-6;
/// Height below the top within which vertices belong to a flat ceiling, mm.
const LEVEL_TOP_MM: f64 = 1e-3;
/// Height above a level within which a face lies in the level, mm: rounding.
const LEVEL_MM: f64 = 1e-9;
/// Angle of the level rays, rad. Any angle serves; edges of parts hardly ever have this one.
const RAY_ANGLE_RAD: f64 = 0.7331;

/// Finds all pockets of air that the openings leave in a cavity.
///
/// The surface is that of the part, closed and with normals out of the part. `up` is the direction against gravity.
/// Openings are moved to the nearest point of the surface.
pub fn find_pockets(
    cavity: &Mesh,
    up: Point3,
    openings: &[Opening],
    limits: &AirLimits,
) -> Result<TrappedAir, CavityError> {
    let surface = CavitySurface::new(cavity, up)?;
    let reaches: Vec<_> = openings.iter().flat_map(|o| opening_reach(&surface, o)).collect();
    let found = HeightSweep::new(&surface).run(&reaches).into_iter().map(|dry| dry.pocket);
    let (pockets, negligible) = found.partition(|pocket| pocket.volume_mm3 > limits.negligible_mm3);
    Ok(TrappedAir { pockets, negligible })
}

/// Pocket and the triangles that are dry at least in part.
pub(super) struct DryPart {
    pub(super) pocket: AirPocket,
    pub(super) triangles: Vec<u32>,
}

/// Part of the cavity above the level.
#[derive(Clone, Copy)]
struct Part {
    is_open: bool,
    /// Last vertex of the part's chain.
    last: u32,
}

const NO_VERTEX: u32 = u32::MAX;

/// State of a sweep.
pub(super) struct HeightSweep<'a> {
    surface: &'a CavitySurface<'a>,
    /// Level directions across and along the rays.
    across: Point3,
    along: Point3,
    /// Parent of each vertex; itself for the root of a part, which is its first and highest vertex.
    parent: Vec<u32>,
    /// Next vertex in the chain of a part.
    next: Vec<u32>,
    /// Parts by their roots.
    parts: Vec<Part>,
    found: Vec<DryPart>,
}

impl<'a> HeightSweep<'a> {
    pub(super) fn new(surface: &'a CavitySurface<'a>) -> Self {
        let [x, y] = level_directions(surface.up);
        let (sin, cos) = RAY_ANGLE_RAD.sin_cos();
        let turned = |a: f64, b: f64| along(x.map(|c| a * c), y, b);
        let count = index(surface.order.len());
        Self {
            surface,
            across: turned(-sin, cos),
            along: turned(cos, sin),
            parent: (0..count).collect(),
            next: vec![NO_VERTEX; count as usize],
            parts: (0..count).map(|last| Part { is_open: false, last }).collect(),
            found: Vec::new(),
        }
    }

    /// All pockets, the highest spill levels first.
    pub(super) fn run(mut self, openings: &[OpeningReach]) -> Vec<DryPart> {
        let neighbours = self.higher_neighbours();
        let mut events: Vec<_> = openings.iter().map(|reach| (self.event_rank(reach), *reach)).collect();
        events.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.height_mm.total_cmp(&a.1.height_mm)));
        let mut events = events.into_iter().peekable();
        for (place, &vertex) in self.surface.order.iter().enumerate() {
            let higher = &neighbours[vertex as usize];
            if higher.is_empty() {
                if let Some(around) = self.surface_around(vertex) {
                    self.join(around, vertex);
                }
            } else {
                self.meet(vertex, higher);
            }
            while let Some((_, reach)) = events.next_if(|event| event.0 as usize == place) {
                let root = self.root(self.surface.top(reach.triangle));
                self.close_off(root, reach.height_mm);
                self.parts[root as usize].is_open = true;
            }
        }
        self.close_off_rest();
        self.found
    }

    /// Neighbours of each vertex that come before it.
    fn higher_neighbours(&self) -> Vec<Vec<u32>> {
        let mut higher = vec![Vec::new(); self.surface.order.len()];
        let rank = |v: u32| self.surface.rank[v as usize];
        for t in &self.surface.mesh.triangles {
            for k in 0..3 {
                // Each side belongs to two triangles, of which one runs upwards.
                let (from, to) = (t[k], t[(k + 1) % 3]);
                if rank(to) < rank(from) {
                    higher[from as usize].push(to);
                }
            }
        }
        higher
    }

    /// Place in the order after which an opening takes effect: all vertices as high as its reach have passed, and the
    /// highest vertex of its triangle.
    fn event_rank(&self, reach: &OpeningReach) -> u32 {
        let higher = self.surface.order.partition_point(|v| self.surface.heights[*v as usize] >= reach.height_mm);
        index(higher.saturating_sub(1)).max(self.surface.rank[self.surface.top(reach.triangle) as usize])
    }

    fn root(&mut self, mut vertex: u32) -> u32 {
        while self.parent[vertex as usize] != vertex {
            let above = self.parent[self.parent[vertex as usize] as usize];
            self.parent[vertex as usize] = above;
            vertex = above;
        }
        vertex
    }

    /// Joins the parts of all higher neighbours of a vertex. If one is open, the closed ones become pockets.
    fn meet(&mut self, vertex: u32, higher: &[u32]) {
        let mut roots: Vec<u32> = higher.iter().map(|v| self.root(*v)).collect();
        roots.sort_unstable();
        roots.dedup();
        let level = self.surface.heights[vertex as usize];
        if roots.iter().any(|root| self.parts[*root as usize].is_open) {
            for &root in &roots {
                self.close_off(root, level);
            }
        }
        for root in roots {
            self.join(root, vertex);
        }
    }

    /// Joins two parts. The root is the higher of both, and the part is open if one is.
    fn join(&mut self, a: u32, b: u32) {
        let (a, b) = (self.root(a), self.root(b));
        if a == b {
            return;
        }
        let rank = |v: u32| self.surface.rank[v as usize];
        let (upper, lower) = if rank(a) < rank(b) { (a, b) } else { (b, a) };
        let (first, second) = (self.parts[upper as usize], self.parts[lower as usize]);
        self.parent[lower as usize] = upper;
        self.next[first.last as usize] = lower;
        self.parts[upper as usize] = Part { is_open: first.is_open || second.is_open, last: second.last };
    }

    /// Records a part as a pocket, if it is closed.
    fn close_off(&mut self, root: u32, spill_height_mm: f64) {
        if self.parts[root as usize].is_open {
            return;
        }
        let vertices = self.vertices_of(root);
        let triangles: Vec<u32> = vertices.iter().flat_map(|v| self.surface.below(*v)).copied().collect();
        let [area_mm2, wall_area_mm2, volume_mm3] = dry_amounts(self.surface, &triangles, spill_height_mm);
        if volume_mm3 > ROUNDING_MM3 {
            let top_height_mm = self.surface.heights[root as usize];
            let highest_mm = self.middle_of_top(&vertices, top_height_mm);
            let pocket = AirPocket { highest_mm, top_height_mm, spill_height_mm, volume_mm3, area_mm2, wall_area_mm2 };
            self.found.push(DryPart { pocket, triangles });
        }
    }

    fn vertices_of(&self, root: u32) -> Vec<u32> {
        let next = |v: &u32| Some(self.next[*v as usize]).filter(|next| *next != NO_VERTEX);
        std::iter::successors(Some(root), next).collect()
    }

    /// Vertex in the middle of a flat ceiling.
    fn middle_of_top(&self, vertices: &[u32], top: f64) -> Point3 {
        let is_level = |v: &&u32| self.surface.heights[**v as usize] >= top - LEVEL_TOP_MM;
        let place = |v: &u32| self.surface.mesh.vertices[*v as usize];
        let level = || vertices.iter().filter(is_level).map(place);
        let middle = mean(level()).unwrap_or_default();
        let nearest = level().min_by(|a, b| distance(*a, middle).total_cmp(&distance(*b, middle)));
        nearest.unwrap_or(middle)
    }

    /// Records parts that no opening has reached down to the lowest vertex of their surface.
    fn close_off_rest(&mut self) {
        for &vertex in &self.surface.order {
            if self.parent[vertex as usize] == vertex {
                let heights = self.vertices_of(vertex).into_iter().map(|v| self.surface.heights[v as usize]);
                let lowest = heights.fold(f64::INFINITY, f64::min);
                self.close_off(vertex, lowest);
            }
        }
    }

    /// Vertex of the part round a vertex that has no higher neighbour; `None` if there is no cavity just above it.
    ///
    /// The level through the vertex, before it has passed, cuts triangles with one vertex passed and one to come. These cuts
    /// are closed lines, so a ray from the vertex crosses them an odd number of times exactly if it starts inside.
    fn surface_around(&self, vertex: u32) -> Option<u32> {
        let surface = self.surface;
        let place = surface.rank[vertex as usize];
        let at = self.level_point(surface.mesh.vertices[vertex as usize]);
        let mut nearest: Option<(f64, u32)> = None;
        let mut crossings = 0;
        for triangle in surface.triangles_downwards() {
            let mut corners = surface.mesh.triangles[*triangle as usize];
            corners.sort_unstable_by_key(|v| surface.rank[*v as usize]);
            let [top, middle, bottom] = corners;
            if surface.rank[top as usize] > place {
                break;
            }
            if surface.rank[bottom as usize] < place {
                continue;
            }
            let other = if surface.rank[middle as usize] < place { [middle, bottom] } else { [top, middle] };
            let level = surface.heights[vertex as usize];
            let [a, b] = [[top, bottom], other].map(|side| self.level_point(self.cut(side, level)));
            if (a[1] > at[1]) == (b[1] > at[1]) {
                continue;
            }
            let ahead = a[0] + (b[0] - a[0]) * (at[1] - a[1]) / (b[1] - a[1]) - at[0];
            if ahead > 0.0 {
                crossings += 1;
                if nearest.is_none_or(|n| ahead < n.0) {
                    nearest = Some((ahead, top));
                }
            }
        }
        nearest.filter(|_| crossings % 2 == 1).map(|n| n.1)
    }

    /// Point of a side, given by its upper and its lower end, at a height between both.
    fn cut(&self, side: [u32; 2], level: f64) -> Point3 {
        let [upper, lower] = side.map(|v| self.surface.mesh.vertices[v as usize]);
        let [high, low] = side.map(|v| self.surface.heights[v as usize]);
        // A level side is cut anywhere, but by both its triangles at the same point.
        let share = if high > low { ((high - level) / (high - low)).clamp(0.0, 1.0) } else { 0.5 };
        [0, 1, 2].map(|i| upper[i] + (lower[i] - upper[i]) * share)
    }

    /// Coordinates in the level plane: along and across the rays.
    fn level_point(&self, p: Point3) -> [f64; 2] {
        [dot(p, self.along), dot(p, self.across)]
    }
}

/// Level area, wall area (mm²) and volume (mm³) of the parts of triangles above a level.
pub(super) fn dry_amounts(surface: &CavitySurface, triangles: &[u32], level: f64) -> [f64; 3] {
    let mut sum = [0.0; 3];
    for &triangle in triangles {
        let area = surface.area_vector(triangle);
        let (share, moment) = share_above(surface.corner_heights(triangle).map(|h| h - level));
        let upright = dot(area, surface.up);
        sum[0] += upright * share;
        sum[1] += length(area) * share;
        sum[2] += upright * moment;
    }
    sum
}

/// Share of a triangle's area above level zero, and the integral of the height over this share divided by the whole area.
fn share_above(heights: [f64; 3]) -> (f64, f64) {
    let mut h = heights;
    h.sort_unstable_by(|a, b| b.total_cmp(a));
    let [high, middle, low] = h;
    if high <= LEVEL_MM {
        // A face in the level itself is wet.
        (0.0, 0.0)
    } else if low >= 0.0 {
        (1.0, (high + middle + low) / 3.0)
    } else if middle <= 0.0 {
        let tip = high / (high - middle) * (high / (high - low));
        (tip, tip * high / 3.0)
    } else {
        let tip = low / (low - middle) * (low / (low - high));
        (1.0 - tip, (high + middle + low - tip * low) / 3.0)
    }
}
