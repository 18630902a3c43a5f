//! The dispensing arm in every class of casting: it holds what is asked, or the program names a class that does.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::{fs, path::Path};

use gripwright::{Project, SizingError};
use gripwright_input::{MaterialLibrary, MaterialProcess};

/// Draft and safety of the demo, which it writes into its spec.
const DRAFT: &str = "draft = \"1.5 deg\"";
const SAFETY: f64 = 1.5;
/// Load across the tools that the demo asks for, N.
const WORKING_LOAD_N: f64 = 2.0;
const HINT: &str = "another material would do: with `material.final = \"";

fn demo() -> String {
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-specs/dispensing-arm.toml"));
    let text = text.unwrap();
    assert!(text.contains(DRAFT) && text.contains("safety = 1.5") && text.contains("final = \"pu-abs-like\""));
    text
}

fn made_of(class: &str) -> Project {
    demo().replace("final = \"pu-abs-like\"", &format!("final = \"{class}\"")).parse().unwrap()
}

/// The class that the program names where this one does not serve; `None` where it does.
fn named_instead(class: &str) -> Option<String> {
    let project = made_of(class);
    match project.design() {
        Ok(design) => {
            for row in &design.design().fit {
                let figures = &row.figures;
                assert!(figures.across_needed_n >= SAFETY * WORKING_LOAD_N);
                assert!(figures.pull_out_n.least >= figures.across_needed_n, "{class}, {}", row.tool_name);
            }
            None
        }
        Err(SizingError::BadSpec(problems) | SizingError::NoDesign(problems)) => {
            let hint = problems.diagnostics.iter().flat_map(|d| &d.hints).find_map(|hint| hint.strip_prefix(HINT));
            let hint = hint.unwrap_or_else(|| panic!("{class}: no class is named: {problems}"));
            Some(hint.split('"').next().unwrap().to_owned())
        }
    }
}

#[test]
fn every_class_serves_or_another_one_is_named_that_does() {
    let library = MaterialLibrary::built_in();
    let cast = library.materials().filter(|m| m.process == Some(MaterialProcess::Casting) && m.narrower.is_empty());
    let (mut serve, mut named) = (0, 0);
    for class in cast {
        match named_instead(&class.key) {
            None => serve += 1,
            Some(other) => {
                assert_eq!(named_instead(&other), None, "{other} was named for {}", class.key);
                named += 1;
            }
        }
    }
    assert!(serve >= 3 && named >= 1, "{serve} classes serve, for {named} another one was named");
}
