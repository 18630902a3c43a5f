//! Outlines stacked at heights: what a prism looks like at each of its levels.

use gripwright_section::{Curve, InsetError, JOIN_TOLERANCE_MM, Outline, Role, inset};

/// One place along an outline. Every layer of a stack has the same slots, in the same order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Slot {
    /// Index of the segment, or of the segment before the ledge.
    pub(crate) segment: usize,
    /// Role of that segment.
    pub(crate) role: Role,
    /// Whether it is the ledge between the segment and the next one.
    pub(crate) ledge: bool,
}

/// One level: a curve for each slot, nothing where a ledge has no length.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Layer {
    pub(crate) height: f64,
    pub(crate) curves: Vec<Option<Curve>>,
}

/// Slots and layers, lowest layer first.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Stack {
    pub(crate) slots: Vec<Slot>,
    pub(crate) layers: Vec<Layer>,
}

/// What a segment does from level to level.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum SegmentMove {
    /// It stays.
    Not,
    /// It moves with the back: sides, fillets, tabs.
    AsBack,
    /// It moves with the gripping faces.
    AsGrip,
}

impl SegmentMove {
    fn amount(self, [back, grip]: [f64; 2]) -> f64 {
        match self {
            Self::Not => 0.0,
            Self::AsBack => back,
            Self::AsGrip => grip,
        }
    }
}

/// Curves of one level before the slots are known: the outline's own segments and the ledges between them.
struct Cut {
    curves: Vec<Curve>,
    ledges: Vec<Option<Curve>>,
}

/// Stacks `outline` at `levels` of (height, amounts of back and gripping faces): segment `i` moves inward by what
/// `moves[i]` says. The error comes with the height of its level.
pub(crate) fn stack(
    outline: &Outline,
    moves: &[SegmentMove],
    levels: &[(f64, [f64; 2])],
) -> Result<Stack, (f64, InsetError)> {
    let amounts = |both: [f64; 2]| moves.iter().map(|m| m.amount(both)).collect();
    let levels: Vec<(f64, Vec<f64>)> = levels.iter().map(|&(height, both)| (height, amounts(both))).collect();
    stack_levels(outline, &levels)
}

/// Stacks `outline` at levels of a height and an inward move for each segment.
/// The error comes with the height of its level.
pub(crate) fn stack_levels(outline: &Outline, levels: &[(f64, Vec<f64>)]) -> Result<Stack, (f64, InsetError)> {
    let same = |a: &[f64], b: &[f64]| a.iter().map(|v| v.to_bits()).eq(b.iter().map(|v| v.to_bits()));
    let mut cuts: Vec<Cut> = Vec::with_capacity(levels.len());
    for (k, (height, amounts)) in levels.iter().enumerate() {
        // Levels mirror each other about the parting plane: what was found below serves again above.
        let twin = levels[..k].iter().position(|l| same(&l.1, amounts));
        let cut = match twin {
            Some(j) => Cut { curves: cuts[j].curves.clone(), ledges: cuts[j].ledges.clone() },
            None => cut(outline, amounts).map_err(|error| (*height, error))?,
        };
        cuts.push(cut);
    }
    Ok(stacked(outline, &cuts, levels))
}

/// Stacks what lies between two outlines that are alike, at levels between minus and plus `half_height`.
pub(crate) fn stack_between(
    [lower, upper]: [&Outline; 2],
    half_height: f64,
    moves: &[SegmentMove],
    levels: &[(f64, [f64; 2])],
) -> Result<Stack, (f64, InsetError)> {
    let levels: Vec<(f64, Vec<f64>)> =
        levels.iter().map(|&(height, both)| (height, moves.iter().map(|m| m.amount(both)).collect())).collect();
    let cut_at = |(height, amounts): &(f64, Vec<f64>)| {
        // What lies evenly between two closed chains that are alike is closed.
        let between = lower.interpolated(upper, 0.5 + 0.5 * height / half_height).unwrap_or_else(|_| lower.clone());
        cut(&between, amounts).map_err(|error| (*height, error))
    };
    let cuts: Vec<Cut> = levels.iter().map(cut_at).collect::<Result<_, _>>()?;
    Ok(stacked(lower, &cuts, &levels))
}

fn stacked(outline: &Outline, cuts: &[Cut], levels: &[(f64, Vec<f64>)]) -> Stack {
    let slots = slots(outline, cuts);
    let layer = |(cut, &(height, _)): (&Cut, &(f64, Vec<f64>))| Layer {
        height,
        curves: slots
            .iter()
            .map(|s| if s.ledge { cut.ledges[s.segment] } else { Some(cut.curves[s.segment]) })
            .collect(),
    };
    let layers = cuts.iter().zip(levels).map(layer).collect();
    Stack { slots, layers }
}

fn cut(outline: &Outline, amounts: &[f64]) -> Result<Cut, InsetError> {
    let segments = outline.segments();
    // The level at the parting plane is the outline itself, bit for bit.
    if amounts.len() == segments.len() && amounts.iter().all(|a| a.abs() <= 0.0) {
        let curves = segments.iter().map(|s| s.curve).collect();
        return Ok(Cut { curves, ledges: vec![None; segments.len()] });
    }
    let inset = inset(outline, amounts)?;
    let count = inset.curves.len();
    let ledge = |i: usize| {
        let (start, end) = (inset.curves[i].end(), inset.curves[(i + 1) % count].start());
        (inset.ledges[i] && start.distance(end) > JOIN_TOLERANCE_MM).then(|| Curve::line(start, end))
    };
    let ledges = (0..count).map(ledge).collect();
    Ok(Cut { curves: inset.curves, ledges })
}

fn slots(outline: &Outline, cuts: &[Cut]) -> Vec<Slot> {
    let mut slots = Vec::new();
    for (segment, s) in outline.segments().iter().enumerate() {
        slots.push(Slot { segment, role: s.role, ledge: false });
        if cuts.iter().any(|cut| cut.ledges[segment].is_some()) {
            slots.push(Slot { segment, role: s.role, ledge: true });
        }
    }
    slots
}
