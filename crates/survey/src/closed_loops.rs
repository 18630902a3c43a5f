//! Closed loops: joins the polylines of a drawing or a section end to end.

use std::collections::BTreeMap;

use gripwright_section::Point;

use crate::error::SurveyError;

/// Ends this close count as one, mm: the rounding of coordinates that are written with four or more decimals.
const SAME_MM: f64 = 1e-4;
/// Greatest number of loose ends that are compared pair by pair; more of them mean a broken drawing, not gaps.
const MOST_LOOSE: usize = 2000;

/// One end of a polyline: its index, and true for its last point.
type End = (usize, bool);

/// Returns the closed loops that the lines form, without the repeated last point. Gaps up to `gap_mm` are closed.
pub(crate) fn closed_loops(lines: Vec<Vec<Point>>, gap_mm: f64) -> Result<Vec<Vec<Point>>, SurveyError> {
    let mut closed = Vec::new();
    let mut open = Vec::new();
    for mut line in lines {
        line.dedup_by(|a, b| a.distance(*b) < 1e-9);
        let (Some(&first), Some(&last)) = (line.first(), line.last()) else { continue };
        if line.len() > 2 && first.distance(last) <= SAME_MM {
            line.pop();
            closed.push(line);
        } else if line.len() > 1 {
            open.push(line);
        }
    }
    let partners = partners(&open, gap_mm)?;
    let mut used = vec![false; open.len()];
    for start in 0..open.len() {
        if used[start] {
            continue;
        }
        let mut loop_points = Vec::new();
        let (mut piece, mut forward) = (start, true);
        while !used[piece] {
            used[piece] = true;
            let points = &open[piece];
            if forward {
                loop_points.extend(points.iter().copied());
            } else {
                loop_points.extend(points.iter().rev().copied());
            }
            let Some(&(next, at_end)) = partners.get(&(piece, forward)) else { break };
            (piece, forward) = (next, !at_end);
        }
        loop_points.dedup_by(|a, b| a.distance(*b) < 1e-9);
        while loop_points.len() > 1 && loop_points[0].distance(loop_points[loop_points.len() - 1]) < 1e-9 {
            loop_points.pop();
        }
        closed.push(loop_points);
    }
    closed.retain(|l| l.len() >= 2);
    Ok(closed)
}

/// Returns the partner of every end.
fn partners(lines: &[Vec<Point>], gap_mm: f64) -> Result<BTreeMap<End, End>, SurveyError> {
    let place = |end: End| -> Point {
        let (piece, last) = end;
        let line = &lines[piece];
        if last { line[line.len() - 1] } else { line[0] }
    };
    let mut found: BTreeMap<End, End> = BTreeMap::new();
    let ends: Vec<End> = (0..lines.len()).flat_map(|piece| [(piece, false), (piece, true)]).collect();
    let cell = |p: Point| ((p.x / SAME_MM).floor(), (p.y / SAME_MM).floor());
    let key = |x: f64, y: f64| (x.to_bits(), y.to_bits());
    let mut grid: BTreeMap<(u64, u64), Vec<End>> = BTreeMap::new();
    for &end in &ends {
        let (x, y) = cell(place(end));
        let mut nearest: Option<(f64, End)> = None;
        for dx in [-1.0, 0.0, 1.0] {
            for dy in [-1.0, 0.0, 1.0] {
                // Adding zero turns −0 into 0, so that both have one key.
                for &other in grid.get(&key(x + dx + 0.0, y + dy + 0.0)).into_iter().flatten() {
                    let distance = place(end).distance(place(other));
                    if distance <= SAME_MM && nearest.is_none_or(|(least, _)| distance < least) {
                        nearest = Some((distance, other));
                    }
                }
            }
        }
        if let Some((_, other)) = nearest {
            let (ox, oy) = cell(place(other));
            if let Some(list) = grid.get_mut(&key(ox + 0.0, oy + 0.0)) {
                list.retain(|e| *e != other);
            }
            found.insert(end, other);
            found.insert(other, end);
        } else {
            grid.entry(key(x + 0.0, y + 0.0)).or_default().push(end);
        }
    }
    let loose: Vec<End> = ends.into_iter().filter(|end| !found.contains_key(end)).collect();
    close_gaps(&loose, &place, gap_mm, &mut found)?;
    Ok(found)
}

/// Joins loose ends that are at most `gap_mm` apart, the nearest first.
fn close_gaps(
    loose: &[End],
    place: &impl Fn(End) -> Point,
    gap_mm: f64,
    found: &mut BTreeMap<End, End>,
) -> Result<(), SurveyError> {
    let open = |end: End, gap: f64| SurveyError::OpenOutline { place: place(end), gap_mm: gap, allowed_mm: gap_mm };
    if loose.len() > MOST_LOOSE {
        return Err(open(loose[0], f64::INFINITY));
    }
    let mut pairs: Vec<(f64, End, End)> = Vec::new();
    for (i, &a) in loose.iter().enumerate() {
        for &b in &loose[i + 1..] {
            let gap = place(a).distance(place(b));
            if gap <= gap_mm {
                pairs.push((gap, a, b));
            }
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    for (_, a, b) in pairs {
        if !found.contains_key(&a) && !found.contains_key(&b) {
            found.insert(a, b);
            found.insert(b, a);
        }
    }
    let Some(&end) = loose.iter().find(|end| !found.contains_key(end)) else { return Ok(()) };
    let others = loose.iter().filter(|other| **other != end && !found.contains_key(other));
    let gap = others.map(|other| place(end).distance(place(*other))).fold(f64::INFINITY, f64::min);
    Err(open(end, gap))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(points: &[(f64, f64)]) -> Vec<Point> {
        points.iter().map(|(x, y)| Point::new(*x, *y)).collect()
    }

    #[test]
    fn pieces_in_any_order_and_direction_make_one_loop() {
        let pieces = vec![
            line(&[(0.0, 0.0), (4.0, 0.0)]),
            line(&[(0.0, 3.0), (4.0, 3.0)]),
            line(&[(4.0, 3.02), (4.0, 0.0)]),
            line(&[(0.0, 3.0), (0.0, 0.0)]),
        ];
        let found = closed_loops(pieces.clone(), 0.05).unwrap();
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].len(), 5);
        let error = closed_loops(pieces, 0.01).unwrap_err();
        assert!(matches!(error, SurveyError::OpenOutline { gap_mm, .. } if (gap_mm - 0.02).abs() < 1e-9), "{error}");
    }

    #[test]
    fn two_loops_stay_two() {
        let square = |at: f64| line(&[(at, 0.0), (at + 1.0, 0.0), (at + 1.0, 1.0), (at, 1.0), (at, 0.0)]);
        assert_eq!(closed_loops(vec![square(0.0), square(5.0)], 0.01).unwrap().len(), 2);
    }

    #[test]
    fn a_single_open_line_says_where() {
        let error = closed_loops(vec![line(&[(1.0, 2.0), (5.0, 2.0), (5.0, 7.0)])], 0.01).unwrap_err();
        assert!(matches!(error, SurveyError::OpenOutline { place, .. } if place == Point::new(1.0, 2.0)));
    }
}
