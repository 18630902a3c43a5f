//! The shape of the project itself: who may use whom, how long files grow, and what no file may say.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::{Path, PathBuf},
};

/// Longest file that can be read in one sitting, tests included.
const MOST_LINES: usize = 800;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn read(path: impl AsRef<Path>) -> String {
    let path = root().join(path);
    // One of the bad specs is not UTF-8 on purpose.
    let bytes = fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    String::from_utf8_lossy(&bytes).into_owned()
}

/// Every text file that the project consists of, relative to its root.
fn sources() -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![PathBuf::new()];
    while let Some(folder) = folders.pop() {
        let mut entries: Vec<_> = fs::read_dir(root().join(&folder)).unwrap().map(|e| e.unwrap()).collect();
        entries.sort_by_key(fs::DirEntry::file_name);
        for entry in entries {
            let name = entry.file_name().to_string_lossy().into_owned();
            let path = folder.join(&name);
            if entry.file_type().unwrap().is_dir() {
                if !["target", ".git", "out"].contains(&name.as_str()) {
                    folders.push(path);
                }
            } else if [".rs", ".toml", ".md", ".py", ".json", ".csv", "run"].iter().any(|end| name.ends_with(end)) {
                found.push(path);
            }
        }
    }
    found
}

/// The table in `DEVELOPERS.md`: crate → what it may use.
fn allowed() -> BTreeMap<String, BTreeSet<String>> {
    let text = read("DEVELOPERS.md");
    let rows =
        text.lines().skip_while(|l| !l.starts_with("| crate | one line")).skip(2).take_while(|l| l.starts_with('|'));
    let cells = |row: &str| row.split('|').map(|c| c.trim().to_owned()).collect::<Vec<_>>();
    let names = |cell: &str| cell.split('`').skip(1).step_by(2).map(str::to_owned).collect::<BTreeSet<_>>();
    let table: Vec<_> = rows.map(cells).collect();
    let all: BTreeSet<String> = table.iter().flat_map(|row| names(&row[1])).collect();
    table
        .iter()
        .map(|row| {
            let name = names(&row[1]).into_iter().next().expect("each row names its crate");
            (name, if row[3] == "all" { all.clone() } else { names(&row[3]) })
        })
        .collect()
}

/// Own crates that a manifest's `[dependencies]` names.
fn uses(manifest: &str) -> BTreeSet<String> {
    let after = manifest.split("\n[dependencies]").nth(1).unwrap_or("");
    let table = after.split("\n[").next().unwrap_or("");
    let names = table.lines().filter_map(|l| l.strip_prefix("gripwright-"));
    names.map(|l| l.split(['.', ' ', '=']).next().unwrap_or("").to_owned()).collect()
}

#[test]
fn crates_use_only_what_the_contributors_guide_allows() {
    let allowed = allowed();
    let folders: BTreeSet<String> = fs::read_dir(root().join("crates"))
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .chain(["tests".to_owned()])
        .collect();
    assert_eq!(folders, allowed.keys().cloned().collect(), "one row per crate");
    for (name, may) in &allowed {
        let manifest =
            if name == "tests" { "tests/Cargo.toml".to_owned() } else { format!("crates/{name}/Cargo.toml") };
        let uses = uses(&read(manifest));
        let beyond: Vec<_> = uses.difference(may).collect();
        assert!(beyond.is_empty(), "`{name}` uses {beyond:?}, which DEVELOPERS.md does not allow");
    }
}

#[test]
fn only_the_command_line_touches_files_clock_and_environment() {
    for path in sources() {
        let text = path.to_string_lossy();
        let library = text.starts_with("crates/") && text.contains("/src/") && !text.starts_with("crates/cli/");
        // Modules of tests in files of their own.
        if !library || text.ends_with("/tests.rs") {
            continue;
        }
        let code = read(&path);
        let code = code.split("#[cfg(test)]").next().unwrap_or("");
        for word in ["std::fs", "std::env", "SystemTime", "Instant::now", "std::process", "println!"] {
            let inside = code.lines().find(|l| l.contains(word) && !l.trim_start().starts_with("//"));
            assert!(inside.is_none(), "{text} uses {word}");
        }
    }
}

#[test]
fn truck_stays_inside_the_solid_crate() {
    for path in sources() {
        let text = path.to_string_lossy();
        if text.ends_with(".rs") && text.starts_with("crates/") && !text.starts_with("crates/solid/") {
            assert!(!read(&path).contains("truck_"), "{text}");
        }
    }
}

#[test]
fn files_stay_short_enough_for_one_sitting() {
    for path in sources().iter().filter(|p| p.extension().is_some_and(|e| e == "rs" || e == "py")) {
        let lines = read(path).lines().count();
        assert!(lines <= MOST_LINES, "{} has {lines} lines", path.display());
    }
}

#[test]
fn no_file_names_the_machine_it_was_written_on() {
    // Joined here so that this file does not contain what it looks for.
    let words =
        [["/wo", "rk/"].concat(), ["/ro", "ot/"].concat(), ["/tmp/", "target"].concat(), ["/ho", "me/"].concat()];
    for path in sources() {
        let text = read(&path);
        for word in &words {
            assert!(!text.contains(word), "{} names {word}", path.display());
        }
    }
}

#[test]
fn every_dependency_is_justified() {
    let guide = read("DEVELOPERS.md");
    let manifest = read("Cargo.toml");
    let table = manifest.split("[workspace.dependencies]").nth(1).unwrap_or("").split("\n[").next().unwrap_or("");
    let names = table.lines().filter_map(|l| l.split_once(" = ").map(|(name, _)| name));
    for name in names.filter(|n| !n.starts_with("gripwright")) {
        assert!(guide.contains(name), "DEVELOPERS.md does not say why `{name}`");
    }
}
