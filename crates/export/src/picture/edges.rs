//! The sharp edges of a boundary.

use gripwright_solid::{Brep, EdgeCurve, Face, Surface};

use super::vector::{Vector, cross, dot, minus, plus, times, unit};

/// Cosine of the least angle between faces whose edge is drawn: 12°. Arcs that run on smoothly and drafted halves
/// that meet in the parting plane make no line.
const SHARP: f64 = 0.978;
/// How far (samples) a chord of a drawn arc may be from it: what is finer cannot be seen.
const CHORD_ERROR: f64 = 0.15;
/// Least and greatest angle (rad) of one chord.
const LEAST_CHORD: f64 = 0.01;
const WIDEST_CHORD: f64 = 0.4;

/// Cosine of the angle by which both faces beside an edge must look away from the viewer for them to hide it.
const AWAY: f64 = -0.01;

/// The sharp edges of a boundary that the faces beside them do not hide, in stretches, mm. `towards` is how much a normal
/// looks to the viewer, `scale` how many samples are a millimetre.
pub(super) fn sharp_edges(brep: &Brep, scale: f64, towards: impl Fn(Vector) -> f64) -> Vec<[Vector; 2]> {
    // More than two faces beside an edge are none that a closed boundary has: its edges are drawn.
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
    let mut stretches = Vec::new();
    for (index, beside) in beside.iter().enumerate() {
        let chain = points(brep, index, scale);
        let normals = |point: Vector| match *beside {
            (2, [Some(first), Some(second)]) => Some([first, second].map(|face| normal(face, point))),
            _ => None,
        };
        let middle = if chain.len() == 2 { halfway(&chain) } else { chain[chain.len() / 2] };
        if normals(middle).is_some_and(|[first, second]| dot(first, second) > SHARP) {
            continue;
        }
        let shown = |pair: &&[Vector]| {
            normals(halfway(pair)).is_none_or(|normals| normals.into_iter().any(|normal| towards(normal) >= AWAY))
        };
        stretches.extend(chain.windows(2).filter(shown).map(|pair| [pair[0], pair[1]]));
    }
    stretches
}

fn halfway(pair: &[Vector]) -> Vector {
    times(plus(pair[0], pair[1]), 0.5)
}

fn points(brep: &Brep, index: usize, scale: f64) -> Vec<Vector> {
    let edge = &brep.edges[index];
    let (from, to) = (brep.vertices[edge.from], brep.vertices[edge.to]);
    let EdgeCurve::Arc { frame, radius, sweep } = edge.curve else {
        return vec![from, to];
    };
    let y = cross(frame.z, frame.x);
    // A chord of angle α is α² r / 8 off its arc.
    let angle = (8.0 * CHORD_ERROR / (radius * scale)).sqrt().clamp(LEAST_CHORD, WIDEST_CHORD);
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
