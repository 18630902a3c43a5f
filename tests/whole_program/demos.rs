//! The demo specs through every command.

use std::fs;

use serde_json::Value;

use crate::program::{DEMOS, WorkFolder, demo, root};

#[test]
fn every_demo_passes_every_command() {
    for name in DEMOS {
        let work = WorkFolder::new();
        let check = work.run(&["check", &demo(name)]);
        assert_eq!(check.code, 0, "{name}: {}{}", check.out, check.err);
        assert_eq!(work.all_paths(), Vec::<String>::new(), "check writes nothing");
        let make = work.run(&["make", &demo(name), "--verify"]);
        assert_eq!(make.code, 0, "{name}: {}", make.err);
        assert!(make.out.contains("Cautions"), "{name}");
        assert!(make.out.contains("Verified: a second mesher agrees about"), "{name}: {}", make.out);
        let coupons = work.run(&["coupons", &demo(name), "--out", "slices"]);
        assert_eq!(coupons.code, 0, "{name}: {}", coupons.err);
        let files = work.all_paths();
        for file in
            ["coupons.csv", "coupons-1.step", "coupons-1.stl", "coupons-1.3mf", "coupons-card.html", "design.json"]
        {
            assert!(files.contains(&format!("out/{name}/{file}")), "{name}: {file} in {files:?}");
            assert!(files.contains(&format!("slices/{file}")), "{name}: {file} in {files:?}");
        }
        assert!(files.iter().any(|f| f.starts_with(&format!("out/{name}/holder"))), "{name}: {files:?}");
        assert!(!files.iter().any(|f| f.starts_with("slices/holder")), "{name}: {files:?}");
        assert!(!files.iter().any(|f| f.contains("partial")), "{name}: {files:?}");
    }
}

#[test]
fn verification_changes_no_file_and_counts_the_parts() {
    let work = WorkFolder::new();
    let plain = work.run(&["make", &demo("round-cells"), "--json", "--out", "plain"]);
    let verified = work.run(&["make", &demo("round-cells"), "--json", "--verify", "--out", "verified"]);
    assert_eq!((plain.code, verified.code), (0, 0), "{}{}", plain.err, verified.err);
    for entry in fs::read_dir(work.path("plain")).unwrap() {
        let path = entry.unwrap().path();
        let twin = work.path("verified").join(path.file_name().unwrap());
        assert!(fs::read(&path).unwrap() == fs::read(&twin).unwrap(), "{} differs", path.display());
    }
    let [plain, mut verified]: [Value; 2] = [plain, verified].map(|run| serde_json::from_str(&run.out).unwrap());
    let figures = verified.as_object_mut().unwrap().remove("verification").unwrap();
    assert_eq!(plain, verified);
    let files = plain["files"].as_array().unwrap().iter().filter(|file| file["kind"] == "step");
    let parts: usize = files.map(|file| file["parts"].as_array().unwrap().len()).sum();
    assert_eq!(figures["parts"], parts);
    for limit in ["distance", "volume", "centre_of_gravity"] {
        let share = figures["greatest_share_of_limit"][limit].as_f64().unwrap();
        assert!(share > 0.0 && share <= 1.0, "{limit}: {share}");
    }
}

#[test]
fn two_runs_in_two_folders_give_the_same_bytes() {
    for name in DEMOS {
        let work = WorkFolder::new();
        for folder in ["one", "two/deep"] {
            assert_eq!(work.run(&["make", &demo(name), "--out", folder, "--quiet"]).code, 0);
        }
        let mut compared = 0;
        for entry in fs::read_dir(work.path("one")).unwrap() {
            let path = entry.unwrap().path();
            let twin = work.path("two/deep").join(path.file_name().unwrap());
            assert!(fs::read(&path).unwrap() == fs::read(&twin).unwrap(), "{} differs", path.display());
            compared += 1;
        }
        assert!(compared >= 8, "{name}: only {compared} files");
    }
}

#[test]
fn the_json_document_lists_the_files_that_were_written() {
    let work = WorkFolder::new();
    let run = work.run(&["make", &demo("dispensing-arm"), "--json", "--out", "o"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let document: Value = serde_json::from_str(&run.out).unwrap();
    let files = [&document["files"], &document["mould"]["files"]].map(|files| files.as_array().unwrap());
    let mut listed: Vec<String> =
        files.into_iter().flatten().map(|f| format!("o/{}", f["path"].as_str().unwrap())).collect();
    listed.extend(["o", "o/design.json", "o/mould.json"].map(str::to_owned));
    listed.sort();
    listed.dedup();
    assert_eq!(listed, work.all_paths());
    assert_eq!(document["done"], true);
}

#[test]
fn an_outdated_file_of_an_earlier_run_goes() {
    let work = WorkFolder::new();
    let spec = fs::read_to_string(demo("dispensing-arm")).unwrap();
    work.write("spec.toml", &spec);
    assert_eq!(work.run(&["make", "spec.toml", "--out", "o"]).code, 0);
    work.write("o/mine.txt", "kept");
    assert_eq!(work.run(&["coupons", "spec.toml", "--out", "o"]).code, 0);
    let files = work.all_paths();
    assert!(files.contains(&"o/mine.txt".to_owned()), "what the program did not write stays");
    assert!(!files.iter().any(|f| f.starts_with("o/holder")), "{files:?}");
}

#[test]
fn quiet_says_nothing_when_all_is_well() {
    let work = WorkFolder::new();
    let run = work.run(&["make", &demo("dispensing-arm"), "--quiet"]);
    assert_eq!((run.code, run.out.as_str(), run.err.as_str()), (0, "", ""));
}

#[test]
fn the_starter_spec_can_be_made_at_once() {
    let work = WorkFolder::new();
    assert_eq!(work.run(&["new", "mine.toml"]).code, 0);
    let check = work.run(&["check", "mine.toml"]);
    assert!(check.out.ends_with("\n`gripwright make SPEC` makes everything.\n"), "{}", check.out);
    let make = work.run(&["make", "mine.toml"]);
    assert_eq!(make.code, 0, "{}", make.err);
    assert!(make.out.contains("\nNext: open out/mine/coupons-card.html and work through it\n"), "{}", make.out);
    assert!(work.path("out/mine/design.json").is_file());
    let again = work.run(&["new", "mine.toml"]);
    assert_eq!(again.code, 4, "a spec is never overwritten");
    // The command has no option that chooses a folder.
    assert!(again.err.ends_with("exists already\n  hint: give the spec another name or folder\n"), "{}", again.err);
}

#[test]
fn the_date_in_step_files_follows_the_environment() {
    let work = WorkFolder::new();
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_gripwright"));
    command.args(["make", &demo("dispensing-arm"), "--quiet", "--out"]).arg(work.path("o"));
    assert!(command.env("SOURCE_DATE_EPOCH", "86400").status().unwrap().success());
    let text = fs::read_to_string(work.path("o/coupons-1.step")).unwrap();
    assert!(text.contains("1970-01-02T00:00:00"), "the second day of 1970");
}

#[test]
fn the_fit_table_fits_eighty_columns_and_says_how_sure_it_is() {
    for name in DEMOS {
        let run = WorkFolder::new().run(&["check", &demo(name)]);
        let words = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains("Try the coupons before you trust them"), "{name}");
        assert!(run.out.lines().nth(2).is_some_and(|line| line.starts_with("Serves ")), "{name}");
        for line in run.out.lines() {
            assert!(line.chars().count() <= 80, "{name}: {line}");
        }
    }
}

#[test]
fn the_page_of_demos_shows_every_demo_with_its_picture() {
    let folder = root().join("demo-specs");
    let page = fs::read_to_string(folder.join("README.md")).unwrap();
    for name in DEMOS {
        assert!(page.contains(&format!("({name}.toml)")), "{name}");
        let picture = format!("pictures/{name}.png");
        assert!(page.contains(&format!("({picture})")), "{name}");
        assert!(folder.join(picture).is_file(), "{name}");
    }
}
