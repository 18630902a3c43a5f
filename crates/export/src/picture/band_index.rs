//! What reaches into which strip, so that a strip looks at nothing else.

/// Indices of things by strip, in their order.
pub(super) struct Strips {
    /// Where each strip's indices begin; the last is where they end.
    starts: Vec<usize>,
    indices: Vec<u32>,
}

impl Strips {
    /// Sorts things, each from its least to its greatest height, into `count` strips of the given height.
    pub(super) fn new(heights: impl Iterator<Item = [f64; 2]> + Clone, count: usize, height: f64) -> Self {
        let strips = |[low, high]: [f64; 2]| {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the cast stops at zero")]
            let [first, end] = [low / height, high / height + 1.0].map(|place| (place as usize).min(count));
            first..end
        };
        let mut starts = vec![0; count + 1];
        for strip in heights.clone().flat_map(strips) {
            starts[strip + 1] += 1;
        }
        for strip in 0..count {
            starts[strip + 1] += starts[strip];
        }
        let mut indices = vec![0; starts[count]];
        let mut next = starts.clone();
        for (index, heights) in (0_u32..).zip(heights) {
            for strip in strips(heights) {
                indices[next[strip]] = index;
                next[strip] += 1;
            }
        }
        Self { starts, indices }
    }

    /// What reaches into a strip.
    pub(super) fn of(&self, strip: usize) -> impl Iterator<Item = usize> {
        self.indices[self.starts[strip]..self.starts[strip + 1]].iter().map(|&index| index as usize)
    }
}
