//! Run-out of draft and chamfer at lips that stay straight.
//!
//! Draft and chamfer move the back of an arm but not a straight lip. At their tangent joint, a step as deep as the move
//! would open, with a sharp inner corner: a fin in the print and a notch in a silicone mould. Here the end of the back
//! becomes two flats that meet in a blunt convex corner. The first moves with the back, the second stays with the lip,
//! and the corner slides along the second: no step opens, and all side faces stay planes, cylinders and cones.

use crate::{
    clip_error::ClipError,
    curve::Curve,
    outline::{Outline, Segment, mirrored_segments},
    point::Point,
    role::Role,
};

/// Step and greatest value of the turns that are tried, rad.
const TURN_STEP_RAD: f64 = 0.035;
const GREATEST_BACK_TURN_RAD: f64 = 0.7;
const GREATEST_LIP_TURN_RAD: f64 = 1.4;
/// Shortest flat or arc beside the corner, mm: shorter edges vanish in the single precision of meshes.
const SHORTEST_MM: f64 = 0.08;
/// Angles (rad) that differ by less than this are equal.
const SAME_RAD: f64 = 1e-9;

/// Turns of the outward normal that the two flats replace, rad.
#[derive(Clone, Copy, Debug)]
struct FlatTurns {
    /// Of the arm's back, before the lip.
    back: f64,
    /// Of the lip's round.
    lip: f64,
}

/// Replaces the ends of both arms' backs by flats, so that the back can move in by up to `move_mm` against the lips
/// without a step. Flared lips, which begin in a hollow, stay as they are.
///
/// Outlines of one part at several heights get flats in the same directions. No flats are needed without a move.
pub fn run_out_at_lips<const N: usize>(outlines: &[Outline; N], move_mm: f64) -> Result<[Outline; N], ClipError> {
    if move_mm <= 0.0 {
        return Ok(outlines.clone());
    }
    let mut sides: [Vec<Segment>; N] = std::array::from_fn(|i| outlines[i].segments().to_vec());
    for _ in 0..2 {
        if sides.iter().all(|side| plain_lip_joint(side).is_some()) {
            sides = with_flats(&sides, move_mm).ok_or(ClipError::NoRunOut { move_mm })?;
        }
        sides = sides.map(|side| mirrored_segments(&side));
    }
    let mut out = outlines.clone();
    for (outline, side) in out.iter_mut().zip(sides) {
        *outline = Outline::new(side)?;
    }
    Ok(out)
}

/// Index of the last segment of the right arm's back before a plain lip.
fn plain_lip_joint(segments: &[Segment]) -> Option<usize> {
    let at = segments.windows(2).position(|pair| pair[0].role == Role::ArmBack && pair[1].role == Role::Lip)?;
    matches!(segments[at].curve, Curve::Line { .. } | Curve::Arc { sweep: 0.0.., .. }).then_some(at)
}

/// The right sides with the bluntest flats that leave room for the move.
fn with_flats<const N: usize>(sides: &[Vec<Segment>; N], move_mm: f64) -> Option<[Vec<Segment>; N]> {
    let steps = |greatest: f64| (0..).map(|i| f64::from(i) * TURN_STEP_RAD).take_while(move |turn| *turn <= greatest);
    // The corner of a sharper turn would stand far out of the back.
    let upto_flat = turn_after_last_flat(sides.first()?).filter(|turn| *turn <= GREATEST_BACK_TURN_RAD);
    for lip in steps(GREATEST_LIP_TURN_RAD) {
        let backs = steps(GREATEST_BACK_TURN_RAD).skip(1).filter(|back| upto_flat.is_none_or(|most| *back < most));
        for back in backs.chain(upto_flat) {
            let cut: Vec<_> =
                sides.iter().filter_map(|side| side_with_flats(side, FlatTurns { back, lip }, move_mm)).collect();
            if let Ok(all) = cut.try_into() {
                return Some(all);
            }
        }
    }
    None
}

/// Turn of the arcs between the last flat of the right arm's back and its lip, rad; `None` without such a flat.
fn turn_after_last_flat(segments: &[Segment]) -> Option<f64> {
    let mut turn = 0.0;
    for segment in segments[..=plain_lip_joint(segments)?].iter().rev().take_while(|s| s.role == Role::ArmBack) {
        match segment.curve {
            Curve::Line { .. } => return Some(turn),
            Curve::Arc { sweep, .. } => turn += sweep,
        }
    }
    None
}

/// Straight continuation of a chain: a place and a unit direction.
#[derive(Clone, Copy)]
struct Ray {
    from: Point,
    along: Point,
}

/// The right side with two flats; `None` if there is no room for them or for the move.
fn side_with_flats(segments: &[Segment], turns: FlatTurns, move_mm: f64) -> Option<Vec<Segment>> {
    let joint = plain_lip_joint(segments)?;
    let Curve::Arc { centre, radius, start_angle, sweep } = segments[joint + 1].curve else { return None };
    let normal = Point::unit(start_angle + turns.lip);
    let stays = Ray { from: centre + normal * radius, along: normal.turned_left() };
    let (mut out, moves) = cut_back(&segments[..=joint], turns.back)?;
    let sine = moves.along.cross(stays.along);
    let corner = moves.from + moves.along * ((stays.from - moves.from).cross(stays.along) / sine);
    // The corner slides by this way when the back moves.
    let slide_mm = move_mm / sine;
    let room = (stays.from - corner).dot(stays.along) >= slide_mm + SHORTEST_MM;
    let beyond = (corner - moves.from).dot(moves.along) >= SHORTEST_MM && sweep - turns.lip > SAME_RAD;
    if !(sine > 0.0 && room && beyond) {
        return None;
    }
    match out.last_mut() {
        Some(Segment { curve: Curve::Line { end, .. }, .. }) => *end = corner,
        _ => out.push(Segment::new(Curve::line(moves.from, corner), Role::ArmBack)),
    }
    out.push(Segment::new(Curve::line(corner, stays.from), Role::Lip));
    out.push(Segment::new(
        Curve::arc(centre, radius, start_angle + turns.lip, sweep - turns.lip),
        segments[joint + 1].role,
    ));
    out.extend_from_slice(&segments[joint + 2..]);
    Some(out)
}

/// Chain up to where the arm's back still has to turn by `turn`, and its continuation from there.
fn cut_back(chain: &[Segment], turn: f64) -> Option<(Vec<Segment>, Ray)> {
    let mut left = turn;
    let mut count = chain.len();
    while let Some(last) = chain[..count].last().filter(|last| last.role == Role::ArmBack) {
        let kept = match last.curve {
            Curve::Line { .. } if left > SAME_RAD => return None,
            Curve::Line { .. } => last.curve,
            Curve::Arc { sweep, .. } if sweep < left - SAME_RAD => {
                left -= sweep;
                count -= 1;
                continue;
            }
            Curve::Arc { sweep, .. } if sweep <= left + SAME_RAD => {
                left = 0.0;
                count -= 1;
                continue;
            }
            Curve::Arc { centre, radius, start_angle, sweep } => Curve::arc(centre, radius, start_angle, sweep - left),
        };
        if kept.length() < SHORTEST_MM {
            return None;
        }
        let mut out = chain[..count].to_vec();
        out[count - 1].curve = kept;
        return Some((out, Ray { from: kept.end(), along: kept.tangent(1.0) }));
    }
    None
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{ClipBack, Mount, RoundClip, inset, rounded_rectangle, test_outlines::fixed_seed};

    const BACK: ClipBack = ClipBack::Pad { half_width_mm: 2.5, depth_mm: 1.0, fillet_mm: 1.0 };

    fn round(seat_radius_mm: f64, walls: [f64; 2], half_wrap_rad: f64) -> Outline {
        let [root_wall_mm, lip_wall_mm] = walls;
        let clip = RoundClip { seat_radius_mm, root_wall_mm, lip_wall_mm, half_wrap_rad, lead_in: None, back: BACK };
        clip.outline().expect("it can be drawn")
    }

    fn rectangle(wall_mm: f64, half_wrap_rad: f64, corner_mm: f64) -> Outline {
        let body = rounded_rectangle(24.0, 18.0, corner_mm).expect("drawn");
        let mount = Mount { body, gap_mm: -0.1, wall_mm, half_wrap_rad, lead_in: None, back: BACK };
        mount.outline().expect("it can be drawn")
    }

    /// Moves the back in and the gripping faces out.
    fn moved(outline: &Outline, back_mm: f64, grip_mm: f64) -> crate::Inset {
        let amount = |segment: &Segment| match segment.role {
            Role::Pad => 0.0,
            role if role.grips() => -grip_mm,
            _ => back_mm,
        };
        let amounts: Vec<f64> = outline.segments().iter().map(amount).collect();
        inset(outline, &amounts).expect("the flats leave room")
    }

    /// Checks that no step opens up to the greatest move, and that the lips and the seat are where they were.
    fn check(plain: Outline, move_mm: f64) {
        let outlines = [plain];
        let [plain] = &outlines;
        assert!(moved(plain, move_mm, 0.0).ledges.contains(&true), "without flats there is a step");
        let [out] = run_out_at_lips(&outlines, move_mm).expect("there is room");
        for (back, grip) in [(0.1, 0.0), (1.0, 0.0), (0.7, 0.3)].map(|(b, g)| (b * move_mm, g * move_mm)) {
            let inset = moved(&out, back, grip);
            assert!(!inset.ledges.contains(&true), "a step at {back} and {grip} mm");
            let level = inset.to_outline(&out).expect("it closes");
            assert!(level.self_contact().is_none());
        }
        // The corner stands out of the back by about a quarter of the move, less than 0.4 mm.
        for segment in out.segments() {
            let off = plain.nearest(segment.curve.start()).distance_mm;
            assert!((-0.55 * move_mm..0.4_f64.max(0.5 * move_mm)).contains(&off), "{off} mm off the plain outline");
        }
        let seats = |outline: &Outline| -> f64 {
            outline.segments().iter().filter(|s| s.role == Role::Seat).map(|s| s.curve.length()).sum()
        };
        assert!((seats(&out) - seats(plain)).abs() < 1e-12);
    }

    #[test]
    fn no_step_opens_beside_straight_lips() {
        check(round(8.0, [2.0, 1.4], 2.0), 0.4);
        check(round(12.7, [9.8, 9.8], 1.9), 0.5);
        check(rectangle(2.2, 2.2, 5.0), 0.5);
        check(rectangle(2.0, 1.7, 5.0), 0.5);
        check(rectangle(2.0, 2.1, 0.8), 0.4);
        // The whole turn of this corner would stand out by 0.7 mm.
        check(rectangle(1.1, 2.9, 1.5), 0.55);
    }

    #[test]
    fn without_a_move_nothing_changes() {
        let plain = [round(8.0, [2.0, 1.4], 2.0)];
        assert_eq!(run_out_at_lips(&plain, 0.0).as_ref(), Ok(&plain));
        assert_eq!(run_out_at_lips(&plain, 20.0), Err(ClipError::NoRunOut { move_mm: 20.0 }));
    }

    proptest! {
        #![proptest_config(fixed_seed(0x11b))]
        #[test]
        fn no_step_opens_on_random_clips(
            seat in 3.0..20.0f64, root in 0.1..0.5f64, taper in 0.6..1.0f64, wrap in 1.65..2.2f64, share in 0.05..0.6f64,
        ) {
            let root = (root * seat).max(0.8);
            let lip = (taper * root).max(0.8);
            check(round(seat, [root, lip], wrap), share * 0.5 * lip);
        }
    }
}
