//! A web that is extruded across, joined to mount and clips: what both sides of an opening have, the web gives up.

use gripwright_section::{Outline, Role};

use crate::{
    brep::{Brep, EdgeUse},
    holder::{HolderError, HolderPart, Opening, opening},
    motion::Motion,
    prism::{PrismPlacement, PrismSpec, open_prism},
    solid::SectionLevel,
    vector::distance,
    windows::cut_windows,
};

/// Corners of two openings this near (mm) are one corner: they were computed in different ways from the same numbers.
const SAME_CORNER_MM: f64 = 1e-9;

/// Adds the web with its pads open, and joins it to the openings of mount and clips. Gives the web's own levels.
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
        .map_err(|source| HolderError::Prism { part: HolderPart::Web, source })?;
    cut_windows(&mut web, spec.half_height_mm, windows)
        .map_err(|source| HolderError::Prism { part: HolderPart::Web, source })?;
    let faces = brep.faces.len();
    let moved = brep.append(&web.brep, &Motion::on_edge());
    let mut vertices: Vec<usize> = (0..brep.vertices.len()).collect();
    let mut edges: Vec<(usize, bool)> = (0..brep.edges.len()).map(|edge| (edge, true)).collect();
    for (pad, kept) in pads.iter().zip(std::iter::once(mount).chain(clips)) {
        let own = opening(&web, *pad).shifted(moved);
        join(brep, &own, kept, &mut vertices, &mut edges)?;
    }
    for edge in &mut brep.edges[moved.1..] {
        (edge.from, edge.to) = (vertices[edge.from], vertices[edge.to]);
    }
    for usage in brep.faces[faces..].iter_mut().flat_map(|f| f.loops.iter_mut().flatten()) {
        let (edge, same) = edges[usage.edge];
        *usage = EdgeUse { edge, forward: usage.forward == same };
    }
    Ok(web.levels)
}

/// Once round an opening: each corner with the edge to the next one.
fn round(opening: &Opening) -> Vec<(usize, usize)> {
    let top = opening.starts.len() - 1;
    let up = (0..top).map(|k| (opening.starts[k], opening.start_slants[k]));
    let across = std::iter::once((opening.starts[top], opening.caps[1]));
    let down = (0..top).rev().map(|k| (opening.ends[k + 1], opening.end_slants[k]));
    up.chain(across).chain(down).chain(std::iter::once((opening.ends[0], opening.caps[0]))).collect()
}

/// Finds for every corner and edge of the web's opening the one that is kept.
fn join(
    brep: &Brep,
    own: &Opening,
    kept: &Opening,
    vertices: &mut [usize],
    edges: &mut [(usize, bool)],
) -> Result<(), HolderError> {
    let (own, kept) = (round(own), round(kept));
    let count = own.len();
    if kept.len() != count {
        return Err(HolderError::PadsApart);
    }
    let same = |a: usize, b: usize| distance(brep.vertices[a], brep.vertices[b]) <= SAME_CORNER_MM;
    // The two run round the opening the same way or against each other, and start somewhere.
    let partner = |i: usize, shift: usize, along: bool| {
        if along { (shift + i) % count } else { (shift + count - i % count) % count }
    };
    let ways = (0..count).flat_map(|shift| [(shift, true), (shift, false)]);
    let (shift, along) = ways
        .into_iter()
        .find(|&(shift, along)| (0..count).all(|i| same(own[i].0, kept[partner(i, shift, along)].0)))
        .ok_or(HolderError::PadsApart)?;
    for (i, &(vertex, edge)) in own.iter().enumerate() {
        let at = partner(i, shift, along);
        vertices[vertex] = kept[at].0;
        let next = partner(i + 1, shift, along);
        // Travelled against each other, the edge to the next corner is the one that leads there from it.
        let twin = if along { kept[at].1 } else { kept[next].1 };
        let starts_alike = (brep.edges[edge].from == vertex) == (brep.edges[twin].from == kept[at].0);
        edges[edge] = (twin, starts_alike);
    }
    Ok(())
}
