//! Places of the keys between two halves: near the corners of the box, one off the pattern of the others.

use gripwright_section::Point;

use super::{outline_gap::Plan, request::KeyFigures};

/// Spacing of the places that are tried, mm.
const STEP_MM: f64 = 1.0;

/// Centres of four keys, or of three, for masters in a box of a size about the origin. `None` if fewer fit.
///
/// Of four keys, the last stands at least a key's radius off the places that a half turn or a mirror gives the others.
/// Three keys in four corners are no pattern.
pub(crate) fn key_places(masters: &[Plan], size: [f64; 2], figures: &KeyFigures) -> Option<Vec<[f64; 2]>> {
    let mut keys: Vec<Point> = Vec::new();
    for quarter in [[-1.0, -1.0], [1.0, -1.0], [-1.0, 1.0]] {
        keys.extend(nearest_place(masters, size, figures, quarter, |p| apart(p, &keys, figures)));
    }
    let off_pattern = |p: Point| {
        let images = keys.iter().flat_map(|k| [-*k, Point::new(-k.x, k.y), Point::new(k.x, -k.y)]);
        images.into_iter().all(|image| image.distance(p) >= 0.5 * figures.diameter_mm) && apart(p, &keys, figures)
    };
    // With a corner already missing, the fourth key completes no pattern.
    let complete = keys.len() == 3;
    let last = nearest_place(masters, size, figures, [1.0, 1.0], |p| {
        if complete { off_pattern(p) } else { apart(p, &keys, figures) }
    });
    keys.extend(last);
    (keys.len() >= 3).then(|| keys.iter().map(|k| [k.x, k.y]).collect())
}

fn apart(p: Point, keys: &[Point], figures: &KeyFigures) -> bool {
    keys.iter().all(|k| k.distance(p) >= figures.diameter_mm + figures.apart_mm)
}

/// Place nearest to a corner of the box, in the quarter of that corner, at which a key keeps its distances.
fn nearest_place(
    masters: &[Plan],
    size: [f64; 2],
    figures: &KeyFigures,
    quarter: [f64; 2],
    is_free: impl Fn(Point) -> bool,
) -> Option<Point> {
    let margin = 0.5 * figures.diameter_mm + figures.apart_mm;
    let reach = size.map(|s| 0.5 * s - margin);
    if reach.iter().any(|r| *r < 0.0) {
        return None;
    }
    let steps = |r: f64| (0..).map(|k| f64::from(k) * STEP_MM).take_while(move |inward| *inward <= r);
    let mut inward: Vec<[f64; 2]> = steps(reach[0]).flat_map(|x| steps(reach[1]).map(move |y| [x, y])).collect();
    let square = |v: &[f64; 2]| v[0] * v[0] + v[1] * v[1];
    inward.sort_by(|a, b| square(a).total_cmp(&square(b)).then(a[0].total_cmp(&b[0])));
    inward
        .into_iter()
        .map(|[x, y]| Point::new(quarter[0] * (reach[0] - x), quarter[1] * (reach[1] - y)))
        .find(|p| is_free(*p) && masters.iter().all(|plan| plan.is_clear_of(*p, margin)))
}

#[cfg(test)]
mod tests {
    use gripwright_section::circle;

    use super::*;

    const FIGURES: KeyFigures = KeyFigures { diameter_mm: 9.0, depth_mm: 4.5, taper_rad: 0.2, apart_mm: 5.0 };

    #[test]
    fn four_keys_keep_their_distances_and_fit_one_way_only() {
        let master = Plan::new(vec![circle(30.0).unwrap()]).unwrap();
        let size = [60.0, 60.0];
        let keys = key_places(std::slice::from_ref(&master), size, &FIGURES).unwrap();
        assert_eq!(keys.len(), 4);
        for [x, y] in &keys {
            assert!(x.hypot(*y) >= 24.5 && master.is_clear_of(Point::new(*x, *y), 9.5));
            assert!(x.abs() <= 20.5 && y.abs() <= 20.5);
        }
        // Turned by half a turn or mirrored, at least one key misses its socket by half its diameter.
        for (sx, sy) in [(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0)] {
            let misses = |k: &[f64; 2]| {
                keys.iter().all(|other| (k[0] * sx - other[0]).hypot(k[1] * sy - other[1]) >= 4.5 - 1e-9)
            };
            assert!(keys.iter().any(misses), "{keys:?}");
        }
    }

    #[test]
    fn a_box_without_room_has_no_keys() {
        let master = Plan::new(vec![circle(56.0).unwrap()]).unwrap();
        assert_eq!(key_places(&[master], [60.0, 60.0], &FIGURES), None);
    }
}
