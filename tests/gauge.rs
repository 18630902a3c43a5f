//! The gauge of the body against the bodies of the demos and of every shape, as it is drawn and as it is made.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::{collections::BTreeMap, fs, path::Path};

use gripwright::{Project, solids::Outputs};
use gripwright_section::{Outline, Point, Role};

/// Greatest deviation of the edge from its clearance, mm.
const TOLERANCE_MM: f64 = 0.01;
/// Shapes of which no demo has a body, and the side to which the mouth opens.
const SHAPES: [(&str, &str); 3] = [
    ("{ shape = \"ellipse\", width = 26.0, height = 18.0 }", "down"),
    ("{ shape = \"flatted-circle\", diameter = 24.0, across = 21.0, corner = 1.5 }", "left"),
    (
        "{ shape = \"calliper\", radii = [[0, 12.00], [20, 11.88], [40, 11.59], [60, 11.25], [80, 11.03], [100, 11.03], \
         [120, 11.25], [140, 11.59], [160, 11.88], [180, 12.00], [200, 11.88], [220, 11.59], [240, 11.25], [260, 11.03], \
         [280, 11.03], [300, 11.25], [320, 11.59], [340, 11.88]] }",
        "down",
    ),
];

fn folder() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-specs")
}

/// Drawings and scans of the demos, by the names that the specs use.
fn drawings() -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder().join("drawings")).unwrap().map(Result::unwrap);
    entries.map(|e| (format!("drawings/{}", e.file_name().to_string_lossy()), fs::read(e.path()).unwrap())).collect()
}

/// Specs of all demos, and of one demo with the other shapes.
fn specs() -> Vec<(String, String)> {
    let mut specs: Vec<(String, String)> = Vec::new();
    for entry in fs::read_dir(folder()).unwrap().map(Result::unwrap) {
        if entry.path().extension().is_some_and(|end| end == "toml") {
            specs.push((entry.file_name().to_string_lossy().into_owned(), fs::read_to_string(entry.path()).unwrap()));
        }
    }
    let arm = fs::read_to_string(folder().join("dispensing-arm.toml")).unwrap();
    let arm = arm.replace("load_path = \"limit\"", "load_path = \"report\"").replace("70 N", "140 N");
    let arm = arm.replace("offset = 26.0", "offset = 32.0");
    let profile = arm.lines().find(|line| line.starts_with("profile =")).unwrap();
    for (shape, side) in SHAPES {
        let other = arm.replace(profile, &format!("profile = {shape}"));
        specs.push((shape.to_owned(), other.replace("opens = \"down\"", &format!("opens = \"{side}\""))));
    }
    specs
}

/// Points of the edge along the body.
fn edge(outline: &Outline) -> Vec<Point> {
    let seats = outline.segments().iter().filter(|s| s.role == Role::Seat);
    seats.flat_map(|s| (0..=40).map(|place| s.curve.at(f64::from(place) / 40.0))).collect()
}

#[test]
fn the_gauge_fits_every_body_and_slips_on_without_bending() {
    let files = drawings();
    let specs = specs();
    assert!(specs.len() >= 13, "{}", specs.len());
    for (name, text) in specs {
        let project = Project::read(text.as_bytes(), &name, &files).unwrap_or_else(|e| panic!("{name}: {e}"));
        let design = project.design().unwrap_or_else(|e| panic!("{name}: {e}"));
        let body = &design.design().mount.mount.body;
        let gauge = design.design().coupons.gauge.as_ref().unwrap();
        assert!(
            gauge.clearance_mm >= 0.2 && gauge.clearance_mm >= design.design().mount.mount.gap_mm - 0.005,
            "{name}"
        );
        let off = |p: Point| body.nearest(p).distance_mm - gauge.clearance_mm;
        let drawn = edge(&gauge.outline).into_iter().map(|p| off(p).abs()).fold(0.0, f64::max);
        assert!(drawn < TOLERANCE_MM, "{name}: the edge is off by {drawn} mm");

        // As made, in simulation: on its way over the body, no corner comes nearer than the clearance.
        let parts = design.parts(Outputs::CouponsOnly).unwrap_or_else(|e| panic!("{name}: {e}"));
        let made = parts.gauge.as_ref().unwrap();
        assert_eq!(parts.iter().filter(|part| part.solid.name().starts_with("Gauge BODY+")).count(), 1, "{name}");
        let corners: Vec<Point> = made.mesh.vertices.iter().map(|v| Point::new(v[0], v[1])).collect();
        let mut nearest = f64::INFINITY;
        for step in 0..80 {
            let away = Point::new(0.0, 0.5 * f64::from(step));
            let least = corners.iter().map(|p| off(*p - away)).fold(f64::INFINITY, f64::min);
            assert!(least > -TOLERANCE_MM, "{name}: {least} mm nearer than the clearance, {} mm away", away.y);
            if step == 0 {
                nearest = least;
            }
        }
        assert!(nearest < TOLERANCE_MM, "{name}: made {nearest} mm too wide");
    }
}
