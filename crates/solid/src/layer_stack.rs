//! Stacks of outlines at several heights: the cross-sections of a prism at each of its levels.

use gripwright_section::{Curve, InsetError, JOIN_TOLERANCE_MM, Outline, Role, inset};

/// Position along an outline: a segment or a ledge. Every layer of a stack has the same slots in the same order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Slot {
    /// Index of the segment, or of the segment before the ledge.
    pub(crate) segment: usize,
    /// Role of that segment.
    pub(crate) role: Role,
    /// True for the ledge between the segment and the next one.
    pub(crate) ledge: bool,
}

/// Outline at one level: a curve for each slot, `None` where a ledge has no length.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Layer {
    pub(crate) height: f64,
    pub(crate) curves: Vec<Option<Curve>>,
}

/// Slots and layers, lowest layer first.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LayerStack {
    pub(crate) slots: Vec<Slot>,
    pub(crate) layers: Vec<Layer>,
}

/// Kind of move of a segment from level to level.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum SegmentMove {
    /// The segment does not move.
    None,
    /// The segment moves with the back: sides, fillets, tabs.
    Back,
    /// The segment moves with the gripping faces.
    Grip,
}

/// Height of a level, and the inward moves of the two kinds of faces there, mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LevelMoves {
    pub(crate) height: f64,
    pub(crate) back: f64,
    pub(crate) grip: f64,
}

impl LevelMoves {
    fn amounts(&self, moves: &[SegmentMove]) -> LevelAmounts {
        let amount = |segment_move: &SegmentMove| match segment_move {
            SegmentMove::None => 0.0,
            SegmentMove::Back => self.back,
            SegmentMove::Grip => self.grip,
        };
        LevelAmounts { height: self.height, amounts: moves.iter().map(amount).collect() }
    }
}

/// Height of a level, and the inward move of each segment there, mm.
#[derive(Clone, Debug)]
pub(crate) struct LevelAmounts {
    pub(crate) height: f64,
    pub(crate) amounts: Vec<f64>,
}

/// Failure of the inset at a level.
#[derive(Debug)]
pub(crate) struct LevelInsetError {
    /// Height of the level, mm.
    pub(crate) height: f64,
    pub(crate) source: InsetError,
}

/// Curves of one level before the slots are known: the outline's own segments and the ledges between them.
#[derive(Clone)]
struct LevelCurves {
    curves: Vec<Curve>,
    ledges: Vec<Option<Curve>>,
}

/// Stacks `outline` at `levels`; `moves` gives the kind of move of each segment.
pub(crate) fn stack_outline(
    outline: &Outline,
    moves: &[SegmentMove],
    levels: &[LevelMoves],
) -> Result<LayerStack, LevelInsetError> {
    let levels: Vec<LevelAmounts> = levels.iter().map(|level| level.amounts(moves)).collect();
    stack_by_amounts(outline, &levels)
}

/// Stacks `outline` at levels with an inward move for each segment.
pub(crate) fn stack_by_amounts(outline: &Outline, levels: &[LevelAmounts]) -> Result<LayerStack, LevelInsetError> {
    let same = |a: &[f64], b: &[f64]| a.iter().map(|v| v.to_bits()).eq(b.iter().map(|v| v.to_bits()));
    let mut found: Vec<LevelCurves> = Vec::with_capacity(levels.len());
    for (k, level) in levels.iter().enumerate() {
        // Levels mirror each other about the parting plane: the curves below it are reused above.
        let twin = levels[..k].iter().position(|l| same(&l.amounts, &level.amounts));
        let curves = match twin {
            Some(j) => found[j].clone(),
            None => level_curves(outline, level)?,
        };
        found.push(curves);
    }
    Ok(into_stack(outline, &found, levels))
}

/// Stacks the outlines between two end outlines that can be interpolated, at levels between minus and plus
/// `half_height`.
pub(crate) fn stack_interpolated(
    ends: [&Outline; 2],
    half_height: f64,
    moves: &[SegmentMove],
    levels: &[LevelMoves],
) -> Result<LayerStack, LevelInsetError> {
    let [lower, upper] = ends;
    let levels: Vec<LevelAmounts> = levels.iter().map(|level| level.amounts(moves)).collect();
    let curves_at = |level: &LevelAmounts| {
        // An interpolation between two closed chains of the same structure is closed.
        let share = 0.5 + 0.5 * level.height / half_height;
        let between = lower.interpolated(upper, share).unwrap_or_else(|_| lower.clone());
        level_curves(&between, level)
    };
    let found: Vec<LevelCurves> = levels.iter().map(curves_at).collect::<Result<_, _>>()?;
    Ok(into_stack(lower, &found, &levels))
}

fn into_stack(outline: &Outline, found: &[LevelCurves], levels: &[LevelAmounts]) -> LayerStack {
    let slots = slots(outline, found);
    let curve = |level: &LevelCurves, slot: &Slot| {
        if slot.ledge { level.ledges[slot.segment] } else { Some(level.curves[slot.segment]) }
    };
    let layers = found.iter().zip(levels).map(|(level, amounts)| Layer {
        height: amounts.height,
        curves: slots.iter().map(|slot| curve(level, slot)).collect(),
    });
    let layers = layers.collect();
    LayerStack { slots, layers }
}

fn level_curves(outline: &Outline, level: &LevelAmounts) -> Result<LevelCurves, LevelInsetError> {
    let segments = outline.segments();
    let amounts = level.amounts.as_slice();
    // The level at the parting plane is the outline itself, bit for bit.
    if amounts.len() == segments.len() && amounts.iter().all(|a| a.abs() <= 0.0) {
        let curves = segments.iter().map(|s| s.curve).collect();
        return Ok(LevelCurves { curves, ledges: vec![None; segments.len()] });
    }
    let inset = inset(outline, amounts).map_err(|source| LevelInsetError { height: level.height, source })?;
    let count = inset.curves.len();
    let ledge = |i: usize| {
        let (start, end) = (inset.curves[i].end(), inset.curves[(i + 1) % count].start());
        (inset.ledges[i] && start.distance(end) > JOIN_TOLERANCE_MM).then(|| Curve::line(start, end))
    };
    let ledges = (0..count).map(ledge).collect();
    Ok(LevelCurves { curves: inset.curves, ledges })
}

/// Slots of all segments, and of those ledges that have a length on at least one level.
fn slots(outline: &Outline, found: &[LevelCurves]) -> Vec<Slot> {
    let mut slots = Vec::new();
    for (segment, s) in outline.segments().iter().enumerate() {
        slots.push(Slot { segment, role: s.role, ledge: false });
        if found.iter().any(|level| level.ledges[segment].is_some()) {
            slots.push(Slot { segment, role: s.role, ledge: true });
        }
    }
    slots
}
