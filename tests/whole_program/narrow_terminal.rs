//! Tables and paragraphs in a narrow terminal: no line is wider, and nothing is lost.

use crate::program::{WorkFolder, demo, root};

/// Words of a text, without its line ends.
fn words(text: &str) -> Vec<&str> {
    text.split_whitespace().collect()
}

#[test]
fn tables_fit_the_terminal() {
    let work = WorkFolder::new();
    let (wide, narrow) = (demo("marker-rail"), demo("hot-air-grip"));
    let trials = root().join("demo-specs/trials/dispensing-arm.csv").display().to_string();
    let cast = demo("dispensing-arm");
    let commands: [&[&str]; 6] = [
        &["check", &wide],
        &["check", &narrow],
        &["materials"],
        &["materials", "pp"],
        &["mould", &cast, "--out", "m"],
        &["calibrate", &cast, &trials, "--out", "c"],
    ];
    for arguments in commands {
        let plain = work.run(arguments);
        assert_eq!(plain.code, 0, "{}", plain.err);
        for columns in [40, 60, 80, 200] {
            let run = work.run_in_columns(columns, arguments);
            assert_eq!(run.code, 0, "{}", run.err);
            if columns >= 80 {
                assert_eq!(run.out, plain.out, "{arguments:?}");
                continue;
            }
            // Lists of files hold paths, which are never broken.
            let too_wide = run.out.lines().find(|line| line.chars().count() > columns && !line.contains('/'));
            assert_eq!(too_wide, None, "{arguments:?} in {columns} columns");
            assert_eq!(
                words(&run.out).len(),
                words(&plain.out).len(),
                "{arguments:?} in {columns} columns: {}",
                run.out
            );
        }
    }
}

#[test]
fn a_width_that_is_none_changes_nothing() {
    let work = WorkFolder::new();
    let plain = work.run(&["materials"]);
    for columns in [0, 1_000_000] {
        assert_eq!(work.run_in_columns(columns, &["materials"]).out, plain.out);
    }
    assert!(work.run_in_columns(1, &["materials"]).out.lines().all(|line| line.chars().count() <= 24));
}
