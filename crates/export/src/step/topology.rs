//! One boundary as a manifold solid: shared vertices, shared edges, advanced faces.

use gripwright_solid::{EdgeCurve, EdgeUse, Face, Frame, Surface};

use super::{
    StepError, StepPart, geometry,
    instances::{Id, Instances},
};

/// Writes the solid of a part.
pub(super) fn solid(out: &mut Instances, part: &StepPart<'_>) -> Result<Id, StepError> {
    check_numbers(part)?;
    let edges = edges(out, part)?;
    let faces =
        (0..part.brep.faces.len()).map(|index| face(out, part, &edges, index)).collect::<Result<Vec<_>, _>>()?;
    if faces.is_empty() {
        return Err(StepError::Empty { part: part.name.to_owned() });
    }
    let shell = out.entity("CLOSED_SHELL", |p| {
        p.text("").ids(&faces);
    });
    Ok(out.entity("MANIFOLD_SOLID_BREP", |p| {
        p.text(part.name).id(shell);
    }))
}

fn edges(out: &mut Instances, part: &StepPart<'_>) -> Result<Vec<Id>, StepError> {
    let points: Vec<_> = part.brep.vertices.iter().map(|&at| geometry::point(out, at)).collect();
    let vertices: Vec<_> = points
        .iter()
        .map(|&point| {
            out.entity("VERTEX_POINT", |p| {
                p.text("").id(point);
            })
        })
        .collect();
    let mut edges = Vec::with_capacity(part.brep.edges.len());
    for (index, edge) in part.brep.edges.iter().enumerate() {
        if let Some(vertex) = [edge.from, edge.to].into_iter().find(|&vertex| vertex >= vertices.len()) {
            return Err(StepError::NoSuchVertex { part: part.name.to_owned(), edge: index, vertex });
        }
        let [start, end] = [edge.from, edge.to].map(|vertex| part.brep.vertices[vertex]);
        let curve = geometry::curve(out, &edge.curve, points[edge.from], start, end);
        edges.push(out.entity("EDGE_CURVE", |p| {
            p.text("").id(vertices[edge.from]).id(vertices[edge.to]).id(curve).truth(true);
        }));
    }
    Ok(edges)
}

fn face(out: &mut Instances, part: &StepPart<'_>, edges: &[Id], index: usize) -> Result<Id, StepError> {
    let face = &part.brep.faces[index];
    let missing = face.loops.iter().flatten().find(|edge_use| edge_use.edge >= edges.len());
    if let Some(edge_use) = missing {
        return Err(StepError::NoSuchEdge { part: part.name.to_owned(), face: index, edge: edge_use.edge });
    }
    if face.loops.is_empty() || face.loops.iter().any(Vec::is_empty) {
        return Err(StepError::Empty { part: part.name.to_owned() });
    }
    let bounds = bounds(out, face, edges);
    let surface = geometry::surface(out, &face.surface);
    Ok(out.entity("ADVANCED_FACE", |p| {
        p.text("").ids(&bounds).id(surface).truth(face.same_sense);
    }))
}

fn bounds(out: &mut Instances, face: &Face, edges: &[Id]) -> Vec<Id> {
    let mut bounds = Vec::with_capacity(face.loops.len());
    for (index, uses) in face.loops.iter().enumerate() {
        let travelled: Vec<_> =
            uses.iter().map(|&EdgeUse { edge, forward }| oriented(out, edges[edge], forward)).collect();
        let chain = out.entity("EDGE_LOOP", |p| {
            p.text("").ids(&travelled);
        });
        let keyword = if index == 0 { "FACE_OUTER_BOUND" } else { "FACE_BOUND" };
        bounds.push(out.entity(keyword, |p| {
            p.text("").id(chain).truth(true);
        }));
    }
    bounds
}

fn oriented(out: &mut Instances, edge: Id, forward: bool) -> Id {
    out.entity("ORIENTED_EDGE", |p| {
        // The two asterisks are the end points, which the standard derives from the edge.
        p.text("").raw("*").raw("*").id(edge).truth(forward);
    })
}

fn check_numbers(part: &StepPart<'_>) -> Result<(), StepError> {
    let brep = part.brep;
    let vertices = brep.vertices.iter().flatten().all(|number| number.is_finite());
    let edges = brep.edges.iter().all(|edge| match edge.curve {
        EdgeCurve::Line => true,
        EdgeCurve::Arc { frame, radius, sweep } => finite(&frame, &[radius, sweep]),
    });
    let faces = brep.faces.iter().all(|face| match face.surface {
        Surface::Plane { frame } => finite(&frame, &[]),
        Surface::Cylinder { frame, radius } => finite(&frame, &[radius]),
        Surface::Cone { frame, radius, half_angle } => finite(&frame, &[radius, half_angle]),
        Surface::Oblique { frame, radius, upper_radius, shift: [x, y], height, sweep } => {
            finite(&frame, &[radius, upper_radius, x, y, height, sweep])
        }
    });
    if vertices && edges && faces { Ok(()) } else { Err(StepError::NotFinite { part: part.name.to_owned() }) }
}

fn finite(frame: &Frame, numbers: &[f64]) -> bool {
    let placed = [frame.origin, frame.x, frame.z];
    placed.iter().flatten().chain(numbers).all(|number| number.is_finite())
}
