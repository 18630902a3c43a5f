//! Joins an extruded web to mount and clips: shared corners and edges of an opening are merged.

use gripwright_section::{Outline, Role};

use crate::{
    brep::{Brep, EdgeUse},
    brep_builder::forward,
    holder_error::{HolderError, HolderPart},
    motion::Motion,
    pad_opening::{Opening, opening},
    prism::{PrismPlacement, PrismSpec, open_prism},
    solid::SectionLevel,
    vector::distance,
    windows::cut_windows,
};

/// Corners of two openings this close (mm) are the same corner, computed in different ways from the same numbers.
const SAME_CORNER_MM: f64 = 1e-9;

/// Adds the web with open pads and joins it to the openings of mount and clips. Returns the levels of the web.
pub(crate) fn weld_web(
    brep: &mut Brep,
    spec: &PrismSpec,
    mount: &Opening,
    clips: &[Opening],
    windows: &[Outline],
) -> Result<Vec<SectionLevel>, HolderError> {
    let segments = spec.outline.segments();
    let pads: Vec<usize> = (0..segments.len()).filter(|&i| segments[i].role == Role::Pad).collect();
    if pads.len() != clips.len() + 1 {
        return Err(HolderError::PadsApart);
    }
    let mut web = open_prism(spec, &pads, PrismPlacement::MIDDLE)
        .map_err(|cause| HolderError::Prism { part: HolderPart::Web, cause })?;
    cut_windows(&mut web, spec.half_height_mm, windows)
        .map_err(|cause| HolderError::Prism { part: HolderPart::Web, cause })?;
    let faces = brep.faces.len();
    let shift = brep.append(&web.brep, &Motion::from_side_view());
    let mut replacements = Replacements::none(brep);
    for (pad, kept) in pads.iter().zip(std::iter::once(mount).chain(clips)) {
        let own = opening(&web, *pad).shifted(shift);
        replacements.add_opening(brep, &own, kept)?;
    }
    for edge in &mut brep.edges[shift.edges..] {
        (edge.from, edge.to) = (replacements.vertices[edge.from], replacements.vertices[edge.to]);
    }
    for usage in brep.faces[faces..].iter_mut().flat_map(|f| f.loops.iter_mut().flatten()) {
        let EdgeUse { edge, forward } = replacements.edges[usage.edge];
        *usage = EdgeUse { edge, forward: usage.forward == forward };
    }
    Ok(web.levels)
}

/// Corner of an opening, and the edge to the next corner.
#[derive(Clone, Copy)]
struct OpeningCorner {
    vertex: usize,
    edge: usize,
}

/// Corners of an opening in order.
fn corners(opening: &Opening) -> Vec<OpeningCorner> {
    let corner = |vertex: usize, edge: usize| OpeningCorner { vertex, edge };
    let top = opening.starts.len() - 1;
    let up = (0..top).map(|k| corner(opening.starts[k], opening.start_slants[k]));
    let across = std::iter::once(corner(opening.starts[top], opening.caps[1]));
    let down = (0..top).rev().map(|k| corner(opening.ends[k + 1], opening.end_slants[k]));
    up.chain(across).chain(down).chain(std::iter::once(corner(opening.ends[0], opening.caps[0]))).collect()
}

/// Vertices and edges that take the place of others.
struct Replacements {
    /// For each vertex, the vertex that replaces it.
    vertices: Vec<usize>,
    /// For each edge, the edge that replaces it; forward if both have the same direction.
    edges: Vec<EdgeUse>,
}

impl Replacements {
    /// No replacement yet: every vertex and edge keeps its place.
    fn none(brep: &Brep) -> Self {
        Self { vertices: (0..brep.vertices.len()).collect(), edges: (0..brep.edges.len()).map(forward).collect() }
    }

    /// Replaces every corner and edge of the web's opening by the matching one of the opening that is kept.
    fn add_opening(&mut self, brep: &Brep, own: &Opening, kept: &Opening) -> Result<(), HolderError> {
        let (own, kept) = (corners(own), corners(kept));
        let count = own.len();
        if kept.len() != count {
            return Err(HolderError::PadsApart);
        }
        let same = |a: usize, b: usize| distance(brep.vertices[a], brep.vertices[b]) <= SAME_CORNER_MM;
        // The two run around the opening in the same or in opposite directions, and start at different corners.
        let partner = |i: usize, shift: usize, along: bool| {
            if along { (shift + i) % count } else { (shift + count - i % count) % count }
        };
        let candidates = (0..count).flat_map(|shift| [(shift, true), (shift, false)]);
        let (shift, along) = candidates
            .into_iter()
            .find(|&(shift, along)| (0..count).all(|i| same(own[i].vertex, kept[partner(i, shift, along)].vertex)))
            .ok_or(HolderError::PadsApart)?;
        for (i, corner) in own.iter().enumerate() {
            let at = kept[partner(i, shift, along)];
            self.vertices[corner.vertex] = at.vertex;
            let next = kept[partner(i + 1, shift, along)];
            // In opposite directions, the edge from this corner to the next one belongs to the next corner.
            let twin = if along { at.edge } else { next.edge };
            let same_direction =
                (brep.edges[corner.edge].from == corner.vertex) == (brep.edges[twin].from == at.vertex);
            self.edges[corner.edge] = EdgeUse { edge: twin, forward: same_direction };
        }
        Ok(())
    }
}
