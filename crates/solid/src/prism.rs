//! Prism: an outline stacked along z, with draft from a parting plane, edge chamfers and engraved pockets.

use gripwright_section::{Outline, OutlineError, Role, Segment};

use crate::{
    brep::{Brep, EdgeUse},
    brep_builder::level_plane,
    layer_stack::{Layer, LayerStack, LevelMoves, SegmentMove, Slot, stack_interpolated, stack_outline},
    pocket::{Cap, Pocket, add_pocket, check_pockets},
    prism_error::PrismError,
    side_walls::{CurvedSide, SideWalls, add_walls},
    solid::{SectionLevel, Solid},
};

/// Draft and chamfer of the gripping faces, seat and lips.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GripDraft {
    /// They are drafted and chamfered like all other faces.
    Drafted,
    /// They stay straight and have no chamfer but [`PrismSpec::seat_chamfer_mm`]. A ledge beside them lies in one plane, and
    /// no curved patch is needed to close the corner.
    Straight,
    /// They follow a body that tapers: from one end on, they move out of the material linearly with the height. They have no
    /// chamfer but [`PrismSpec::seat_chamfer_mm`]. All other faces are the same as with straight gripping faces.
    ///
    /// The move begins at the end where the body is thickest. The gripping faces then never move into the material, so
    /// the ledge beside the lips cannot turn over. The levels stay those of a straight part, which welding needs.
    Tapered {
        /// Move per mm of height: from the lower end upward if positive, from the upper end downward if negative. The
        /// outline of the prism is that of the end where the move begins.
        lean: f64,
    },
}

/// Position of the parting plane of a prism.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PartingPlane {
    /// Through the middle: the prism is symmetric about it, and both ends are chamfered.
    #[default]
    Middle,
    /// At the lower end: the draft runs one way over the full height, and the edges of the lower end are sharp.
    LowerEnd,
}

/// Specification of a prism. Its middle is at z = 0.
#[derive(Clone, Debug, PartialEq)]
pub struct PrismSpec {
    /// Outline at the parting plane, counter-clockwise about the material.
    pub outline: Outline,
    /// Half height, mm.
    pub half_height_mm: f64,
    /// Draft, rad: side faces lean inward by this angle away from the parting plane.
    pub draft_rad: f64,
    /// Parting plane from which the draft leans.
    pub parting: PartingPlane,
    /// Draft and chamfer of the gripping faces.
    pub gripping: GripDraft,
    /// Leg of the 45° chamfers along the edges of the caps, mm; zero for sharp edges.
    pub chamfer_mm: f64,
    /// Inward move of gripping faces without draft at the lower end, over the height of the chamfer there, mm. It keeps the
    /// first layer, which is squeezed out on the printer's bed, off the seat.
    pub seat_chamfer_mm: f64,
    /// Engravings in the caps.
    pub pockets: Vec<Pocket>,
    /// Outline of the upper end, if the prism follows a body that tapers unevenly.
    ///
    /// `outline` is then the outline of the lower end. All faces change linearly from one to the other, so the two must
    /// satisfy [`Outline::can_interpolate_to`]. Such a prism has no draft.
    pub upper: Option<Outline>,
}

impl PrismSpec {
    /// A plain prism without draft, chamfer and pockets.
    pub const fn plain(outline: Outline, half_height_mm: f64) -> Self {
        Self {
            outline,
            half_height_mm,
            draft_rad: 0.0,
            parting: PartingPlane::Middle,
            gripping: GripDraft::Drafted,
            chamfer_mm: 0.0,
            seat_chamfer_mm: 0.0,
            pockets: Vec::new(),
            upper: None,
        }
    }
}

/// Makes a prism.
pub fn prism(name: &str, spec: &PrismSpec) -> Result<Solid, PrismError> {
    let parts = open_prism(spec, &[], PrismPlacement::of(spec))?;
    Ok(Solid::from_faces(name, parts.brep, parts.levels)?)
}

/// Position of a prism relative to the parting plane of its draft, and its chamfered ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct PrismPlacement {
    /// Height of the parting plane over the middle of the prism, mm. If the plane lies outside the prism, the outline is
    /// that of the end nearest to it.
    pub(crate) parting: f64,
    /// True for the lower and for the upper end if it is chamfered.
    pub(crate) chamfered: [bool; 2],
}

impl PrismPlacement {
    /// Parting plane in the middle, both ends chamfered.
    pub(crate) const MIDDLE: Self = Self { parting: 0.0, chamfered: [true; 2] };

    /// Placement of a prism that has a parting plane of its own.
    pub(crate) fn of(spec: &PrismSpec) -> Self {
        match spec.parting {
            PartingPlane::Middle => Self::MIDDLE,
            PartingPlane::LowerEnd => Self { parting: -spec.half_height_mm, chamfered: [false, true] },
        }
    }
}

/// Prism before its shell is closed, possibly with open sides.
pub(crate) struct OpenPrism {
    pub(crate) brep: Brep,
    pub(crate) walls: SideWalls,
    pub(crate) stack: LayerStack,
    pub(crate) levels: Vec<SectionLevel>,
}

impl OpenPrism {
    /// Index of the slot of a segment.
    pub(crate) fn slot_of(slots: &[Slot], segment: usize) -> Option<usize> {
        slots.iter().position(|s| s.segment == segment && !s.ledge)
    }
}

/// Builds caps, side faces and pockets. The segments `open` get no faces, because a web will join there.
pub(crate) fn open_prism(spec: &PrismSpec, open: &[usize], placement: PrismPlacement) -> Result<OpenPrism, PrismError> {
    check(spec)?;
    let moves: Vec<SegmentMove> = spec.outline.segments().iter().map(segment_move).collect();
    let table = level_table(spec, placement);
    let stack = match &spec.upper {
        None => stack_outline(&spec.outline, &moves, &table),
        Some(upper) => stack_interpolated([&spec.outline, upper], spec.half_height_mm, &moves, &table),
    }
    .map_err(PrismError::from)?;
    let levels = section_levels(&stack, placement.chamfered.map(|end| end && spec.chamfer_mm > 0.0))?;
    let mut brep = Brep::default();
    let open: Vec<usize> = open.iter().filter_map(|segment| OpenPrism::slot_of(&stack.slots, *segment)).collect();
    let walls = add_walls(&mut brep, &stack, &open)?;
    let caps = [&levels[0].outline, &levels[levels.len() - 1].outline];
    check_pockets(&spec.pockets, spec.half_height_mm, caps)?;
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
    for chamfer_mm in [spec.chamfer_mm, spec.seat_chamfer_mm] {
        if !(0.0..half_height_mm).contains(&chamfer_mm) {
            return Err(PrismError::Chamfer { chamfer_mm, half_height_mm });
        }
    }
    if spec.upper.as_ref().is_some_and(|upper| !spec.outline.can_interpolate_to(upper) || spec.draft_rad > 0.0) {
        return Err(PrismError::Unlike);
    }
    let area_mm2 = spec.outline.area_mm2();
    if area_mm2 > 0.0 { Ok(()) } else { Err(PrismError::Clockwise { area_mm2 }) }
}

/// Move of a segment. The pad never moves, so that the web joins the pads of two prisms in one plane.
fn segment_move(segment: &Segment) -> SegmentMove {
    match segment.role {
        Role::Pad => SegmentMove::None,
        role if role.grips() => SegmentMove::Grip,
        _ => SegmentMove::Back,
    }
}

/// Heights and inward moves of the back and the gripping faces, lowest first.
fn level_table(spec: &PrismSpec, placement: PrismPlacement) -> Vec<LevelMoves> {
    let h = spec.half_height_mm;
    let has_seat_chamfer = placement.chamfered[0] && spec.chamfer_mm > 0.0;
    let grip = |height: f64, back: f64| {
        let chamfer = if has_seat_chamfer && height <= -h { spec.seat_chamfer_mm } else { 0.0 };
        match spec.gripping {
            GripDraft::Drafted => back,
            GripDraft::Straight => chamfer,
            GripDraft::Tapered { lean } => chamfer - if lean > 0.0 { lean * (height + h) } else { lean * (height - h) },
        }
    };
    let level = |(height, back)| LevelMoves { height, back, grip: grip(height, back) };
    back_levels(spec, placement).into_iter().map(level).collect()
}

/// Heights and inward moves of the back, lowest first. They are symmetric if the parting plane is in the middle.
fn back_levels(spec: &PrismSpec, placement: PrismPlacement) -> Vec<(f64, f64)> {
    let (h, c) = (spec.half_height_mm, spec.chamfer_mm);
    let nearest = (placement.parting.abs() - h).max(0.0);
    let lean = |height: f64| ((height - placement.parting).abs() - nearest) * spec.draft_rad.tan();
    let chamfer = placement.chamfered.map(|end| if end { c } else { 0.0 });
    let mut table = Vec::with_capacity(5);
    let (low, high) = (-h + chamfer[0], h - chamfer[1]);
    if chamfer[0] > 0.0 {
        table.push((-h, lean(low) + c));
    }
    table.push((low, lean(low)));
    if spec.draft_rad > 0.0 && placement.parting > low && placement.parting < high {
        table.push((placement.parting, 0.0));
    }
    table.push((high, lean(high)));
    if chamfer[1] > 0.0 {
        table.push((h, lean(high) + c));
    }
    table
}

/// Outlines of a stack without duplicates, lowest first.
pub(crate) fn section_levels(stack: &LayerStack, chamfered: [bool; 2]) -> Result<Vec<SectionLevel>, PrismError> {
    let mut levels: Vec<SectionLevel> = Vec::new();
    for (k, layer) in stack.layers.iter().enumerate() {
        if stack.layers[..k].iter().any(|below| below.curves == layer.curves) {
            continue;
        }
        let outline =
            layer_outline(stack, layer).map_err(|cause| PrismError::Section { height_mm: layer.height, cause })?;
        let present = stack.slots.iter().zip(&layer.curves).filter(|(_, curve)| curve.is_some());
        let ledges = present.map(|(slot, _)| slot.ledge).collect();
        let chamfered = (k == 0 && chamfered[0]) || (k + 1 == stack.layers.len() && chamfered[1]);
        levels.push(SectionLevel { height_mm: layer.height, outline, chamfered, ledges });
    }
    Ok(levels)
}

fn layer_outline(stack: &LayerStack, layer: &Layer) -> Result<Outline, OutlineError> {
    let segments = stack.slots.iter().zip(&layer.curves).filter_map(|(slot, c)| c.map(|c| Segment::new(c, slot.role)));
    Outline::new(segments.collect())
}

/// Adds the two caps with their engravings to a solid that is symmetric about z = 0.
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
