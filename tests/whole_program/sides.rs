//! Mounts can open to every side of an asymmetric body.

use std::fs;

use serde_json::Value;

use crate::program::{WorkFolder, demo_without_mould, root};

/// Makes a demo with its mount opening to another side; returns its document.
fn make_opening(work: &WorkFolder, name: &str, files: &[&str], opens: &str) -> Value {
    fs::create_dir_all(work.path("drawings")).unwrap();
    for file in files {
        work.write(&format!("drawings/{file}"), fs::read(root().join("demo-specs/drawings").join(file)).unwrap());
    }
    // A mount that opens toward its clip cannot stand in a bed, so the mould is left out.
    let text = demo_without_mould(name).replace("opens = \"down\"", &format!("opens = \"{opens}\""));
    // To the side these bodies are wider and need more room.
    let text = text
        .replace("offset = 33.0", "offset = 44.0")
        .replace("load_path = \"limit\"", "load_path = \"report\"")
        .replace("offset = 30.0", "offset = 38.0")
        .replace("at_most = \"60 N\"", "at_most = \"90 N\"");
    work.write("spec.toml", text);
    let run = work.run(&["make", "spec.toml", "--json", "--out", opens]);
    assert_eq!(run.code, 0, "{name} {opens}: {}{}", run.out, run.err);
    serde_json::from_str(&run.out).unwrap()
}

#[test]
fn mounts_open_to_every_side() {
    // The demos themselves open downward.
    let demos: [(&str, &[&str], [&str; 2]); 2] = [
        ("magnifier-arm", &["magnifier-arm.dxf", "magnifier-arm.svg"], ["up", "left"]),
        ("hot-air-grip", &["hot-air-grip.stl"], ["up", "right"]),
    ];
    for (name, files, sides) in demos {
        let work = WorkFolder::new();
        for opens in sides {
            let found = make_opening(&work, name, files, opens);
            let number = |value: &Value| value.as_f64().unwrap();
            let (body, mount) = (&found["body"], &found["mount"]);
            // The mouth is measured across its direction, and is narrower than the body there.
            let across = if opens == "up" { "width_mm" } else { "height_mm" };
            let share = number(&mount["mouth_mm"]) / number(&body[across]);
            assert!(share > 0.5 && share < 1.0, "{name} {opens}: {share}");
            assert!(number(&mount["margin"]["ratio"]) >= 1.0, "{name} {opens}");
        }
    }
}
