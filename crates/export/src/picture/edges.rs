//! Which lines are drawn: sharp edges of the boundary, and where the surface turns away from the viewer.

use gripwright_solid::{Brep, EdgeCurve, Face, Surface};

use gripwright_solid::Mesh;

use super::vector::{Vector, cross, dot, minus, plus, times, unit};

/// Cosine of the least angle between faces whose edge is drawn: 12°. Arcs that run on smoothly and drafted halves
/// that meet in the parting plane make no line.
const SHARP: f64 = 0.978;
/// Angle (rad) of one chord of a drawn arc.
const CHORD: f64 = 0.08;

/// The sharp edges of a boundary, as chains of points, mm.
pub(super) fn sharp_edges(brep: &Brep) -> Vec<Vec<Vector>> {
    let mut faces: Vec<Vec<&Face>> = vec![Vec::new(); brep.edges.len()];
    for face in &brep.faces {
        for edge_use in face.loops.iter().flatten() {
            faces[edge_use.edge].push(face);
        }
    }
    let mut chains = Vec::new();
    for (index, beside) in faces.iter().enumerate() {
        let chain = points(brep, index);
        let middle = if chain.len() == 2 { times(plus(chain[0], chain[1]), 0.5) } else { chain[chain.len() / 2] };
        let smooth = match beside[..] {
            [first, second] => dot(normal(first, middle), normal(second, middle)) > SHARP,
            _ => false,
        };
        if !smooth {
            chains.push(chain);
        }
    }
    chains
}

fn points(brep: &Brep, index: usize) -> Vec<Vector> {
    let edge = &brep.edges[index];
    let (from, to) = (brep.vertices[edge.from], brep.vertices[edge.to]);
    let EdgeCurve::Arc { frame, radius, sweep } = edge.curve else {
        return vec![from, to];
    };
    let y = cross(frame.z, frame.x);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 2 and 79: a sweep is below 2π"
    )]
    let chords = (sweep.abs().min(7.0) / CHORD).ceil().max(2.0) as u32;
    let at = |chord: u32| {
        let (sin, cos) = (sweep * f64::from(chord) / f64::from(chords)).sin_cos();
        plus(frame.origin, times(plus(times(frame.x, cos), times(y, sin)), radius))
    };
    let inner = (1..chords).map(at);
    std::iter::once(from).chain(inner).chain(std::iter::once(to)).collect()
}

/// Outward normal of a face at a point on it.
fn normal(face: &Face, point: Vector) -> Vector {
    let away = |frame: &gripwright_solid::Frame| {
        let offset = minus(point, frame.origin);
        unit(minus(offset, times(frame.z, dot(offset, frame.z)))).unwrap_or(frame.x)
    };
    let own = match &face.surface {
        Surface::Plane { frame } => frame.z,
        Surface::Cylinder { frame, .. } => away(frame),
        Surface::Cone { frame, half_angle, .. } => {
            let (sin, cos) = half_angle.sin_cos();
            minus(times(away(frame), cos), times(frame.z, sin))
        }
        Surface::Oblique { frame, radius, upper_radius, shift, height, .. } => {
            let y = cross(frame.z, frame.x);
            let rise = dot(minus(point, frame.origin), frame.z) / height;
            let lean = plus(times(frame.x, shift[0]), times(y, shift[1]));
            let centre = gripwright_solid::Frame { origin: plus(frame.origin, times(lean, rise)), ..*frame };
            let out = away(&centre);
            let slope = (dot(lean, out) + upper_radius - radius) / height;
            unit(minus(out, times(frame.z, slope))).unwrap_or(out)
        }
    };
    if face.same_sense { own } else { times(own, -1.0) }
}

/// The sides of triangles where a smooth surface turns away from a viewer in the direction `towards`.
pub(super) fn turning_lines(mesh: &Mesh, normals: &[Vector], towards: impl Fn(Vector) -> f64) -> Vec<[u32; 2]> {
    let mut sides: Vec<([u32; 2], bool)> = Vec::with_capacity(3 * mesh.triangles.len());
    for (triangle, &normal) in mesh.triangles.iter().zip(normals) {
        let faces_viewer = towards(normal) > 0.0;
        for i in 0..3 {
            let (a, b) = (triangle[i], triangle[(i + 1) % 3]);
            sides.push(([a.min(b), a.max(b)], faces_viewer));
        }
    }
    sides.sort_unstable();
    let meets = |pair: &&[([u32; 2], bool)]| pair[0].0 == pair[1].0 && pair[0].1 != pair[1].1;
    sides.windows(2).filter(meets).map(|pair| pair[0].0).collect()
}
