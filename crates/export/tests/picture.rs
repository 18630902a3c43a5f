//! Decoded pictures show parts where the projection puts them.

mod common;

use std::io::Cursor;

use gripwright_export::{PictureError, ShadedPart, View, picture};
use gripwright_solid::{Brep, Mesh, Point3};

const TINT: [u8; 3] = [214, 178, 132];

fn view(direction: Point3, up: Point3) -> View {
    View { width_px: 120, height_px: 80, direction, up }
}

fn decode(bytes: &[u8]) -> (u32, u32, Vec<u8>) {
    let mut reader = png::Decoder::new(Cursor::new(bytes)).read_info().expect("a PNG");
    let mut pixels = vec![0; reader.output_buffer_size().expect("a small picture")];
    let info = reader.next_frame(&mut pixels).expect("a frame");
    (info.width, info.height, pixels)
}

fn draw_box(size: Point3, view: &View) -> Result<Vec<u8>, PictureError> {
    let (brep, mesh) = (common::cuboid(size), common::cuboid_mesh(size));
    picture(&[ShadedPart { mesh: &mesh, brep: &brep, tint: TINT }], view)
}

fn pixel(pixels: &[u8], x: usize, y: usize) -> [u8; 3] {
    let start = 3 * (y * 120 + x);
    [pixels[start], pixels[start + 1], pixels[start + 2]]
}

#[test]
fn a_box_from_above_fills_its_rectangle_and_no_more() {
    // 2 : 1 within 120 × 80 less the margin of 5 %: 108 × 54 pixels, centred.
    let bytes = draw_box([20.0, 10.0, 3.0], &view([0.0, 0.0, -1.0], [0.0, 1.0, 0.0])).expect("a picture");
    let (width, height, pixels) = decode(&bytes);
    assert_eq!((width, height), (120, 80));
    let background = pixel(&pixels, 0, 0);
    let top = pixel(&pixels, 60, 40);
    assert!(top.iter().zip(TINT).all(|(&seen, tint)| seen <= tint && seen > tint / 2), "{top:?}");
    for (x, y, is_background) in [(4, 40, true), (9, 40, false), (110, 40, false), (115, 40, true)] {
        assert_eq!(pixel(&pixels, x, y) == background, is_background, "at {x}, {y}");
    }
    for (x, y, is_background) in [(60, 11, true), (60, 16, false), (60, 63, false), (60, 68, true)] {
        assert_eq!(pixel(&pixels, x, y) == background, is_background, "at {x}, {y}");
    }
    // The edge of the face has a line, darker than the face.
    assert!(pixel(&pixels, 6, 40)[0] < top[0]);
}

#[test]
fn nearer_parts_hide_farther_parts() {
    let (brep, mut near) = (Brep::default(), common::cuboid_mesh([10.0; 3]));
    let far = near.clone();
    for vertex in &mut near.vertices {
        vertex[2] += 20.0;
    }
    let red = ShadedPart { mesh: &near, brep: &brep, tint: [200, 0, 0] };
    let blue = ShadedPart { mesh: &far, brep: &brep, tint: [0, 0, 200] };
    for parts in [[red, blue], [blue, red]] {
        let bytes = picture(&parts, &view([0.0, 0.0, -1.0], [0.0, 1.0, 0.0])).expect("a picture");
        let [red, _, blue] = pixel(&decode(&bytes).2, 60, 40);
        assert!(red > 0 && blue == 0);
    }
}

#[test]
fn the_same_parts_give_the_same_bytes() {
    let view = view([-0.5, 0.8, -0.6], [0.0, 0.0, 1.0]);
    assert_eq!(draw_box([8.0, 3.0, 12.0], &view), draw_box([8.0, 3.0, 12.0], &view));
}

#[test]
fn invalid_input_is_reported() {
    let good = view([0.0, 0.0, -1.0], [0.0, 1.0, 0.0]);
    let size = [1.0; 3];
    assert_eq!(picture(&[], &good), Err(PictureError::NoTriangles));
    assert_eq!(draw_box(size, &View { width_px: 0, ..good }), Err(PictureError::Size { width_px: 0, height_px: 80 }));
    assert_eq!(draw_box(size, &View { up: [0.0, 0.0, 2.0], ..good }), Err(PictureError::ViewDirection));
    assert_eq!(draw_box([f64::NAN, 1.0, 1.0], &good), Err(PictureError::NotFinite { part: 0 }));
    let (brep, mut mesh): (Brep, Mesh) = (common::cuboid(size), common::cuboid_mesh(size));
    mesh.triangles[0][0] = 8;
    let part = ShadedPart { mesh: &mesh, brep: &brep, tint: TINT };
    assert_eq!(picture(&[part], &good), Err(PictureError::DanglingIndex { part: 0 }));
}
