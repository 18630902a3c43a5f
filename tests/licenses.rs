//! Supply chain: licences of everything that is linked, sources, and the least version of Rust.

use std::{collections::BTreeSet, path::Path, process::Command};

use serde_json::Value;

/// Licences that may be linked: each lets everybody use, change and sell, and asks for no more than its own text.
/// Of a choice (`OR`) one must be among them, of a sum (`AND`) all.
const POLICY: [&str; 9] = [
    "MIT",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "Unicode-3.0",
    "Zlib",
    "0BSD",
    "Apache-2.0 WITH LLVM-exception",
];

/// The packages of the lock file, as cargo knows them.
fn packages() -> Vec<Value> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let printed = Command::new(cargo)
        .args(["metadata", "--format-version", "1", "--locked"])
        .current_dir(root)
        .output()
        .expect("cargo starts");
    assert!(printed.status.success(), "{}", String::from_utf8_lossy(&printed.stderr));
    let metadata: Value = serde_json::from_slice(&printed.stdout).expect("cargo prints JSON");
    metadata["packages"].as_array().expect("it lists packages").clone()
}

/// True if the policy allows an expression of licences.
fn is_allowed(expression: &str) -> bool {
    let expression = expression.replace('/', " OR ").replace(" or ", " OR ");
    let one = |licence: &str| POLICY.contains(&licence.trim().trim_matches(['(', ')']).trim());
    // Sums bind tighter than choices, and a choice in brackets stands for itself.
    let flat = |text: &str| text.split(" OR ").any(|choice| choice.split(" AND ").all(one));
    if let Some((before, rest)) = expression.split_once('(')
        && let Some((inner, after)) = rest.split_once(')')
    {
        let outside = format!("{before} {after}");
        let others = outside.split(" AND ").map(str::trim).filter(|other| !other.is_empty() && *other != "AND");
        return flat(inner)
            && others.into_iter().all(|other| flat(other.trim_start_matches("AND ").trim_end_matches(" AND")));
    }
    flat(&expression)
}

#[test]
fn every_licence_is_allowed() {
    let refused: BTreeSet<String> = packages()
        .iter()
        .filter(|package| !package["license"].as_str().is_some_and(is_allowed))
        .map(|package| format!("{} {}: {}", package["name"], package["version"], package["license"]))
        .collect();
    assert_eq!(refused, BTreeSet::new());
}

#[test]
fn expressions_of_licences_are_understood() {
    for (expression, allowed) in [
        ("MIT", true),
        ("GPL-3.0", false),
        ("MIT OR GPL-3.0", true),
        ("MIT/Apache-2.0", true),
        ("MIT AND GPL-3.0", false),
        ("(MIT OR Apache-2.0) AND Unicode-3.0", true),
        ("(MIT OR Apache-2.0) AND GPL-3.0", false),
        ("(GPL-2.0 OR GPL-3.0) AND MIT", false),
        ("Apache-2.0 WITH LLVM-exception OR GPL-3.0", true),
        ("Zlib OR Apache-2.0 OR MIT", true),
    ] {
        assert_eq!(is_allowed(expression), allowed, "{expression}");
    }
}

/// All packages come from the one public registry or from this folder, and none asks for a newer Rust than ours says.
#[test]
fn sources_and_versions_of_rust() {
    let version = |text: &str| -> Vec<u32> { text.split('.').filter_map(|part| part.parse().ok()).collect() };
    let all = packages();
    let ours = all.iter().find(|package| package["name"] == "gripwright").expect("it is one of them");
    let least = version(ours["rust_version"].as_str().expect("it is stated"));
    for package in &all {
        let name = &package["name"];
        let source = package["source"].as_str();
        assert!(
            source.is_none_or(|source| source == "registry+https://github.com/rust-lang/crates.io-index"),
            "{name}"
        );
        let asked = package["rust_version"].as_str().map(version).unwrap_or_default();
        assert!(asked <= least, "{name} asks for Rust {asked:?}, {least:?} is stated");
    }
}
