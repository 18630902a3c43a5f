//! Places that cannot be written: exit code 4, and nothing left behind.

use std::fs;

use crate::program::{Bench, demo};

#[test]
fn an_out_path_through_a_file() {
    let bench = Bench::new();
    bench.write("plain", "a file");
    for out in ["plain", "plain/below", "plain/far/below"] {
        let run = bench.run(&["make", &demo("dispensing-arm"), "--out", out]);
        assert_eq!(run.code, 4, "{out}: {}", run.err);
        assert!(run.err.contains("plain"), "{}", run.err);
    }
    assert_eq!(bench.everything(), ["plain"]);
}

#[test]
fn no_room_for_the_files() {
    let bench = Bench::new();
    // The small files fit, the larger ones do not: the run must take the small ones back.
    let run = bench.run_without_room(8, &["make", &demo("dispensing-arm"), "--out", "deep/er"]);
    assert_eq!(run.code, 4, "{}", run.err);
    assert_eq!(bench.everything(), Vec::<String>::new());
}

#[test]
fn an_earlier_run_survives_a_failed_one() {
    let bench = Bench::new();
    assert_eq!(bench.run(&["make", &demo("dispensing-arm"), "--out", "o"]).code, 0);
    let before = bench.everything();
    let bytes = fs::read(bench.path("o/coupons-1.step")).unwrap();
    let run = bench.run_without_room(8, &["make", &demo("round-cells"), "--out", "o"]);
    assert_eq!(run.code, 4, "{}", run.err);
    assert_eq!(bench.everything(), before);
    assert!(fs::read(bench.path("o/coupons-1.step")).unwrap() == bytes);
}

#[test]
fn a_folder_in_the_place_of_a_file() {
    let bench = Bench::new();
    fs::create_dir_all(bench.path("o/coupons.csv")).unwrap();
    let run = bench.run(&["make", &demo("dispensing-arm"), "--out", "o"]);
    assert_eq!(run.code, 4, "{}", run.err);
    assert_eq!(bench.everything(), ["o", "o/coupons.csv"]);
}

#[test]
fn a_folder_that_takes_no_files() {
    let bench = Bench::new();
    // Holds for the administrator too, unlike permissions: the kernel lets nobody make files there.
    let run = bench.run(&["make", &demo("dispensing-arm"), "--out", "/proc/gripwright"]);
    assert_eq!(run.code, 4, "{}", run.err);
}
