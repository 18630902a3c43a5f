//! Fast row-by-row drawing, compared with a plain evaluation of every sample.

use proptest::{prelude::*, test_runner::RngSeed};

use super::{
    band_index::BandIndex,
    depth_buffer::DepthBuffer,
    palette::Palette,
    screen_line::{DEPTH_LIFT, HALF_WIDTH, ScreenLine},
    screen_triangle::{ScreenCorner, ScreenTriangle},
    vector::{Vector, minus, plus, times},
};

const WIDTH_PX: u32 = 16;
const ROWS_PX: u32 = 8;
const FIRST_ROW_PX: u32 = 5;
/// Samples closer than this to an edge (samples) may be on either side of it.
const UNDECIDED: f64 = 1e-6;

fn empty_buffer() -> DepthBuffer {
    let mut buffer = DepthBuffer::new(WIDTH_PX, ROWS_PX);
    buffer.start_band(FIRST_ROW_PX);
    buffer
}

/// Every sample of a buffer: its position in the picture, its depth and its colour.
fn samples(buffer: &DepthBuffer) -> impl Iterator<Item = ([f64; 2], f32, u32)> {
    let place = |index: usize| [(index % buffer.width) as f64 + 0.5, buffer.top + (index / buffer.width) as f64 + 0.5];
    buffer.depths.iter().zip(&buffer.colours).enumerate().map(move |(i, (depth, colour))| (place(i), *depth, *colour))
}

fn any_point() -> impl Strategy<Value = Vector> {
    [-20.0..70.0f64, 0.0..55.0f64, -30.0..30.0f64]
}

/// Barycentric coordinates of a point in a triangle, and its distance (samples) inside the nearest side.
fn barycentric(corners: [Vector; 3], point: [f64; 2]) -> ([f64; 3], f64) {
    let [x, y] = point;
    let across = |a: [f64; 2], b: [f64; 2], c: [f64; 2]| (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    let [a, b, c] = corners.map(|corner| [corner[0], corner[1]]);
    let whole = across(a, b, c);
    let parts = [across([x, y], b, c), across(a, [x, y], c), across(a, b, [x, y])];
    let length = |a: [f64; 2], b: [f64; 2]| (a[0] - b[0]).hypot(a[1] - b[1]);
    let [one, two, three] = [length(b, c), length(c, a), length(a, b)];
    let inside = parts.map(|part| part * whole.signum());
    let depth = (inside[0] / one).min(inside[1] / two).min(inside[2] / three);
    (parts.map(|part| part / whole), depth)
}

proptest! {
    #![proptest_config(ProptestConfig { rng_seed: RngSeed::Fixed(3), failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn a_triangle_covers_the_samples_inside(at in [any_point(), any_point(), any_point()], shade in [0.0..2047.0f64, 0.0..2047.0f64, 0.0..2047.0f64]) {
        let palette = Palette::new([255, 255, 255]);
        let mut buffer = empty_buffer();
        let corners = [0, 1, 2].map(|i| ScreenCorner { at: at[i], shade: shade[i] });
        let whole = minus(at[1], at[0])[0] * minus(at[2], at[0])[1] - minus(at[1], at[0])[1] * minus(at[2], at[0])[0];
        prop_assume!(whole.abs() > 1.0);
        ScreenTriangle { corners, palette: 0 }.draw(&mut buffer, &palette);
        let ground = empty_buffer().colours[0];
        for (place, depth, colour) in samples(&buffer) {
            let (shares, inside) = barycentric(at, place);
            if inside.abs() < UNDECIDED {
                continue;
            }
            prop_assert_eq!(depth.is_finite(), inside > 0.0, "at {:?}", place);
            if inside > 0.0 {
                let mixed = |of: [f64; 3]| shares[0] * of[0] + shares[1] * of[1] + shares[2] * of[2];
                prop_assert!((f64::from(depth) - mixed(at.map(|corner| corner[2]))).abs() < 1e-2, "at {place:?}: {depth}");
                let brightness = mixed(shade) / 2047.0 * 255.0;
                prop_assert!((f64::from(colour & 0xff) - brightness).abs() < 1.0, "at {place:?}: {colour:x}");
            } else {
                prop_assert_eq!(colour, ground);
            }
        }
    }

    /// Two triangles that share a side leave no gap and cover no sample twice.
    #[test]
    fn neighbours_share_no_sample(a in any_point(), b in any_point(), c in any_point(), d in any_point(), whole in any::<bool>()) {
        // On whole and half samples, sides and corners go through the centres of samples.
        let [a, b, c, d] = [a, b, c, d].map(|at| if whole { at.map(|x| (2.0 * x).round() / 2.0) } else { at });
        let side = |p: Vector| (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
        prop_assume!(side(c) * side(d) < -1.0);
        let triangle = |corners: [Vector; 3]| ScreenTriangle { corners: corners.map(|at| ScreenCorner { at, shade: 2047.0 }), palette: 0 };
        let drawn = |triangle: &ScreenTriangle| {
            let mut buffer = empty_buffer();
            triangle.draw(&mut buffer, &Palette::new([9, 9, 9]));
            buffer.depths.iter().map(|depth| depth.is_finite()).collect::<Vec<bool>>()
        };
        let (left, right) = (drawn(&triangle([a, b, c])), drawn(&triangle([b, a, d])));
        let place = |index: usize| [(index % 48) as f64 + 0.5, f64::from(FIRST_ROW_PX * 3) + (index / 48) as f64 + 0.5];
        for (index, (left, right)) in left.into_iter().zip(right).enumerate() {
            let [x, y] = place(index);
            // Where a corner falls on the centre of a sample, rounding may give it to either or to both.
            let corner = [a, b].iter().any(|at| (at[0] - x).hypot(at[1] - y) < UNDECIDED);
            prop_assert!(corner || !(left && right), "drawn twice at {:?}", place(index));
            let ([.., beside], _) = barycentric([a, b, c], place(index));
            let (outer, _) = barycentric([b, a, d], place(index));
            // On the common side and between its ends, but on no other side.
            let (from_c, _) = barycentric([a, b, c], place(index));
            if beside.abs() < 1e-12 && from_c[0].min(from_c[1]) > 1e-9 && outer[0].min(outer[1]) > 1e-9 {
                prop_assert!(left || right, "gap at {:?}", place(index));
            }
        }
    }

    #[test]
    fn a_line_covers_the_samples_within_half_its_width(from in any_point(), to in any_point(), upright in 0..4) {
        let to = match upright {
            0 => [from[0], to[1], to[2]],
            1 => [to[0], from[1], to[2]],
            _ => to,
        };
        let mut buffer = empty_buffer();
        // Parts of the line with a negative depth are hidden.
        buffer.depths.fill(0.0);
        ScreenLine { ends: [from, to], colour: 1 }.draw(&mut buffer);
        let along = minus(to, from);
        for ([x, y], depth, colour) in samples(&buffer) {
            let beside = minus([x, y, 0.0], from);
            let t = (beside[0] * along[0] + beside[1] * along[1]) / (along[0] * along[0] + along[1] * along[1]);
            let nearest = plus(from, times(along, t.clamp(0.0, 1.0)));
            let distance = (x - nearest[0]).hypot(y - nearest[1]);
            let in_front = nearest[2] + DEPTH_LIFT - f64::from(depth);
            if (distance - HALF_WIDTH).abs() > 1e-4 && in_front.abs() > 1e-3 {
                prop_assert_eq!(colour == 1, distance < HALF_WIDTH && in_front > 0.0, "at {}, {}", x, y);
            }
        }
    }

    #[test]
    fn pixels_are_the_means_of_their_samples(colours in proptest::collection::vec(0..0x0100_0000_u32, 9 * 16 * 8)) {
        let mut buffer = empty_buffer();
        buffer.colours.copy_from_slice(&colours);
        let mut pixels = vec![0; 3 * 16 * 8];
        buffer.write_pixels(&mut pixels);
        for (index, byte) in pixels.iter().enumerate() {
            let (pixel, shift) = (index / 3, 16 - 8 * (index % 3));
            let (column, row) = (3 * (pixel % 16), 3 * (pixel / 16));
            let sum: u32 = (0..9).map(|n| (colours[(row + n / 3) * 48 + column + n % 3] >> shift) & 0xff).sum();
            prop_assert_eq!(u32::from(*byte), (sum + 4) / 9);
        }
    }

    #[test]
    fn a_band_lists_the_shapes_that_reach_into_it_in_order(heights in proptest::collection::vec([-30.0..130.0f64, -30.0..130.0f64], 0..40)) {
        let heights: Vec<[f64; 2]> = heights.into_iter().map(|[a, b]| [a.min(b), a.max(b)]).collect();
        let index = BandIndex::new(heights.iter().copied(), 4, 24.0);
        for band in 0..4_u32 {
            let (top, bottom) = (24.0 * f64::from(band), 24.0 * f64::from(band + 1));
            let listed: Vec<usize> = index.in_band(band as usize).collect();
            prop_assert!(listed.is_sorted());
            for (shape, [low, high]) in heights.iter().enumerate().filter(|(_, [low, high])| *low < bottom && *high > top) {
                prop_assert!(listed.contains(&shape), "{low} to {high} in band {band}");
            }
        }
    }
}
