//! Pads of mounts and clips, and the openings that they leave in a boundary for the web.

use gripwright_section::{Curve, Point, Role};

use crate::{
    brep_builder::IndexShift,
    holder_error::{HolderError, HolderPart},
    layer_stack::LayerStack,
    prism::{OpenPrism, PrismSpec},
    side_walls::SideWalls,
};

/// Corners of two pads that differ by less than this (mm) are equal: the difference is rounding, not intent.
const SAME_PAD_MM: f64 = 1e-9;

/// Pad of an outline.
#[derive(Clone, Copy)]
pub(crate) struct Pad {
    /// Index of its segment.
    pub(crate) segment: usize,
    /// Height of the pad in the drawing, mm.
    pub(crate) y: f64,
    /// Half width, mm.
    pub(crate) half_width: f64,
}

/// The only pad of a part's outline.
pub(crate) fn pad(part: HolderPart, spec: &PrismSpec) -> Result<Pad, HolderError> {
    let segments = spec.outline.segments();
    let pads: Vec<usize> = (0..segments.len()).filter(|&i| segments[i].role == Role::Pad).collect();
    let &[segment] = pads.as_slice() else {
        return Err(HolderError::Pads { part, pads: pads.len() });
    };
    let lowest = spec.outline.bounds().min.y;
    match segments[segment].curve {
        Curve::Line { start, end } if is_centred(start, end) && start.y <= lowest + SAME_PAD_MM => {
            Ok(Pad { segment, y: start.y, half_width: 0.5 * (end.x - start.x) })
        }
        _ => Err(HolderError::PadPlace { part }),
    }
}

fn is_centred(start: Point, end: Point) -> bool {
    end.x > start.x && (start.x + end.x).abs() <= SAME_PAD_MM && (start.y - end.y).abs() <= SAME_PAD_MM
}

/// Opening in a boundary where the face of a pad is left out. All edges run in the direction of the pad, or upward.
pub(crate) struct Opening {
    /// Vertex at the start of the pad on each level.
    pub(crate) starts: Vec<usize>,
    /// Vertex at the end of the pad on each level.
    pub(crate) ends: Vec<usize>,
    /// Edge between the starts on two levels, for each interval.
    pub(crate) start_slants: Vec<usize>,
    /// Edge between the ends on two levels, for each interval.
    pub(crate) end_slants: Vec<usize>,
    /// Edges of the pad on the lower and the upper cap.
    pub(crate) caps: [usize; 2],
}

impl Opening {
    /// The opening after its boundary has been appended to another one.
    pub(crate) fn shifted(self, shift: IndexShift) -> Self {
        let IndexShift { vertices, edges } = shift;
        let by = |n: usize, list: Vec<usize>| list.into_iter().map(|i| i + n).collect();
        Self {
            starts: by(vertices, self.starts),
            ends: by(vertices, self.ends),
            start_slants: by(edges, self.start_slants),
            end_slants: by(edges, self.end_slants),
            caps: self.caps.map(|e| e + edges),
        }
    }
}

/// Opening of a prism at a segment that has no face.
pub(crate) fn opening(parts: &OpenPrism, segment: usize) -> Opening {
    let OpenPrism { walls: SideWalls { rings, slants }, stack: LayerStack { slots, .. }, .. } = parts;
    let slot = OpenPrism::slot_of(slots, segment).expect("every segment of an outline has its slot");
    let next = (slot + 1) % slots.len();
    let cap = |ring: usize| rings[ring].edges[slot].expect("the pad has its edge on both caps");
    Opening {
        starts: rings.iter().map(|r| r.starts[slot]).collect(),
        ends: rings.iter().map(|r| r.starts[next]).collect(),
        start_slants: slants.iter().map(|s| s[slot]).collect(),
        end_slants: slants.iter().map(|s| s[next]).collect(),
        caps: [cap(0), cap(rings.len() - 1)],
    }
}

/// Checks that both pads have the same width, draft and chamfer. Otherwise the sides of the web would not be plane.
pub(crate) fn check_same_pads(
    mount: &PrismSpec,
    mount_pad: Pad,
    clip: &PrismSpec,
    clip_pad: Pad,
) -> Result<(), HolderError> {
    let differ = |what, mount: f64, clip: f64, tolerance: f64| {
        if (mount - clip).abs() > tolerance { Err(HolderError::Differ { what, mount, clip }) } else { Ok(()) }
    };
    differ("pad half width", mount_pad.half_width, clip_pad.half_width, SAME_PAD_MM)?;
    differ("draft", mount.draft_rad, clip.draft_rad, 0.0)?;
    differ("chamfer", mount.chamfer_mm, clip.chamfer_mm, 0.0)
}
