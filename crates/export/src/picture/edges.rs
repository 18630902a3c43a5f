//! Sharp edges of a boundary that the viewer can see, as chords.

use gripwright_solid::{Brep, EdgeCurve, Face, Frame, Surface};

use super::vector::{Vector, cross, dot, minus, plus, times, unit};

/// Cosine of the least angle between faces whose edge is drawn: 12°. Tangent arcs, and drafted halves that meet in the
/// parting plane, give no line.
const SHARP_COSINE: f64 = 0.978;
/// Largest distance (samples) between an arc and its chord: finer detail is invisible.
const CHORD_ERROR: f64 = 0.15;
/// Least angle of one chord, rad.
const LEAST_CHORD: f64 = 0.01;
/// Greatest angle of one chord, rad.
const GREATEST_CHORD: f64 = 0.4;
/// An edge is hidden if the normals of both its faces have a component towards the viewer below this.
const FACING_AWAY: f64 = -0.01;

/// Chords of all sharp edges of a boundary, mm; no chord is farther than `chord_mm` from its edge.
pub fn edge_chords(brep: &Brep, chord_mm: f64) -> Vec<[[f64; 3]; 2]> {
    sharp_edges(brep, CHORD_ERROR / chord_mm, |_| 1.0)
}

/// Chords of the sharp edges that their own faces do not hide, mm. `scale` is in samples per millimetre; `towards_viewer`
/// returns the component of a unit normal towards the viewer.
pub(super) fn sharp_edges(brep: &Brep, scale: f64, towards_viewer: impl Fn(Vector) -> f64) -> Vec<[Vector; 2]> {
    // A closed boundary has two faces at each edge. An edge with any other number is always drawn.
    let mut beside: Vec<(usize, [Option<&Face>; 2])> = vec![(0, [None; 2]); brep.edges.len()];
    for face in &brep.faces {
        for edge_use in face.loops.iter().flatten() {
            let (count, faces) = &mut beside[edge_use.edge];
            if let Some(free) = faces.get_mut(*count) {
                *free = Some(face);
            }
            *count += 1;
        }
    }
    let mut lines = Vec::new();
    for (index, beside) in beside.iter().enumerate() {
        let chain = chord_points(brep, index, scale);
        let normals = |point: Vector| match *beside {
            (2, [Some(first), Some(second)]) => Some([first, second].map(|face| normal(face, point))),
            _ => None,
        };
        let middle = if chain.len() == 2 { midpoint(&chain) } else { chain[chain.len() / 2] };
        if normals(middle).is_some_and(|[first, second]| dot(first, second) > SHARP_COSINE) {
            continue;
        }
        let is_visible = |pair: &&[Vector]| {
            normals(midpoint(pair))
                .is_none_or(|normals| normals.into_iter().any(|normal| towards_viewer(normal) >= FACING_AWAY))
        };
        lines.extend(chain.windows(2).filter(is_visible).map(|pair| [pair[0], pair[1]]));
    }
    lines
}

fn midpoint(pair: &[Vector]) -> Vector {
    times(plus(pair[0], pair[1]), 0.5)
}

/// End points of the chords of an edge, mm.
fn chord_points(brep: &Brep, index: usize, scale: f64) -> Vec<Vector> {
    let edge = &brep.edges[index];
    let (from, to) = (brep.vertices[edge.from], brep.vertices[edge.to]);
    let EdgeCurve::Arc { frame, radius, sweep } = edge.curve else {
        return vec![from, to];
    };
    let y = cross(frame.z, frame.x);
    // A chord of angle α deviates from its arc by α² r / 8.
    let angle = (8.0 * CHORD_ERROR / (radius * scale)).sqrt().clamp(LEAST_CHORD, GREATEST_CHORD);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at most 700: a sweep is below 2π")]
    let chords = (sweep.abs().min(7.0) / angle).ceil().max(2.0) as u32;
    let at = |chord: u32| {
        let (sin, cos) = (sweep * f64::from(chord) / f64::from(chords)).sin_cos();
        plus(frame.origin, times(plus(times(frame.x, cos), times(y, sin)), radius))
    };
    let inner = (1..chords).map(at);
    std::iter::once(from).chain(inner).chain(std::iter::once(to)).collect()
}

/// Outward normal of a face at a point on it.
fn normal(face: &Face, point: Vector) -> Vector {
    let radial = |frame: &Frame| {
        let offset = minus(point, frame.origin);
        unit(minus(offset, times(frame.z, dot(offset, frame.z)))).unwrap_or(frame.x)
    };
    let own = match &face.surface {
        Surface::Plane { frame } => frame.z,
        Surface::Cylinder { frame, .. } => radial(frame),
        Surface::Cone { frame, half_angle, .. } => {
            let (sin, cos) = half_angle.sin_cos();
            minus(times(radial(frame), cos), times(frame.z, sin))
        }
        Surface::Oblique { frame, radius, upper_radius, shift, height, .. } => {
            let y = cross(frame.z, frame.x);
            let rise = dot(minus(point, frame.origin), frame.z) / height;
            let lean = plus(times(frame.x, shift[0]), times(y, shift[1]));
            let centre = Frame { origin: plus(frame.origin, times(lean, rise)), ..*frame };
            let out = radial(&centre);
            let slope = (dot(lean, out) + upper_radius - radius) / height;
            unit(minus(out, times(frame.z, slope))).unwrap_or(out)
        }
    };
    if face.same_sense { own } else { times(own, -1.0) }
}
