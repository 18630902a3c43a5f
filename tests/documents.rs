//! Paths named in the documents exist.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
};

use gripwright::read_limits::READ_LIMITS;

/// All documents, relative to the project's root.
const DOCUMENTS: [&str; 7] = [
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "specs/guide.md",
    "specs/README.md",
    "demo-specs/README.md",
    "tests/validation.md",
];
/// Endings of names that count as paths even without a `/`.
const ENDINGS: [&str; 15] = [
    ".rs", ".toml", ".md", ".py", ".sh", ".csv", ".json", ".txt", ".svg", ".png", ".stl", ".dxf", ".step", ".3mf",
    ".html",
];
/// Files that the program writes for a user, and examples of a user's own files.
const USER_FILES: [&str; 22] = [
    "calibration.toml",
    "coupons-1.3mf",
    "coupons-1.step",
    "coupons-1.stl",
    "coupons-1.png",
    "coupons-card.html",
    "coupons.csv",
    "design.json",
    "master.3mf",
    "mould-parts.step",
    "bench-sheet.html",
    "mould.json",
    "gauge.step",
    "gauge.stl",
    "holder.step",
    "holder.stl",
    "holders.png",
    "my-arm.toml",
    "report.html",
    "mould-report.html",
    "trials.csv",
    "trials-2.csv",
];
/// Beginnings of further names of such files.
const USER_FILE_STARTS: [&str; 5] = ["holder-", "sleeve-", "calibration-", "out/", "target/"];
/// Words that stand for a name of the user's choice.
const PLACEHOLDERS: [&str; 5] = ["FILE", "FOLDER", "SPEC", "TRIALS", "DIR"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Names of all files below a folder.
fn file_names(folder: &Path, found: &mut BTreeSet<String>) {
    for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let name = entry.file_name().to_string_lossy().into_owned();
        if entry.file_type().unwrap().is_file() {
            found.insert(name);
        } else if !["target", ".git", "out"].contains(&name.as_str()) {
            file_names(&entry.path(), found);
        }
    }
}

/// Words in backticks and targets of links; a target ends before its `#`.
fn named_words(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut is_code_block = false;
    for line in text.lines() {
        if line.starts_with("```") {
            is_code_block = !is_code_block;
        } else if is_code_block {
            found.extend(line.split_whitespace().map(str::to_owned));
        } else {
            let quoted = line.split('`').skip(1).step_by(2).flat_map(str::split_whitespace);
            found.extend(quoted.map(str::to_owned));
            let targets = line.split("](").skip(1).filter_map(|rest| rest.split([')', '#']).next());
            found.extend(targets.map(str::to_owned));
        }
    }
    found
}

/// True for a word that looks like a path into the repository.
fn is_path(word: &str) -> bool {
    // A fraction is none.
    let has_letter = word.chars().any(|c| c.is_ascii_alphabetic());
    let is_plain = has_letter && word.chars().all(|c| c.is_ascii_alphanumeric() || "._-/".contains(c));
    let has_ending = ENDINGS.iter().any(|ending| word.len() > ending.len() && word.ends_with(ending));
    let is_placeholder = word.split(['/', '.']).any(|part| PLACEHOLDERS.contains(&part));
    let is_user_file = USER_FILES.contains(&word) || USER_FILE_STARTS.iter().any(|start| word.starts_with(start));
    is_plain && (word.contains('/') || has_ending) && !word.starts_with('-') && !is_placeholder && !is_user_file
}

#[test]
fn paths_in_documents_exist() {
    let mut names = BTreeSet::new();
    file_names(&root(), &mut names);
    let mut missing = Vec::new();
    for document in DOCUMENTS {
        let path = root().join(document);
        let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{document}: {e}"));
        for word in named_words(&text).into_iter().filter(|word| is_path(word)) {
            let beside = path.parent().unwrap().join(&word);
            let is_bare_name = !word.contains('/');
            let exists = beside.exists() || root().join(&word).exists() || (is_bare_name && names.contains(&word));
            if !exists {
                missing.push(format!("{document} names {word}, which does not exist"));
            }
        }
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}

#[test]
fn paths_are_told_from_other_words() {
    for word in ["crates/solid/src/check", "tests/run", "guide.md", "../demo-specs/README.md", "drawings/draw.py"] {
        assert!(is_path(word), "{word}");
    }
    for word in
        ["holder.step", "out/my-arm/trials.csv", "FILE.csv", "calibration-….svg", ".step", "make", "--out", "N/mm²"]
    {
        assert!(!is_path(word), "{word}");
    }
    let text = "See `tests/run` and [the guide](specs/guide.md#words).\n```\ngripwright make a/b.toml\n```\n";
    assert_eq!(named_words(text), ["tests/run", "specs/guide.md", "gripwright", "make", "a/b.toml"]);
}

/// The table of limits in the user guide is that of the readers.
#[test]
fn the_guide_lists_the_limits_of_the_readers() {
    let guide = fs::read_to_string(root().join("specs/guide.md")).unwrap();
    let section = guide.split("## Limits of what is read").nth(1).unwrap().split("\n## ").next().unwrap();
    let rows = section.lines().filter_map(|line| line.strip_prefix("| ")?.strip_suffix(" |")?.split_once(" | "));
    let written: Vec<(String, usize)> =
        rows.filter_map(|(what, most)| Some((what.to_owned(), most.replace(',', "").parse().ok()?))).collect();
    let counted: Vec<(String, usize)> = READ_LIMITS.iter().map(|limit| (limit.what.to_owned(), limit.most)).collect();
    assert_eq!(written, counted);
}
