//! Names that are orders to a terminal, formulas to a spreadsheet, or no names of a calibration's rounds.

use std::fs;

use crate::{
    calibration::{FIRST, spec},
    program::{WorkFolder, demo},
};

#[cfg(unix)]
#[test]
fn control_characters_of_file_names_do_not_reach_the_terminal() {
    let work = WorkFolder::new();
    let name = "\u{1b}[31mred\u{9b}.toml";
    work.write(name, "[holder]\n");
    for arguments in [vec!["check", name], vec!["check", "\u{7}absent.toml"]] {
        let run = work.run(&arguments);
        assert_eq!(run.code, 1);
        assert!(run.err.contains(".toml") && !run.err.contains(['\u{1b}', '\u{9b}', '\u{7}']), "{:?}", run.err);
    }
    let run = work.run(&["make", &demo("wire-cutter"), "--out", "\u{1b}[2Jo"]);
    assert!(run.code == 0 && !run.out.contains('\u{1b}'), "{:?}", run.out);
}

#[test]
fn names_of_tools_are_no_formulas() {
    let work = WorkFolder::new();
    for name in ["=1+1", "@SUM(1)", "-slim", "+slim"] {
        spec(&work, None);
        let text = fs::read_to_string(work.path("spec.toml")).unwrap();
        work.write("spec.toml", text.replace("slim lamp", name));
        let folder = format!("o{}", name.len());
        let _ = fs::remove_dir_all(work.path(&folder));
        assert_eq!(work.run(&["coupons", "spec.toml", "--out", &folder, "--quiet"]).code, 0);
        let list = fs::read_to_string(work.path(&format!("{folder}/coupons.csv"))).unwrap();
        let sheet = fs::read_to_string(work.path(&format!("{folder}/trials.csv"))).unwrap();
        assert!(list.contains(&format!(",'{name}")) && !list.contains(&format!(",{name}")), "{list}");
        assert!(sheet.contains(&format!(",'{name},")) && !sheet.contains(&format!(",{name},")), "{sheet}");
        // As a person fills it in, and as a spreadsheet saves what it takes for text.
        let filled = sheet.replacen(&format!(",'{name},"), &format!(",'{name},good"), 1);
        for text in [filled.clone(), filled.replace(",'", ",")] {
            work.write("filled.csv", text);
            let run = work.run(&["calibrate", "spec.toml", "filled.csv", "--out", &folder, "--quiet"]);
            assert_eq!(run.code, 0, "{}", run.err);
        }
    }
}

/// Rows that cannot all be true: at every other step the same clip is too loose and too tight.
#[test]
fn a_calibration_of_rows_that_alternate_is_read_ever_after() {
    let work = WorkFolder::new();
    spec(&work, None);
    let row = |k: i32| {
        let step = f64::from(k % 60 - 30) / 50.0;
        format!("A{step:+.2},slim lamp,{}\n", ["loose", "would-not-go"][usize::from(k % 2 == 1)])
    };
    let rows: String = (0..240).map(row).collect();
    work.write("rows.csv", format!("coupon,tool,outcome\n{rows}"));
    let run = work.run(&["calibrate", "spec.toml", "rows.csv", "--quiet"]);
    assert_eq!(run.code, 0, "{}", run.err);
    spec(&work, Some("calibration.toml"));
    for arguments in [["check", "spec.toml", "--quiet"].as_slice(), &["calibrate", "spec.toml", "rows.csv", "--quiet"]]
    {
        let run = work.run(arguments);
        assert_eq!(run.code, 0, "{arguments:?}: {}", run.err);
    }
}

#[cfg(unix)]
#[test]
fn a_calibration_that_could_not_be_read_again_is_not_written() {
    let work = WorkFolder::new();
    spec(&work, None);
    work.write("fir\u{1}st.csv", FIRST);
    let run = work.run(&["calibrate", "spec.toml", "fir\u{1}st.csv"]);
    assert!(run.code == 1 && run.err.contains("could not be read again"), "{}", run.err);
    assert!(!work.path("calibration.toml").exists());
    fs::rename(work.path("fir\u{1}st.csv"), work.path("first.csv")).unwrap();
    assert_eq!(work.run(&["calibrate", "spec.toml", "first.csv", "--quiet"]).code, 0, "the hint helps");
}

#[test]
fn a_path_may_step_back_out_of_a_new_folder() {
    let work = WorkFolder::new();
    let run = work.run(&["make", &demo("wire-cutter"), "--out", "u/nope/../v", "--quiet"]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(work.path("u/v/design.json").is_file());
}
