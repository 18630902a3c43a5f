//! Instances of a boundary as a manifold solid: shared vertices, shared edges, advanced faces.

use gripwright_solid::{EdgeUse, Face};

use super::{
    error::StepError,
    geometry::{write_curve, write_surface},
    instances::{Id, Instances},
    part::StepPart,
};

/// Writes the solid of a part.
pub(super) fn write_solid(out: &mut Instances, part: &StepPart<'_>) -> Result<Id, StepError> {
    part.check_numbers()?;
    let edges = write_edges(out, part)?;
    let faces =
        (0..part.brep.faces.len()).map(|index| write_face(out, part, &edges, index)).collect::<Result<Vec<_>, _>>()?;
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

/// Writes all vertices and edges; returns the instances of the edges in their order.
fn write_edges(out: &mut Instances, part: &StepPart<'_>) -> Result<Vec<Id>, StepError> {
    let points: Vec<_> = part.brep.vertices.iter().map(|&at| out.point(at)).collect();
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
        let curve = write_curve(out, &edge.curve, points[edge.from], start, end);
        edges.push(out.entity("EDGE_CURVE", |p| {
            p.text("").id(vertices[edge.from]).id(vertices[edge.to]).id(curve).boolean(true);
        }));
    }
    Ok(edges)
}

fn write_face(out: &mut Instances, part: &StepPart<'_>, edges: &[Id], index: usize) -> Result<Id, StepError> {
    let face = &part.brep.faces[index];
    let missing = face.loops.iter().flatten().find(|edge_use| edge_use.edge >= edges.len());
    if let Some(edge_use) = missing {
        return Err(StepError::NoSuchEdge { part: part.name.to_owned(), face: index, edge: edge_use.edge });
    }
    if face.loops.is_empty() || face.loops.iter().any(Vec::is_empty) {
        return Err(StepError::Empty { part: part.name.to_owned() });
    }
    let bounds = write_bounds(out, face, edges);
    let surface = write_surface(out, &face.surface);
    Ok(out.entity("ADVANCED_FACE", |p| {
        p.text("").ids(&bounds).id(surface).boolean(face.same_sense);
    }))
}

fn write_bounds(out: &mut Instances, face: &Face, edges: &[Id]) -> Vec<Id> {
    let mut bounds = Vec::with_capacity(face.loops.len());
    for (index, uses) in face.loops.iter().enumerate() {
        let oriented_edges: Vec<_> = uses
            .iter()
            .map(|&EdgeUse { edge, forward }| {
                out.entity("ORIENTED_EDGE", |p| {
                    // The two asterisks stand for the end points, which the standard derives from the edge.
                    p.text("").token("*").token("*").id(edges[edge]).boolean(forward);
                })
            })
            .collect();
        let edge_loop = out.entity("EDGE_LOOP", |p| {
            p.text("").ids(&oriented_edges);
        });
        let keyword = if index == 0 { "FACE_OUTER_BOUND" } else { "FACE_BOUND" };
        bounds.push(out.entity(keyword, |p| {
            p.text("").id(edge_loop).boolean(true);
        }));
    }
    bounds
}
