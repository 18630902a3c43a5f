//! The dispensing arm in every class of casting: it holds what is asked, or the program names a class that does.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::{collections::BTreeMap, fs, path::Path};

use gripwright::{Project, SizingError};
use gripwright_input::{MaterialLibrary, MaterialProcess};

/// Draft and safety of the demo, which it writes into its spec.
const DRAFT: &str = "draft = \"1.5 deg\"";
const SAFETY: f64 = 1.5;
/// Load across the tools that the demo asks for, N.
const WORKING_LOAD_N: f64 = 2.0;
const HINT: &str = "another material would free it: `final = \"";

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
    named_for(class, &made_of(class))
}

fn named_for(class: &str, project: &Project) -> Option<String> {
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

/// Keys of the classes of casting that no narrower ones replace.
fn classes() -> Vec<String> {
    let library = MaterialLibrary::built_in();
    let cast = library.materials().filter(|m| m.process == Some(MaterialProcess::Casting) && m.narrower.is_empty());
    cast.map(|class| class.key.clone()).collect()
}

#[test]
fn every_class_serves_or_another_one_is_named_that_does() {
    let (mut serve, mut named) = (0, 0);
    for class in classes() {
        match named_instead(&class) {
            None => serve += 1,
            Some(other) => {
                assert_eq!(named_instead(&other), None, "{other} was named for {class}");
                named += 1;
            }
        }
    }
    assert!(serve >= 3 && named >= 1, "{serve} classes serve, for {named} another one was named");
}

/// A file of one's own may replace a class that would have been named: what is named is tried with the user's figures.
#[test]
fn a_class_of_the_users_own_figures_is_tried_with_them() {
    let (refused, usual) =
        classes().into_iter().find_map(|class| Some((class.clone(), named_instead(&class)?))).unwrap();
    let weak = MaterialLibrary::built_in_text(&usual).unwrap();
    let weak: Vec<String> = weak
        .lines()
        .map(|line| match line.split_once(" = ") {
            Some((key @ ("strain_single" | "strain_repeated" | "strain_at_rest"), _)) => {
                format!("{key} = {{ value = 0.0005, source = \"invented\" }}")
            }
            _ => line.to_owned(),
        })
        .collect();
    let own = BTreeMap::from([("own.toml".to_owned(), weak.join("\n").into_bytes())]);
    let spec = |class: &str| {
        let lines = format!("library = \"own.toml\"\nfinal = \"{class}\"");
        Project::read(demo().replace("final = \"pu-abs-like\"", &lines).as_bytes(), "arm.toml", &own).unwrap()
    };
    let named = named_for(&refused, &spec(&refused)).unwrap();
    assert_ne!(named, usual);
    assert_eq!(named_for(&named, &spec(&named)), None);
}
