//! Inner edges of the holders that are made: a sharp one would be a notch in the part and a fin in its silicone mould.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
};

use gripwright::{Project, solids::holders};
use gripwright_section::{ClipBack, Outline, Role, RoundClip, run_out_at_lips};
use gripwright_sizing::HolderPlan;
use gripwright_solid::{Brep, Edge, EdgeCurve, Face, GripDraft, Point3, PrismSpec, Surface, prism};

/// Least radius of an inner round, mm.
const LEAST_RADIUS_MM: f64 = 0.3;
/// Sine of the angle between two faces from which on they are not tangent (1°).
const TANGENT: f64 = 0.0175;
/// Way from an edge into its faces at which they are compared, mm.
const STEP_MM: f64 = 1e-5;

fn add(a: Point3, b: Point3, share: f64) -> Point3 {
    [0, 1, 2].map(|i| a[i] + share * b[i])
}

fn dot(a: Point3, b: Point3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: Point3, b: Point3) -> Point3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn unit(a: Point3) -> Point3 {
    let length = dot(a, a).sqrt();
    a.map(|v| v / length)
}

/// Outward normal of a face at a point on it: the gradient of the distance from its surface.
fn outward(face: &Face, at: Point3) -> Point3 {
    let slope = [0, 1, 2].map(|i| {
        let mut off = [0.0; 3];
        off[i] = STEP_MM;
        face.surface.signed_distance(add(at, off, 1.0)) - face.surface.signed_distance(add(at, off, -1.0))
    });
    unit(slope.map(|v| if face.same_sense { v } else { -v }))
}

/// Sine of the angle by which the material turns inward at an edge, from one face to the other; negative at outer edges.
fn inward_turn(brep: &Brep, index: usize, faces: [(&Face, bool); 2]) -> f64 {
    let edge = &brep.edges[index];
    let (middle, after) = (brep.edge_point(edge, 0.5), brep.edge_point(edge, 0.5 + 1e-4));
    let [(first, forward), (second, _)] = faces;
    let along = unit(add(after, middle, -1.0)).map(|v| if forward { v } else { -v });
    // The loop keeps its face on the left as seen from outside.
    let into_first = cross(outward(first, middle), along);
    dot(into_first, outward(second, middle))
}

/// Least radius of the arcs around a face that is hollow, mm; infinite for other faces.
fn hollow_radius_mm(brep: &Brep, face: &Face) -> f64 {
    if face.same_sense || matches!(face.surface, Surface::Plane { .. }) {
        return f64::INFINITY;
    }
    let edges = face.loops.iter().flatten().map(|used| &brep.edges[used.edge]);
    let radius = |edge: &Edge| match edge.curve {
        EdgeCurve::Arc { radius, .. } => Some(radius),
        EdgeCurve::Line => None,
    };
    edges.filter_map(radius).fold(f64::INFINITY, f64::min)
}

/// Both faces at each edge, with the direction in which they use it.
fn faces_of_edges(brep: &Brep) -> Vec<Vec<(&Face, bool)>> {
    let mut out = vec![Vec::new(); brep.edges.len()];
    for face in &brep.faces {
        for used in face.loops.iter().flatten() {
            out[used.edge].push((face, used.forward));
        }
    }
    out
}

/// Places of inner edges sharper than the least radius, with the sine of their turn or their radius. Edges in the planes of
/// the web's joints are left out.
fn sharp_inner_edges(brep: &Brep, web_joints: &[f64]) -> Vec<(Point3, f64)> {
    let mut out = Vec::new();
    for (index, faces) in faces_of_edges(brep).into_iter().enumerate() {
        let faces: [_; 2] = faces.try_into().unwrap_or_else(|_| panic!("edge {index} has no two faces"));
        let turn = inward_turn(brep, index, faces);
        if turn > TANGENT && !lies_in(brep, &brep.edges[index], web_joints) {
            out.push((brep.edge_point(&brep.edges[index], 0.5), turn));
        }
    }
    for face in &brep.faces {
        let radius = hollow_radius_mm(brep, face);
        if radius < LEAST_RADIUS_MM {
            out.push((face.surface.frame().origin, radius));
        }
    }
    out
}

/// Reads a demo with the drawings that it names.
fn demo(path: &Path, drawings: &BTreeMap<String, Vec<u8>>) -> Project {
    let name = path.file_name().unwrap().to_string_lossy();
    Project::read(&fs::read(path).unwrap(), &name, drawings).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// Heights of the planes in which the web meets mount and clips, mm.
fn pad_planes(plan: &HolderPlan) -> Vec<f64> {
    let pad = |outline: &Outline| outline.segments().iter().find(|s| s.role == Role::Pad).map(|s| s.curve.start().y);
    let clips = plan.stations.iter().filter_map(|station| pad(&station.outline)).map(|y| plan.offset_mm + y);
    clips.chain(pad(&plan.mount_outline).map(|y| -y)).collect()
}

/// True if an edge lies in one of these planes. A web that is longer or shorter than a pad meets it there at a blunt angle.
fn lies_in(brep: &Brep, edge: &Edge, planes: &[f64]) -> bool {
    planes.iter().any(|y| [edge.from, edge.to].iter().all(|v| (brep.vertices[*v][1] - y).abs() < 1e-6))
}

/// Lips that stay straight while the back is chamfered have a step, unless their outline ends in flats.
#[test]
fn a_step_beside_straight_lips_is_found() {
    let clip = RoundClip {
        seat_radius_mm: 8.0,
        root_wall_mm: 2.0,
        lip_wall_mm: 1.6,
        half_wrap_rad: 2.0,
        lead_in: None,
        back: ClipBack::Pad { half_width_mm: 2.5, depth_mm: 1.0, fillet_mm: 1.0 },
    };
    let plain = [clip.outline().unwrap()];
    let with_flats = run_out_at_lips(&plain, 0.5).unwrap();
    let sharp = |outlines: &[Outline; 1], draft_rad: f64| {
        let spec = PrismSpec {
            chamfer_mm: 0.4,
            draft_rad,
            gripping: GripDraft::Straight,
            ..PrismSpec::plain(outlines[0].clone(), 5.0)
        };
        sharp_inner_edges(prism("clip", &spec).unwrap().brep(), &[]).len()
    };
    for draft_rad in [0.0, 0.02] {
        assert!(sharp(&plain, draft_rad) >= 4, "{draft_rad}");
        assert_eq!(sharp(&with_flats, draft_rad), 0, "{draft_rad}");
    }
}

#[test]
fn holders_of_the_demos_have_no_sharp_inner_edge() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-specs");
    let files = |path: &Path| fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path()).collect::<Vec<PathBuf>>();
    let drawings: BTreeMap<String, Vec<u8>> = files(&folder.join("drawings"))
        .iter()
        .map(|path| (format!("drawings/{}", path.file_name().unwrap().to_string_lossy()), fs::read(path).unwrap()))
        .collect();
    let mut count = 0;
    for path in files(&folder).iter().filter(|path| path.extension().is_some_and(|e| e == "toml")) {
        let project = demo(path, &drawings);
        let design = project.design().unwrap_or_else(|e| panic!("{e}"));
        let parts = holders(design.design(), 0.1).unwrap_or_else(|e| panic!("{e}"));
        for (part, plan) in parts.iter().zip(&design.design().holders) {
            let sharp = sharp_inner_edges(part.solid.brep(), &pad_planes(plan));
            assert!(sharp.is_empty(), "{} {}: {sharp:?}", path.display(), plan.name);
            count += 1;
        }
    }
    assert!(count >= 10, "{count} holders");
}
