//! Line along which a block is cut by knife.

use super::layout::MouldLayout;

/// Half waves on each side of a block are about this long, mm: common practice, no source.
const HALF_WAVE_MM: f64 = 12.0;

/// Closed line on the four sides of a block, in the coordinates of its layout: corners of a zigzag by `wave_mm` up and down
/// about `height_mm`, which keys the two parts. The corners of the block lie at the height itself, and at the first corner
/// the line starts upward.
pub fn cut_line(layout: &MouldLayout, height_mm: f64, wave_mm: f64) -> Vec<[f64; 3]> {
    let [x, y] = layout.inner_mm.map(|s| 0.5 * s);
    let corners = [[-x, -y], [x, -y], [x, y], [-x, y]];
    let mut line = Vec::new();
    for (i, from) in corners.iter().enumerate() {
        let to = corners[(i + 1) % 4];
        let length = (to[0] - from[0]).abs() + (to[1] - from[1]).abs();
        // An even number of half waves, so that every side ends as it began.
        let halves = 2.0 * (length / (2.0 * HALF_WAVE_MM)).round().max(1.0);
        line.push([from[0], from[1], height_mm]);
        let mut k = 0.0;
        let mut up = 1.0;
        while k < halves {
            let share = (k + 0.5) / halves;
            let at = [0, 1].map(|axis| from[axis] + share * (to[axis] - from[axis]));
            line.push([at[0], at[1], height_mm + up * wave_mm]);
            up = -up;
            k += 1.0;
        }
    }
    line
}
