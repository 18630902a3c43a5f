//! Takes a cut out of a web's outline and rounds the corners that it leaves.

use crate::{
    boolean::{BooleanError, difference},
    fillet::{FilletError, fillet},
    joint::{Meeting, meeting},
    outline::{Outline, OutlineError, Segment},
    role::Role,
};

/// Pieces with less area (mm²) than this that a cut leaves apart are crumbs, and go.
const CRUMB_MM2: f64 = 4.0;
/// Ends of pads that a cut moves by less than this (mm) have not moved: rounding.
const SAME_PAD_MM: f64 = 1e-9;

/// Why a cut cannot be taken out of an outline.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RelieveError {
    /// Nothing is left.
    #[error("the cut leaves nothing of it")]
    Nothing,
    /// The cut parts it.
    #[error("the cut parts it in two")]
    Severed,
    /// The cut lies inside and would leave a closed hole.
    #[error("the cut would go through its middle")]
    Hole,
    /// The cut reaches a pad.
    #[error("the cut reaches a pad, where it joins mount or clip")]
    Pad,
    /// A corner cannot be rounded.
    #[error(transparent)]
    Fillet(#[from] FilletError),
    /// The boolean fails.
    #[error(transparent)]
    Boolean(#[from] BooleanError),
    /// The pieces do not close.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// What `outline` has outside `cut`, its new corners rounded with `radius_mm`.
///
/// Pads stay as they are, the first of them first. What is new has the role [`Role::Relief`].
pub fn relieved(outline: &Outline, cut: &Outline, radius_mm: f64) -> Result<Outline, RelieveError> {
    let cut = Outline::new(cut.segments().iter().map(|s| Segment::new(s.curve, Role::Relief)).collect())?;
    let regions = difference(outline, &cut)?;
    if !regions.holes.is_empty() {
        return Err(RelieveError::Hole);
    }
    let pads = |of: &Outline| of.segments().iter().filter(|s| s.role == Role::Pad).count();
    let wanted = pads(outline);
    let mut kept = regions.outers.iter().filter(|o| pads(o) > 0);
    let (main, other) = (kept.next().ok_or(RelieveError::Nothing)?, kept.next());
    if other.is_some() || regions.outers.iter().any(|o| pads(o) == 0 && o.area_mm2() > CRUMB_MM2) {
        return Err(RelieveError::Severed);
    }
    if pads(main) != wanted {
        return Err(RelieveError::Pad);
    }
    let mut segments = main.segments().to_vec();
    first_pad_first(&mut segments, outline);
    pads_stay(&segments, outline)?;
    rounded(&mut segments, radius_mm)?;
    Ok(Outline::new(segments)?)
}

fn first_pad_first(segments: &mut [Segment], outline: &Outline) {
    let first = outline.segments().iter().find(|s| s.role == Role::Pad).map(|s| s.curve.at(0.5));
    let place = segments
        .iter()
        .position(|s| s.role == Role::Pad && first.is_some_and(|p| s.curve.at(0.5).distance(p) <= SAME_PAD_MM));
    segments.rotate_left(place.unwrap_or(0));
}

/// Every pad is as long as it was, and no corner that is new ends at one.
fn pads_stay(segments: &[Segment], outline: &Outline) -> Result<(), RelieveError> {
    let only_pads = |of: &[Segment]| -> Vec<_> { of.iter().filter(|s| s.role == Role::Pad).map(|s| s.curve).collect() };
    let (now, before) = (only_pads(segments), only_pads(outline.segments()));
    let same = now
        .iter()
        .zip(&before)
        .all(|(a, b)| a.start().distance(b.start()) <= SAME_PAD_MM && a.end().distance(b.end()) <= SAME_PAD_MM);
    let count = segments.len();
    let touched = (0..count).any(|i| {
        let pair = [segments[i].role, segments[(i + 1) % count].role];
        pair.contains(&Role::Pad) && pair.contains(&Role::Relief)
    });
    if same && !touched { Ok(()) } else { Err(RelieveError::Pad) }
}

/// Rounds each joint of the cut that is no smooth one.
fn rounded(segments: &mut Vec<Segment>, radius_mm: f64) -> Result<(), RelieveError> {
    let mut i = 0;
    while i < segments.len() {
        let j = (i + 1) % segments.len();
        let (one, next) = (segments[i], segments[j]);
        let new = one.role == Role::Relief || next.role == Role::Relief;
        if new && meeting(&one.curve, &next.curve) != Meeting::Tangent {
            let (before, arc, after) = fillet(&one.curve, &next.curve, radius_mm)?;
            segments[i].curve = before;
            segments[j].curve = after;
            segments.insert(i + 1, Segment::new(arc, Role::Relief));
            i += 1;
        }
        i += 1;
    }
    Ok(())
}

#[cfg(test)]
mod tests;
