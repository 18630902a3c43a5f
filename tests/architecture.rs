//! Rules about the project's own source: dependencies of crates, imports of modules, lengths of files and functions,
//! forbidden words.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::{Path, PathBuf},
};

use gripwright_tests::{
    function_sizes::function_sizes,
    module_graph::{Circle, SourceFile, circles, imports},
};

/// Longest permitted file, lines, tests included: it can be read in one sitting.
const LONGEST_FILE: usize = 800;
/// Longest permitted function, lines.
const LONGEST_FUNCTION: usize = 80;
/// A function with more lines than this is long.
const LONG_FUNCTION: usize = 60;
/// Permitted number of long functions in the whole workspace.
const LONG_FUNCTIONS: usize = 10;
/// Largest permitted number of parameters.
const MOST_PARAMETERS: usize = 6;

/// Folders of `crates/sizing/src` from top to bottom: a module imports only from its own layer and from those below.
/// Files in the folder `src` itself belong to the layer of their name.
const SIZING_LAYERS: [&str; 13] = [
    "sizing", "explain", "pipeline", "coupons", "parts", "fit", "family", "search", "sleeve", "model", "design",
    "shape", "limits",
];
/// Files below all these folders; each holds one general concept.
const SIZING_GROUND: [&str; 4] = ["once_map", "problem", "rng", "rounding"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn read(path: impl AsRef<Path>) -> String {
    let path = root().join(path);
    // One of the bad specs is not UTF-8 on purpose.
    let bytes = fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    String::from_utf8_lossy(&bytes).into_owned()
}

/// All text files of the project, relative to its root.
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

/// Source files of a crate, relative to its folder `src`.
fn crate_files(name: &str) -> Vec<SourceFile> {
    let folder = PathBuf::from(format!("crates/{name}/src"));
    let file = |path: PathBuf| {
        let relative = path.strip_prefix(&folder).ok()?.to_string_lossy().into_owned();
        let is_rust = path.extension().is_some_and(|extension| extension == "rs");
        is_rust.then(|| SourceFile { path: relative, text: read(&path) })
    };
    sources().into_iter().filter_map(file).collect()
}

/// Names of all crates below `crates`.
fn crate_names() -> BTreeSet<String> {
    let entries = fs::read_dir(root().join("crates")).unwrap();
    entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect()
}

/// The table of crates in `DEVELOPERS.md`: crate → crates that it may use.
fn allowed_crates() -> BTreeMap<String, BTreeSet<String>> {
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

/// Crates of this workspace in a manifest's `[dependencies]`.
fn used_crates(manifest: &str) -> BTreeSet<String> {
    let after = manifest.split("\n[dependencies]").nth(1).unwrap_or("");
    let table = after.split("\n[").next().unwrap_or("");
    let names = table.lines().filter_map(|l| l.strip_prefix("gripwright-"));
    names.map(|l| l.split(['.', ' ', '=']).next().unwrap_or("").to_owned()).collect()
}

#[test]
fn crates_use_only_what_the_contributors_guide_allows() {
    let allowed = allowed_crates();
    let folders: BTreeSet<String> = crate_names().into_iter().chain(["tests".to_owned()]).collect();
    assert_eq!(folders, allowed.keys().cloned().collect(), "one row per crate");
    for (name, may) in &allowed {
        let manifest =
            if name == "tests" { "tests/Cargo.toml".to_owned() } else { format!("crates/{name}/Cargo.toml") };
        let used = used_crates(&read(manifest));
        let beyond: Vec<_> = used.difference(may).collect();
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

/// Times depend on the machine and its load: benchmarks print them, and no test judges them.
#[test]
fn no_test_measures_time() {
    for path in sources() {
        let text = path.to_string_lossy();
        let is_test = text.ends_with(".rs") && text.contains("tests") && !text.contains("/examples/");
        // This file names the words that it looks for.
        if is_test && text != "tests/architecture.rs" {
            let code = read(&path);
            assert!(!code.contains("Instant::now") && !code.contains(".elapsed("), "{text} measures time");
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
fn no_file_is_too_long() {
    for path in sources().iter().filter(|p| p.extension().is_some_and(|e| e == "rs" || e == "py")) {
        let lines = read(path).lines().count();
        assert!(lines <= LONGEST_FILE, "{} has {lines} lines", path.display());
    }
}

#[test]
fn no_function_is_too_long_or_has_too_many_parameters() {
    let mut long = Vec::new();
    let mut problems = Vec::new();
    for name in crate_names() {
        for file in crate_files(&name).iter().filter(|file| !file.path.ends_with("tests.rs")) {
            for function in function_sizes(&file.text) {
                let place = format!("crates/{name}/src/{}:{} {}", file.path, function.line, function.name);
                if function.parameters > MOST_PARAMETERS {
                    problems.push(format!("{place} has {} parameters", function.parameters));
                }
                if function.lines > LONGEST_FUNCTION {
                    problems.push(format!("{place} has {} lines", function.lines));
                }
                if function.lines > LONG_FUNCTION {
                    long.push(format!("{place} has {} lines", function.lines));
                }
            }
        }
    }
    assert!(problems.is_empty(), "{}", problems.join("\n"));
    assert!(long.len() <= LONG_FUNCTIONS, "more than {LONG_FUNCTIONS} long functions:\n{}", long.join("\n"));
}

#[test]
fn modules_import_each_other_in_no_circle() {
    let mut problems = Vec::new();
    for name in crate_names() {
        for circle in circles(&imports(&crate_files(&name))) {
            problems.push(describe_circle(&name, &circle));
        }
    }
    assert!(problems.is_empty(), "{}", problems.join("\n"));
}

fn describe_circle(crate_name: &str, circle: &Circle) -> String {
    let mut lines = vec![format!("crates/{crate_name}/src: {} import each other", circle.files.join(", "))];
    for import in &circle.imports {
        lines.push(format!("    {} imports {} from {}", import.from, import.names.join(", "), import.to));
    }
    lines.join("\n")
}

/// Position of a file's layer in `SIZING_LAYERS`; all ground files share the position behind the last.
fn sizing_layer(file: &str) -> usize {
    let layer = file.split('/').next().unwrap_or(file).trim_end_matches(".rs");
    if SIZING_GROUND.contains(&layer) {
        return SIZING_LAYERS.len();
    }
    let position = SIZING_LAYERS.iter().position(|name| *name == layer);
    position.unwrap_or_else(|| panic!("crates/sizing/src/{file} is in no layer of `SIZING_LAYERS`"))
}

/// Names of the causes that an error prints and also returns as its source.
fn causes_said_twice(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for item in text.split("#[error(").skip(1) {
        let (message, rest) = item.split_once(")]").unwrap_or((item, ""));
        let fields: Vec<&str> = rest.split("\n}").next().unwrap_or(rest).split_whitespace().collect();
        for (index, word) in fields.iter().enumerate() {
            let marked = word.ends_with("#[source]") || word.ends_with("#[from]");
            let field = fields[index + usize::from(marked)..].iter().find(|word| **word != "pub").unwrap_or(word);
            let name = field.strip_suffix(':').unwrap_or("0");
            let printed = [format!("{{{name}}}"), format!("{{{name}:"), format!(", {name}"), format!(" .{name}")];
            if (marked || name == "source") && printed.iter().any(|print| message.contains(print)) {
                found.push(format!("{name} in {message}"));
            }
        }
    }
    found
}

#[test]
fn no_error_prints_its_source() {
    let twice = "#[error(\"{file}: {cause}\")] Bad { file: String, #[source] cause: Io }";
    assert_eq!(causes_said_twice(twice).len(), 1);
    assert_eq!(causes_said_twice("#[error(\"{}: {source}\", a)] B { a: A, source: Io }").len(), 1);
    assert_eq!(causes_said_twice("#[error(\"bad: {0}\")] B(#[from] Io)").len(), 1);
    assert!(causes_said_twice("#[error(\"bad: {0}\")] B(Io), #[error(\"bad\")] C(#[from] Io)").is_empty());
    for name in crate_names() {
        for file in crate_files(&name) {
            assert_eq!(causes_said_twice(&file.text), Vec::<String>::new(), "{name}: {}", file.path);
        }
    }
}

/// Files that a source file embeds or takes as a module, relative to its crate.
fn embedded_files(file: &SourceFile) -> Vec<String> {
    let starts = ["include_str!(\"", "include_bytes!(\"", "#[path = \""];
    let literals = starts.iter().flat_map(|start| file.text.split(start).skip(1));
    let relative = literals.filter_map(|rest| rest.split('"').next());
    let from_crate = |name: &str| {
        let mut folders: Vec<&str> = ["src"].into_iter().chain(file.path.split('/')).collect();
        folders.pop();
        for part in name.split('/') {
            // Above the crate's folder the name keeps its dots.
            if part == ".." && folders.last().is_some_and(|last| *last != "..") {
                folders.pop();
            } else {
                folders.push(part);
            }
        }
        folders.join("/")
    };
    relative.map(from_crate).collect()
}

/// Packages hold nothing else, and their own unit tests must run.
#[test]
fn sources_embed_only_files_of_their_package() {
    let file = |text: &str| SourceFile { path: "fit/odds.rs".to_owned(), text: text.to_owned() };
    assert_eq!(embedded_files(&file("include_str!(\"../../data/a.toml\")")), ["data/a.toml"]);
    assert_eq!(embedded_files(&file("#[path = \"../../../../demos/a.rs\"]")), ["../../demos/a.rs"]);
    for name in crate_names() {
        for file in crate_files(&name) {
            let outside: Vec<String> = embedded_files(&file)
                .into_iter()
                .filter(|embedded| !embedded.starts_with("src/") && !embedded.starts_with("data/"))
                .collect();
            assert_eq!(outside, Vec::<String>::new(), "{name}: {}", file.path);
        }
    }
}

#[test]
fn folders_of_sizing_import_only_downwards() {
    let files = crate_files("sizing");
    let imports = imports(&files);
    let upwards = imports.iter().filter(|import| import.from != "lib.rs" && import.to != "lib.rs");
    let upwards = upwards.filter(|import| sizing_layer(&import.to) < sizing_layer(&import.from));
    let upwards: Vec<_> = upwards
        .map(|import| format!("{} imports {} from {}", import.from, import.names.join(", "), import.to))
        .collect();
    assert!(upwards.is_empty(), "{}", upwards.join("\n"));
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

/// A package holds only files of its own folder, and a link would be a plain file in a clone on Windows.
#[test]
fn every_package_has_the_licence_and_is_described() {
    for name in crate_names() {
        assert!(
            read(format!("crates/{name}/LICENSE")) == read("LICENSE"),
            "crates/{name}/LICENSE differs from LICENSE"
        );
        let manifest = read(format!("crates/{name}/Cargo.toml"));
        for key in ["description =", "keywords =", "categories =", "license.workspace", "readme.workspace"] {
            assert!(manifest.lines().any(|line| line.starts_with(key)), "crates/{name}/Cargo.toml has no {key}");
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
