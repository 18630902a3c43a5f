//! Measured, drawn and scanned bodies, from the files beside the spec to the document.

use std::{fmt::Write as _, fs};

use serde_json::Value;

use crate::program::{WorkFolder, demo, root};

/// A folder with the magnifier's arm, another profile in its spec, and its drawings.
fn folder_with_profile(profile: &str) -> WorkFolder {
    let work = WorkFolder::new();
    for name in ["magnifier-arm.dxf", "magnifier-arm.svg"] {
        work.write(name, fs::read(root().join("demo-specs/drawings").join(name)).unwrap());
    }
    let text = fs::read_to_string(demo("magnifier-arm")).unwrap();
    let lines = text.lines().filter(|l| !l.starts_with("spread"));
    let lines: Vec<String> =
        lines.map(|l| if l.starts_with("profile") { format!("profile = {profile}") } else { l.to_owned() }).collect();
    work.write("spec.toml", lines.join("\n"));
    work
}

fn document(work: &WorkFolder) -> Value {
    let run = work.run(&["check", "spec.toml", "--json"]);
    serde_json::from_str(&run.out).unwrap_or_else(|e| panic!("{e}: {}{}", run.out, run.err))
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

/// Area of the drawing, computed by hand from `demo-specs/drawings/draw.py`: two circular parts and two flanks.
fn area_mm2() -> f64 {
    let side = (5.0_f64 / 12.0).atan();
    let large = 169.0 * (0.5 * std::f64::consts::PI + side);
    let small = 64.0 * (0.5 * std::f64::consts::PI - side);
    // Each flank with the radii to its ends is a trapezium of length 12 mm with sides of 13 mm and 8 mm.
    large + small + 2.0 * 0.5 * (13.0 + 8.0) * 12.0
}

#[test]
fn both_drawings_of_the_demo_give_its_section() {
    for file in ["magnifier-arm.dxf", "magnifier-arm.svg"] {
        let found =
            document(&folder_with_profile(&format!("{{ shape = \"traced\", file = \"{file}\", unit = \"mm\" }}")));
        let body = &found["body"];
        assert!((number(body, "width_mm") - 26.0).abs() < 0.01 && (number(body, "height_mm") - 34.0).abs() < 0.01);
        assert!((number(body, "area_mm2") / area_mm2() - 1.0).abs() < 1e-3, "{file}: {}", body["area_mm2"]);
        assert!(number(body, "largest_error_mm") < 0.011, "{file}");
        let notes = found["notes"].to_string();
        assert!(notes.contains(file), "{notes}");
    }
}

#[test]
fn mirrored_openings_give_the_same_wall() {
    let wall_mm = |opens: &str| {
        let work = folder_with_profile("{ shape = \"traced\", file = \"magnifier-arm.dxf\", unit = \"mm\" }");
        let text = fs::read_to_string(work.path("spec.toml")).unwrap();
        work.write("spec.toml", text.replace("opens = \"down\"", &format!("opens = \"{opens}\"")));
        number(&document(&work)["mount"], "wall_mm")
    };
    assert!((wall_mm("left") - wall_mm("right")).abs() < 0.11);
}

#[test]
fn calliper_readings_give_a_body_and_its_spread() {
    let mut rows = String::new();
    for k in 0..24 {
        let angle = f64::from(k) * std::f64::consts::TAU / 24.0;
        let radius = 13.0 * 12.0 / (13.0 * angle.sin()).hypot(12.0 * angle.cos());
        let _ = write!(rows, "[{}, {:.3}, {:.3}], ", 15 * k, radius - 0.02, radius + 0.02);
    }
    let found = document(&folder_with_profile(&format!("{{ shape = \"calliper\", radii = [{rows}] }}")));
    let body = &found["body"];
    assert!(
        (number(body, "width_mm") - 26.0).abs() < 0.06 && (number(body, "height_mm") - 24.0).abs() < 0.06,
        "{body}"
    );
    // Two readings 0.04 mm apart have the standard deviation 0.04/√2.
    assert!((number(body, "spread_mm") - 0.04 / 2.0_f64.sqrt()).abs() < 1e-3, "{body}");
}

#[test]
fn problems_of_a_file_point_at_its_key() {
    let reports = |profile: &str, code: &str, message: &str| {
        let work = folder_with_profile(profile);
        work.write("empty.dxf", "");
        work.write("large.svg", vec![b' '; 20_000_001]);
        work.write("open.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"><path d=\"M0 0H20V10\"/></svg>");
        let first = &document(&work)["diagnostics"][0];
        assert_eq!(first["code"], code, "{first}");
        assert!(first["message"].as_str().unwrap().contains(message), "{first}");
        let text = fs::read_to_string(work.path("spec.toml")).unwrap();
        let (line, written) = text.lines().enumerate().find(|(_, l)| l.starts_with("profile")).unwrap();
        assert_eq!(first["line"].as_u64(), Some(line as u64 + 1));
        let column = usize::try_from(first["column"].as_u64().unwrap()).unwrap();
        written[column - 1..].to_owned()
    };
    let traced = |file: &str, rest: &str| format!("{{ shape = \"traced\", file = \"{file}\", unit = \"mm\"{rest} }}");
    assert!(
        reports(&traced("absent.dxf", ""), "unreadable", "`absent.dxf` cannot be read").starts_with("\"absent.dxf\"")
    );
    assert!(reports(&traced("empty.dxf", ""), "bad-drawing", "it is empty").starts_with("\"empty.dxf\""));
    assert!(reports(&traced("large.svg", ""), "too-large", "too large").starts_with("\"large.svg\""));
    let place = "`open.svg`: the outline is open at (0, 0): the next end is 22.361 mm away";
    assert!(reports(&traced("open.svg", ""), "open-outline", place).starts_with("\"open.svg\""));
    let check = ", check = { from = [-13, -4], to = [13, -4], distance = \"26 in\" }";
    assert!(reports(&traced("magnifier-arm.dxf", check), "check-fails", "by 25.4").starts_with("\"26 in\""));
    let inches = traced("magnifier-arm.dxf", "").replace("unit = \"mm\"", "unit = \"in\"");
    assert!(reports(&inches, "wrong-unit", "too large by 25.4").starts_with("\"in\""));
    let slip = (0..12).map(|k| format!("[{}, {}]", 30 * k, if k == 4 { "9.0" } else { "13.0" }));
    let slip = format!("{{ shape = \"calliper\", radii = [{}] }}", slip.collect::<Vec<_>>().join(", "));
    assert!(reports(&slip, "stray-reading", "the reading at 120 deg").starts_with("[120, 9.0]"));
}
