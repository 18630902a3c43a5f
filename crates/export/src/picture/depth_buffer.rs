//! A strip of the picture: hides what lies behind, at several samples per pixel.

use super::{SAMPLES, palette::packed};

/// Plain light ground, a little warm.
const BACKGROUND: [u8; 3] = [248, 247, 244];

/// Depths and colours of a strip of samples. Single precision tells depths apart to a thousandth of a sample.
pub(super) struct Band {
    pub(super) width: usize,
    height: usize,
    /// First row of samples in the picture.
    pub(super) top: f64,
    pub(super) depths: Vec<f32>,
    pub(super) colours: Vec<u32>,
    /// Colours summed over the rows of a pixel, for each column of samples: red and blue, green.
    sums: Vec<[u32; 2]>,
}

impl Band {
    /// A strip of `rows` rows of pixels.
    pub(super) fn new(width_px: u32, rows: u32) -> Self {
        let [width, height] = [width_px, rows].map(|side| (side * SAMPLES) as usize);
        let size = width * height;
        Self { width, height, top: 0.0, depths: vec![0.0; size], colours: vec![0; size], sums: vec![[0; 2]; width] }
    }

    /// Wipes the strip clean and moves it to where `first_row` is its uppermost row of pixels.
    pub(super) fn start(&mut self, first_row: u32) {
        self.top = f64::from(first_row * SAMPLES);
        self.depths.fill(f32::NEG_INFINITY);
        self.colours.fill(packed(BACKGROUND));
    }

    /// Writes rows of pixels from the uppermost, each the mean of its samples.
    pub(super) fn read(&mut self, pixels: &mut [u8]) {
        const SIDE: usize = SAMPLES as usize;
        const SHARE: u32 = SAMPLES * SAMPLES;
        let Self { width, colours, sums, .. } = self;
        let rows = pixels.chunks_exact_mut(3 * (*width / SIDE));
        for (row, samples) in rows.zip(colours.chunks_exact(SIDE * *width)) {
            sums.fill([0; 2]);
            for line in samples.chunks_exact(*width) {
                // Two colours share a word: nine bytes stay far below its half.
                for (sum, colour) in sums.iter_mut().zip(line) {
                    sum[0] += colour & 0x00ff_00ff;
                    sum[1] += (colour >> 8) & 0xff;
                }
            }
            for (pixel, sums) in row.chunks_exact_mut(3).zip(sums.chunks_exact(SIDE)) {
                let [red_blue, green] = sums.iter().fold([0; 2], |a, b| [a[0] + b[0], a[1] + b[1]]);
                let means = [red_blue >> 16, green, red_blue & 0xffff].map(|sum| (sum + SHARE / 2) / SHARE);
                pixel.copy_from_slice(&means.map(|mean| u8::try_from(mean).unwrap_or(u8::MAX)));
            }
        }
    }

    /// Rows of the strip whose middle lies between two heights of the picture. Of two that meet, one has each row.
    pub(super) fn rows(&self, low: f64, high: f64) -> std::ops::Range<usize> {
        middles(self.height, low - self.top, high - self.top)
    }
}

/// Samples whose middle lies between two places, of `count` samples in all. Of two stretches that meet, one has each.
pub(super) fn middles(count: usize, low: f64, high: f64) -> std::ops::Range<usize> {
    nearest(count, low)..nearest(count, high)
}

/// The whole number that is nearest, from 0 to `count`: the even one of two.
fn nearest(count: usize, place: f64) -> usize {
    // So large that doubles have no places after the point; the last bits are then the rounded number. It is done twice
    // for each row of each triangle, and a cast takes several times as long.
    const WHOLE: f64 = 6_755_399_441_055_744.0;
    let place = if place > 0.0 { place } else { 0.0 };
    let place = if place < count as f64 { place } else { count as f64 };
    #[expect(clippy::cast_possible_truncation, reason = "the lower half holds all of a number up to the count")]
    let whole = (place + WHOLE).to_bits() as u32;
    whole as usize
}

/// A depth as it is kept.
pub(super) fn single(value: f64) -> f32 {
    #[expect(clippy::cast_possible_truncation, reason = "depths are kept in single precision")]
    let single = value as f32;
    single
}
