//! What the program says of the demos, word for word. After a change that is meant, run the tests once with
//! `GRIPWRIGHT_ACCEPT=1` and read the difference before committing it.

use std::fs;

use crate::program::{Bench, DEMOS, demo, root};

fn compare(name: &str, text: &str) {
    let path = root().join("tests/whole_program/snapshots").join(name);
    if std::env::var_os("GRIPWRIGHT_ACCEPT").is_some() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, text).unwrap();
    }
    let expected = fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(text, expected, "{name} is not what was accepted");
}

#[test]
fn fit_tables_of_the_demos() {
    for name in DEMOS {
        let run = Bench::new().run(&["check", &demo(name)]);
        compare(&format!("{name}.txt"), &run.out);
    }
}

#[test]
fn lists_of_coupons_of_the_demos() {
    for name in DEMOS {
        let bench = Bench::new();
        assert_eq!(bench.run(&["coupons", &demo(name), "--quiet", "--out", "o"]).code, 0);
        compare(&format!("{name}-coupons.csv"), &fs::read_to_string(bench.path("o/coupons.csv")).unwrap());
    }
}

/// The pictures of the README are the program's own. They are renewed with the snapshots and not compared byte for byte:
/// another processor may round a pixel otherwise.
#[test]
fn pictures_of_the_readme() {
    for name in DEMOS {
        let bench = Bench::new();
        assert_eq!(bench.run(&["make", &demo(name), "--quiet", "--out", "o"]).code, 0);
        for (made, kept) in [("holders", name.to_owned()), ("coupons-1", format!("{name}-coupons"))] {
            let made = fs::read(bench.path(&format!("o/{made}.png"))).unwrap();
            let kept = root().join(format!("demo-specs/pictures/{kept}.png"));
            if std::env::var_os("GRIPWRIGHT_ACCEPT").is_some() {
                fs::write(&kept, &made).unwrap();
            }
            // Signature, and width and height in the header.
            assert_eq!(made[..24], fs::read(&kept).unwrap()[..24], "{}", kept.display());
        }
    }
}

#[test]
fn help_texts() {
    let bench = Bench::new();
    compare("help.txt", &bench.run(&["--help"]).out);
    compare("make-help.txt", &bench.run(&["make", "--help"]).out);
}
