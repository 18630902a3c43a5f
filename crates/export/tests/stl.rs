//! STL bytes are compared with the published format and read back by the crate that writes them; `tests/outside` reads them
//! with independent readers.

mod common;

use std::io::Cursor;

use common::Level;
use gripwright_export::{StlError, stl};
use gripwright_solid::Mesh;

/// Layout from the Kaitai format description of STL: 80 bytes, a count, 50 bytes for each triangle.
#[test]
fn a_cube_takes_684_bytes() {
    let bytes = stl(&[&common::cuboid_mesh([1.0, 1.0, 1.0])]).unwrap();
    assert_eq!(bytes.len(), 684);
    assert_eq!(bytes[80..84], 12_u32.to_le_bytes());
    assert!(!bytes.starts_with(b"solid"));
    assert!(bytes[84..].chunks(50).all(|triangle| triangle[48..] == [0, 0]));
}

#[test]
fn normals_are_unit_and_agree_with_the_winding() {
    let levels = [Level { z: 0.0, inner: 5.0, outer: 7.0 }, Level { z: 4.0, inner: 5.1, outer: 6.9 }];
    let bytes = stl(&[&common::sector_mesh(&levels, 4.0, 40)]).unwrap();
    let read = stl_io::read_stl(&mut Cursor::new(&bytes)).unwrap();
    assert!(read.validate().is_ok(), "the surface is closed");
    for face in &read.faces {
        let [a, b, c] = face.vertices.map(|i| read.vertices[i].0.map(f64::from));
        let [u, v] = [b, c].map(|p| [p[0] - a[0], p[1] - a[1], p[2] - a[2]]);
        let n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
        let length = n.iter().map(|c| c * c).sum::<f64>().sqrt();
        for (axis, component) in n.iter().enumerate() {
            assert!((f64::from(face.normal[axis]) - component / length).abs() < 1e-6);
        }
    }
}

#[test]
fn meshes_follow_each_other() {
    let [small, large] = [1.0, 2.0].map(|size| common::cuboid_mesh([size; 3]));
    let bytes = stl(&[&small, &large]).unwrap();
    assert_eq!(bytes.len(), 84 + 50 * 24);
    assert_eq!(bytes[84..684], stl(&[&small]).unwrap()[84..]);
    assert_eq!(bytes[684..], stl(&[&large]).unwrap()[84..]);
}

#[test]
fn invalid_input_is_reported() {
    let spoiled = |spoil: fn(&mut Mesh)| {
        let mut mesh = common::cuboid_mesh([1.0; 3]);
        spoil(&mut mesh);
        stl(&[&mesh]).unwrap_err()
    };
    assert_eq!(stl(&[]), Err(StlError::NoTriangles));
    assert_eq!(spoiled(|m| m.vertices[2][0] = f64::NAN), StlError::NotFinite { mesh: 0, vertex: 2 });
    assert_eq!(spoiled(|m| m.vertices[2][0] = 1e39), StlError::NotFinite { mesh: 0, vertex: 2 });
    assert_eq!(spoiled(|m| m.triangles[5][1] = 8), StlError::NoSuchVertex { mesh: 0, triangle: 5, vertex: 8 });
    // 1e-9 mm is far below the spacing of single-precision numbers near 1.
    assert_eq!(spoiled(|m| m.vertices[0] = [1.0 + 1e-9, 0.0, 0.0]), StlError::Merged { mesh: 0, first: 0, second: 1 });
    assert_eq!(spoiled(|m| m.triangles[3] = [0, 1, 1]), StlError::Degenerate { mesh: 0, triangle: 3 });
}
