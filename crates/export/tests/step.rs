//! STEP text is checked with a small parser of our own; `tests/outside` checks it with independent readers.

#![expect(clippy::unwrap_used, reason = "a test may stop at input that it did not make")]

mod common;

use std::collections::{BTreeMap, BTreeSet};

use gripwright_export::{StepError, StepHeader, StepPart, step};
use gripwright_solid::{Brep, EdgeUse};

/// One instance: keyword (empty for complex instances), references, strings as written, whole text.
struct Instance {
    keyword: String,
    references: Vec<u32>,
    strings: Vec<String>,
    body: String,
}

fn instances(text: &str) -> BTreeMap<u32, Instance> {
    let data = text.split("DATA;\n").nth(1).unwrap().split("ENDSEC;").next().unwrap();
    let mut found = BTreeMap::new();
    for line in data.lines() {
        let (id, body) = line.strip_prefix('#').unwrap().split_once('=').unwrap();
        let body = body.strip_suffix(';').unwrap().to_owned();
        let mut strings = Vec::new();
        let mut references = Vec::new();
        // Odd pieces between apostrophes are strings; a doubled apostrophe leaves an empty even piece behind.
        for (i, piece) in body.split('\'').enumerate() {
            if i % 2 == 1 {
                strings.push(piece.to_owned());
            } else {
                let numbers = piece.split('#').skip(1);
                references.extend(
                    numbers.map(|n| n.split(|c: char| !c.is_ascii_digit()).next().unwrap().parse::<u32>().unwrap()),
                );
            }
        }
        let keyword = body.split('(').next().unwrap().to_owned();
        let before = found.insert(id.parse().unwrap(), Instance { keyword, references, strings, body });
        assert!(before.is_none(), "instance {id} appears twice");
    }
    found
}

fn header() -> StepHeader {
    StepHeader {
        file_name: "shapes.step".into(),
        description: "hand-made shapes".into(),
        time_stamp: "2000-01-01T00:00:00".into(),
        originating_system: "gripwright test".into(),
    }
}

fn write(named: &[(&str, &Brep)]) -> Result<String, StepError> {
    let parts: Vec<_> = named.iter().map(|&(name, brep)| StepPart { name, brep }).collect();
    step(&parts, &header())
}

fn count(found: &BTreeMap<u32, Instance>, keyword: &str) -> usize {
    found.values().filter(|instance| instance.keyword == keyword).count()
}

fn shapes() -> [Brep; 4] {
    [common::cuboid([1.0, 2.0, 3.0]), common::tube(), common::drafted(), common::pocketed()]
}

#[test]
fn references_point_backwards_to_numbered_instances() {
    for brep in shapes() {
        let found = instances(&write(&[("part", &brep)]).unwrap());
        assert!(found.keys().copied().eq(1..=u32::try_from(found.len()).unwrap()));
        for (id, instance) in &found {
            assert!(instance.references.iter().all(|reference| reference < id), "{}", instance.body);
        }
    }
}

#[test]
fn every_vertex_edge_and_face_is_written_once() {
    for brep in shapes() {
        let found = instances(&write(&[("part", &brep)]).unwrap());
        let loops: usize = brep.faces.iter().map(|face| face.loops.len()).sum();
        assert_eq!(count(&found, "VERTEX_POINT"), brep.vertices.len());
        assert_eq!(count(&found, "EDGE_CURVE"), brep.edges.len());
        assert_eq!(count(&found, "ORIENTED_EDGE"), 2 * brep.edges.len());
        assert_eq!(count(&found, "ADVANCED_FACE"), brep.faces.len());
        assert_eq!(count(&found, "FACE_OUTER_BOUND"), brep.faces.len());
        assert_eq!(count(&found, "FACE_BOUND"), loops - brep.faces.len());
        assert_eq!(count(&found, "CLOSED_SHELL"), 1);
    }
}

#[test]
fn surfaces_are_those_of_the_faces() {
    let kinds = |brep: &Brep| {
        let found = instances(&write(&[("part", brep)]).unwrap());
        ["PLANE", "CYLINDRICAL_SURFACE", "CONICAL_SURFACE"].map(|keyword| count(&found, keyword))
    };
    assert_eq!(kinds(&common::pocketed()), [11, 0, 0]);
    assert_eq!(kinds(&common::tube()), [4, 2, 0]);
    assert_eq!(kinds(&common::drafted()), [4, 0, 4]);
}

#[test]
fn every_edge_is_used_once_in_each_direction() {
    let found = instances(&write(&[("part", &common::drafted())]).unwrap());
    let mut uses: BTreeMap<u32, Vec<bool>> = BTreeMap::new();
    for instance in found.values().filter(|instance| instance.keyword == "ORIENTED_EDGE") {
        uses.entry(instance.references[0]).or_default().push(instance.body.ends_with(".T.)"));
    }
    for directions in uses.values_mut() {
        directions.sort_unstable();
        assert_eq!(directions[..], [false, true]);
    }
}

#[test]
fn coordinates_read_back_bit_for_bit() {
    let brep = common::drafted();
    let text = write(&[("part", &brep)]).unwrap();
    let points: BTreeSet<_> = instances(&text)
        .values()
        .filter(|instance| instance.keyword == "CARTESIAN_POINT")
        .map(|instance| {
            let numbers = instance.body.split("('',(").nth(1).unwrap().trim_end_matches("))");
            numbers.split(',').map(|n| n.parse::<f64>().unwrap().to_bits()).collect::<Vec<_>>()
        })
        .collect();
    for vertex in &brep.vertices {
        assert!(points.contains(&vertex.map(|c| (c + 0.0).to_bits())[..]), "{vertex:?} is missing");
    }
}

#[test]
fn every_part_is_a_named_product_with_its_own_representation() {
    let [a, b, c, d] = shapes();
    let named = [("box", &a), ("tube Ø5", &b), ("it's \\ drafted", &c), ("pocketed", &d)];
    let found = instances(&write(&named).unwrap());
    let products = found.values().filter(|instance| instance.keyword == "PRODUCT");
    let names: Vec<_> = products.map(|instance| instance.strings[0].clone()).collect();
    // The apostrophe of the third name splits its string in two for this parser.
    assert_eq!(names, ["box", "tube \\X2\\00D8\\X0\\5", "it", "pocketed"]);
    for keyword in [
        "PRODUCT_DEFINITION_FORMATION",
        "PRODUCT_DEFINITION",
        "PRODUCT_DEFINITION_SHAPE",
        "SHAPE_DEFINITION_REPRESENTATION",
        "ADVANCED_BREP_SHAPE_REPRESENTATION",
        "MANIFOLD_SOLID_BREP",
    ] {
        assert_eq!(count(&found, keyword), 4, "{keyword}");
    }
    let categories: Vec<_> = found.values().filter(|i| i.keyword == "PRODUCT_RELATED_PRODUCT_CATEGORY").collect();
    assert_eq!(categories.len(), 1);
    assert_eq!(categories[0].references.len(), 4);
}

#[test]
fn units_are_millimetres_and_radians() {
    let text = write(&[("part", &common::tube())]).unwrap();
    assert!(text.contains("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))"));
    assert!(text.contains("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))"));
    assert!(text.contains("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())"));
    assert_eq!(text.matches("'distance_accuracy_value'").count(), 1);
}

#[test]
fn header_and_sections_are_in_order() {
    let text = write(&[("part", &common::tube())]).unwrap();
    assert!(text.is_ascii());
    let order = [
        "ISO-10303-21;\nHEADER;\n",
        "FILE_DESCRIPTION(('hand-made shapes'),'2;1');\n",
        "FILE_NAME('shapes.step','2000-01-01T00:00:00',(''),(''),'gripwright test','gripwright test','');\n",
        "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\n",
        "ENDSEC;\nDATA;\n",
        "ENDSEC;\nEND-ISO-10303-21;\n",
    ];
    let mut rest = text.as_str();
    for piece in order {
        let at = rest.find(piece).unwrap_or_else(|| panic!("{piece} is missing or out of order"));
        rest = &rest[at + piece.len()..];
    }
    assert!(rest.is_empty());
}

#[test]
fn directions_are_shared() {
    let found = instances(&write(&[("part", &common::cuboid([1.0, 2.0, 3.0]))]).unwrap());
    assert_eq!(count(&found, "DIRECTION"), 6);
}

#[test]
fn invalid_input_is_reported() {
    let good = common::tube();
    assert_eq!(write(&[]), Err(StepError::NoParts));
    assert_eq!(write(&[("a", &good), ("b", &good), ("a", &good)]), Err(StepError::DuplicateName("a".into())));

    let part = || "part".to_owned();
    let spoiled = |spoil: fn(&mut Brep)| {
        let mut brep = good.clone();
        spoil(&mut brep);
        write(&[("part", &brep)]).unwrap_err()
    };
    assert_eq!(spoiled(|b| b.vertices[1][2] = f64::NAN), StepError::NotFinite { part: part() });
    assert_eq!(spoiled(|b| b.edges[3].to = 99), StepError::NoSuchVertex { part: part(), edge: 3, vertex: 99 });
    assert_eq!(
        spoiled(|b| b.faces[2].loops[0][1] = EdgeUse { edge: 77, forward: true }),
        StepError::NoSuchEdge { part: part(), face: 2, edge: 77 }
    );
    assert_eq!(spoiled(|b| b.faces[2].loops.clear()), StepError::Empty { part: part() });
    assert_eq!(spoiled(|b| b.faces.clear()), StepError::Empty { part: part() });
}
