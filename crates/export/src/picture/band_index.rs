//! Index from bands of the picture to the shapes that reach into them, so that each band draws only these.

/// Indices of shapes by band, ascending within each band.
pub(super) struct BandIndex {
    /// Position in `indices` where each band starts; the last entry is the end of the last band.
    starts: Vec<usize>,
    indices: Vec<u32>,
}

impl BandIndex {
    /// Assigns shapes, given by their least and greatest y, to `count` bands of the given height (samples).
    pub(super) fn new(y_ranges: impl Iterator<Item = [f64; 2]> + Clone, count: usize, band_height: f64) -> Self {
        let bands = |[low, high]: [f64; 2]| {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the cast stops at zero")]
            let [first, end] = [low / band_height, high / band_height + 1.0].map(|band| (band as usize).min(count));
            first..end
        };
        let mut starts = vec![0; count + 1];
        for band in y_ranges.clone().flat_map(bands) {
            starts[band + 1] += 1;
        }
        for band in 0..count {
            starts[band + 1] += starts[band];
        }
        let mut indices = vec![0; starts[count]];
        let mut next = starts.clone();
        for (index, y_range) in (0_u32..).zip(y_ranges) {
            for band in bands(y_range) {
                indices[next[band]] = index;
                next[band] += 1;
            }
        }
        Self { starts, indices }
    }

    /// Indices of the shapes that reach into a band.
    pub(super) fn in_band(&self, band: usize) -> impl Iterator<Item = usize> {
        self.indices[self.starts[band]..self.starts[band + 1]].iter().map(|&index| index as usize)
    }
}
