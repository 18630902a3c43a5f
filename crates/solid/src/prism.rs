//! The prism: an outline stacked in z with draft from a mid parting plane, edge chamfers and engraved pockets.

use gripwright_section::{InsetError, Outline, OutlineError, Role, Segment};

use crate::{
    brep::{Brep, EdgeUse},
    brep_builder::level_plane,
    layer_stack::{Layer, SegmentMove, Slot, Stack, stack, stack_between},
    pocket::{Cap, Pocket, PocketError, add_pocket, check_pockets},
    shell::ShellError,
    side_walls::{CurvedSide, SideWalls, add_walls},
    solid::{SectionLevel, Solid},
};

/// What draft and chamfer do to the gripping faces, seat and lips.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GripDraft {
    /// They lean and are chamfered like all others.
    Drafted,
    /// They stay straight from end to end. They take no chamfer either: the ledge beside them then lies in one
    /// plane, and no curved patch is needed to close the corner.
    Straight,
    /// They follow a body that tapers, and everything else stays as it would with straight ones: from one end on they
    /// move out of the material, evenly with the height. They take no chamfer.
    Tapered {
        /// How far they move for each mm of height: from the lower end upward when positive, from the upper end downward
        /// when negative. The outline of the prism is that of the end where they begin.
        lean: f64,
    },
}

/// A prism to be made. The parting plane is z = 0; the prism reaches as far above as below.
#[derive(Clone, Debug, PartialEq)]
pub struct PrismSpec {
    /// Outline at the parting plane, counter-clockwise about the material.
    pub outline: Outline,
    /// Half the height, mm.
    pub half_height_mm: f64,
    /// Draft, rad: side faces lean inward by this angle away from the parting plane.
    pub draft_rad: f64,
    /// Whether gripping faces lean too.
    pub gripping: GripDraft,
    /// Leg of the 45° chamfers along the edges of both caps, mm; zero for sharp edges.
    pub chamfer_mm: f64,
    /// What is engraved in the caps.
    pub pockets: Vec<Pocket>,
    /// Outline of the upper end, of a prism that follows a body which tapers unevenly: `outline` is then that of the lower
    /// end, the two are alike, and all faces pass evenly from one to the other. There is no draft then.
    pub upper: Option<Outline>,
}

impl PrismSpec {
    /// A plain prism without draft, chamfer and pockets.
    pub const fn plain(outline: Outline, half_height_mm: f64) -> Self {
        Self {
            outline,
            half_height_mm,
            draft_rad: 0.0,
            gripping: GripDraft::Drafted,
            chamfer_mm: 0.0,
            pockets: Vec::new(),
            upper: None,
        }
    }
}

/// Why a prism cannot be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PrismError {
    /// The half height is not finite and positive.
    #[error("half the height is {half_height_mm} mm; it must be greater than zero")]
    Height {
        /// Half the height asked for, mm.
        half_height_mm: f64,
    },
    /// The draft is negative or at least 45°.
    #[error("a draft of {draft_rad} rad must be at least zero and less than π/4")]
    Draft {
        /// Draft asked for, rad.
        draft_rad: f64,
    },
    /// The chamfers of both caps would meet.
    #[error("a chamfer of {chamfer_mm} mm must be at least zero and less than half the height, {half_height_mm} mm")]
    Chamfer {
        /// Chamfer asked for, mm.
        chamfer_mm: f64,
        /// Half the height, mm.
        half_height_mm: f64,
    },
    /// The outline of the upper end is not like that of the lower one, or there is draft besides.
    #[error("an outline that passes into another must be like it, and there must be no draft")]
    Unlike,
    /// The outline runs clockwise or encloses nothing.
    #[error("the outline encloses {area_mm2} mm²; it must run counter-clockwise about its material")]
    Clockwise {
        /// Signed area, mm².
        area_mm2: f64,
    },
    /// Draft or chamfer takes more than a segment has.
    #[error("at {height_mm} mm from the parting plane: {source}")]
    Inset {
        /// Height of the level, mm.
        height_mm: f64,
        /// What gives way.
        source: InsetError,
    },
    /// The curves of a level do not chain.
    #[error("at {height_mm} mm from the parting plane: {source}")]
    Section {
        /// Height of the level, mm.
        height_mm: f64,
        /// The open joint.
        source: OutlineError,
    },
    /// A side face that is no plane, cylinder or cone.
    #[error(
        "segment {segment} ({}) gives no plane, cylinder or cone above {height_mm} mm: it meets a neighbour that \
         leans differently neither at a tangent nor square",
        role.name()
    )]
    CurvedPatch {
        /// Index of the segment.
        segment: usize,
        /// Its role.
        role: Role,
        /// Lower end of the face, mm.
        height_mm: f64,
    },
    /// A pocket that does not fit.
    #[error(transparent)]
    Pocket(#[from] PocketError),
    /// The faces do not make a solid.
    #[error(transparent)]
    Shell(#[from] ShellError),
}

impl From<CurvedSide> for PrismError {
    fn from(unfit: CurvedSide) -> Self {
        Self::CurvedPatch { segment: unfit.segment, role: unfit.role, height_mm: unfit.height }
    }
}

/// Makes a prism.
pub fn prism(name: &str, spec: &PrismSpec) -> Result<Solid, PrismError> {
    let parts = open_prism(spec, &[], PrismPlacement::MIDDLE)?;
    Ok(Solid::from_pieces(name, parts.brep, parts.levels)?)
}

/// Where a prism lies against the parting plane of its draft, and which of its ends are chamfered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct PrismPlacement {
    /// Height of the parting plane over the prism's middle, mm. Beside the prism, the outline is that of the end nearest
    /// to the plane.
    pub(crate) parting: f64,
    /// Whether the lower and the upper end are chamfered.
    pub(crate) chamfered: [bool; 2],
}

impl PrismPlacement {
    /// The parting plane in the middle, both ends chamfered.
    pub(crate) const MIDDLE: Self = Self { parting: 0.0, chamfered: [true; 2] };
}

/// A prism before its shell is closed.
pub(crate) struct OpenPrism {
    pub(crate) brep: Brep,
    pub(crate) walls: SideWalls,
    pub(crate) stack: Stack,
    pub(crate) levels: Vec<SectionLevel>,
}

impl OpenPrism {
    /// Index of the slot that holds the given segment.
    pub(crate) fn slot_of(slots: &[Slot], segment: usize) -> Option<usize> {
        slots.iter().position(|s| s.segment == segment && !s.ledge)
    }
}

/// Builds caps, side faces and pockets. The segments `open` get no faces: a web will join there.
pub(crate) fn open_prism(spec: &PrismSpec, open: &[usize], place: PrismPlacement) -> Result<OpenPrism, PrismError> {
    check(spec)?;
    let moves: Vec<SegmentMove> = spec.outline.segments().iter().map(moves).collect();
    let table = level_table(spec, place);
    let stack = match &spec.upper {
        None => stack(&spec.outline, &moves, &table),
        Some(upper) => stack_between([&spec.outline, upper], spec.half_height_mm, &moves, &table),
    }
    .map_err(|(height_mm, source)| PrismError::Inset { height_mm, source })?;
    let levels = levels(&stack, place.chamfered.map(|end| end && spec.chamfer_mm > 0.0))?;
    let mut brep = Brep::default();
    let open: Vec<usize> = open.iter().filter_map(|segment| OpenPrism::slot_of(&stack.slots, *segment)).collect();
    let walls = add_walls(&mut brep, &stack, &open)?;
    check_pockets(&spec.pockets, spec.half_height_mm, &levels[0].outline)?;
    add_caps(&mut brep, &spec.pockets, &walls, spec.half_height_mm)?;
    Ok(OpenPrism { brep, walls, stack, levels })
}

fn check(spec: &PrismSpec) -> Result<(), PrismError> {
    let half_height_mm = spec.half_height_mm;
    if !(half_height_mm.is_finite() && half_height_mm > 0.0) {
        return Err(PrismError::Height { half_height_mm });
    }
    if !(0.0..std::f64::consts::FRAC_PI_4).contains(&spec.draft_rad) {
        return Err(PrismError::Draft { draft_rad: spec.draft_rad });
    }
    if !(0.0..half_height_mm).contains(&spec.chamfer_mm) {
        return Err(PrismError::Chamfer { chamfer_mm: spec.chamfer_mm, half_height_mm });
    }
    if spec.upper.as_ref().is_some_and(|upper| !spec.outline.can_interpolate_to(upper) || spec.draft_rad > 0.0) {
        return Err(PrismError::Unlike);
    }
    let area_mm2 = spec.outline.area_mm2();
    if area_mm2 > 0.0 { Ok(()) } else { Err(PrismError::Clockwise { area_mm2 }) }
}

/// The pad never moves, so that webs of two prisms meet it in one plane.
fn moves(segment: &Segment) -> SegmentMove {
    match segment.role {
        Role::Pad => SegmentMove::Not,
        role if role.grips() => SegmentMove::AsGrip,
        _ => SegmentMove::AsBack,
    }
}

/// Heights and inward moves of back and gripping faces, lowest first.
fn level_table(spec: &PrismSpec, place: PrismPlacement) -> Vec<(f64, [f64; 2])> {
    let h = spec.half_height_mm;
    let grips = |height: f64, back: f64| match spec.gripping {
        GripDraft::Drafted => back,
        GripDraft::Straight => 0.0,
        GripDraft::Tapered { lean } => -(if lean > 0.0 { lean * (height + h) } else { lean * (height - h) }),
    };
    back_levels(spec, place).into_iter().map(|(height, back)| (height, [back, grips(height, back)])).collect()
}

/// Heights and inward moves of the back, lowest first; the same upward as downward when the parting plane is in the
/// middle.
fn back_levels(spec: &PrismSpec, place: PrismPlacement) -> Vec<(f64, f64)> {
    let (h, c) = (spec.half_height_mm, spec.chamfer_mm);
    let nearest = (place.parting.abs() - h).max(0.0);
    let lean = |height: f64| ((height - place.parting).abs() - nearest) * spec.draft_rad.tan();
    let chamfer = place.chamfered.map(|end| if end { c } else { 0.0 });
    let mut table = Vec::with_capacity(5);
    let (low, high) = (-h + chamfer[0], h - chamfer[1]);
    if chamfer[0] > 0.0 {
        table.push((-h, lean(low) + c));
    }
    table.push((low, lean(low)));
    if spec.draft_rad > 0.0 && place.parting > low && place.parting < high {
        table.push((place.parting, 0.0));
    }
    table.push((high, lean(high)));
    if chamfer[1] > 0.0 {
        table.push((h, lean(high) + c));
    }
    table
}

/// The different outlines of a stack, lowest first.
pub(crate) fn levels(stack: &Stack, chamfered: [bool; 2]) -> Result<Vec<SectionLevel>, PrismError> {
    let mut levels: Vec<SectionLevel> = Vec::new();
    for (k, layer) in stack.layers.iter().enumerate() {
        if stack.layers[..k].iter().any(|below| below.curves == layer.curves) {
            continue;
        }
        let outline =
            section(stack, layer).map_err(|source| PrismError::Section { height_mm: layer.height, source })?;
        let present = stack.slots.iter().zip(&layer.curves).filter(|(_, curve)| curve.is_some());
        let ledges = present.map(|(slot, _)| slot.ledge).collect();
        let chamfered = (k == 0 && chamfered[0]) || (k + 1 == stack.layers.len() && chamfered[1]);
        levels.push(SectionLevel { height_mm: layer.height, outline, chamfered, ledges });
    }
    Ok(levels)
}

fn section(stack: &Stack, layer: &Layer) -> Result<Outline, OutlineError> {
    let segments = stack.slots.iter().zip(&layer.curves).filter_map(|(slot, c)| c.map(|c| Segment::new(c, slot.role)));
    Outline::new(segments.collect())
}

/// The two ends of a solid that reaches as far below z = 0 as above, with what is engraved in them.
pub(crate) fn add_caps(
    brep: &mut Brep,
    pockets: &[Pocket],
    walls: &SideWalls,
    half_height_mm: f64,
) -> Result<(), CurvedSide> {
    let ends = [
        (Cap::Lower, -half_height_mm, walls.rings[0].backward_loop()),
        (Cap::Upper, half_height_mm, walls.rings[walls.rings.len() - 1].forward_loop()),
    ];
    for (cap, height, outer) in ends {
        let mut loops: Vec<Vec<EdgeUse>> = vec![outer];
        for pocket in pockets.iter().filter(|p| p.cap == cap) {
            add_pocket(brep, pocket, height, &mut loops)?;
        }
        brep.add_face(level_plane(height, cap == Cap::Upper), true, loops);
    }
    Ok(())
}
