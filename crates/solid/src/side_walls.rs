//! Side faces of a stack of layers: rings of edges, slanting edges between them, and a face for each slot and interval.

use gripwright_section::{Outline, Role};

use crate::{
    brep::{Brep, EdgeCurve, EdgeUse, Surface},
    brep_builder::{at_height, backward, edge_curve, forward},
    layer_stack::{Layer, LayerStack, Slot},
    side_surface::{LevelCurve, OrientedSurface, plane_through, side_surface},
};

/// Side face that is no plane, cylinder or cone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct CurvedSide {
    pub(crate) segment: usize,
    pub(crate) role: Role,
    pub(crate) height: f64,
}

/// Layer in the boundary: the start vertex of each slot, and the edge of each slot that has one.
pub(crate) struct LayerRing {
    pub(crate) starts: Vec<usize>,
    pub(crate) edges: Vec<Option<usize>>,
}

impl LayerRing {
    /// Loop in the direction of the ring.
    pub(crate) fn forward_loop(&self) -> Vec<EdgeUse> {
        self.edges.iter().flatten().map(|&e| forward(e)).collect()
    }

    /// Loop against the direction of the ring.
    pub(crate) fn backward_loop(&self) -> Vec<EdgeUse> {
        self.edges.iter().rev().flatten().map(|&e| backward(e)).collect()
    }
}

/// Side faces in the boundary: the rings, lowest first, and for each interval the slanting edge at the start of each slot.
pub(crate) struct SideWalls {
    pub(crate) rings: Vec<LayerRing>,
    pub(crate) slants: Vec<Vec<usize>>,
}

/// Adds the side faces of a stack. The slots `open` get no faces, and edges only on the first and the last layer.
pub(crate) fn add_walls(brep: &mut Brep, stack: &LayerStack, open: &[usize]) -> Result<SideWalls, CurvedSide> {
    let last = stack.layers.len() - 1;
    let rings: Vec<LayerRing> =
        (0..=last).map(|k| add_ring(brep, &stack.layers[k], if k == 0 || k == last { &[] } else { open })).collect();
    let mut slants = Vec::with_capacity(last);
    for k in 0..last {
        let between = Interval { layers: [&stack.layers[k], &stack.layers[k + 1]], rings: [&rings[k], &rings[k + 1]] };
        let interval = between.add_slants(brep);
        for (s, slot) in stack.slots.iter().enumerate() {
            if !open.contains(&s) {
                between.add_face(brep, &interval, s, slot)?;
            }
        }
        slants.push(interval);
    }
    Ok(SideWalls { rings, slants })
}

fn add_ring(brep: &mut Brep, layer: &Layer, without: &[usize]) -> LayerRing {
    let count = layer.curves.len();
    let mut starts = vec![0; count];
    for (start, curve) in starts.iter_mut().zip(&layer.curves) {
        if let Some(curve) = curve {
            *start = brep.add_vertex(at_height(curve.start(), layer.height));
        }
    }
    // A ledge without length has the start of the next slot. Two ledges never follow each other.
    for s in 0..count {
        if layer.curves[s].is_none() {
            starts[s] = starts[(s + 1) % count];
        }
    }
    let mut edges = vec![None; count];
    for s in 0..count {
        if let Some(curve) = layer.curves[s].filter(|_| !without.contains(&s)) {
            let (from, to) = (starts[s], starts[(s + 1) % count]);
            edges[s] = Some(brep.add_edge(from, to, edge_curve(&curve, layer.height)));
        }
    }
    LayerRing { starts, edges }
}

/// Interval between two neighbouring layers.
struct Interval<'a> {
    layers: [&'a Layer; 2],
    rings: [&'a LayerRing; 2],
}

impl Interval<'_> {
    /// True if a slot has no length on either layer.
    fn is_absent(&self, slot: usize) -> bool {
        self.layers.iter().all(|layer| layer.curves[slot].is_none())
    }

    /// Adds the slanting edge at the start of each slot.
    fn add_slants(&self, brep: &mut Brep) -> Vec<usize> {
        let count = self.layers[0].curves.len();
        let mut slants = vec![0; count];
        for (s, slant) in slants.iter_mut().enumerate().filter(|(s, _)| !self.is_absent(*s)) {
            *slant = brep.add_edge(self.rings[0].starts[s], self.rings[1].starts[s], EdgeCurve::Line);
        }
        for s in 0..count {
            if self.is_absent(s) {
                slants[s] = slants[(s + 1) % count];
            }
        }
        slants
    }

    /// Adds the side face of a slot.
    fn add_face(&self, brep: &mut Brep, slants: &[usize], s: usize, slot: &Slot) -> Result<(), CurvedSide> {
        let next = (s + 1) % slants.len();
        let [low, high] = self.layers;
        let found = match (&low.curves[s], &high.curves[s]) {
            (None, None) => return Ok(()),
            (Some(a), Some(b)) => {
                side_surface(LevelCurve { curve: a, height: low.height }, LevelCurve { curve: b, height: high.height })
            }
            _ => self.ledge_plane(brep, s, next).map(|surface| OrientedSurface { surface, same_sense: true }),
        };
        let curved = CurvedSide { segment: slot.segment, role: slot.role, height: low.height };
        let OrientedSurface { surface, same_sense } = found.ok_or(curved)?;
        let uses = [
            self.rings[0].edges[s].map(forward),
            Some(forward(slants[next])),
            self.rings[1].edges[s].map(backward),
            Some(backward(slants[s])),
        ];
        brep.add_face(surface, same_sense, vec![uses.into_iter().flatten().collect()]);
        Ok(())
    }

    /// Plane of a ledge that has length on only one of the two layers: a triangle.
    fn ledge_plane(&self, brep: &Brep, s: usize, next: usize) -> Option<Surface> {
        let at = |ring: usize, slot: usize| brep.vertices[self.rings[ring].starts[slot]];
        plane_through(&[at(0, s), at(0, next), at(1, next), at(1, s)])
    }
}

/// Stack of the same outline at two heights.
pub(crate) fn straight_stack(outline: &Outline, heights: [f64; 2]) -> LayerStack {
    stack_between([outline; 2], heights)
}

/// Stack of two outlines with equally many segments at two heights, the lower first.
pub(crate) fn stack_between(outlines: [&Outline; 2], heights: [f64; 2]) -> LayerStack {
    let segments = outlines[0].segments();
    let slot = |segment: usize| Slot { segment, role: segments[segment].role, ledge: false };
    let layer =
        |k: usize| Layer { height: heights[k], curves: outlines[k].segments().iter().map(|s| Some(s.curve)).collect() };
    LayerStack { slots: (0..segments.len()).map(slot).collect(), layers: vec![layer(0), layer(1)] }
}
