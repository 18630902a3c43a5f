//! Files of people in output folders: no command overwrites or removes what no run wrote, or what was changed since.

use std::{fs, process::Command, thread};

use serde_json::Value;
use sha2::{Digest, Sha256};

use crate::{
    calibration::{FIRST, SECOND, spec},
    program::{WorkFolder, demo},
};

/// Hint of a refusal to overwrite.
const HINT: &str = "hint: move or rename it, or choose another folder with `--out`";

/// True if a document lists files with the digests that they have.
pub(crate) fn is_whole(work: &WorkFolder, document: &str) -> bool {
    let Ok(text) = fs::read_to_string(work.path(document)) else { return false };
    let Ok(parsed) = serde_json::from_str::<Value>(&text) else { return false };
    let folder = work.path(document).parent().unwrap().to_path_buf();
    let files = parsed["files"].as_array().unwrap();
    let same = |file: &Value| {
        let bytes = fs::read(folder.join(file["path"].as_str().unwrap())).unwrap_or_default();
        file["sha256"].as_str() == Some(&format!("{:x}", Sha256::digest(bytes)))
    };
    !files.is_empty() && files.iter().all(same)
}

fn make(work: &WorkFolder, name: &str) -> i32 {
    work.run(&["make", &demo(name), "--out", "o", "--quiet"]).code
}

#[test]
fn a_document_lists_its_files_with_their_digests() {
    let work = WorkFolder::new();
    assert_eq!(make(&work, "dispensing-arm"), 0);
    assert!(is_whole(&work, "o/design.json") && is_whole(&work, "o/mould.json"));
    let text = fs::read_to_string(work.path("o/design.json")).unwrap();
    let (start, digits) = text.rsplit_once("\"sealed\": \"seal sha256 ").unwrap();
    let open = format!("{start}\"sealed\": \"seal sha256 {}{}", "0".repeat(64), &digits[64..]);
    assert_eq!(digits[..64], format!("{:x}", Sha256::digest(open)));
}

#[test]
fn a_document_of_another_program_lists_nothing_that_is_ours() {
    let work = WorkFolder::new();
    fs::create_dir(work.path("o")).unwrap();
    for name in ["thesis.txt", "holder-old.step", "trials.csv"] {
        work.write(&format!("o/{name}"), "mine");
    }
    let listed = ["thesis.txt", "holder-old.step", "trials.csv"].map(|name| format!("{{ \"path\": \"{name}\" }}"));
    let document = format!("{{ \"files\": [{}] }}", listed.join(", "));
    work.write("o/design.json", &document);
    let before = work.all_paths();
    let run = work.run(&["make", &demo("seatpost-lamps"), "--out", "o"]);
    assert!(run.code == 4 && run.err.contains("o/design.json") && run.err.contains(HINT), "{}", run.err);
    assert_eq!(work.all_paths(), before);
    // The hint helps, and all else stays.
    fs::rename(work.path("o/design.json"), work.path("o/theirs.json")).unwrap();
    assert_eq!(make(&work, "seatpost-lamps"), 0);
    for name in ["thesis.txt", "holder-old.step", "trials.csv"] {
        assert_eq!(fs::read_to_string(work.path(&format!("o/{name}"))).unwrap(), "mine");
    }
}

#[test]
fn a_file_that_no_run_wrote_is_not_overwritten() {
    let work = WorkFolder::new();
    fs::create_dir(work.path("o")).unwrap();
    for name in ["holder-a.step", "coupons.csv"] {
        work.write(&format!("o/{name}"), "mine");
    }
    let run = work.run(&["make", &demo("seatpost-lamps"), "--out", "o"]);
    assert!(run.code == 4 && run.err.contains(HINT), "{}", run.err);
    assert!(run.err.contains("`o/holder-a.step`, `o/coupons.csv`"), "{}", run.err);
    assert_eq!(work.all_paths(), ["o", "o/coupons.csv", "o/holder-a.step"]);
    let elsewhere = work.run(&["make", &demo("seatpost-lamps"), "--out", "p", "--quiet"]);
    assert_eq!(elsewhere.code, 0, "the hint helps: {}", elsewhere.err);
    assert_eq!(fs::read_to_string(work.path("o/holder-a.step")).unwrap(), "mine");
}

#[test]
fn a_file_that_was_changed_since_a_run_stays() {
    let work = WorkFolder::new();
    assert_eq!(make(&work, "seatpost-lamps"), 0);
    let is_kept = |name: &str| {
        let path = work.path(&format!("o/{name}"));
        let ours = fs::read(&path).unwrap();
        let theirs = [&ours[..], b" "].concat();
        fs::write(&path, &theirs).unwrap();
        let run = work.run(&["make", &demo("round-cells"), "--out", "o"]);
        let kept = fs::read(&path).unwrap() == theirs;
        fs::write(&path, ours).unwrap();
        (run.code, kept && run.err.contains(name) && run.err.contains(HINT))
    };
    for name in ["design.json", "coupons.csv", "coupons-1.stl"] {
        assert_eq!(is_kept(name), (4, true), "{name}");
        assert!(is_whole(&work, "o/design.json"));
    }
    // What the next run does not make is left in place.
    work.write("o/holder-c.stl", "mine");
    assert_eq!(make(&work, "wire-cutter"), 0);
    assert_eq!(fs::read_to_string(work.path("o/holder-c.stl")).unwrap(), "mine");
    assert!(is_whole(&work, "o/design.json") && !work.path("o/holder-c.step").exists());
}

#[test]
fn a_trials_sheet_with_anything_written_on_it_is_kept() {
    for addition in [
        "# tried on Monday, all with the grey spool\r\n",
        "A+0.3,,,,,,,,\r\n",
        "A+0.1,another tool,,,,,,,\r\n",
        ",,,,,,,,,squeaks\r\n",
    ] {
        let work = WorkFolder::new();
        spec(&work, None);
        assert_eq!(work.run(&["coupons", "spec.toml", "--out", "o", "--quiet"]).code, 0);
        let written = fs::read_to_string(work.path("o/trials.csv")).unwrap() + addition;
        work.write("o/trials.csv", &written);
        for command in ["coupons", "make"] {
            assert_eq!(work.run(&[command, "spec.toml", "--out", "o", "--quiet"]).code, 0);
        }
        assert_eq!(make(&work, "round-cells"), 0);
        assert_eq!(fs::read_to_string(work.path("o/trials.csv")).unwrap(), written, "{addition}");
    }
}

#[test]
fn a_calibration_begun_afresh_replaces_calibrations_alone() {
    let work = WorkFolder::new();
    fs::create_dir(work.path("deep")).unwrap();
    for (named, text) in
        [("filled.csv", FIRST), ("spec.toml", ""), ("../notes.txt", "mine"), ("calibration.toml", "# mine\n")]
    {
        spec(&work, Some(named));
        let spec_text = fs::read_to_string(work.path("spec.toml")).unwrap();
        work.write("deep/filled.csv", FIRST);
        work.write("deep/spec.toml", &spec_text);
        if named != "spec.toml" {
            work.write(&format!("deep/{named}"), text);
        }
        let before = fs::read(work.path(&format!("deep/{named}"))).unwrap();
        let run = work.run(&["calibrate", "deep/spec.toml", "deep/filled.csv", "--afresh"]);
        assert!(run.code == 4 && run.err.contains(HINT), "{named}: {}", run.err);
        assert!(fs::read(work.path(&format!("deep/{named}"))).unwrap() == before, "{named}");
        let elsewhere = work.run(&["calibrate", "deep/spec.toml", "deep/filled.csv", "--afresh", "--out", "c"]);
        assert_eq!(elsewhere.code, 0, "the hint helps: {}", elsewhere.err);
    }
    // A calibration that somebody edited stays as well; one that a run wrote begins afresh.
    spec(&work, None);
    work.write("first.csv", FIRST);
    let calibrate = || work.run(&["calibrate", "spec.toml", "first.csv", "--afresh", "--quiet"]).code;
    assert_eq!((calibrate(), calibrate()), (0, 0));
    let text = fs::read_to_string(work.path("calibration.toml")).unwrap();
    work.write("calibration.toml", text.replace("invented", "invented, on the kitchen scale"));
    assert_eq!(calibrate(), 4);
}

#[test]
fn coupons_after_everything_say_what_goes() {
    let work = WorkFolder::new();
    work.write("spec.toml", fs::read_to_string(demo("seatpost-lamps")).unwrap());
    assert_eq!(work.run(&["make", "spec.toml", "--out", "o", "--quiet"]).code, 0);
    let run = work.run(&["coupons", "spec.toml", "--out", "o"]);
    assert!(run.out.contains("Removed, since this run does not make them\n  o/holder-a.step\n"), "{}", run.out);
    assert!(!work.path("o/holder-a.step").exists() && is_whole(&work, "o/design.json"));
    assert_eq!(work.run(&["make", "spec.toml", "--out", "o", "--quiet"]).code, 0);
    let document: Value =
        serde_json::from_str(&work.run(&["coupons", "spec.toml", "--out", "o", "--json"]).out).unwrap();
    assert!(document["removed"].to_string().contains("\"holder-a.stl\""), "{}", document["removed"]);
}

#[test]
fn two_calibrations_at_once_keep_both_rounds() {
    let work = WorkFolder::new();
    spec(&work, None);
    work.write("first.csv", FIRST);
    work.write("second.csv", SECOND);
    for _ in 0..3 {
        thread::scope(|scope| {
            for file in ["first.csv", "second.csv"] {
                let work = &work;
                scope.spawn(move || assert_eq!(work.run(&["calibrate", "spec.toml", file, "--quiet"]).code, 0));
            }
        });
        let text = fs::read_to_string(work.path("calibration.toml")).unwrap();
        assert!(text.contains("first.csv") && text.contains("second.csv"), "{text}");
        fs::remove_file(work.path("calibration.toml")).unwrap();
    }
}

#[test]
fn two_runs_at_once_leave_one_whole_folder() {
    let work = WorkFolder::new();
    for _ in 0..3 {
        thread::scope(|scope| {
            for name in ["seatpost-lamps", "round-cells"] {
                let work = &work;
                scope.spawn(move || assert_eq!(make(work, name), 0));
            }
        });
        assert!(is_whole(&work, "o/design.json"));
        assert!(work.all_paths().iter().all(|path| !path.contains(".gripwright-")), "{:?}", work.all_paths());
    }
}

#[test]
fn a_folder_that_stays_in_use_is_named_with_its_user() {
    let work = WorkFolder::new();
    fs::create_dir(work.path("o")).unwrap();
    work.write("o/.gripwright-lock", "process 42, `gripwright make other.toml`");
    let lock = fs::File::open(work.path("o/.gripwright-lock")).unwrap();
    lock.lock().unwrap();
    let run = work.run(&["make", &demo("seatpost-lamps"), "--out", "o"]);
    assert_eq!(run.code, 4, "{}", run.err);
    assert!(run.err.contains("`o` is in use by process 42, `gripwright make other.toml`"), "{}", run.err);
    assert_eq!(work.all_paths(), ["o", "o/.gripwright-lock"]);
    drop(lock);
    assert_eq!(make(&work, "seatpost-lamps"), 0, "a lock without an owner holds nobody up");
    assert!(!work.path("o/.gripwright-lock").exists());
}

#[test]
fn files_of_killed_runs_are_swept() {
    let work = WorkFolder::new();
    fs::create_dir(work.path("o")).unwrap();
    work.write("o/.gripwright-AbCdEf.partial", "half");
    assert_eq!(make(&work, "seatpost-lamps"), 0);
    assert!(!work.path("o/.gripwright-AbCdEf.partial").exists());
}

/// Links and pipes in the place of files.
#[cfg(target_os = "linux")]
#[test]
fn endless_files_hold_nobody_up() {
    use std::os::unix::fs::symlink;
    let work = WorkFolder::new();
    fs::create_dir(work.path("o")).unwrap();
    symlink("/dev/zero", work.path("o/trials.csv")).unwrap();
    assert_eq!(make(&work, "seatpost-lamps"), 0, "the sheet gets another name");
    assert!(work.path("o/trials-2.csv").exists());
    let pipe = |name: &str| {
        let _ = fs::remove_file(work.path(name));
        assert!(Command::new("mkfifo").arg(work.path(name)).status().unwrap().success());
    };
    for name in ["o/design.json", "o/coupons.csv"] {
        pipe(name);
        let run = work.run(&["make", &demo("round-cells"), "--out", "o"]);
        assert_eq!(run.code, 4, "{name}: {}", run.err);
        fs::remove_file(work.path(name)).unwrap();
        let _ = fs::remove_dir_all(work.path("o"));
        assert_eq!(make(&work, "seatpost-lamps"), 0);
    }
    pipe("pipe");
    for arguments in [vec!["check", "pipe"], vec!["calibrate", &demo("seatpost-lamps"), "pipe", "--out", "c"]] {
        let run = work.run(&arguments);
        assert!(run.code == 1 && run.err.contains("it is not a regular file"), "{}", run.err);
    }
    for (from, to) in [
        ("print = \"petg\"", "print = \"petg\"\nlibrary = \"pipe\""),
        ("least_wall", "calibration = \"pipe\"\nleast_wall"),
    ] {
        let text = gripwright::STARTER_SPEC;
        assert!(text.contains(from), "{from}");
        work.write("spec.toml", text.replacen(from, to, 1));
        let run = work.run(&["check", "spec.toml"]);
        assert!(run.code == 1 && run.err.contains("it is not a regular file"), "{}", run.err);
    }
}
