//! Scene of a report: holders with tool, body and keep-outs in place, sleeves, plates of coupons.

use std::f64::consts::PI;

use gripwright_export::edge_chords;
use gripwright_input::{Spec, ToolSection};
use gripwright_report::{SceneGroup, SceneKind, SceneMesh};
use gripwright_section::{Curve, HexagonOrientation, Outline, Point, circle, hexagon};
use gripwright_sizing::{Design, HolderPlan, keep_out_volume};
use gripwright_solid::{Brep, Mesh, triangulate};

use crate::solids::{Part, Parts};

/// Greatest distance of a drawn chord from its arc, mm.
const CHORD_MM: f64 = 0.02;
/// Length of body and tool shown beyond what holds them, mm.
const BEYOND_MM: f64 = 12.0;

/// Groups of a design with its parts.
pub(super) fn scene(spec: &Spec, design: &Design, parts: &Parts) -> Vec<SceneGroup> {
    let holders = parts.holders.iter().zip(&design.holders);
    let mut groups: Vec<SceneGroup> = holders.map(|(part, plan)| holder_group(spec, design, part, plan)).collect();
    groups.extend(parts.sleeves.iter().zip(&design.sleeves).map(|(part, plan)| SceneGroup {
        letter: plan.identity.clone(),
        words: part.solid.name().to_owned(),
        meshes: vec![part_mesh(part)],
    }));
    // Where there are holders, plates would take most of the page; their pictures lie beside it.
    let plates = if groups.is_empty() { parts.plates.as_slice() } else { &[] };
    groups.extend(plates.iter().enumerate().map(|(index, plate)| SceneGroup {
        letter: format!("coupons {}", index + 1),
        words: format!("Coupons, plate {}", index + 1),
        meshes: vec![joined(plate.iter().map(part_mesh))],
    }));
    groups
}

fn holder_group(spec: &Spec, design: &Design, part: &Part, plan: &HolderPlan) -> SceneGroup {
    let mut meshes = vec![part_mesh(part)];
    meshes.extend(tool(spec, design, plan));
    let half = 0.5 * plan.mount_length_mm + BEYOND_MM;
    let body = design.mount.mount.body.moved(PI, Point::ORIGIN);
    meshes.push(extruded(SceneKind::Body, &body, [-half, half], |p, z| [p.x, p.y, z]));
    for keep_out in &spec.keep_outs {
        let volume = keep_out_volume(&keep_out.shape);
        let outline = volume.profile_outline();
        let ends = [volume.from_mm, volume.to_mm];
        meshes.extend(
            outline
                .map(|outline| extruded(SceneKind::KeepOut, &outline, ends, |p, along| volume.holder_point(along, p))),
        );
    }
    SceneGroup { letter: plan.letter.to_string(), words: plan.name.clone(), meshes }
}

/// The thickest tool of a holder in its clips.
fn tool(spec: &Spec, design: &Design, plan: &HolderPlan) -> Option<SceneMesh> {
    let rows = design.fit.iter().filter(|row| row.letter == plan.letter);
    let row = rows.max_by(|a, b| a.diameter_mm.total_cmp(&b.diameter_mm))?;
    let section = match spec.tools.get(row.tool)?.section {
        ToolSection::Round => circle(row.diameter_mm),
        ToolSection::Hexagon { corner_mm } => hexagon(row.diameter_mm, corner_mm, HexagonOrientation::FlatDown),
    };
    let spans = plan.stations.iter().flat_map(|s| [s.at_mm - 0.5 * s.length_mm, s.at_mm + 0.5 * s.length_mm]);
    let points = spans.chain(plan.stop_at_mm).chain(plan.ahead_mm);
    let [low, high] = points.fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], at| [a.min(at), b.max(at)]);
    let low = if plan.stop_at_mm.is_some_and(|at| at <= low) { low } else { low - BEYOND_MM };
    let high = if plan.ahead_mm.is_some_and(|at| at >= high) { high } else { high + BEYOND_MM };
    let (sin, cos) = plan.pitch_rad.sin_cos();
    // The section stands square to the axis, which leans by the pitch.
    let place = |p: Point, along: f64| [p.x, plan.offset_mm + along * sin + p.y * cos, along * cos - p.y * sin];
    Some(extruded(SceneKind::Tool, &section.ok()?, [low, high], place))
}

/// A part as it lies.
pub(crate) fn part_mesh(part: &Part) -> SceneMesh {
    shown_mesh(part.solid.brep(), part.mesh.clone())
}

/// A boundary that was not meshed yet; `None` if it cannot be.
pub(crate) fn solid_mesh(brep: &Brep) -> Option<SceneMesh> {
    Some(shown_mesh(brep, triangulate(brep, 2.0 * CHORD_MM).ok()?))
}

fn shown_mesh(brep: &Brep, mesh: Mesh) -> SceneMesh {
    let Mesh { vertices, triangles } = mesh;
    SceneMesh { kind: SceneKind::Part, vertices, triangles, edges: edge_chords(brep, CHORD_MM) }
}

/// One mesh of several, which share a look and a place.
fn joined(meshes: impl Iterator<Item = SceneMesh>) -> SceneMesh {
    let mut all = SceneMesh::default();
    for mesh in meshes {
        let first = u32::try_from(all.vertices.len()).unwrap_or(0);
        all.vertices.extend(mesh.vertices);
        all.triangles.extend(mesh.triangles.iter().map(|triangle| triangle.map(|index| first + index)));
        all.edges.extend(mesh.edges);
    }
    all
}

/// A convex outline extruded between two ends; `place` is right-handed.
fn extruded(kind: SceneKind, outline: &Outline, ends: [f64; 2], place: impl Fn(Point, f64) -> [f64; 3]) -> SceneMesh {
    let points = chord_points(outline);
    let count = u32::try_from(points.len()).unwrap_or(0);
    let mut mesh = SceneMesh { kind, ..SceneMesh::default() };
    for end in ends {
        mesh.vertices.extend(points.iter().map(|p| place(*p, end)));
    }
    for k in 0..count {
        let next = (k + 1) % count;
        mesh.triangles.push([k, next, count + next]);
        mesh.triangles.push([k, count + next, count + k]);
        if k > 0 && next > 0 {
            mesh.triangles.push([0, next, k]);
            mesh.triangles.push([count, count + k, count + next]);
        }
        let corner = |index: u32| mesh.vertices[index as usize];
        mesh.edges.extend([[corner(k), corner(next)], [corner(count + k), corner(count + next)]]);
    }
    mesh
}

/// Points of an outline, joined by chords.
fn chord_points(outline: &Outline) -> Vec<Point> {
    let mut points = Vec::new();
    for segment in outline.segments() {
        let count = match segment.curve {
            Curve::Line { .. } => 1,
            Curve::Arc { radius, sweep, .. } => {
                // A chord of angle α is α² r / 8 from its arc.
                let angle = (8.0 * CHORD_MM / radius).sqrt().clamp(0.05, 0.4);
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "at most 126: a turn is 2π"
                )]
                let chords = (sweep.abs() / angle).ceil().clamp(1.0, 200.0) as u32;
                chords
            }
        };
        points.extend((0..count).map(|k| segment.curve.at(f64::from(k) / f64::from(count))));
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_extruded_outline_encloses_its_volume() {
        let mesh = extruded(SceneKind::Body, &circle(10.0).unwrap(), [-3.0, 5.0], |p, z| [p.x, p.y, z]);
        let solid = Mesh { vertices: mesh.vertices.clone(), triangles: mesh.triangles.clone() };
        let wanted = PI * 25.0 * 8.0;
        assert!((solid.volume_mm3() / wanted - 1.0).abs() < 0.02, "{} {wanted}", solid.volume_mm3());
        let two = joined([mesh.clone(), mesh.clone()].into_iter());
        assert_eq!(two.triangles.len(), 2 * mesh.triangles.len());
        assert!(two.triangles.iter().flatten().all(|index| (*index as usize) < two.vertices.len()));
    }
}
