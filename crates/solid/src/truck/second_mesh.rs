//! Triangles of a boundary from truck's mesher, welded to one mesh.

use truck_meshalgo::{prelude::PolygonMesh, tessellation::MeshableShape};

use super::conversion::{TruckError, to_truck_solid};
use crate::{
    brep::{Brep, Point3},
    mesh::Mesh,
    vector::{dot, sub},
};

/// Least chord tolerance, mm. Truck takes points closer than 1e-6 mm for equal and panics at a tolerance of that size.
const LEAST_TOLERANCE_MM: f64 = 1e-5;

/// Share of the chord tolerance that truck is asked for. It measures a chord near the middle, between 40 and 60 % of its
/// parameters, where the sagitta is at least 96 % of the greatest.
const SAMPLED_SHARE: f64 = 0.95;

/// Points of neighbouring faces this close (mm) are the same point. Truck finds parameters to 1e-6 mm.
pub(super) const WELD_MM: f64 = 1e-5;

/// Triangles of a boundary from truck's mesher.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct SecondMesh {
    /// All triangles; points of neighbouring faces are welded.
    pub mesh: Mesh,
    /// Indices of the faces for which truck found no triangles.
    pub faces_without_mesh: Vec<usize>,
}

/// Converts a closed boundary to truck and triangulates it there, within a chord tolerance.
pub fn triangulate_with_truck(brep: &Brep, chord_tolerance_mm: f64) -> Result<SecondMesh, TruckError> {
    let fits = chord_tolerance_mm.is_finite() && chord_tolerance_mm >= LEAST_TOLERANCE_MM;
    if !fits {
        return Err(TruckError::Tolerance { chord_tolerance_mm, least_mm: LEAST_TOLERANCE_MM });
    }
    let meshed = to_truck_solid(brep)?.triangulation(SAMPLED_SHARE * chord_tolerance_mm);
    let mut collected = SecondMesh::default();
    for (index, face) in meshed.face_iter().enumerate() {
        match face.surface() {
            Some(polygon) if !polygon.tri_faces().is_empty() => add_polygon(&mut collected.mesh, &polygon),
            _ => collected.faces_without_mesh.push(index),
        }
    }
    weld(&mut collected.mesh);
    Ok(collected)
}

fn add_polygon(mesh: &mut Mesh, polygon: &PolygonMesh) {
    let first = vertex_index(mesh.vertices.len());
    mesh.vertices.extend(polygon.positions().iter().map(|p| [p.x, p.y, p.z]));
    mesh.triangles.extend(polygon.tri_faces().iter().map(|t| t.map(|corner| first + vertex_index(corner.pos))));
}

fn vertex_index(n: usize) -> u32 {
    u32::try_from(n).expect("points are far fewer than 2³²")
}

/// Merges points closer than [`WELD_MM`], and drops triangles that lose their area by it.
fn weld(mesh: &mut Mesh) {
    let points = &mesh.vertices;
    let mut order: Vec<u32> = (0..vertex_index(points.len())).collect();
    let at = |i: u32| points[i as usize];
    order.sort_by(|&a, &b| at(a)[0].total_cmp(&at(b)[0]).then(a.cmp(&b)));
    let mut kept: Vec<Option<u32>> = vec![None; points.len()];
    let mut vertices: Vec<Point3> = Vec::new();
    for (rank, &i) in order.iter().enumerate() {
        if kept[i as usize].is_some() {
            continue;
        }
        let number = vertex_index(vertices.len());
        vertices.push(at(i));
        kept[i as usize] = Some(number);
        for &j in order[rank + 1..].iter().take_while(|&&j| at(j)[0] - at(i)[0] <= WELD_MM) {
            let apart = sub(at(j), at(i));
            if kept[j as usize].is_none() && dot(apart, apart) <= WELD_MM * WELD_MM {
                kept[j as usize] = Some(number);
            }
        }
    }
    let numbers: Vec<u32> = kept.into_iter().flatten().collect();
    mesh.triangles.iter_mut().for_each(|t| *t = t.map(|i| numbers[i as usize]));
    mesh.triangles.retain(|t| t[0] != t[1] && t[1] != t[2] && t[2] != t[0]);
    mesh.vertices = vertices;
}
