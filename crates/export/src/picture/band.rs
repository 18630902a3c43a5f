//! A strip of the picture: hides what lies behind, at several samples per pixel.

use super::{
    SAMPLES,
    scene::{Scene, Stretch, Triangle, to_bytes},
    vector::{Vector, minus, plus, times},
};

/// Plain light ground, a little warm.
const BACKGROUND: [u8; 3] = [248, 247, 244];
/// Half the width of a line, in samples.
const LINE_REACH: f64 = 1.7;
/// Distance between the discs that make up a line, in samples: close enough that its sides look straight.
const DISC_STEP: f64 = 1.4;
/// How far (in samples) a line is moved towards the viewer, so that the faces that it bounds do not swallow half of it.
const LINE_LIFT: f64 = 5.0;

/// Depths and colours of a strip of samples.
pub(super) struct Band {
    width: usize,
    height: usize,
    top: f64,
    depths: Vec<f64>,
    colours: Vec<[u8; 3]>,
}

impl Band {
    /// A strip of `rows` rows of pixels.
    pub(super) fn new(width_px: u32, rows: u32) -> Self {
        let [width, height] = [width_px, rows].map(|side| (side * SAMPLES) as usize);
        let size = width * height;
        Self { width, height, top: 0.0, depths: vec![0.0; size], colours: vec![BACKGROUND; size] }
    }

    /// Draws the part of the scene that falls on the strip whose uppermost row of pixels is `first_row`.
    pub(super) fn draw(&mut self, scene: &Scene, first_row: u32) {
        self.top = f64::from(first_row * SAMPLES);
        self.depths.fill(f64::NEG_INFINITY);
        self.colours.fill(BACKGROUND);
        for triangle in &scene.triangles {
            self.triangle(triangle);
        }
        for line in &scene.lines {
            self.line(line);
        }
    }

    /// Appends the first `rows` rows of pixels, each the mean of its samples.
    pub(super) fn push_pixels(&self, rows: u32, pixels: &mut Vec<u8>) {
        let samples = SAMPLES as usize;
        let share = SAMPLES * SAMPLES;
        for row in 0..rows as usize {
            for column in 0..self.width / samples {
                let mut sums = [share / 2; 3];
                for y in 0..samples {
                    let start = (row * samples + y) * self.width + column * samples;
                    for colour in &self.colours[start..start + samples] {
                        for (sum, &part) in sums.iter_mut().zip(colour) {
                            *sum += u32::from(part);
                        }
                    }
                }
                pixels.extend(sums.map(|sum| u8::try_from(sum / share).unwrap_or(u8::MAX)));
            }
        }
    }

    fn triangle(&mut self, triangle: &Triangle) {
        let [a, b, c] = triangle.corners.map(|corner| corner.at);
        let Some(rows) = self.rows(a[1].min(b[1]).min(c[1]), a[1].max(b[1]).max(c[1])) else { return };
        let Some(columns) = columns(self.width, a[0].min(b[0]).min(c[0]), a[0].max(b[0]).max(c[0])) else { return };
        // Twice the signed area of the triangle over its sides b–c and c–a; the third share follows.
        let whole = across(a, b, c);
        if whole == 0.0 {
            return;
        }
        // Each share, the depth and the brightness change by a fixed step from one sample to the next.
        let step = [(b[1] - c[1]) / whole, (c[1] - a[1]) / whole];
        let step = [step[0], step[1], -step[0] - step[1]];
        let mixed = |share: [f64; 3], of: [f64; 3]| share[0] * of[0] + share[1] * of[1] + share[2] * of[2];
        let depth_at = [a[2], b[2], c[2]];
        let light_at = triangle.corners.map(|corner| corner.brightness);
        let (depth_step, light_step) = (mixed(step, depth_at), mixed(step, light_at));
        for row in rows {
            let start = [columns.start as f64 + 0.5, self.top + row as f64 + 0.5, 0.0];
            let (first, second) = (across(start, b, c) / whole, across(a, start, c) / whole);
            let shares = [first, second, 1.0 - first - second];
            let (depth, light) = (mixed(shares, depth_at), mixed(shares, light_at));
            for offset in inside(shares, step, columns.len()) {
                let index = row * self.width + columns.start + offset;
                let depth = depth + offset as f64 * depth_step;
                if depth > self.depths[index] {
                    self.depths[index] = depth;
                    self.colours[index] = to_bytes(times(triangle.tint, light + offset as f64 * light_step));
                }
            }
        }
    }

    /// Draws a line as a row of overlapping discs.
    fn line(&mut self, line: &Stretch) {
        let [from, to] = line.ends;
        if self.rows(from[1].min(to[1]) - LINE_REACH, from[1].max(to[1]) + LINE_REACH).is_none() {
            return;
        }
        let along = minus(to, from);
        let steps = (along[0].hypot(along[1]) / DISC_STEP).ceil().max(1.0);
        // Only the discs that reach into the strip: a long upright line crosses many strips.
        let reach = [self.top - LINE_REACH - 1.0, self.top + self.height as f64 + LINE_REACH + 1.0];
        let [mut step, last] = match reach.map(|y| (y - from[1]) / along[1] * steps) {
            [a, b] if a.is_finite() && b.is_finite() => [a.min(b).floor().max(0.0), a.max(b).ceil().min(steps)],
            _ => [0.0, steps],
        };
        while step <= last {
            self.disc(plus(from, times(along, step / steps)), line.colour);
            step += 1.0;
        }
    }

    fn disc(&mut self, centre: Vector, colour: [u8; 3]) {
        let Some(rows) = self.rows(centre[1] - LINE_REACH, centre[1] + LINE_REACH) else { return };
        let Some(columns) = columns(self.width, centre[0] - LINE_REACH, centre[0] + LINE_REACH) else { return };
        for row in rows {
            let dy = self.top + row as f64 + 0.5 - centre[1];
            for column in columns.clone() {
                let dx = column as f64 + 0.5 - centre[0];
                let index = row * self.width + column;
                if dx * dx + dy * dy <= LINE_REACH * LINE_REACH && centre[2] + LINE_LIFT > self.depths[index] {
                    self.colours[index] = colour;
                }
            }
        }
    }

    /// Rows of the strip between two heights of the picture; `None` when there are none.
    fn rows(&self, low: f64, high: f64) -> Option<std::ops::Range<usize>> {
        columns(self.height, low - self.top, high - self.top)
    }
}

/// Whole samples between two places, of `count` samples in all; `None` when there are none.
fn columns(count: usize, low: f64, high: f64) -> Option<std::ops::Range<usize>> {
    if high < 0.0 || low >= count as f64 {
        return None;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 0 and the count of samples"
    )]
    let [first, last] = [low.floor(), high.ceil()].map(|edge| edge.clamp(0.0, count as f64) as usize);
    Some(first..last)
}

/// The samples of a row that lie in a triangle, by the shares at the first and their steps: where none is negative.
fn inside(shares: [f64; 3], steps: [f64; 3], count: usize) -> std::ops::Range<usize> {
    let mut low = 0.0_f64;
    let mut high = count as f64 - 1.0;
    for (share, step) in shares.into_iter().zip(steps) {
        if step > 0.0 {
            low = low.max(-share / step);
        } else if step < 0.0 {
            high = high.min(-share / step);
        } else if share < 0.0 {
            return 0..0;
        }
    }
    if low > high {
        return 0..0;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 0 and the count of samples")]
    let range = low.ceil() as usize..high.floor() as usize + 1;
    range
}

/// Twice the signed area of a triangle on the picture.
fn across(a: Vector, b: Vector, c: Vector) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}
