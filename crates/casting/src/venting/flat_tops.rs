//! Flat tops: ceilings and ridges that are flatter than the least slope, so that air does not rise along them.

use gripwright_solid::{
    Mesh, Point3,
    vector::{along, distance, dot, length, sub},
};

use crate::vector::mean;

use super::{
    air_pocket::{AirLimits, CavityError, FlatTop},
    cavity_surface::{CavitySurface, index},
};

/// Finds the flat tops of a cavity with an upward direction, by their first vertices.
pub fn flat_tops(cavity: &Mesh, up: Point3, limits: &AirLimits) -> Result<Vec<FlatTop>, CavityError> {
    let surface = CavitySurface::new(cavity, up)?;
    Ok(flat_regions(&surface, limits.least_slope_rad).into_iter().map(|region| region.top).collect())
}

/// Flat top with its parts of the surface.
pub(super) struct FlatRegion {
    pub(super) top: FlatTop,
    pub(super) triangles: Vec<u32>,
    /// Triangles beside ridges, with the side that is the ridge.
    pub(super) ridges: Vec<(u32, usize)>,
}

/// Flat ceilings and ridges, joined where they share a vertex.
pub(super) fn flat_regions(surface: &CavitySurface, least_slope_rad: f64) -> Vec<FlatRegion> {
    let all = 0..index(surface.mesh.triangles.len());
    let flat: Vec<u32> = all.clone().filter(|t| surface.facing_up(*t) >= least_slope_rad.cos()).collect();
    let sides = all.flat_map(|t| (0..3).map(move |side| (t, side)));
    let ridges: Vec<(u32, usize)> = sides.filter(|side| is_ridge(surface, *side, least_slope_rad)).collect();
    let mut roots: Vec<u32> = (0..index(surface.order.len())).collect();
    for &t in &flat {
        let [a, b, c] = surface.mesh.triangles[t as usize];
        join(&mut roots, a, b);
        join(&mut roots, b, c);
    }
    for &ridge in &ridges {
        let [a, b] = ends(surface, ridge);
        join(&mut roots, a, b);
    }
    let mut by_root = std::collections::BTreeMap::<u32, (Vec<u32>, Vec<(u32, usize)>)>::new();
    for t in flat {
        by_root.entry(root(&mut roots, surface.mesh.triangles[t as usize][0])).or_default().0.push(t);
    }
    for ridge in ridges {
        by_root.entry(root(&mut roots, ends(surface, ridge)[0])).or_default().1.push(ridge);
    }
    by_root.into_values().map(|parts| region(surface, parts.0, parts.1)).collect()
}

/// Vertices at the ends of a side.
pub(super) fn ends(surface: &CavitySurface, side: (u32, usize)) -> [u32; 2] {
    let corners = surface.mesh.triangles[side.0 as usize];
    [corners[side.1], corners[(side.1 + 1) % 3]]
}

/// True if both faces fall from this side, the cavity lies below it, and it is nearly level. Of both triangles beside a
/// ridge, the one of lower index has it.
fn is_ridge(surface: &CavitySurface, side: (u32, usize), least_slope_rad: f64) -> bool {
    let (triangle, k) = side;
    let other = surface.beyond[triangle as usize][k];
    if other < triangle {
        return false;
    }
    let ends = ends(surface, side);
    let [a, b] = ends.map(|v| surface.mesh.vertices[v as usize]);
    let edge = sub(b, a);
    if dot(edge, surface.up).abs() > length(edge) * least_slope_rad.sin() {
        return false;
    }
    let opposite = |t: u32| {
        let third = surface.mesh.triangles[t as usize].into_iter().find(|v| !ends.contains(v));
        sub(surface.mesh.vertices[third.unwrap_or(ends[0]) as usize], a)
    };
    // Steepness of a face across the edge; a face that falls less than the least slope is a flat ceiling.
    let falls = |t: u32| {
        let to = opposite(t);
        let across = along(to, edge, -dot(to, edge) / dot(edge, edge));
        dot(across, surface.up) < -length(across) * least_slope_rad.sin()
    };
    let is_convex = dot(opposite(other), surface.area_vector(triangle)) < 0.0;
    is_convex && falls(triangle) && falls(other)
}

fn region(surface: &CavitySurface, triangles: Vec<u32>, ridges: Vec<(u32, usize)>) -> FlatRegion {
    let corners = triangles.iter().flat_map(|t| surface.mesh.triangles[*t as usize]);
    let mut vertices: Vec<u32> = corners.chain(ridges.iter().flat_map(|side| ends(surface, *side))).collect();
    vertices.sort_unstable();
    vertices.dedup();
    let places: Vec<Point3> = vertices.iter().map(|v| surface.mesh.vertices[*v as usize]).collect();
    let middle = mean(places.iter().copied()).unwrap_or_default();
    let by_distance =
        |from: Point3| move |a: &&Point3, b: &&Point3| distance(from, **a).total_cmp(&distance(from, **b));
    let end = places.iter().max_by(by_distance(middle)).copied().unwrap_or_default();
    let top = FlatTop {
        middle_mm: places.iter().min_by(by_distance(middle)).copied().unwrap_or_default(),
        // An empty sum is −0.
        area_mm2: triangles.iter().map(|t| length(surface.area_vector(*t))).sum::<f64>() + 0.0,
        extent_mm: places.iter().map(|p| distance(end, *p)).fold(0.0, f64::max),
    };
    FlatRegion { top, triangles, ridges }
}

fn root(roots: &mut [u32], mut i: u32) -> u32 {
    while roots[i as usize] != i {
        roots[i as usize] = roots[roots[i as usize] as usize];
        i = roots[i as usize];
    }
    i
}

fn join(roots: &mut [u32], a: u32, b: u32) {
    let (a, b) = (root(roots, a), root(roots, b));
    roots[a.max(b) as usize] = a.min(b);
}
