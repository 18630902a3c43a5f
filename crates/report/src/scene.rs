//! Scene of a page: meshes of parts and of what surrounds them, packed into a short text for the page's own view.
//!
//! Coordinates are whole numbers of a mesh's box, 16 bits each: a box of 100 mm has steps of 0.0015 mm, far below a pixel.

use base64::{Engine, engine::general_purpose::STANDARD};
use serde_json::{Value, json};

/// Meshes that belong together, such as a holder with its tool and body.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SceneGroup {
    /// One to a few letters that stand beside it, such as `A`.
    pub letter: String,
    /// What it is, in words.
    pub words: String,
    /// Its meshes.
    pub meshes: Vec<SceneMesh>,
}

/// Kind of a mesh, which decides its look and by which switch it is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SceneKind {
    /// A part that is made.
    #[default]
    Part,
    /// A tool in its clips.
    Tool,
    /// The body that carries the holder.
    Body,
    /// A volume that must stay free.
    KeepOut,
}

impl SceneKind {
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Part => "part",
            Self::Tool => "tool",
            Self::Body => "body",
            Self::KeepOut => "free",
        }
    }
}

/// Mesh of the scene, mm, in the axes of its group.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SceneMesh {
    /// Kind.
    pub kind: SceneKind,
    /// Vertices.
    pub vertices: Vec<[f64; 3]>,
    /// Triangles as indices of vertices, counter-clockwise as seen from outside.
    pub triangles: Vec<[u32; 3]>,
    /// Edges that are drawn.
    pub edges: Vec<[[f64; 3]; 2]>,
}

/// Greatest whole number of a coordinate.
const STEPS: f64 = 65_535.0;

/// The scene as a JSON value: groups with their meshes, and one block of bytes in which they lie.
pub(crate) fn packed(groups: &[SceneGroup]) -> Value {
    let mut bytes = Vec::new();
    let groups: Vec<Value> = groups
        .iter()
        .map(|group| {
            let meshes: Vec<Value> = group.meshes.iter().map(|mesh| packed_mesh(mesh, &mut bytes)).collect();
            json!({ "letter": group.letter, "words": group.words, "meshes": meshes })
        })
        .collect();
    json!({ "groups": groups, "bytes": STANDARD.encode(&bytes) })
}

/// Appends the numbers of a mesh to the block, and returns where they are.
fn packed_mesh(mesh: &SceneMesh, bytes: &mut Vec<u8>) -> Value {
    let points = || mesh.vertices.iter().chain(mesh.edges.iter().flatten());
    let mut low = [f64::INFINITY; 3];
    let mut high = [f64::NEG_INFINITY; 3];
    for point in points() {
        for axis in 0..3 {
            low[axis] = low[axis].min(point[axis]);
            high[axis] = high[axis].max(point[axis]);
        }
    }
    if points().next().is_none() {
        (low, high) = ([0.0; 3], [0.0; 3]);
    }
    let size: [f64; 3] = std::array::from_fn(|axis| (high[axis] - low[axis]).max(1e-9));
    let at = bytes.len();
    for point in points() {
        for axis in 0..3 {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 16 bits")]
            let step = (STEPS * (point[axis] - low[axis]) / size[axis]).round().clamp(0.0, STEPS) as u16;
            bytes.extend(step.to_le_bytes());
        }
    }
    // Wide indices are for meshes with more vertices than 16 bits can count.
    let wide = mesh.vertices.len() > usize::from(u16::MAX);
    if wide && !bytes.len().is_multiple_of(4) {
        bytes.extend([0; 2]);
    }
    let triangles_at = bytes.len();
    for index in mesh.triangles.iter().flatten() {
        if wide {
            bytes.extend(index.to_le_bytes());
        } else {
            bytes.extend(u16::try_from(*index).unwrap_or(0).to_le_bytes());
        }
    }
    json!({
        "kind": mesh.kind.word(), "low": low, "size": size, "at": at, "vertices": mesh.vertices.len(), "edges": mesh.edges.len(),
        "triangles_at": triangles_at, "triangles": mesh.triangles.len(), "wide": wide,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coordinates_come_back_within_half_a_step() {
        let vertices = vec![[0.0, -5.0, 2.0], [100.0, 3.0, 2.0], [40.0, 1.234, 7.5]];
        let edges = vec![[[0.0, -5.0, 2.0], [12.5, 0.0, 3.0]]];
        let mesh = SceneMesh { kind: SceneKind::Tool, vertices: vertices.clone(), triangles: vec![[0, 1, 2]], edges };
        let group = SceneGroup { letter: "A".into(), words: "holder".into(), meshes: vec![mesh.clone(), mesh] };
        let scene = packed(&[group]);
        let bytes = STANDARD.decode(scene["bytes"].as_str().unwrap()).unwrap();
        assert_eq!(bytes.len(), 2 * (5 * 6 + 6));
        let number = |at: usize| f64::from(u16::from_le_bytes([bytes[at], bytes[at + 1]]));
        for mesh in scene["groups"][0]["meshes"].as_array().unwrap() {
            assert_eq!(mesh["kind"], "tool");
            let at = usize::try_from(mesh["at"].as_u64().unwrap()).unwrap();
            for (index, vertex) in vertices.iter().enumerate() {
                for axis in 0..3 {
                    let (low, size) = (mesh["low"][axis].as_f64().unwrap(), mesh["size"][axis].as_f64().unwrap());
                    let back = low + size * number(at + 6 * index + 2 * axis) / STEPS;
                    assert!((back - vertex[axis]).abs() <= 0.5 * size / STEPS + 1e-12);
                }
            }
            let triangles = usize::try_from(mesh["triangles_at"].as_u64().unwrap()).unwrap();
            assert!((number(triangles + 4) - 2.0).abs() < 1e-9);
        }
        assert_eq!(packed(&[])["bytes"], "");
        let empty = SceneGroup { meshes: vec![SceneMesh::default()], ..SceneGroup::default() };
        assert!(!packed(&[empty]).to_string().contains("null"));
    }
}
