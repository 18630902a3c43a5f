//! The command that prints the material library.

use std::fs;

use serde_json::Value;

use crate::program::{WorkFolder, root};

/// Widest line of a terminal.
const COLUMNS: usize = 80;

fn printed(arguments: &[&str]) -> String {
    let run = WorkFolder::new().run(arguments);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{arguments:?}");
    assert!(run.out.lines().all(|line| line.chars().count() <= COLUMNS), "{}", run.out);
    run.out
}

fn keys() -> Vec<String> {
    let text = fs::read_to_string(root().join("crates/input/data/materials.toml")).unwrap();
    let headers = text.lines().filter_map(|line| line.strip_prefix('[')?.strip_suffix(']'));
    headers.map(str::to_owned).collect()
}

#[test]
fn the_table_has_a_row_for_every_class() {
    let table = printed(&["materials"]);
    for key in keys() {
        let row = table.lines().find(|line| line.split_whitespace().next() == Some(&key));
        assert_eq!(row.map(|row| row.split_whitespace().count()), Some(10), "{key}: {row:?}");
    }
    let words: Vec<&str> = table.split_whitespace().collect();
    assert!(words.join(" ").contains("narrower: pu-d50, pu-d60, pu-d65"), "{table}");
}

#[test]
fn one_class_has_the_source_of_every_figure() {
    let text = printed(&["materials", "pp"]);
    assert!(text.contains("modulus: 1070 to 1720 MPa\n     Wohlers Report 2011"), "{text}");
    assert!(text.contains("service_temperature: 80 °C\n"), "{text}");
    assert!(text.contains("process: moulding\n"), "{text}");
    assert!(text.contains("1 at 23 °C, 0.2 at 93 °C") && text.contains("relaxation by temperature: not declared"));
    assert!(keys().iter().all(|key| printed(&["materials", key]).contains("from memory")));
}

#[test]
fn documents_have_all_classes_or_the_one_asked_for() {
    let document: Value = serde_json::from_str(&WorkFolder::new().run(&["materials", "--json"]).out).unwrap();
    assert!(document["made_by"].as_str().unwrap().starts_with("gripwright "));
    let classes = document["materials"].as_array().unwrap();
    assert_eq!(classes.len(), keys().len());
    for class in classes {
        for figure in ["modulus", "strain_yield", "friction", "service_temperature"] {
            assert!(class["sources"][figure].is_string(), "{class}");
        }
    }
    let one: Value = serde_json::from_str(&WorkFolder::new().run(&["materials", "pc", "--json"]).out).unwrap();
    assert_eq!((one["materials"][0]["key"].as_str(), one["materials"].as_array().unwrap().len()), (Some("pc"), 1));
    assert_eq!(one["materials"][0]["modulus_mpa"]["least"], 2060.0);
}

/// A class that is printed to copy serves as a library of one's own.
#[test]
fn a_copied_class_is_a_library() {
    let work = WorkFolder::new();
    let class = work.run(&["materials", "petg", "--toml"]);
    assert_eq!(class.code, 0, "{}", class.err);
    work.write("own.toml", class.out.replace("[petg]", "[my-petg]"));
    work.run(&["new", "spec.toml"]);
    let spec = fs::read_to_string(work.path("spec.toml")).unwrap();
    work.write("spec.toml", spec.replace("print = \"petg\"", "print = \"my-petg\"\nlibrary = \"own.toml\""));
    let run = work.run(&["check", "spec.toml", "--quiet"]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
}

#[test]
fn wrong_uses_are_refused_with_what_is_near() {
    let work = WorkFolder::new();
    let run = work.run(&["materials", "pteg"]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("'petg'"), "{}", run.err);
    for wrong in [&["materials", "--toml"] as &[&str], &["materials", "pc", "--toml", "--json"]] {
        assert_eq!(work.run(wrong).code, 2, "{wrong:?}");
    }
}
