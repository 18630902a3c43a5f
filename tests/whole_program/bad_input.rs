//! Invalid input: exit code, place of the problem, and no file left behind.

use std::fs;

use serde_json::Value;

use crate::program::{WorkFolder, demo, demo_without_mould};

/// Runs `make` on a spec; returns the exit code, and code, line and column of the first problem.
fn first_problem(work: &WorkFolder, spec: &str) -> (i32, String, u64, u64) {
    let before = work.all_paths();
    let run = work.run(&["make", spec, "--json", "--out", "o"]);
    assert_eq!(work.all_paths(), before, "a failed run leaves nothing behind");
    let document: Value = serde_json::from_str(&run.out).unwrap_or_else(|e| panic!("{e}: {}{}", run.out, run.err));
    let first = &document["diagnostics"][0];
    let number = |key: &str| first[key].as_u64().unwrap();
    (run.code, first["code"].as_str().unwrap().to_owned(), number("line"), number("column"))
}

fn expect(work: &WorkFolder, spec: &str, code: i32, problem: &str, line: u64, column: u64) {
    assert_eq!(first_problem(work, spec), (code, problem.to_owned(), line, column), "{spec}");
}

#[test]
fn unreadable_specs_are_reported() {
    let work = WorkFolder::new();
    expect(&work, "absent.toml", 1, "unreadable", 1, 1);
    fs::create_dir(work.path("folder.toml")).unwrap();
    expect(&work, "folder.toml", 1, "unreadable", 1, 1);
    work.write("binary.toml", b"[holder]\nname = \"\xff\xfe\"\n");
    expect(&work, "binary.toml", 1, "not-utf8", 2, 9);
    work.write("large.toml", vec![b'#'; 50_000_000]);
    expect(&work, "large.toml", 1, "too-large", 1, 1);
}

/// Writes the dispensing arm with one line replaced; returns the number of that line.
fn write_changed(work: &WorkFolder, from: &str, to: &str) -> u64 {
    // With its mould, a draft that runs one way fails for other reasons first.
    let text = demo_without_mould("dispensing-arm");
    let line = text.lines().position(|l| l.starts_with(from)).unwrap_or_else(|| panic!("no line begins with {from}"));
    let lines: Vec<&str> = text.lines().enumerate().map(|(i, l)| if i == line { to } else { l }).collect();
    work.write("spec.toml", lines.join("\n"));
    line as u64 + 1
}

#[test]
fn designs_that_contradict_themselves_point_at_their_key() {
    let work = WorkFolder::new();
    let line = write_changed(&work, "offset =", "offset = 15.0");
    expect(&work, "spec.toml", 3, "offset-too-small", line, 10);
    let line = write_changed(&work, "draft =", "draft = \"8 deg\"");
    expect(&work, "spec.toml", 1, "draft-eats-wall", line, 9);
    let line = write_changed(&work, "least_wall =", "least_wall = 4.5");
    expect(&work, "spec.toml", 1, "wall-too-thin", line, 14);
}

#[test]
fn a_keep_out_over_the_mount_points_at_its_table() {
    let work = WorkFolder::new();
    let text = fs::read_to_string(demo("dispensing-arm")).unwrap();
    let keep_out = "[[keep_out]]\nname = \"all of it\"\nbox = { from = [-90, -90, -90], to = [90, 90, 90] }\n";
    work.write("spec.toml", format!("{text}\n{keep_out}"));
    expect(&work, "spec.toml", 1, "keep-out-swallows-mount", text.lines().count() as u64 + 2, 1);
}

#[test]
fn a_valid_spec_without_a_design_exits_with_three() {
    let work = WorkFolder::new();
    write_changed(&work, "snap_on =", "snap_on = { at_most = \"3 N\" }");
    let (code, problem, line, column) = first_problem(&work, "spec.toml");
    assert_eq!((code, problem.as_str()), (3, "mount-no-fit"), "{line}:{column}");
    let run = work.run(&["check", "spec.toml"]);
    assert_eq!(run.code, 3);
    assert!(run.err.contains("hint"), "{}", run.err);
}

#[test]
fn wrong_use_of_the_command_line_exits_with_two() {
    let work = WorkFolder::new();
    for arguments in [&[] as &[&str], &["mak"], &["make"], &["check", "a", "b"], &["schema", "--json"]] {
        assert_eq!(work.run(arguments).code, 2, "{arguments:?}");
    }
    let help = work.run(&["--help"]);
    assert_eq!(help.code, 0);
    assert!(help.out.contains("Exit codes"), "{}", help.out);
}

#[test]
fn every_problem_is_shown_with_its_place_and_remedy() {
    let work = WorkFolder::new();
    work.write("spec.toml", "[holder]\nnam = \"x\"\n");
    let run = work.run(&["check", "spec.toml"]);
    assert_eq!(run.code, 1);
    assert!(run.err.contains("spec.toml:2:1"), "{}", run.err);
    assert!(run.err.contains("name"), "{}", run.err);
    assert_eq!(run.out, "");
}

#[test]
fn a_refusal_says_that_remedies_were_looked_for() {
    let work = WorkFolder::new();
    write_changed(&work, "snap_on =", "snap_on = { at_most = \"3 N\" }");
    let quiet = work.run(&["check", "spec.toml", "--quiet"]);
    assert_eq!(quiet.code, 3);
    assert!(
        quiet.err.ends_with("no design meets this spec; changes that may free it were looked for\n"),
        "{}",
        quiet.err
    );
    let document: Value = serde_json::from_str(&work.run(&["check", "spec.toml", "--json"]).out).unwrap();
    assert_eq!(document["remedies"], "looked for");
}
