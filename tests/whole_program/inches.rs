//! A spec in inches: the fit table has tables in inches besides those in mm.

use crate::program::WorkFolder;

/// An invented tool of 3/8 in on an invented tube of 1 in.
const SPEC: &str = "[holder]\nname = \"Bench holder\"\nunits = \"in\"\n[body]\n\
                    profile = { shape = \"circle\", diameter = 1 }\nmount_length = 1\n[[tools]]\nname = \"Slim tool\"\n\
                    diameter = { min = \"3/8 in\", max = 0.38 }\nmass = \"9 g\"\n[layout]\noffset = 1.1\n[fit]\n\
                    snap_on = { at_most = \"60 N\" }\n[material]\nprint = \"pc\"\n";

#[test]
fn a_spec_in_inches_has_tables_in_inches_as_well() {
    let work = WorkFolder::new();
    work.write("inches.toml", SPEC);
    let run = work.run(&["check", "inches.toml"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let (_, table) = run.out.split_once("\nIn inches").expect("it has tables in inches");
    let row = |first: &str| {
        let line =
            table.lines().find(|line| line.starts_with(first)).unwrap_or_else(|| panic!("no {first} in {table}"));
        line[first.len()..].split_whitespace().map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(row("Slim tool"), ["0.3750", "0.3800"]);
    assert_eq!(row("M ").last().map(String::as_str), Some("1.0000"));
    work.write(
        "mm.toml",
        SPEC.replace("\"in\"", "\"mm\"")
            .replace("= 1\n", "= \"1 in\"\n")
            .replace("diameter = 1 ", "diameter = \"1 in\" ")
            .replace("0.38 ", "\"0.38 in\" ")
            .replace("= 1.1\n", "= \"1.1 in\"\n"),
    );
    let same = work.run(&["check", "mm.toml"]);
    assert_eq!(same.code, 0, "{}", same.err);
    assert!(!same.out.contains("In inches"));
}
