//! Evenly spaced values of one number.

/// Evenly spaced values, by the first value, the step and the count.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct GridAxis {
    first: f64,
    step: f64,
    count: usize,
}

impl GridAxis {
    /// Values from `middle - half_width` to `middle + half_width` in steps of at most `greatest_step`.
    pub(crate) fn with_step(middle: f64, half_width: f64, greatest_step: f64) -> Self {
        // A grid of this size is already ten times finer than any distribution that it carries.
        const MOST: usize = 4000;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded below")]
        let sides = ((half_width / greatest_step).ceil().max(1.0) as usize).min(MOST / 2);
        Self::with_count(middle, half_width, 2 * sides + 1)
    }

    /// The same range with a given number of values; a single value stands in the middle.
    pub(crate) fn with_count(middle: f64, half_width: f64, count: usize) -> Self {
        if count < 2 {
            return Self { first: middle, step: 1.0, count: 1 };
        }
        Self { first: middle - half_width, step: 2.0 * half_width / (count - 1) as f64, count }
    }

    pub(crate) fn len(&self) -> usize {
        self.count
    }

    pub(crate) fn step(&self) -> f64 {
        self.step
    }

    pub(crate) fn value(&self, index: usize) -> f64 {
        self.first + self.step * index as f64
    }

    pub(crate) fn last_value(&self) -> f64 {
        self.value(self.count.saturating_sub(1))
    }

    pub(crate) fn values(&self) -> impl Iterator<Item = f64> + use<> {
        let axis = *self;
        (0..axis.count).map(move |i| axis.value(i))
    }

    /// Index of the value below `x`, and the share of the way from there to the next one; `x` is kept within the ends.
    pub(crate) fn index_and_share(&self, x: f64) -> (usize, f64) {
        let position = ((x - self.first) / self.step).clamp(0.0, (self.count - 1) as f64);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between the axis' ends")]
        let low = (position as usize).min(self.count.saturating_sub(2));
        (low, position - low as f64)
    }
}
