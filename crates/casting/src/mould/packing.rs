//! Arrangement of masters in rows, as close as the fins between them allow.
//!
//! Every master slides against those already placed: first along its row, then the whole row against the rows before. A
//! slide goes on by the distance that is left beyond the fin, so it never enters it.

use std::f64::consts::{FRAC_PI_2, PI};

use gripwright_section::{Bounds, Point};

use super::outline_gap::Plan;

/// A slide ends when this (mm) or less is left beyond the fin.
const SLIDE_END_MM: f64 = 1e-3;

/// Place of one master.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct MasterPlace {
    /// Index of its kind.
    pub kind: usize,
    /// Position of the origin of its plan, mm from the centre of the box.
    pub at: [f64; 2],
    /// Turn, rad, counter-clockwise as seen from above.
    pub turn_rad: f64,
    /// Row in which it stands.
    pub row: usize,
}

/// Masters in rows, centred about the origin.
#[derive(Clone, Debug)]
pub(crate) struct Packing {
    pub(crate) places: Vec<MasterPlace>,
    pub(crate) plans: Vec<Plan>,
    /// Width and depth, mm.
    pub(crate) size: [f64; 2],
}

/// Rule by which masters are put in rows.
#[derive(Clone, Copy)]
struct RowRule {
    per_row: usize,
    turn: f64,
    /// Every other master is turned by half a turn.
    alternate: bool,
}

/// All arrangements that are tried: rows of every length, two turns, with and without alternating half turns, in the order
/// given and by depth.
pub(crate) fn arrangements(plans: &[Plan], counts: &[usize], fin_mm: f64) -> Vec<Packing> {
    let given: Vec<usize> = counts.iter().enumerate().flat_map(|(kind, n)| std::iter::repeat_n(kind, *n)).collect();
    let mut orders = vec![given.clone()];
    let mut by_depth = given;
    let depth = |kind: usize| plans[kind].bounds().size().y;
    by_depth.sort_by(|a, b| depth(*b).total_cmp(&depth(*a)));
    if by_depth != orders[0] {
        orders.push(by_depth);
    }
    let mut found = Vec::new();
    for order in &orders {
        for per_row in 1..=order.len() {
            for turn in [0.0, FRAC_PI_2] {
                for alternate in [false, true] {
                    found.extend(in_rows(plans, order, RowRule { per_row, turn, alternate }, fin_mm));
                }
            }
        }
    }
    found
}

fn in_rows(plans: &[Plan], order: &[usize], rule: RowRule, fin_mm: f64) -> Option<Packing> {
    let (mut places, mut placed): (Vec<MasterPlace>, Vec<Plan>) = (Vec::new(), Vec::new());
    for (row, kinds) in order.chunks(rule.per_row).enumerate() {
        let first = placed.len();
        for (column, &kind) in kinds.iter().enumerate() {
            let half = rule.alternate && (row + column) % 2 == 1;
            let turn_rad = rule.turn + if half { PI } else { 0.0 };
            let turned = plans[kind].moved(turn_rad, Point::ORIGIN);
            let centre = turned.bounds().centre();
            let after = bounds_of(&placed[first..]).map_or(0.0, |b| b.max.x + fin_mm - turned.bounds().min.x);
            let start = Point::new(after, -centre.y);
            let slid = slide(&turned.moved(0.0, start), &placed[first..], Point::new(-1.0, 0.0), fin_mm);
            let at = start + Point::new(-slid, 0.0);
            placed.push(turned.moved(0.0, at));
            places.push(MasterPlace { kind, at: [at.x, at.y], turn_rad, row });
        }
        settle_row(&mut places, &mut placed, first, fin_mm);
    }
    let bounds = bounds_of(&placed)?;
    shift_all(&mut places, &mut placed, 0, -bounds.centre());
    let size = bounds.size();
    Some(Packing { places, plans: placed, size: [size.x, size.y] })
}

/// Centres the row that begins with `first` and slides it against the rows before.
fn settle_row(places: &mut [MasterPlace], placed: &mut [Plan], first: usize, fin_mm: f64) {
    let Some(row) = bounds_of(&placed[first..]) else { return };
    let below = bounds_of(&placed[..first]).map_or(0.0, |b| b.min.y - fin_mm - row.max.y);
    shift_all(places, placed, first, Point::new(-row.centre().x, below));
    let (before, own) = placed.split_at(first);
    let up = Point::new(0.0, 1.0);
    let mut slid = 0.0;
    loop {
        let left =
            own.iter().map(|plan| gap_to(&plan.moved(0.0, up * slid), before, fin_mm)).fold(f64::INFINITY, f64::min)
                - fin_mm;
        if left <= SLIDE_END_MM || !left.is_finite() {
            break;
        }
        slid += left;
    }
    shift_all(places, placed, first, up * slid);
}

/// Length by which a plan can slide toward others until the fin is left, mm; zero if there are none.
fn slide(plan: &Plan, others: &[Plan], direction: Point, fin_mm: f64) -> f64 {
    let mut slid = 0.0;
    loop {
        let left = gap_to(&plan.moved(0.0, direction * slid), others, fin_mm) - fin_mm;
        if left <= SLIDE_END_MM || !left.is_finite() {
            return slid;
        }
        slid += left;
    }
}

/// Distance to the nearest of several plans, mm.
fn gap_to(plan: &Plan, others: &[Plan], fin_mm: f64) -> f64 {
    let near = others.iter().fold(f64::INFINITY, |least, other| plan.gap(other, least));
    // A slide that passes everything would never end.
    let reach = bounds_of(others).map_or(0.0, |b| b.size().length()) + plan.bounds().size().length();
    if near > reach + fin_mm { f64::INFINITY } else { near }
}

fn bounds_of(plans: &[Plan]) -> Option<Bounds> {
    plans.iter().map(Plan::bounds).reduce(Bounds::joined)
}

fn shift_all(places: &mut [MasterPlace], placed: &mut [Plan], from: usize, by: Point) {
    for (place, plan) in places[from..].iter_mut().zip(&mut placed[from..]) {
        place.at = [place.at[0] + by.x, place.at[1] + by.y];
        *plan = plan.moved(0.0, by);
    }
}

#[cfg(test)]
mod tests {
    use gripwright_section::{Outline, Role, Segment, circle};

    use super::*;

    /// Right triangle, which pairs up with its half turn.
    fn triangle() -> Plan {
        let corners = [Point::new(0.0, 0.0), Point::new(30.0, 0.0), Point::new(0.0, 20.0)];
        let side = |i: usize| gripwright_section::Curve::line(corners[i], corners[(i + 1) % 3]);
        let segments = (0..3).map(|i| Segment::new(side(i), Role::Body)).collect();
        Plan::new(vec![Outline::new(segments).unwrap()]).unwrap()
    }

    fn least_gap(packing: &Packing) -> f64 {
        let pairs = packing.plans.iter().enumerate().flat_map(|(i, a)| packing.plans[..i].iter().map(move |b| (a, b)));
        pairs.map(|pair| pair.0.gap(pair.1, f64::INFINITY)).fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn every_arrangement_keeps_the_fin_and_uses_it() {
        let plans = [Plan::new(vec![circle(14.0).unwrap()]).unwrap(), triangle()];
        let all = arrangements(&plans, &[3, 2], 3.0);
        assert_eq!(all.len(), 2 * 5 * 4);
        for packing in &all {
            let gap = least_gap(packing);
            assert!((3.0 - 1e-9..=3.0 + 2.0 * SLIDE_END_MM).contains(&gap), "{gap}");
            assert_eq!(packing.places.len(), 5);
        }
    }

    #[test]
    fn half_turns_nest() {
        let best = |alternate: bool| {
            let rule = RowRule { per_row: 2, turn: 0.0, alternate };
            let packing = in_rows(&[triangle()], &[0, 0], rule, 3.0).unwrap();
            packing.size[0] * packing.size[1]
        };
        assert!(best(true) < 0.8 * best(false), "{} {}", best(true), best(false));
    }

    #[test]
    fn circles_in_a_row_stand_the_fin_apart() {
        let plans = [Plan::new(vec![circle(10.0).unwrap()]).unwrap()];
        let rule = RowRule { per_row: 3, turn: 0.0, alternate: false };
        let packing = in_rows(&plans, &[0, 0, 0], rule, 3.0).unwrap();
        assert!((packing.size[0] - 36.0).abs() < 3e-3 && (packing.size[1] - 10.0).abs() < 1e-9);
    }
}
