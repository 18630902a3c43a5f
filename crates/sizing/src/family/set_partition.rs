//! Parting few things into fewer groups than a first split found, when all that is known of a group is whether it is served.
//!
//! The only law it rests on: what serves a set serves every part of it. Order by size says nothing here.

/// Sets are bits: things beyond these are left as they were split.
pub(crate) const MOST_THINGS: usize = u64::BITS as usize;
/// Questions asked before the first split is taken as it is. In trials families of up to eight tools took 40 at most.
const MOST_ASKED: usize = 100;
/// Places tried before the same, so that a large family takes no time either.
const MOST_PLACED: usize = 100_000;

/// What is known of sets of things, and how to learn more.
pub(crate) struct SetPartition<F> {
    served: Vec<u64>,
    failed: Vec<u64>,
    asked: usize,
    placed: usize,
    ask: F,
}

/// No answer was found within what may be asked.
struct TooMuch;

impl<F: FnMut(u64) -> bool> SetPartition<F> {
    /// `served` and `failed` are sets that are known already.
    pub(crate) fn new(served: Vec<u64>, failed: Vec<u64>, ask: F) -> Self {
        Self { served, failed, asked: 0, placed: 0, ask }
    }

    /// The fewest groups for the first `count` things, each of which is served alone, if they are fewer than `groups`;
    /// none as well where the search would take too long.
    pub(crate) fn fewer(&mut self, count: usize, groups: usize) -> Option<Vec<u64>> {
        let mut best = None;
        for most in (1..groups).rev() {
            let mut parts = Vec::new();
            match self.place(0, count, most, &mut parts) {
                Ok(true) => best = Some(parts),
                Ok(false) | Err(TooMuch) => break,
            }
        }
        best
    }

    /// Puts one thing after the other into any group that is still served with it, or into a new one.
    fn place(&mut self, next: usize, count: usize, most: usize, parts: &mut Vec<u64>) -> Result<bool, TooMuch> {
        if next == count {
            return Ok(true);
        }
        let thing = 1 << next;
        for index in 0..parts.len() {
            self.placed += 1;
            if self.placed > MOST_PLACED {
                return Err(TooMuch);
            }
            if self.serves(parts[index] | thing)? {
                parts[index] |= thing;
                if self.place(next + 1, count, most, parts)? {
                    return Ok(true);
                }
                parts[index] &= !thing;
            }
        }
        if parts.len() < most {
            parts.push(thing);
            if self.place(next + 1, count, most, parts)? {
                return Ok(true);
            }
            parts.pop();
        }
        Ok(false)
    }

    fn serves(&mut self, set: u64) -> Result<bool, TooMuch> {
        if self.served.iter().any(|of| set & !of == 0) {
            return Ok(true);
        }
        if self.failed.iter().any(|of| of & !set == 0) {
            return Ok(false);
        }
        if self.asked == MOST_ASKED {
            return Err(TooMuch);
        }
        self.asked += 1;
        let answer = (self.ask)(set);
        let known = if answer { &mut self.served } else { &mut self.failed };
        known.push(set);
        Ok(answer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{family::brute_force::fewest_sets, rng::SplitMix64};

    /// Things of random widths in two directions, served together where each spread and a mixture of both are small: what
    /// serves a set serves every part, and no order makes the groups neighbours.
    #[test]
    fn the_fewest_groups_are_found() {
        let mut rng = SplitMix64::new(5);
        let (mut fewer, mut most_asked) = (0, 0);
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
            most_asked = most_asked.max(partition.asked);
            if let Some(parts) = &found {
                assert!(
                    parts.iter().all(|p| serves(*p)) && parts.iter().copied().fold(0, |a, b| a ^ b) == (1 << count) - 1
                );
                fewer += 1;
            }
            assert_eq!(found.map_or(count, |parts| parts.len()), fewest);
        }
        assert!(fewer >= 300 && most_asked > 20 && most_asked < MOST_ASKED, "{fewer} {most_asked}");
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
