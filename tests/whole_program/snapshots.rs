//! Printed output for the demos, compared word for word with accepted snapshots. After an intended change, run the tests
//! once with `GRIPWRIGHT_ACCEPT=1` and read the difference before committing it.

use std::fs;

use crate::program::{DEMOS, WorkFolder, demo, root};

/// Compares a text with its snapshot; renews the snapshot if asked to.
fn compare(name: &str, text: &str) {
    let path = root().join("tests/whole_program/snapshots").join(name);
    if std::env::var_os("GRIPWRIGHT_ACCEPT").is_some() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, text).unwrap();
    }
    // A missing snapshot would look like an accepted empty one.
    let expected = fs::read_to_string(&path).unwrap_or_else(|e| panic!("no accepted snapshot {name}: {e}"));
    assert_eq!(text, expected, "{name} differs from the accepted snapshot");
}

#[test]
fn fit_tables_of_the_demos() {
    for name in DEMOS {
        let run = WorkFolder::new().run(&["check", &demo(name)]);
        compare(&format!("{name}.txt"), &run.out);
    }
}

#[test]
fn lists_of_coupons_of_the_demos() {
    for name in DEMOS {
        let work = WorkFolder::new();
        assert_eq!(work.run(&["coupons", &demo(name), "--quiet", "--out", "o"]).code, 0);
        compare(&format!("{name}-coupons.csv"), &fs::read_to_string(work.path("o/coupons.csv")).unwrap());
    }
}

/// The pictures of the demos' page are the program's own. They are renewed with the snapshots and not compared byte
/// for byte: another processor may round a pixel differently.
#[test]
fn pictures_of_the_demos() {
    for name in DEMOS {
        let work = WorkFolder::new();
        assert_eq!(work.run(&["make", &demo(name), "--quiet", "--out", "o"]).code, 0);
        for (made, kept) in [("holders", name.to_owned()), ("coupons-1", format!("{name}-coupons"))] {
            let made = fs::read(work.path(&format!("o/{made}.png"))).unwrap();
            let kept = root().join(format!("demo-specs/pictures/{kept}.png"));
            if std::env::var_os("GRIPWRIGHT_ACCEPT").is_some() {
                fs::write(&kept, &made).unwrap();
            }
            // Signature, and width and height in the header.
            assert_eq!(made[..24], fs::read(&kept).unwrap()[..24], "{}", kept.display());
        }
    }
}

/// The example of trials in the user guide, and its figures, which are renewed with the snapshots.
#[test]
fn the_example_of_trials() {
    let work = WorkFolder::new();
    let trials = root().join("demo-specs/trials/dispensing-arm.csv").display().to_string();
    let run = work.run(&["calibrate", &demo("dispensing-arm"), &trials, "--out", "o"]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.out.lines().all(|line| line.chars().count() <= 80), "{}", run.out);
    // The last lines name a temporary folder.
    compare("dispensing-arm-trials.txt", run.out.split("To use it").next().unwrap_or_default());
    for (made, kept) in [("coupons", "trials"), ("beliefs", "beliefs")] {
        let made = fs::read(work.path(&format!("o/calibration-{made}.svg"))).unwrap();
        let kept = root().join(format!("demo-specs/pictures/dispensing-arm-{kept}.svg"));
        if std::env::var_os("GRIPWRIGHT_ACCEPT").is_some() {
            fs::write(&kept, &made).unwrap();
        }
        let head = |bytes: &[u8]| String::from_utf8_lossy(bytes).lines().take(3).collect::<Vec<_>>().join("\n");
        assert_eq!(head(&made), head(&fs::read(&kept).unwrap()), "{}", kept.display());
    }
}

#[test]
fn help_texts() {
    let work = WorkFolder::new();
    compare("help.txt", &work.run(&["--help"]).out);
    compare("make-help.txt", &work.run(&["make", "--help"]).out);
}
