//! Unwritable output folders: exit code 4 and no file left behind.

use std::fs;

use crate::program::{WorkFolder, demo};

#[test]
fn an_out_path_through_a_file() {
    let work = WorkFolder::new();
    work.write("plain", "a file");
    for out in ["plain", "plain/below", "plain/far/below"] {
        let run = work.run(&["make", &demo("dispensing-arm"), "--out", out]);
        assert_eq!(run.code, 4, "{out}: {}", run.err);
        assert!(run.err.contains("plain"), "{}", run.err);
    }
    assert_eq!(work.all_paths(), ["plain"]);
}

#[test]
fn no_room_for_the_files() {
    let work = WorkFolder::new();
    // The small files fit and the larger ones do not: the run must remove the small ones.
    let run = work.run_on_full_disk(8, &["make", &demo("dispensing-arm"), "--out", "deep/er"]);
    assert_eq!(run.code, 4, "{}", run.err);
    assert_eq!(work.all_paths(), Vec::<String>::new());
}

#[test]
fn an_earlier_run_survives_a_failed_one() {
    let work = WorkFolder::new();
    assert_eq!(work.run(&["make", &demo("dispensing-arm"), "--out", "o"]).code, 0);
    let before = work.all_paths();
    let bytes = fs::read(work.path("o/coupons-1.step")).unwrap();
    let run = work.run_on_full_disk(8, &["make", &demo("round-cells"), "--out", "o"]);
    assert_eq!(run.code, 4, "{}", run.err);
    assert_eq!(work.all_paths(), before);
    assert!(fs::read(work.path("o/coupons-1.step")).unwrap() == bytes);
}

#[test]
fn a_folder_in_the_place_of_a_file() {
    let work = WorkFolder::new();
    fs::create_dir_all(work.path("o/coupons.csv")).unwrap();
    let run = work.run(&["make", &demo("dispensing-arm"), "--out", "o"]);
    assert_eq!(run.code, 4, "{}", run.err);
    assert_eq!(work.all_paths(), ["o", "o/coupons.csv"]);
}

#[test]
fn a_folder_that_takes_no_files() {
    let work = WorkFolder::new();
    // Unlike file permissions this also stops the administrator: nobody can create files there.
    let run = work.run(&["make", &demo("dispensing-arm"), "--out", "/proc/gripwright"]);
    assert_eq!(run.code, 4, "{}", run.err);
}
