//! 3MF bytes are read back by a reader library; `tests/outside` reads them with the standard's reference library.

mod common;

use std::io::Cursor;

use gripwright_export::{ThreeMfError, ThreeMfHeader, ThreeMfPart, three_mf};
use gripwright_solid::Mesh;
use threemf2::package::ThreemfPackage;

const HEADER: ThreeMfHeader<'_> =
    ThreeMfHeader { title: "Tags", description: "a test", application: "tests of the export crate" };

#[test]
fn parts_come_back_with_names_numbers_and_corners() {
    let cube = common::cuboid_mesh([1.0, 2.0, 1.0 / 3.0]);
    let parts = [("Coupon A+0.0", "A+0.0"), ("Coupon A-0.125", "A-0.125")].map(|(name, part_number)| ThreeMfPart {
        name,
        part_number,
        mesh: &cube,
    });
    let bytes = three_mf(&parts, &HEADER).unwrap();
    let package = ThreemfPackage::from_reader_with_memory_optimized_deserializer(Cursor::new(&bytes), true).unwrap();
    let model = &package.root;
    assert_eq!(model.unit, Some(threemf2::model::builder::Unit::Millimeter));
    assert_eq!(model.build.item.len(), 2);
    for (object, part) in model.resources.object.iter().zip(&parts) {
        assert_eq!(object.name.as_ref().map(ToString::to_string).as_deref(), Some(part.name));
        assert_eq!(object.partnumber.as_ref().map(ToString::to_string).as_deref(), Some(part.part_number));
    }
    let titles: Vec<String> = model.metadata.iter().map(|m| m.name.to_string()).collect();
    assert_eq!(titles, ["Title", "Description", "Application"]);
}

#[test]
fn the_same_parts_give_the_same_bytes() {
    let cube = common::cuboid_mesh([1.0; 3]);
    let parts = [ThreeMfPart { name: "Cube", part_number: "1", mesh: &cube }];
    let first = three_mf(&parts, &HEADER).unwrap();
    assert_eq!(three_mf(&parts, &HEADER).unwrap(), first);
    // A package is a ZIP archive (ISO/IEC 29500-2): local file header first, its date 1980-01-01 (day 1, month 1).
    assert!(first.starts_with(b"PK\x03\x04"));
    assert_eq!(first[10..14], [0, 0, 0x21, 0]);
}

#[test]
fn invalid_input_is_reported() {
    let spoiled = |spoil: fn(&mut Mesh)| {
        let mut mesh = common::cuboid_mesh([1.0; 3]);
        spoil(&mut mesh);
        three_mf(&[ThreeMfPart { name: "Cube", part_number: "1", mesh: &mesh }], &HEADER).unwrap_err()
    };
    assert_eq!(three_mf(&[], &HEADER), Err(ThreeMfError::NoTriangles));
    assert_eq!(spoiled(|m| m.triangles.clear()), ThreeMfError::NoTriangles);
    assert_eq!(spoiled(|m| m.vertices[2][0] = f64::NAN), ThreeMfError::OffTheBed { part: 0, vertex: 2 });
    assert_eq!(spoiled(|m| m.vertices[3][2] = -0.1), ThreeMfError::OffTheBed { part: 0, vertex: 3 });
    assert_eq!(spoiled(|m| m.vertices[2][0] = 1e39), ThreeMfError::OffTheBed { part: 0, vertex: 2 });
    assert_eq!(spoiled(|m| m.triangles[5][1] = 8), ThreeMfError::NoSuchVertex { part: 0, triangle: 5, vertex: 8 });
    assert_eq!(
        spoiled(|m| m.vertices[0] = [1.0 + 1e-7, 0.0, 0.0]),
        ThreeMfError::Merged { part: 0, first: 0, second: 1 }
    );
}
