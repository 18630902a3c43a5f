//! Root search for a height of the rigid section by false position.

/// Width of the bracket, as a share of the reach, at which the search ends.
const NARROWEST: f64 = 1e-8;
const MOST_ROUNDS: usize = 40;
/// Height above the floor, as a share of the reach, at which the floor's contact is about to set in.
const ABOVE_FLOOR: f64 = 6e-5;

/// Bracket of the height at which a value changes its sign: negative at the accepted height, positive at `low`.
///
/// The branch is steep where the floor takes over, so that a height just above the floor is tried first. Then follows
/// false position with the Illinois modification, which keeps both ends moving, with bisection now and then.
pub(crate) struct HeightBracket {
    low: f64,
    low_value: f64,
    high_value: f64,
    /// Height of the floor, mm, and the reach.
    floor: f64,
    reach: f64,
    rounds: usize,
}

impl HeightBracket {
    pub(crate) fn new(low: (f64, f64), high_value: f64, floor: f64, reach: f64) -> Self {
        Self { low: low.0, low_value: low.1, high_value, floor, reach, rounds: 0 }
    }

    /// Height to try next; `None` when the bracket is narrow or too many were tried. `high` is the accepted height.
    pub(crate) fn next(&mut self, high: f64) -> Option<f64> {
        let width = high - self.low;
        if width < NARROWEST * self.reach || self.rounds >= MOST_ROUNDS {
            return None;
        }
        self.rounds += 1;
        let above = self.floor + ABOVE_FLOOR * self.reach;
        if self.rounds == 1 && above < high - 0.02 * width && above > self.low + 0.02 * width {
            return Some(above);
        }
        let share = self.high_value / (self.high_value - self.low_value);
        let share = if self.rounds.is_multiple_of(4) { 0.5 } else { share.clamp(0.02, 0.98) };
        Some(high - share * width)
    }

    /// Takes a height with a positive value as the lower end.
    pub(crate) fn raise_low(&mut self, low: f64, value: f64) {
        (self.low, self.low_value) = (low, value);
        self.high_value *= 0.5;
    }

    /// Takes the value, negative or zero, at a height that was accepted.
    pub(crate) fn lower_high(&mut self, value: f64) {
        self.high_value = value;
        self.low_value *= 0.5;
    }
}
