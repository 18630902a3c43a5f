//! Pockets in a web: cuts a region out of the web's outline and rounds the new corners.
//!
//! It is one boolean operation on outlines of lines and arcs. The fillets keep the outline fit for chamfers.

use crate::{
    boolean::{BooleanError, difference},
    fillet::{FilletError, RoundedCorner, fillet},
    joint::{JointKind, joint_kind},
    outline::{Outline, OutlineError, Segment},
    role::Role,
};

/// Severed pieces with less area (mm²) than this are removed.
const NEGLIGIBLE_MM2: f64 = 4.0;
/// Pad ends that move by less than this (mm) have not moved: the difference is rounding.
const SAME_PAD_MM: f64 = 1e-9;

/// Reason why a pocket cannot be cut.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum WebPocketError {
    /// The cut leaves nothing of the web.
    #[error("the cut leaves nothing of it")]
    Nothing,
    /// The cut severs the web.
    #[error("the cut parts it in two")]
    Severed,
    /// The cut lies inside the web and would leave a closed hole.
    #[error("the cut would go through its middle")]
    Hole,
    /// The cut reaches a pad.
    #[error("the cut reaches a pad, where it joins mount or clip")]
    Pad,
    /// A corner cannot be rounded.
    #[error(transparent)]
    Fillet(#[from] FilletError),
    /// The boolean operation fails.
    #[error(transparent)]
    Boolean(#[from] BooleanError),
    /// The segments do not close.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// Cuts the region `cut` out of `outline` and rounds the new corners with `radius_mm`.
///
/// Pads do not change; the outline still starts with the first pad. New segments have the role [`Role::Relief`].
pub fn cut_web_pocket(outline: &Outline, cut: &Outline, radius_mm: f64) -> Result<Outline, WebPocketError> {
    let cut = Outline::new(cut.segments().iter().map(|s| Segment::new(s.curve, Role::Relief)).collect())?;
    let regions = difference(outline, &cut)?;
    if !regions.holes.is_empty() {
        return Err(WebPocketError::Hole);
    }
    let pads = |outline: &Outline| outline.segments().iter().filter(|s| s.role == Role::Pad).count();
    let pad_count = pads(outline);
    let mut kept = regions.outers.iter().filter(|o| pads(o) > 0);
    let (main, other) = (kept.next().ok_or(WebPocketError::Nothing)?, kept.next());
    if other.is_some() || regions.outers.iter().any(|o| pads(o) == 0 && o.area_mm2() > NEGLIGIBLE_MM2) {
        return Err(WebPocketError::Severed);
    }
    if pads(main) != pad_count {
        return Err(WebPocketError::Pad);
    }
    let mut segments = main.segments().to_vec();
    rotate_to_first_pad(&mut segments, outline);
    check_pads(&segments, outline)?;
    round_corners(&mut segments, radius_mm)?;
    Ok(Outline::new(segments)?)
}

/// Rotates the segments so that they start with the first pad of `outline`.
fn rotate_to_first_pad(segments: &mut [Segment], outline: &Outline) {
    let first = outline.segments().iter().find(|s| s.role == Role::Pad).map(|s| s.curve.at(0.5));
    let place = segments
        .iter()
        .position(|s| s.role == Role::Pad && first.is_some_and(|p| s.curve.at(0.5).distance(p) <= SAME_PAD_MM));
    segments.rotate_left(place.unwrap_or(0));
}

/// Checks that no pad changed and that no new segment ends at a pad.
fn check_pads(segments: &[Segment], outline: &Outline) -> Result<(), WebPocketError> {
    let only_pads =
        |segments: &[Segment]| -> Vec<_> { segments.iter().filter(|s| s.role == Role::Pad).map(|s| s.curve).collect() };
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
    if same && !touched { Ok(()) } else { Err(WebPocketError::Pad) }
}

/// Rounds each joint of the cut that is not tangent.
fn round_corners(segments: &mut Vec<Segment>, radius_mm: f64) -> Result<(), WebPocketError> {
    let mut i = 0;
    while i < segments.len() {
        let j = (i + 1) % segments.len();
        let (one, next) = (segments[i], segments[j]);
        let new = one.role == Role::Relief || next.role == Role::Relief;
        if new && joint_kind(&one.curve, &next.curve) != JointKind::Tangent {
            let RoundedCorner { before, arc, after } = fillet(&one.curve, &next.curve, radius_mm)?;
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
