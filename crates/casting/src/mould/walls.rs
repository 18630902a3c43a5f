//! Outlines of the walls of a box, which interlock at the corners like a comb.

use gripwright_section::{Curve, Outline, OutlineError, Point, Role, Segment};

/// Height of a finger that is aimed at, mm: common practice, no source.
const FINGER_MM: f64 = 15.0;

/// Wall of a box.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Wall {
    /// Length between the walls at its ends, mm.
    pub(crate) length_mm: f64,
    pub(crate) height_mm: f64,
    pub(crate) thickness_mm: f64,
    /// Gap between a finger and that of the other wall, mm.
    pub(crate) clearance_mm: f64,
    /// True for fingers at the lower and the upper end; false for the wall that fits between them.
    pub(crate) has_end_fingers: bool,
}

/// Number of fingers and gaps at a corner: odd, so that walls are alike at both ends.
fn finger_count(height_mm: f64) -> u16 {
    let mut count = 3;
    while f64::from(count + 2) * FINGER_MM <= height_mm {
        count += 2;
    }
    count
}

/// Outline of a wall: x along its length from the middle, y up from its lower edge.
pub(crate) fn wall_outline(wall: &Wall) -> Result<Outline, OutlineError> {
    let count = finger_count(wall.height_mm);
    let is_finger = |k: u16| k.is_multiple_of(2) == wall.has_end_fingers;
    let mut right = Vec::new();
    for k in 0..count {
        let half = 0.5 * wall.length_mm + if is_finger(k) { wall.thickness_mm } else { 0.0 };
        // Half the gap is taken from each of the two fingers that meet.
        let shift = |toward: f64| if is_finger(k) { toward } else { -toward } * 0.5 * wall.clearance_mm;
        let share = |k: u16| wall.height_mm * f64::from(k) / f64::from(count);
        let low = if k == 0 { 0.0 } else { share(k) + shift(1.0) };
        let high = if k + 1 == count { wall.height_mm } else { share(k + 1) - shift(1.0) };
        right.extend([Point::new(half, low), Point::new(half, high)]);
    }
    let left = right.iter().rev().map(|p| Point::new(-p.x, p.y));
    polygon(&right.iter().copied().chain(left).collect::<Vec<_>>())
}

/// Rectangle about the origin.
pub(crate) fn rectangle(size: [f64; 2]) -> Result<Outline, OutlineError> {
    let [x, y] = size.map(|s| 0.5 * s);
    polygon(&[Point::new(-x, -y), Point::new(x, -y), Point::new(x, y), Point::new(-x, y)])
}

fn polygon(corners: &[Point]) -> Result<Outline, OutlineError> {
    let side = |i: usize| Curve::line(corners[i], corners[(i + 1) % corners.len()]);
    Outline::new((0..corners.len()).map(|i| Segment::new(side(i), Role::Body)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two walls of a corner fill its column but for the gaps between their fingers.
    #[test]
    fn fingers_of_two_walls_fill_the_corner_but_for_the_gaps() {
        for height_mm in [31.0, 44.0, 52.5, 90.0] {
            let wall = |has_end_fingers| Wall {
                length_mm: 60.0,
                height_mm,
                thickness_mm: 3.0,
                clearance_mm: 0.2,
                has_end_fingers,
            };
            let [front, side] = [true, false].map(|ends| wall_outline(&wall(ends)).unwrap());
            let fingers = front.area_mm2() + side.area_mm2() - 2.0 * 60.0 * height_mm;
            let gaps = f64::from(finger_count(height_mm) - 1) * 0.2;
            assert!((fingers - 2.0 * 3.0 * (height_mm - gaps)).abs() < 1e-9);
            assert!((front.bounds().size().x - 66.0).abs() < 1e-12 && front.self_contact().is_none());
            assert!((side.bounds().size().y - height_mm).abs() < 1e-12 && side.self_contact().is_none());
        }
    }
}
