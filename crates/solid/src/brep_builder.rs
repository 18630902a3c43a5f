//! Construction of boundaries: adding vertices, edges and faces that share edges by index.

use gripwright_section::{Curve, Point};

use crate::{
    brep::{Brep, Edge, EdgeCurve, EdgeUse, Face, Frame, Point3, Surface},
    motion::Motion,
};

/// Point of the section plane at a height.
pub(crate) fn at_height(p: Point, height: f64) -> Point3 {
    [p.x, p.y, height]
}

/// Use of an edge from its first to its last vertex.
pub(crate) const fn forward(edge: usize) -> EdgeUse {
    EdgeUse { edge, forward: true }
}

/// Use of an edge from its last to its first vertex.
pub(crate) const fn backward(edge: usize) -> EdgeUse {
    EdgeUse { edge, forward: false }
}

/// Curve of an edge that lies on a section curve at a height.
pub(crate) fn edge_curve(curve: &Curve, height: f64) -> EdgeCurve {
    match *curve {
        Curve::Line { .. } => EdgeCurve::Line,
        Curve::Arc { centre, radius, start_angle, sweep } => {
            let x = Point::unit(start_angle);
            // Edges turn counter-clockwise about their own axis, so the axis of a clockwise arc points down.
            let z = [0.0, 0.0, if sweep < 0.0 { -1.0 } else { 1.0 }];
            let frame = Frame { origin: at_height(centre, height), x: [x.x, x.y, 0.0], z };
            EdgeCurve::Arc { frame, radius, sweep: sweep.abs() }
        }
    }
}

/// Horizontal plane at a height whose normal points up or down.
pub(crate) fn level_plane(height: f64, faces_up: bool) -> Surface {
    let z = [0.0, 0.0, if faces_up { 1.0 } else { -1.0 }];
    Surface::Plane { frame: Frame { origin: [0.0, 0.0, height], x: [1.0, 0.0, 0.0], z } }
}

/// Numbers to add to the indices of a boundary that was appended to another one.
#[derive(Clone, Copy, Debug)]
pub(crate) struct IndexShift {
    pub(crate) vertices: usize,
    pub(crate) edges: usize,
}

impl Brep {
    pub(crate) fn add_vertex(&mut self, p: Point3) -> usize {
        self.vertices.push(p);
        self.vertices.len() - 1
    }

    pub(crate) fn add_edge(&mut self, from: usize, to: usize, curve: EdgeCurve) -> usize {
        self.edges.push(Edge { from, to, curve });
        self.edges.len() - 1
    }

    pub(crate) fn add_face(&mut self, surface: Surface, same_sense: bool, loops: Vec<Vec<EdgeUse>>) {
        self.faces.push(Face { surface, same_sense, loops });
    }

    /// Appends all of `other` after the motion.
    pub(crate) fn append(&mut self, other: &Self, motion: &Motion) -> IndexShift {
        let (vertices, edges) = (self.vertices.len(), self.edges.len());
        let moved = other.moved(motion);
        self.vertices.extend(moved.vertices);
        self.edges.extend(moved.edges.into_iter().map(|e| Edge { from: e.from + vertices, to: e.to + vertices, ..e }));
        self.faces.extend(moved.faces.into_iter().map(|mut face| {
            face.loops.iter_mut().flatten().for_each(|usage| usage.edge += edges);
            face
        }));
        IndexShift { vertices, edges }
    }
}
