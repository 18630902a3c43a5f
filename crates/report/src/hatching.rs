//! Hatching of areas: parallel lines at 45°, cut exactly at the outlines.
//!
//! Plain lines need no pattern or clip path, which a page would have to refer to by address.

use std::f64::consts::{FRAC_PI_4, PI};

use gripwright_section::{Curve, Outline, Point};

/// Direction of hatching.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum HatchDirection {
    /// Rising to the right.
    Rising,
    /// Falling to the right.
    Falling,
}

/// Returns the lines that hatch the area between outlines, `spacing` apart. A place inside an odd number of outlines
/// counts as area.
pub(crate) fn hatching(outlines: &[Outline], spacing: f64, direction: HatchDirection) -> Vec<[Point; 2]> {
    // In the turned frame the lines run along x.
    let turn = match direction {
        HatchDirection::Rising => -FRAC_PI_4,
        HatchDirection::Falling => FRAC_PI_4,
    };
    let pieces: Vec<Curve> = outlines
        .iter()
        .flat_map(|outline| outline.moved(turn, Point::ORIGIN).segments().to_vec())
        .flat_map(|segment| rising_pieces(segment.curve))
        .collect();
    let mut crossings: Vec<(i64, f64)> = Vec::new();
    for piece in &pieces {
        let [low, high] = [piece.start().y, piece.end().y];
        let first = level_above(low.min(high), spacing);
        let last = level_above(low.max(high), spacing);
        crossings.extend((first..last).filter_map(|level| Some((level, crossing(piece, level as f64 * spacing)?))));
    }
    crossings.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut lines = Vec::new();
    for row in crossings.chunk_by(|a, b| a.0 == b.0) {
        for pair in row.chunks_exact(2) {
            let y = pair[0].0 as f64 * spacing;
            lines.push([pair[0].1, pair[1].1].map(|x| Point::new(x, y).rotated(-turn)));
        }
    }
    lines
}

/// Index of the first line at or above a height. Both ends of a piece round alike, so that a line that meets a joint
/// crosses there once.
fn level_above(y: f64, spacing: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "a page has a few hundred lines")]
    let level = (y / spacing).ceil() as i64;
    level
}

/// Splits a curve where its tangent is level, so that every piece meets a level line once at most.
fn rising_pieces(curve: Curve) -> Vec<Curve> {
    let Curve::Arc { centre, radius, start_angle, sweep } = curve else { return vec![curve] };
    let end_angle = start_angle + sweep;
    let [low, high] = [start_angle.min(end_angle), start_angle.max(end_angle)];
    let mut angles = vec![low];
    let mut top = ((low / PI - 0.5).floor() + 1.5) * PI;
    while top < high {
        angles.push(top);
        top += PI;
    }
    angles.push(high);
    angles.windows(2).map(|pair| Curve::arc(centre, radius, pair[0], pair[1] - pair[0])).collect()
}

/// The x at which a piece crosses a height.
fn crossing(piece: &Curve, y: f64) -> Option<f64> {
    match *piece {
        Curve::Line { start, end } => {
            let height = end.y - start.y;
            (height.abs() > 0.0).then(|| start.x + (end.x - start.x) * (y - start.y) / height)
        }
        Curve::Arc { centre, radius, start_angle, sweep } => {
            let middle = start_angle + 0.5 * sweep;
            let half = (radius * radius - (y - centre.y) * (y - centre.y)).max(0.0).sqrt();
            Some(centre.x + half.copysign(middle.cos()))
        }
    }
}

/// Total length of lines over the area that they hatch, times the spacing: 1 for fine hatching. For tests.
#[cfg(test)]
fn covered_mm2(lines: &[[Point; 2]], spacing: f64) -> f64 {
    spacing * lines.iter().map(|[a, b]| a.distance(*b)).sum::<f64>()
}

#[cfg(test)]
mod tests {
    use gripwright_section::{circle, rounded_rectangle};

    use super::*;

    #[test]
    fn fine_hatching_covers_the_area_and_leaves_holes_free() {
        let outer = rounded_rectangle(40.0, 30.0, 5.0).unwrap();
        let hole = circle(14.0).unwrap().moved(0.3, Point::new(4.0, -3.0));
        for direction in [HatchDirection::Rising, HatchDirection::Falling] {
            for outlines in
                [vec![outer.clone()], vec![outer.clone(), hole.clone()], vec![hole.reversed(), outer.clone()]]
            {
                let area = outer.area_mm2() - if outlines.len() > 1 { hole.area_mm2() } else { 0.0 };
                let lines = hatching(&outlines, 0.05, direction);
                assert!((covered_mm2(&lines, 0.05) / area - 1.0).abs() < 2e-3, "{direction:?} {area}");
                let free = |line: &[Point; 2]| line[0].towards(line[1], 0.5).distance(Point::new(4.0, -3.0)) > 7.0;
                assert!(outlines.len() == 1 || lines.iter().all(free));
            }
        }
    }

    #[test]
    fn lines_rise_or_fall_at_45_degrees() {
        let outline = circle(20.0).unwrap();
        for (direction, slope) in [(HatchDirection::Rising, 1.0), (HatchDirection::Falling, -1.0)] {
            let lines = hatching(std::slice::from_ref(&outline), 2.0, direction);
            assert!(lines.len() >= 8, "{}", lines.len());
            for [a, b] in lines {
                let chord = b - a;
                assert!(chord.length() < 1e-6 || (chord.y / chord.x - slope).abs() < 1e-6, "{chord:?}");
            }
        }
    }
}
