//! Partition of few things into fewer groups than a first split found.
//!
//! The only law it rests on: what serves a set serves every part of it. Order by size says nothing here. Single sets
//! are tried until a partition into fewer groups is found or ruled out. In most of 400 random families with hexagons no
//! set was tried; 22 were at most. The tests of the splits compare with every other split
//! (`GRIPWRIGHT_MIXED_FAMILIES=300` takes more mixed families than the sample).

/// Greatest number of items, as sets are bits of an integer; larger families stay as they were split.
pub(crate) const MAX_ITEMS: usize = u64::BITS as usize;
/// Most sets that are tried. In trials families of up to eight tools took 40 at most.
const MOST_TRIED: usize = 100;
/// Most assignments of a thing to a group, so that a large family takes no time either.
const MOST_ASSIGNED: usize = 100_000;

/// Search for a partition into fewer sets, each of which is served.
pub(crate) struct SetPartition<F> {
    served: Vec<u64>,
    failed: Vec<u64>,
    tried: usize,
    assigned: usize,
    is_served: F,
}

/// The search takes more tries than allowed.
struct TooManyTries;

impl<F: FnMut(u64) -> bool> SetPartition<F> {
    /// `served` and `failed` are sets whose answer is known; `is_served` answers for others.
    pub(crate) fn new(served: Vec<u64>, failed: Vec<u64>, is_served: F) -> Self {
        Self { served, failed, tried: 0, assigned: 0, is_served }
    }

    /// Returns the fewest groups for the first `count` things, each of which is served alone, if they are fewer than
    /// `groups`. `None` as well when the search would take too long.
    pub(crate) fn fewer(&mut self, count: usize, groups: usize) -> Option<Vec<u64>> {
        let mut best = None;
        for most in (1..groups).rev() {
            let mut parts = Vec::new();
            match self.assign(0, count, most, &mut parts) {
                Ok(true) => best = Some(parts),
                Ok(false) | Err(TooManyTries) => break,
            }
        }
        best
    }

    /// Assigns the things from `next` on, each to any group that is still served with it or to a new one.
    fn assign(&mut self, next: usize, count: usize, most: usize, parts: &mut Vec<u64>) -> Result<bool, TooManyTries> {
        if next == count {
            return Ok(true);
        }
        let thing = 1 << next;
        for index in 0..parts.len() {
            self.assigned += 1;
            if self.assigned > MOST_ASSIGNED {
                return Err(TooManyTries);
            }
            if self.serves(parts[index] | thing)? {
                parts[index] |= thing;
                if self.assign(next + 1, count, most, parts)? {
                    return Ok(true);
                }
                parts[index] &= !thing;
            }
        }
        if parts.len() < most {
            parts.push(thing);
            if self.assign(next + 1, count, most, parts)? {
                return Ok(true);
            }
            parts.pop();
        }
        Ok(false)
    }

    fn serves(&mut self, set: u64) -> Result<bool, TooManyTries> {
        if self.served.iter().any(|of| set & !of == 0) {
            return Ok(true);
        }
        if self.failed.iter().any(|of| of & !set == 0) {
            return Ok(false);
        }
        if self.tried == MOST_TRIED {
            return Err(TooManyTries);
        }
        self.tried += 1;
        let answer = (self.is_served)(set);
        let sets = if answer { &mut self.served } else { &mut self.failed };
        sets.push(set);
        Ok(answer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{family::brute_force::fewest_sets, rng::SplitMix64};

    /// Items of random widths in two directions. A set is served if both spreads and a mixture of them are small. Then
    /// every subset is served too, and no order makes the groups contiguous.
    #[test]
    fn the_fewest_groups_are_found() {
        let mut rng = SplitMix64::seeded(5);
        let (mut fewer, mut most_tried) = (0, 0);
        for _ in 0..400 {
            let count = 3 + (0..6).filter(|_| rng.unit() < 0.5).count();
            let places: Vec<[f64; 2]> = (0..count).map(|_| [rng.unit(), rng.unit()]).collect();
            let room = 0.2 + 0.5 * rng.unit();
            let serves = |set: u64| {
                let of = |value: &dyn Fn(&[f64; 2]) -> f64| {
                    let inside = places.iter().enumerate().filter(|(i, _)| set >> i & 1 == 1).map(|(_, p)| value(p));
                    let (low, high) = inside.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
                    high - low
                };
                of(&|p| p[0]) <= room && of(&|p| p[1]) <= room && of(&|p| p[0] - p[1]) <= room
            };
            let all: Vec<bool> = (0..1_u64 << count).map(|set| set > 0 && serves(set)).collect();
            let fewest = fewest_sets(&all).unwrap();
            let mut partition = SetPartition::new(Vec::new(), Vec::new(), serves);
            let found = partition.fewer(count, count);
            most_tried = most_tried.max(partition.tried);
            if let Some(parts) = &found {
                assert!(
                    parts.iter().all(|p| serves(*p)) && parts.iter().copied().fold(0, |a, b| a ^ b) == (1 << count) - 1
                );
                fewer += 1;
            }
            assert_eq!(found.map_or(count, |parts| parts.len()), fewest);
        }
        assert!(fewer >= 300 && most_tried > 20 && most_tried < MOST_TRIED, "{fewer} {most_tried}");
    }

    #[test]
    fn a_search_without_end_keeps_the_first_split() {
        // Any two go together and no three: half as many groups, and none of them fewer.
        let pairs = |set: u64| set.count_ones() <= 2;
        assert_eq!(SetPartition::new(Vec::new(), Vec::new(), pairs).fewer(12, 6), None);
        assert_eq!(SetPartition::new(Vec::new(), Vec::new(), pairs).fewer(60, 30), None);
        let found = SetPartition::new(Vec::new(), Vec::new(), pairs).fewer(12, 7);
        assert_eq!(found.map(|parts| parts.len()), Some(6));
    }
}
