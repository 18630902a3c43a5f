//! The material figure that widens the forces most: named for every demo, and narrowed by a file of one's own.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::{collections::BTreeMap, fs, path::Path};

use gripwright::{Project, ProjectDesign, input::MaterialLibrary};
use serde_json::Value;

fn folder() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-specs")
}

/// Drawings and scans of the demos, by the names that the specs use.
fn drawings() -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder().join("drawings")).unwrap().map(Result::unwrap);
    entries.map(|e| (format!("drawings/{}", e.file_name().to_string_lossy()), fs::read(e.path()).unwrap())).collect()
}

fn first(design: &ProjectDesign<'_>) -> Value {
    design.document().to_json()["measure_first"].clone()
}

#[test]
fn every_demo_names_the_figure_in_its_notes_and_in_json() {
    for entry in fs::read_dir(folder()).unwrap().map(Result::unwrap) {
        let (path, name) = (entry.path(), entry.file_name().to_string_lossy().into_owned());
        if path.extension().is_none_or(|end| end != "toml") {
            continue;
        }
        let project = Project::read(&fs::read(&path).unwrap(), &name, &drawings()).unwrap();
        let design = project.design().unwrap();
        let first = first(&design);
        let figure = first["figure"].as_str().unwrap_or_else(|| panic!("{name}: {first}"));
        assert!(first["narrowed_spread"].as_f64().unwrap() < first["spread"].as_f64().unwrap(), "{name}: {first}");
        let said =
            design.design().notes.iter().any(|note| note.contains(&format!("as `{figure}` of a material in a file")));
        assert!(said, "{name}: {:#?}", design.design().notes);
    }
}

/// A file of one's own takes the figure under the name that is printed. Sized anew for the narrower range, parts keep at least
/// half of the gain that was foretold for the shape as it was.
#[test]
fn a_measured_figure_in_a_file_of_ones_own_gains_what_was_said() {
    let demo = fs::read_to_string(folder().join("dispensing-arm.toml")).unwrap();
    // Without its mould, whose table comes last: the process of a resin of one's own would be asked for.
    let spec = demo.split("\n[casting]").next().unwrap();
    let before = spec.parse::<Project>().unwrap();
    let foretold = first(&before.design().unwrap());
    let class = MaterialLibrary::built_in_text("pu-abs-like").unwrap();
    let figure = foretold["figure"].as_str().unwrap();
    let line = class.lines().find(|line| line.starts_with(&format!("{figure} = "))).unwrap();
    let middle = if figure == "modulus" { 2000.0 } else { 0.375 };
    let measured = format!("{figure} = {{ least = {middle}, greatest = {middle}, source = \"invented for a test\" }}");
    let library = class.replace("[pu-abs-like]", "[my-resin]").replace(line, &measured);
    let files = BTreeMap::from([("my-materials.toml".to_owned(), library.into_bytes())]);
    let own = spec.replace("final = \"pu-abs-like\"", "final = \"my-resin\"\nlibrary = \"my-materials.toml\"");
    let after = Project::read(own.as_bytes(), "own.toml", &files).unwrap();
    let found = first(&after.design().unwrap());
    assert_ne!(found["figure"].as_str(), Some(figure), "{found}");
    let spread = |value: &Value, name: &str| value[name].as_f64().unwrap();
    let gain = (spread(&foretold, "spread") / spread(&found, "spread")).ln();
    let gain_foretold = (spread(&foretold, "spread") / spread(&foretold, "narrowed_spread")).ln();
    assert!(gain > 0.5 * gain_foretold && gain < 1.5 * gain_foretold, "{gain} where {gain_foretold} was foretold");
}
