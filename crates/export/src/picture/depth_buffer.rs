//! Depth and colour buffer of one band of the picture, with several samples per pixel.

use std::ops::Range;

use super::{palette::pack_rgb, view::SAMPLES_PER_SIDE};

/// Plain light background, slightly warm.
const BACKGROUND: [u8; 3] = [248, 247, 244];

/// Depths and colours of a band of samples. Single precision resolves a thousandth of a sample of depth.
pub(super) struct DepthBuffer {
    /// Samples in a row.
    pub(super) width: usize,
    height: usize,
    /// First row of samples in the picture.
    pub(super) top: f64,
    pub(super) depths: Vec<f32>,
    pub(super) colours: Vec<u32>,
    /// Sums of colours over the sample rows of a pixel, for each sample column: red and blue packed, then green.
    sums: Vec<[u32; 2]>,
}

impl DepthBuffer {
    /// Buffer for `rows` rows of pixels.
    pub(super) fn new(width_px: u32, rows: u32) -> Self {
        let [width, height] = [width_px, rows].map(|side| (side * SAMPLES_PER_SIDE) as usize);
        let size = width * height;
        Self { width, height, top: 0.0, depths: vec![0.0; size], colours: vec![0; size], sums: vec![[0; 2]; width] }
    }

    /// Clears the buffer and moves it to the band whose uppermost pixel row is `first_row`.
    pub(super) fn start_band(&mut self, first_row: u32) {
        self.top = f64::from(first_row * SAMPLES_PER_SIDE);
        self.depths.fill(f32::NEG_INFINITY);
        self.colours.fill(pack_rgb(BACKGROUND));
    }

    /// Fills rows of pixels from the uppermost, each pixel with the mean of its samples.
    pub(super) fn write_pixels(&mut self, pixels: &mut [u8]) {
        const SIDE: usize = SAMPLES_PER_SIDE as usize;
        const SAMPLES: u32 = SAMPLES_PER_SIDE * SAMPLES_PER_SIDE;
        let Self { width, colours, sums, .. } = self;
        let rows = pixels.chunks_exact_mut(3 * (*width / SIDE));
        for (row, samples) in rows.zip(colours.chunks_exact(SIDE * *width)) {
            sums.fill([0; 2]);
            for line in samples.chunks_exact(*width) {
                // Red and blue share a word: the sum of nine bytes stays far below half a word.
                for (sum, colour) in sums.iter_mut().zip(line) {
                    sum[0] += colour & 0x00ff_00ff;
                    sum[1] += (colour >> 8) & 0xff;
                }
            }
            for (pixel, sums) in row.chunks_exact_mut(3).zip(sums.chunks_exact(SIDE)) {
                let [red_blue, green] = sums.iter().fold([0; 2], |a, b| [a[0] + b[0], a[1] + b[1]]);
                let means = [red_blue >> 16, green, red_blue & 0xffff].map(|sum| (sum + SAMPLES / 2) / SAMPLES);
                pixel.copy_from_slice(&means.map(|mean| u8::try_from(mean).unwrap_or(u8::MAX)));
            }
        }
    }

    /// Rows of the band whose centre lies between two y of the picture. Of two adjacent ranges exactly one has each row.
    pub(super) fn rows_between(&self, low: f64, high: f64) -> Range<usize> {
        centres_between(self.height, low - self.top, high - self.top)
    }

    /// Columns whose centre lies between two x of the picture. Of two adjacent ranges exactly one has each column.
    pub(super) fn columns_between(&self, low: f64, high: f64) -> Range<usize> {
        centres_between(self.width, low, high)
    }

    /// Indices of the samples of some columns of a row.
    pub(super) fn sample_range(&self, row: usize, columns: &Range<usize>) -> Range<usize> {
        row * self.width + columns.start..row * self.width + columns.end
    }
}

/// Of `count` samples in a row, those whose centre lies between two positions.
fn centres_between(count: usize, low: f64, high: f64) -> Range<usize> {
    round_half_even(count, low)..round_half_even(count, high)
}

/// The nearest whole number from 0 to `count`; halves go to the even one.
fn round_half_even(count: usize, position: f64) -> usize {
    // At this magnitude doubles have no fraction bits, so that the last bits are the rounded number. This runs twice for
    // each row of each triangle, and a rounding cast takes several times as long.
    const WHOLE: f64 = 6_755_399_441_055_744.0;
    let position = if position > 0.0 { position } else { 0.0 };
    let position = if position < count as f64 { position } else { count as f64 };
    #[expect(clippy::cast_possible_truncation, reason = "the lower half holds all bits of a number up to the count")]
    let whole = (position + WHOLE).to_bits() as u32;
    whole as usize
}

/// Converts to the single precision in which depths are stored.
pub(super) fn to_single(value: f64) -> f32 {
    #[expect(clippy::cast_possible_truncation, reason = "depths are stored in single precision")]
    let single = value as f32;
    single
}
