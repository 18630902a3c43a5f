//! Hand-made boundaries and meshes, so that the writers are tested without the code that builds solids.
#![allow(dead_code, reason = "each test binary compiles this module and uses its own share")]

use gripwright_solid::{Brep, Edge, EdgeCurve, EdgeUse, Face, Frame, Mesh, Point3, Surface};

pub(crate) const X: Point3 = [1.0, 0.0, 0.0];
pub(crate) const Z: Point3 = [0.0, 0.0, 1.0];

/// Builder of a boundary; edges are shared by their end points.
#[derive(Default)]
pub(crate) struct Builder {
    pub(crate) brep: Brep,
}

impl Builder {
    pub(crate) fn vertex(&mut self, at: Point3) -> usize {
        self.brep.vertices.push(at);
        self.brep.vertices.len() - 1
    }

    /// Use of the edge between two vertices; adds a straight edge if there is none yet.
    pub(crate) fn edge_use(&mut self, from: usize, to: usize) -> EdgeUse {
        let found = self.brep.edges.iter().position(|e| [(e.from, e.to), (e.to, e.from)].contains(&(from, to)));
        let edge = found.unwrap_or_else(|| {
            self.brep.edges.push(Edge { from, to, curve: EdgeCurve::Line });
            self.brep.edges.len() - 1
        });
        EdgeUse { edge, forward: self.brep.edges[edge].from == from }
    }

    pub(crate) fn cycle(&mut self, corners: &[usize]) -> Vec<EdgeUse> {
        (0..corners.len()).map(|i| self.edge_use(corners[i], corners[(i + 1) % corners.len()])).collect()
    }

    /// Adds a plane face; corners run counter-clockwise about the outward normal, corners of holes clockwise.
    pub(crate) fn plane_face(&mut self, corners: &[usize], holes: &[&[usize]]) {
        let [a, b, c] = [corners[0], corners[1], corners[corners.len() - 1]].map(|v| self.brep.vertices[v]);
        let x = unit(minus(b, a));
        let frame = Frame { origin: a, x, z: unit(cross(x, minus(c, a))) };
        let mut loops = vec![self.cycle(corners)];
        loops.extend(holes.iter().map(|hole| self.cycle(hole)));
        self.brep.faces.push(Face { surface: Surface::Plane { frame }, same_sense: true, loops });
    }
}

fn minus(a: Point3, b: Point3) -> Point3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn cross(a: Point3, b: Point3) -> Point3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn unit(a: Point3) -> Point3 {
    let length = (a[0] * a[0] + a[1] * a[1] + a[2] * a[2]).sqrt();
    a.map(|component| component / length)
}

/// Adds the corners of a rectangle at height `z`, counter-clockwise from above.
fn rectangle(builder: &mut Builder, x: [f64; 2], y: [f64; 2], z: f64) -> [usize; 4] {
    let ([x0, x1], [y0, y1]) = (x, y);
    [[x0, y0, z], [x1, y0, z], [x1, y1, z], [x0, y1, z]].map(|at| builder.vertex(at))
}

/// A box with one corner at the origin.
pub(crate) fn cuboid(size: Point3) -> Brep {
    let mut b = Builder::default();
    let low = rectangle(&mut b, [0.0, size[0]], [0.0, size[1]], 0.0);
    let high = rectangle(&mut b, [0.0, size[0]], [0.0, size[1]], size[2]);
    walls(&mut b, low, high);
    b.plane_face(&[low[0], low[3], low[2], low[1]], &[]);
    b.plane_face(&high, &[]);
    b.brep
}

/// A box of 20 × 10 × 5 mm with a pocket of 8 × 4 × 2 mm in its top.
pub(crate) fn pocketed() -> Brep {
    let mut b = Builder::default();
    let low = rectangle(&mut b, [0.0, 20.0], [0.0, 10.0], 0.0);
    let high = rectangle(&mut b, [0.0, 20.0], [0.0, 10.0], 5.0);
    let rim = rectangle(&mut b, [6.0, 14.0], [3.0, 7.0], 5.0);
    let floor = rectangle(&mut b, [6.0, 14.0], [3.0, 7.0], 3.0);
    walls(&mut b, low, high);
    b.plane_face(&[low[0], low[3], low[2], low[1]], &[]);
    b.plane_face(&high, &[&[rim[0], rim[3], rim[2], rim[1]]]);
    for i in 0..4 {
        let j = (i + 1) % 4;
        b.plane_face(&[rim[i], rim[j], floor[j], floor[i]], &[]);
    }
    b.plane_face(&floor, &[]);
    b.brep
}

/// Adds the four side faces between two rectangles.
fn walls(b: &mut Builder, low: [usize; 4], high: [usize; 4]) {
    for i in 0..4 {
        let j = (i + 1) % 4;
        b.plane_face(&[low[i], low[j], high[j], high[i]], &[]);
    }
}

/// Radii of a tube sector at one height, mm.
#[derive(Clone, Copy)]
pub(crate) struct Level {
    pub(crate) z: f64,
    pub(crate) inner: f64,
    pub(crate) outer: f64,
}

/// A sector of a tube about the z axis from the x axis over `sweep` (rad), with cylinders and cones between levels.
pub(crate) fn sector(levels: &[Level], sweep: f64) -> Brep {
    let mut b = Builder::default();
    let ring = |b: &mut Builder, radius: f64, z: f64| -> [usize; 2] {
        let from = b.vertex([radius, 0.0, z]);
        let to = b.vertex([radius * sweep.cos(), radius * sweep.sin(), z]);
        let frame = Frame { origin: [0.0, 0.0, z], x: X, z: Z };
        b.brep.edges.push(Edge { from, to, curve: EdgeCurve::Arc { frame, radius, sweep } });
        [from, to]
    };
    let rings: Vec<_> = levels.iter().map(|l| [ring(&mut b, l.inner, l.z), ring(&mut b, l.outer, l.z)]).collect();
    for (i, pair) in rings.windows(2).enumerate() {
        let [low, high] = [pair[0], pair[1]];
        let (below, above) = (levels[i], levels[i + 1]);
        cone_band(&mut b, [low[0], high[0]], [below.inner, above.inner], [below.z, above.z], false);
        cone_band(&mut b, [low[1], high[1]], [below.outer, above.outer], [below.z, above.z], true);
    }
    let up = |side: usize, end: usize| rings.iter().map(move |ring| ring[side][end]);
    let start: Vec<_> = up(1, 0).chain(up(0, 0).rev()).collect();
    let end: Vec<_> = up(0, 1).chain(up(1, 1).rev()).collect();
    end_face(&mut b, &start, [0.0, -1.0, 0.0], X);
    end_face(&mut b, &end, [-sweep.sin(), sweep.cos(), 0.0], [sweep.cos(), sweep.sin(), 0.0]);
    let (bottom, top) = (rings[0], rings[rings.len() - 1]);
    cap(&mut b, bottom, levels[0].z, false);
    cap(&mut b, top, levels[levels.len() - 1].z, true);
    b.brep
}

/// Adds a cylinder or cone between two arcs.
fn cone_band(b: &mut Builder, rings: [[usize; 2]; 2], radii: [f64; 2], z: [f64; 2], outward: bool) {
    let [low, high] = rings;
    let corners = [low[0], low[1], high[1], high[0]];
    let loops = if outward { b.cycle(&corners) } else { b.cycle(&[low[1], low[0], high[0], high[1]]) };
    let slope = ((radii[1] - radii[0]) / (z[1] - z[0])).atan();
    let at = |z| [0.0, 0.0, z];
    let surface = if slope == 0.0 {
        Surface::Cylinder { frame: Frame { origin: at(z[0]), x: X, z: Z }, radius: radii[0] }
    } else if slope > 0.0 {
        Surface::Cone { frame: Frame { origin: at(z[0]), x: X, z: Z }, radius: radii[0], half_angle: slope }
    } else {
        let frame = Frame { origin: at(z[0]), x: X, z: [0.0, 0.0, -1.0] };
        Surface::Cone { frame, radius: radii[0], half_angle: -slope }
    };
    b.brep.faces.push(Face { surface, same_sense: outward, loops: vec![loops] });
}

fn end_face(b: &mut Builder, corners: &[usize], normal: Point3, x: Point3) {
    let frame = Frame { origin: b.brep.vertices[corners[0]], x, z: normal };
    let loops = vec![b.cycle(corners)];
    b.brep.faces.push(Face { surface: Surface::Plane { frame }, same_sense: true, loops });
}

fn cap(b: &mut Builder, arcs: [[usize; 2]; 2], z: f64, top: bool) {
    let [inner, outer] = arcs;
    let corners = [outer[0], outer[1], inner[1], inner[0]];
    let mut around = b.cycle(&corners);
    if !top {
        around.reverse();
        for edge_use in &mut around {
            edge_use.forward = !edge_use.forward;
        }
    }
    let frame = Frame { origin: [0.0, 0.0, z], x: X, z: Z };
    b.brep.faces.push(Face { surface: Surface::Plane { frame }, same_sense: top, loops: vec![around] });
}

/// A straight tube sector: inner radius 5 mm, outer 7 mm, 12 mm tall.
pub(crate) fn tube() -> Brep {
    sector(&[Level { z: -6.0, inner: 5.0, outer: 7.0 }, Level { z: 6.0, inner: 5.0, outer: 7.0 }], 4.2)
}

/// The same with 1.5° of draft from the middle on both faces.
pub(crate) fn drafted() -> Brep {
    let inset = 6.0 * 1.5_f64.to_radians().tan();
    let end = |z| Level { z, inner: 5.0 + inset, outer: 7.0 - inset };
    sector(&[end(-6.0), Level { z: 0.0, inner: 5.0, outer: 7.0 }, end(6.0)], 4.2)
}

/// The twelve triangles of a box with one corner at the origin.
pub(crate) fn cuboid_mesh(size: Point3) -> Mesh {
    let corner = |i: usize| [0, 1, 2].map(|axis| if i >> axis & 1 == 1 { size[axis] } else { 0.0 });
    let sides = [[0, 4, 6, 2], [1, 3, 7, 5], [0, 1, 5, 4], [2, 6, 7, 3], [0, 2, 3, 1], [4, 5, 7, 6]];
    let triangles = sides.iter().flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]).collect();
    Mesh { vertices: (0..8).map(corner).collect(), triangles }
}

/// Triangles of [`sector`], with `steps` chords along each arc.
pub(crate) fn sector_mesh(levels: &[Level], sweep: f64, steps: u32) -> Mesh {
    let mut mesh = Mesh::default();
    for level in levels {
        for step in 0..=steps {
            let (sin, cos) = (sweep * f64::from(step) / f64::from(steps)).sin_cos();
            mesh.vertices.extend([level.inner, level.outer].map(|r| [r * cos, r * sin, level.z]));
        }
    }
    let count = u32::try_from(levels.len()).expect("a few levels");
    let at = |level: u32, step: u32, side: u32| 2 * ((steps + 1) * level + step) + side;
    let mut quad = |[a, b, c, d]: [u32; 4]| mesh.triangles.extend([[a, b, c], [a, c, d]]);
    for step in 0..steps {
        let next = step + 1;
        for level in 0..count - 1 {
            let up = level + 1;
            quad([at(level, step, 1), at(level, next, 1), at(up, next, 1), at(up, step, 1)]);
            quad([at(level, next, 0), at(level, step, 0), at(up, step, 0), at(up, next, 0)]);
        }
        let top = count - 1;
        quad([at(top, step, 0), at(top, step, 1), at(top, next, 1), at(top, next, 0)]);
        quad([at(0, step, 1), at(0, step, 0), at(0, next, 0), at(0, next, 1)]);
    }
    for level in 0..count - 1 {
        let up = level + 1;
        quad([at(level, 0, 0), at(level, 0, 1), at(up, 0, 1), at(up, 0, 0)]);
        quad([at(level, steps, 1), at(level, steps, 0), at(up, steps, 0), at(up, steps, 1)]);
    }
    mesh
}
