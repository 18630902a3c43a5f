//! The holder: a mount and a clip back to back, joined through their pads by a web.
//!
//! No boolean is needed: the faces of both pads are left out, and plane faces join the two openings corner by corner.

use gripwright_section::{Curve, Point, Role};

use crate::{
    brep::{Brep, EdgeCurve, EdgeUse},
    brep_builder::{backward, forward},
    layer_stack::Stack,
    motion::Motion,
    prism::{OpenPrism, PrismError, PrismPlacement, PrismSpec, open_prism},
    shell::ShellError,
    side_surface::plane_through,
    side_walls::SideWalls,
    solid::Solid,
};

/// Corners of the two pads may differ by this much (mm) and still count as equal: rounding, not intent.
const SAME_PAD_MM: f64 = 1e-9;

/// Least distance (mm) between the pads: features shorter than a micrometre are below what files and kernels keep.
const LEAST_WEB_MM: f64 = 1e-3;

/// Which part of a holder is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HolderPart {
    /// What snaps on the body.
    Mount,
    /// What grips the tool.
    Clip,
    /// What joins the two.
    Web,
}

impl HolderPart {
    /// The part as it reads in messages.
    pub fn name(self) -> &'static str {
        match self {
            Self::Mount => "mount",
            Self::Clip => "clip",
            Self::Web => "web",
        }
    }
}

/// Why mount and clip cannot be joined.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum HolderError {
    /// One of the two cannot be made.
    #[error("{}: {source}", part.name())]
    Prism {
        /// Which.
        part: HolderPart,
        /// Why.
        source: PrismError,
    },
    /// The outline must have exactly one pad.
    #[error("the {} has {pads} pads, and needs exactly one to be joined", part.name())]
    Pads {
        /// Which.
        part: HolderPart,
        /// Pads found.
        pads: usize,
    },
    /// The pad is not a line along +x, centred, at the bottom of the outline.
    #[error("the pad of the {} must run along +x, centred, and nothing may reach lower", part.name())]
    PadPlace {
        /// Which.
        part: HolderPart,
    },
    /// The pads differ, so that no plane web joins them.
    #[error("the {what} of the mount is {mount} and that of the clip {clip}; a web needs both the same")]
    Differ {
        /// What differs: the pad's half width (mm), the draft (rad) or the chamfer (mm).
        what: &'static str,
        /// The mount's.
        mount: f64,
        /// The clip's.
        clip: f64,
    },
    /// The axes are so close that the pads meet or pass each other.
    #[error("an offset of {offset_mm} mm lets mount and clip collide; the least that works is {least_offset_mm} mm")]
    Collide {
        /// Distance of the axes asked for, mm.
        offset_mm: f64,
        /// Least distance that leaves a web, mm.
        least_offset_mm: f64,
    },
    /// Draft and pitch together: a pitched clip has another parting plane than its mount.
    #[error("a pitch of {pitch_rad} rad and a draft of {draft_rad} rad do not go together: one of them must be zero")]
    PitchedDraft {
        /// Pitch asked for, rad.
        pitch_rad: f64,
        /// Draft asked for, rad.
        draft_rad: f64,
    },
    /// With draft, the outermost ends of the clips must lie on either side of the parting plane.
    #[error(
        "with draft the clips must reach beyond {least_mm} mm on either side of the parting plane; they reach from \
         {low_mm} mm to {high_mm} mm"
    )]
    OneSided {
        /// Lowest end, mm.
        low_mm: f64,
        /// Highest end, mm.
        high_mm: f64,
        /// Least reach to either side, mm.
        least_mm: f64,
    },
    /// An end of a clip next to the parting plane, so near that a sliver would be left.
    #[error("an end of a clip at {at_mm} mm is too near to the parting plane; put it in the plane or 0.001 mm away")]
    Sliver {
        /// Where it is, mm.
        at_mm: f64,
    },
    /// No clip, or clips that are not in ascending order and apart.
    #[error("clips must follow each other along the tool's axis and be apart; the one at {at_mm} mm is not")]
    Order {
        /// Where it is, mm.
        at_mm: f64,
    },
    /// The web in side view has not one pad for the mount and one for each clip, or not where they are.
    #[error("the web in side view does not meet the pads of mount and clips")]
    PadsApart,
    /// A side of the web is not plane.
    #[error("face {face} of the web is not plane")]
    CurvedWeb {
        /// Which face, in order of building.
        face: usize,
    },
    /// The faces do not make a solid.
    #[error(transparent)]
    Shell(#[from] ShellError),
}

/// Least distance of the axes (mm) at which [`holder`] can join the two.
pub fn least_offset_mm(mount: &PrismSpec, clip: &PrismSpec) -> Result<f64, HolderError> {
    let (a, b) = (pad(HolderPart::Mount, mount)?, pad(HolderPart::Clip, clip)?);
    Ok(LEAST_WEB_MM - a.y - b.y)
}

/// Joins a mount and a clip. Both outlines are in their own drawing: axis at the origin, mouth toward +y, one pad at
/// the bottom. In the holder the mount's axis is the origin with the mouth toward −y, the clip's axis is `offset_mm`
/// above it with the mouth toward +y, and both parting planes are z = 0. The half heights may differ.
pub fn holder(name: &str, mount: &PrismSpec, clip: &PrismSpec, offset_mm: f64) -> Result<Solid, HolderError> {
    let (mount_pad, clip_pad) = (pad(HolderPart::Mount, mount)?, pad(HolderPart::Clip, clip)?);
    let least_offset_mm = least_offset_mm(mount, clip)?;
    if !offset_mm.is_finite() || offset_mm < least_offset_mm {
        return Err(HolderError::Collide { offset_mm, least_offset_mm });
    }
    compare((mount, mount_pad), (clip, clip_pad))?;
    let made = |part, spec, pad: Pad| {
        open_prism(spec, &[pad.segment], PrismPlacement::MIDDLE).map_err(|source| HolderError::Prism { part, source })
    };
    let (mount, clip) = (made(HolderPart::Mount, mount, mount_pad)?, made(HolderPart::Clip, clip, clip_pad)?);
    let (below, above) = (opening(&mount, mount_pad.segment), opening(&clip, clip_pad.segment));

    let mut brep = Brep::default();
    let below = below.shifted(brep.append(&mount.brep, &Motion::half_turn([0.0; 3])));
    let above = above.shifted(brep.append(&clip.brep, &Motion::shift([0.0, offset_mm, 0.0])));
    add_web(&mut brep, &below, &above)?;
    let levels = mount.levels.into_iter().chain(clip.levels).collect();
    Ok(Solid::from_pieces(name, brep, levels)?)
}

/// The pad of an outline.
#[derive(Clone, Copy)]
pub(crate) struct Pad {
    pub(crate) segment: usize,
    pub(crate) y: f64,
    pub(crate) half_width: f64,
}

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

/// What a pad leaves open: for each level the vertices at its start and end, for each interval the slanting edges
/// there, and the edges of the two caps. All run in the pad's own direction, and upward.
pub(crate) struct Opening {
    pub(crate) starts: Vec<usize>,
    pub(crate) ends: Vec<usize>,
    pub(crate) start_slants: Vec<usize>,
    pub(crate) end_slants: Vec<usize>,
    pub(crate) caps: [usize; 2],
}

impl Opening {
    pub(crate) fn shifted(self, (vertices, edges): (usize, usize)) -> Self {
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

pub(crate) fn opening(parts: &OpenPrism, segment: usize) -> Opening {
    let OpenPrism { walls: SideWalls { rings, slants }, stack: Stack { slots, .. }, .. } = parts;
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

/// The web's sides are plane when both pads have the same width and their neighbours lean and are chamfered alike.
pub(crate) fn compare((mount, below): (&PrismSpec, Pad), (clip, above): (&PrismSpec, Pad)) -> Result<(), HolderError> {
    let differ = |what, mount: f64, clip: f64, tolerance: f64| {
        if (mount - clip).abs() > tolerance { Err(HolderError::Differ { what, mount, clip }) } else { Ok(()) }
    };
    differ("pad half width", below.half_width, above.half_width, SAME_PAD_MM)?;
    differ("draft", mount.draft_rad, clip.draft_rad, 0.0)?;
    differ("chamfer", mount.chamfer_mm, clip.chamfer_mm, 0.0)
}

/// Joins the openings: at each level one rail on either side, a face for each interval, and one on each cap's side.
fn add_web(brep: &mut Brep, mount: &Opening, clip: &Opening) -> Result<(), HolderError> {
    let rails = |brep: &mut Brep, from: &[usize], to: &[usize]| -> Vec<usize> {
        from.iter().zip(to).map(|(&a, &b)| brep.add_edge(a, b, EdgeCurve::Line)).collect()
    };
    // The half turn has exchanged the mount's start and end.
    let right = rails(brep, &mount.starts, &clip.ends);
    let left = rails(brep, &clip.starts, &mount.ends);
    let top = right.len() - 1;
    let mut faces: Vec<[EdgeUse; 4]> = Vec::with_capacity(2 * top + 2);
    for k in 0..top {
        faces.push([
            forward(right[k]),
            forward(clip.end_slants[k]),
            backward(right[k + 1]),
            backward(mount.start_slants[k]),
        ]);
        faces.push([
            forward(left[k]),
            forward(mount.end_slants[k]),
            backward(left[k + 1]),
            backward(clip.start_slants[k]),
        ]);
    }
    faces.push([forward(clip.caps[0]), backward(right[0]), forward(mount.caps[0]), backward(left[0])]);
    faces.push([backward(clip.caps[1]), forward(left[top]), backward(mount.caps[1]), forward(right[top])]);
    for (face, uses) in faces.into_iter().enumerate() {
        let corners = uses.map(|u| {
            let edge = brep.edges[u.edge];
            brep.vertices[if u.forward { edge.from } else { edge.to }]
        });
        let plane = plane_through(&corners).ok_or(HolderError::CurvedWeb { face })?;
        brep.add_face(plane, true, vec![uses.to_vec()]);
    }
    Ok(())
}
