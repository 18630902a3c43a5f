//! Surface of a cavity with an upward direction: heights, the order of the vertices from the top, and neighbours.

use gripwright_solid::{
    Mesh, Point3,
    vector::{cross, dot, length, sub},
};

use crate::vector::direction;

use super::air_pocket::CavityError;

/// Closed surface and an upward direction.
pub(super) struct CavitySurface<'a> {
    pub(super) mesh: &'a Mesh,
    /// Unit vector.
    pub(super) up: Point3,
    /// Height of each vertex, mm.
    pub(super) heights: Vec<f64>,
    /// Vertices from the top downwards. Vertices at one height follow their index, so that no two are equal.
    pub(super) order: Vec<u32>,
    /// Place of each vertex in this order.
    pub(super) rank: Vec<u32>,
    /// Triangle beyond each side of each triangle; side `k` runs from corner `k` to the next.
    pub(super) beyond: Vec<[u32; 3]>,
    /// Triangles sorted by their highest vertex.
    by_top: Vec<u32>,
    /// Index in `by_top` of the first triangle of each vertex, and the end.
    starts: Vec<u32>,
}

impl<'a> CavitySurface<'a> {
    pub(super) fn new(mesh: &'a Mesh, up: Point3) -> Result<Self, CavityError> {
        let up = direction(up).ok_or(CavityError::NoDirection { up })?;
        let finite = mesh.vertices.iter().flatten().all(|x| x.is_finite());
        if mesh.triangles.is_empty() || !finite {
            return Err(CavityError::NoSurface);
        }
        let beyond = triangles_beyond(mesh)?;
        let heights: Vec<f64> = mesh.vertices.iter().map(|v| dot(*v, up)).collect();
        let mut order: Vec<u32> = (0..index(heights.len())).collect();
        order.sort_unstable_by(|a, b| heights[*b as usize].total_cmp(&heights[*a as usize]).then(a.cmp(b)));
        let mut rank = vec![0; order.len()];
        for (place, v) in order.iter().enumerate() {
            rank[*v as usize] = index(place);
        }
        let mut surface = Self { mesh, up, heights, order, rank, beyond, by_top: Vec::new(), starts: Vec::new() };
        surface.sort_by_top();
        Ok(surface)
    }

    fn sort_by_top(&mut self) {
        let top_rank = |t: &u32| self.rank[self.top(*t) as usize];
        let mut by_top: Vec<u32> = (0..index(self.mesh.triangles.len())).collect();
        by_top.sort_by_key(top_rank);
        let mut starts = Vec::with_capacity(self.order.len() + 1);
        let mut next = 0;
        for place in 0..index(self.order.len()) {
            starts.push(index(next));
            while next < by_top.len() && top_rank(&by_top[next]) == place {
                next += 1;
            }
        }
        starts.push(index(next));
        (self.by_top, self.starts) = (by_top, starts);
    }

    /// Highest vertex of a triangle.
    pub(super) fn top(&self, triangle: u32) -> u32 {
        let [a, b, c] = self.mesh.triangles[triangle as usize];
        let higher = |a: u32, b: u32| if self.rank[a as usize] < self.rank[b as usize] { a } else { b };
        higher(higher(a, b), c)
    }

    /// Triangles whose highest vertex is this one.
    pub(super) fn below(&self, vertex: u32) -> &[u32] {
        let place = self.rank[vertex as usize] as usize;
        &self.by_top[self.starts[place] as usize..self.starts[place + 1] as usize]
    }

    /// Triangles from the highest to the lowest, by their highest vertex.
    pub(super) fn triangles_downwards(&self) -> &[u32] {
        &self.by_top
    }

    pub(super) fn corners(&self, triangle: u32) -> [Point3; 3] {
        self.mesh.triangles[triangle as usize].map(|v| self.mesh.vertices[v as usize])
    }

    /// Heights of the corners of a triangle, mm.
    pub(super) fn corner_heights(&self, triangle: u32) -> [f64; 3] {
        self.mesh.triangles[triangle as usize].map(|v| self.heights[v as usize])
    }

    /// Outward normal of a triangle with the length of its area, mm².
    pub(super) fn area_vector(&self, triangle: u32) -> Point3 {
        let [a, b, c] = self.corners(triangle);
        cross(sub(b, a), sub(c, a)).map(|x| 0.5 * x)
    }

    /// Component of the outward unit normal along the upward direction: 1 for a level ceiling.
    pub(super) fn facing_up(&self, triangle: u32) -> f64 {
        let area = self.area_vector(triangle);
        dot(area, self.up) / length(area).max(f64::MIN_POSITIVE)
    }
}

/// Index of a vertex or triangle.
pub(super) fn index(n: usize) -> u32 {
    u32::try_from(n).expect("a mesh has fewer than 2³² vertices and triangles")
}

/// Triangle beyond each side, by sorting the sides.
fn triangles_beyond(mesh: &Mesh) -> Result<Vec<[u32; 3]>, CavityError> {
    let mut sides: Vec<([u32; 2], bool, usize, usize)> = Vec::with_capacity(3 * mesh.triangles.len());
    for (triangle, t) in mesh.triangles.iter().enumerate() {
        for k in 0..3 {
            let (a, b) = (t[k], t[(k + 1) % 3]);
            if a == b || a.max(b) as usize >= mesh.vertices.len() {
                return Err(CavityError::NotClosed { triangle });
            }
            sides.push(([a.min(b), a.max(b)], a < b, triangle, k));
        }
    }
    sides.sort_unstable();
    let mut beyond = vec![[0; 3]; mesh.triangles.len()];
    for pair in sides.chunks(2) {
        let (ends, forward, triangle, k) = pair[0];
        match pair.get(1) {
            Some(&(other_ends, other_forward, other, m)) if ends == other_ends && forward != other_forward => {
                beyond[triangle][k] = index(other);
                beyond[other][m] = index(triangle);
            }
            _ => return Err(CavityError::NotClosed { triangle }),
        }
    }
    Ok(beyond)
}
