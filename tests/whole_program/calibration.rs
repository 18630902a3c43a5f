//! Calibration from end to end: coupon set, filled trials file, calibrated holder. All outcomes are invented.

use std::{fs, path::Path};

use serde_json::Value;

use crate::program::{WorkFolder, demo, root};

/// Writes a spec into the folder, with or without a calibration.
pub(crate) fn spec(work: &WorkFolder, calibration: Option<&str>) -> String {
    let text = fs::read_to_string(root().join("crates/calibration/data/three-lamps.toml")).unwrap();
    // Two of its three lamps are enough here.
    let (from, to) = (text.find("[[tools]]\nname = \"long lamp\"").unwrap(), text.find("[layout]").unwrap());
    let text = [&text[..from], &text[to..]].concat();
    let key = calibration.map_or(String::new(), |file| format!("\ncalibration = \"{file}\""));
    assert!(text.contains("least_wall = 0.8"));
    work.write("spec.toml", text.replace("least_wall = 0.8", &format!("least_wall = 0.8{key}")))
}

/// Invented outcomes of a printer whose bores come out about 0.1 mm too tight.
pub(crate) const FIRST: &str = "coupon,tool,outcome,pull,slide,bore,note\n\
    A-0.1,slim lamp,would-not-go,,,,invented\n\
    A+0.1,slim lamp,good,,,18.71,\n\
    A+0.2,slim lamp,loose,,,,\n\
    B+0.0,middle lamp,tight,,,21.98,\n\
    B+0.1,middle lamp,good,,,,\n\
    B+0.2,middle lamp,good,,,,\n\
    B-0.2,middle lamp,,,,,not tried yet\n\
    M+0.1,body,good,,,,\n";
pub(crate) const SECOND: &str = "coupon;tool;outcome\nA+0.12;slim lamp;good\nB+0.08;middle lamp;good\n";

fn calibrate(work: &WorkFolder, files: &[&str]) -> Value {
    let mut arguments = vec!["calibrate", "spec.toml"];
    arguments.extend(files);
    arguments.push("--json");
    let run = work.run(&arguments);
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    serde_json::from_str(&run.out).unwrap()
}

fn json(work: &WorkFolder, arguments: &[&str]) -> (i32, Value) {
    let run = work.run(arguments);
    let document = serde_json::from_str(&run.out).unwrap_or_else(|e| panic!("{e}: {}{}", run.out, run.err));
    (run.code, document)
}

#[test]
fn a_coupon_set_writes_a_trials_file_that_can_be_filled_and_read() {
    let work = WorkFolder::new();
    spec(&work, None);
    assert_eq!(work.run(&["coupons", "spec.toml", "--out", "o", "--quiet"]).code, 0);
    let sheet = fs::read_to_string(work.path("o/trials.csv")).unwrap();
    assert!(
        sheet.starts_with("coupon,tool,outcome,pull,slide,drag,load,bore,note\r\nA-0.2,slim lamp,,,,,,,\r\n"),
        "{sheet}"
    );
    assert!(sheet.contains("\r\nM+0.0,body,,,,,,,\r\n"), "{sheet}");
    // A blank trials file is refused.
    let (code, document) = json(&work, &["calibrate", "spec.toml", "o/trials.csv", "--json"]);
    assert_eq!((code, document["diagnostics"][0]["code"].as_str()), (1, Some("no-trials")));
    assert!(!work.path("calibration.toml").exists());
    // A filled trials file survives every run, of this spec and of another one.
    let filled = sheet.replace("A+0.1,slim lamp,", "A+0.1,slim lamp,good");
    work.write("o/trials.csv", &filled);
    assert_eq!(work.run(&["coupons", "spec.toml", "--out", "o", "--quiet"]).code, 0);
    assert_eq!(work.run(&["make", &demo("round-cells"), "--out", "o", "--quiet"]).code, 0);
    assert_eq!(work.run(&["coupons", "spec.toml", "--out", "o", "--quiet"]).code, 0);
    assert_eq!(fs::read_to_string(work.path("o/trials.csv")).unwrap(), filled);
    let found = calibrate(&work, &["o/trials.csv"]);
    assert_eq!(found["rows"], 1);
}

#[test]
fn calibrated_bores_move_by_the_estimated_error() {
    let work = WorkFolder::new();
    spec(&work, None);
    // Consistent rows leave the estimate of friction as good as before, so that the clips do not change.
    let mut first = FIRST.to_owned();
    for odd in ["A-0.1,slim lamp,would-not-go", "A+0.2,slim lamp,loose", "B+0.0,middle lamp,tight"] {
        let (row, _) = odd.rsplit_once(',').unwrap();
        first = first.replace(odd, &format!("{row},good"));
    }
    work.write("first.csv", first);
    let found = calibrate(&work, &["first.csv"]);
    let draw = found["sizes"][0]["draw_mm"].as_f64().unwrap();
    let target = found["sizes"][0]["target_mm"].as_f64().unwrap();
    // Bores that come out too tight are drawn larger.
    assert!(draw > 0.03 && draw < 0.25, "{draw}");
    for file in ["calibration-beliefs.svg", "calibration-coupons.svg", "calibration-fit.svg"] {
        assert!(fs::read_to_string(work.path(file)).unwrap().starts_with("<svg"), "{file}");
    }
    let (code, before) = json(&work, &["make", "spec.toml", "--json", "--out", "before"]);
    assert_eq!(code, 0);
    spec(&work, Some("calibration.toml"));
    let (code, after) = json(&work, &["make", "spec.toml", "--json", "--out", "after"]);
    assert_eq!(code, 0, "{after:#}");
    let seat = |document: &Value| 2.0 * document["sizes"][0]["seat_radius_mm"].as_f64().unwrap();
    assert!((seat(&after) - seat(&before) - target).abs() < 1e-3, "the table states the target seat");
    // The file has the cylinder as drawn.
    let drawn = 0.5 * (seat(&before) + draw);
    assert!(has_cylinder(&work.path("after/holder-a.step"), drawn), "no cylinder of {drawn}");
    assert!(!has_cylinder(&work.path("before/holder-a.step"), drawn));
    // The middle coupon has the bore of the holder, and its identity states the drawn step.
    let coupons = fs::read_to_string(work.path("after/coupons.csv")).unwrap();
    let middle = format!("A{draw:+.2}").trim_end_matches('0').to_owned();
    assert!(coupons.contains(&format!("\r\n{middle}")), "{middle}: {coupons}");
    assert!(work.path("after/trials-2.csv").is_file(), "the second round has its own trials file");
    let table = work.run(&["check", "spec.toml"]).out;
    assert!(table.contains("as trials taught"), "{table}");
    for line in table.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

/// True if a STEP file has a cylinder or cone of this radius.
fn has_cylinder(path: &Path, radius_mm: f64) -> bool {
    let text = fs::read_to_string(path).unwrap();
    text.lines().filter(|l| l.contains("CYLINDRICAL_SURFACE") || l.contains("CONICAL_SURFACE")).any(|line| {
        let numbers = line.split([',', ')', '(', ';']).filter_map(|part| part.trim().parse::<f64>().ok());
        numbers.into_iter().any(|n| (n - radius_mm).abs() < 1e-6)
    })
}

#[test]
fn rounds_accumulate_independently_of_the_order_of_rows_and_files() {
    let work = WorkFolder::new();
    spec(&work, None);
    work.write("first.csv", FIRST);
    work.write("second.csv", SECOND);
    calibrate(&work, &["first.csv"]);
    let found = calibrate(&work, &["second.csv"]);
    assert_eq!(found["rows"], 9, "the rows of the first round are kept");
    let one_by_one = fs::read(work.path("calibration.toml")).unwrap();
    let again = calibrate(&work, &["second.csv"]);
    assert_eq!(again["rows"], 9, "a file that is read again counts once");
    let mut lines: Vec<&str> = FIRST.lines().collect();
    lines[1..].reverse();
    work.write("first.csv", lines.join("\r\n"));
    fs::remove_file(work.path("calibration.toml")).unwrap();
    calibrate(&work, &["second.csv", "first.csv"]);
    assert!(fs::read(work.path("calibration.toml")).unwrap() == one_by_one, "byte for byte");
    // A file with fewer rows would lose some: it says so and asks.
    let first: String = fs::read_to_string(work.path("first.csv")).unwrap();
    work.write("first.csv", first.lines().take(3).collect::<Vec<_>>().join("\n"));
    let (code, document) = json(&work, &["calibrate", "spec.toml", "first.csv", "--json"]);
    assert_eq!((code, document["diagnostics"][0]["code"].as_str()), (1, Some("lost-rows")));
    assert!(fs::read(work.path("calibration.toml")).unwrap() == one_by_one);
    let (code, document) =
        json(&work, &["calibrate", "spec.toml", "first.csv", "--replace", "--json", "--out", "other"]);
    assert_eq!((code, document["rows"].as_u64()), (0, Some(1)), "another folder has no earlier rows");
    // Another round under the file name of an earlier one would replace its rows.
    work.write("first.csv", "coupon,tool,outcome\nB+0.14,middle lamp,good\n");
    let (code, document) = json(&work, &["calibrate", "spec.toml", "first.csv", "--json"]);
    assert_eq!((code, document["diagnostics"][0]["code"].as_str()), (1, Some("other-round")));
    assert!(fs::read(work.path("calibration.toml")).unwrap() == one_by_one);
    let (code, document) = json(&work, &["calibrate", "spec.toml", "first.csv", "--afresh", "--json"]);
    assert_eq!((code, document["rows"].as_u64()), (0, Some(1)));
}

#[test]
fn measured_drags_improve_friction_and_are_kept() {
    let work = WorkFolder::new();
    spec(&work, None);
    work.write("first.csv", "coupon,tool,outcome,pull\nA-0.1,slim lamp,good,\nA+0.1,slim lamp,good,12 N\n");
    let before = calibrate(&work, &["first.csv"]);
    assert_eq!(before["measure"]["best"]["what"], "drag");
    work.write(
        "second.csv",
        "coupon;tool;outcome;drag;load\nB+0.0;middle lamp;good;2,4;1 kg\nB+0.1;middle lamp;good;2.5 N;10 N\n\
         B+0.2;middle lamp;good;2,2;1 kg\nM+0.1;;good;19 N;10 N\n",
    );
    let after = calibrate(&work, &["second.csv"]);
    let sd = |found: &Value| found["friction"]["after"]["sd"].as_f64().unwrap();
    assert!(sd(&after) < 0.6 * sd(&before), "{} {}", sd(&after), sd(&before));
    let odd = after["contradictions"].to_string();
    assert!(odd.contains("the drag of 19.0 N under 10.0 N beside M+0.1 (second.csv) does not go"), "{odd}");
    let kept = fs::read_to_string(work.path("calibration.toml")).unwrap();
    assert!(kept.contains("drag = \"2.5 N\", load = \"10 N\""), "{kept}");
    // Reading the calibration back and writing it again changes nothing.
    let again = calibrate(&work, &["first.csv"]);
    assert_eq!(again["friction"], after["friction"]);
}

#[test]
fn a_calibration_of_another_spec_is_refused_with_the_difference() {
    let work = WorkFolder::new();
    spec(&work, None);
    work.write("first.csv", FIRST);
    calibrate(&work, &["first.csv"]);
    let kept = fs::read(work.path("calibration.toml")).unwrap();
    spec(&work, Some("calibration.toml"));
    let text = fs::read_to_string(work.path("spec.toml")).unwrap();
    for (from, to, part) in [
        ("mass = \"60 g\"", "mass = \"61 g\"", "tools"),
        ("23.5 h11", "23.4 h11", "tools"),
        ("print = \"petg\"", "print = \"pla\"", "material"),
        ("diameter = 27.2", "diameter = 27.3", "body"),
        ("least_wall = 0.8", "least_wall = 0.8\nseat_spread = 0.06", "printer"),
        ("[printer]", "[coupons]\nlength = 9\n\n[printer]", "coupons"),
    ] {
        assert!(text.contains(from), "{from}");
        work.write("spec.toml", text.replace(from, to));
        for command in ["check", "calibrate"] {
            let arguments: &[&str] = if command == "check" {
                &["check", "spec.toml", "--json"]
            } else {
                &["calibrate", "spec.toml", "first.csv", "--json"]
            };
            let (code, document) = json(&work, arguments);
            let first = &document["diagnostics"][0];
            assert_eq!((code, first["code"].as_str()), (1, Some("calibration-mismatch")), "{from}: {document:#}");
            assert!(first["message"].as_str().unwrap().contains(part), "{part}: {first:#}");
        }
        assert!(fs::read(work.path("calibration.toml")).unwrap() == kept, "an earlier calibration stays as it is");
    }
    // Coupon steps and bed do not change what was tried.
    work.write("spec.toml", text.replace("[printer]", "[coupons]\nclip_steps = [0.0]\n\n[printer]"));
    assert_eq!(work.run(&["check", "spec.toml"]).code, 0);
}

#[test]
fn broken_and_missing_calibrations_are_reported() {
    let work = WorkFolder::new();
    spec(&work, Some("absent.toml"));
    let (code, document) = json(&work, &["check", "spec.toml", "--json"]);
    let first = &document["diagnostics"][0];
    assert_eq!(
        (code, first["code"].as_str(), first["path"].as_str()),
        (1, Some("unreadable"), Some("printer.calibration"))
    );
    work.write("first.csv", FIRST);
    spec(&work, None);
    calibrate(&work, &["first.csv"]);
    let sound = fs::read_to_string(work.path("calibration.toml")).unwrap();
    spec(&work, Some("calibration.toml"));
    for (from, to, problem) in [
        ("format = 1", "format = 2", "out-of-range"),
        ("format = 1", "", "missing"),
        ("[friction]", "[frictoin]", "unknown-key"),
        ("outcome = \"tight\"", "outcome = \"tigt\"", "unknown-outcome"),
        ("coupon = \"B+0.0\"", "coupon = \"X+0.0\"", "unknown-coupon"),
        ("[made_for]", "[made_for", "syntax"),
    ] {
        assert!(sound.contains(from), "{from}");
        let broken = sound.replacen(from, to, 1);
        work.write("calibration.toml", &broken);
        for arguments in [&["check", "spec.toml", "--json"][..], &["calibrate", "spec.toml", "first.csv", "--json"]] {
            let (code, document) = json(&work, arguments);
            let codes: Vec<_> =
                document["diagnostics"].as_array().unwrap().iter().map(|d| d["code"].as_str()).collect();
            assert!(code == 1 && codes.contains(&Some(problem)), "{from}: {document:#}");
            assert!(document["diagnostics"][0]["file"].as_str().unwrap().ends_with("calibration.toml"));
        }
        assert_eq!(fs::read_to_string(work.path("calibration.toml")).unwrap(), broken, "it is not overwritten");
    }
}

#[test]
fn a_failed_or_killed_run_leaves_the_earlier_calibration() {
    let work = WorkFolder::new();
    spec(&work, None);
    work.write("first.csv", FIRST);
    calibrate(&work, &["first.csv"]);
    let files = ["calibration.toml", "calibration-beliefs.svg", "calibration-coupons.svg", "calibration-fit.svg"];
    let kept: Vec<Vec<u8>> = files.iter().map(|f| fs::read(work.path(f)).unwrap()).collect();
    let unchanged = |work: &WorkFolder| files.iter().zip(&kept).all(|(f, k)| fs::read(work.path(f)).unwrap() == *k);
    work.write("second.csv", SECOND);
    work.write("bad.csv", "coupon,tool,outcome\nA+0.1,slim lamp,nice\n");
    let before = work.all_paths();
    assert_eq!(work.run(&["calibrate", "spec.toml", "second.csv", "bad.csv"]).code, 1);
    // A full disk.
    assert_eq!(work.run_on_full_disk(4, &["calibrate", "spec.toml", "second.csv"]).code, 4);
    assert!(unchanged(&work));
    assert_eq!(work.all_paths(), before, "nothing half written is left");
    // A run that is killed at any moment leaves the old files or the new ones, never a part.
    for wait_ms in [0, 20, 60, 120, 200, 300] {
        work.kill_after(wait_ms, &["calibrate", "spec.toml", "second.csv", "--quiet"]);
        let text = fs::read_to_string(work.path("calibration.toml")).unwrap();
        assert!(
            unchanged(&work) || text.contains("second.csv") && text.contains("]\n# seal sha256 "),
            "after {wait_ms} ms"
        );
        assert!(fs::read_to_string(work.path("calibration-fit.svg")).unwrap().contains("</svg>\n<!-- seal sha256 "));
    }
}

#[test]
fn the_next_plate_is_proposed_until_nothing_more_can_be_learnt() {
    let work = WorkFolder::new();
    spec(&work, None);
    let (code, document) = json(&work, &["coupons", "spec.toml", "--next", "--most", "5", "--json", "--out", "o"]);
    assert_eq!(code, 0, "{document:#}");
    let proposed = document["next"]["coupons"].as_array().unwrap();
    assert!(!proposed.is_empty() && proposed.len() <= 5, "without trials everything is open: {document:#}");
    let sheet = fs::read_to_string(work.path("o/trials.csv")).unwrap();
    assert_eq!(sheet.lines().count(), proposed.len() + 1, "{sheet}");
    for coupon in proposed {
        assert!(sheet.contains(&format!("\r\n{},", coupon["coupon"].as_str().unwrap())), "{sheet}");
    }
    assert!(work.path("o/coupons-1.step").is_file());
    assert!(!work.path("o/holder-a.step").exists());
    // With both edges of every window shown from near, no plate is worthwhile, and none is made.
    let mut all = "coupon,tool,outcome\n".to_owned();
    for (size, tool) in [("A", "slim lamp"), ("B", "middle lamp"), ("M", "body")] {
        for (word, steps) in [
            ("tight", ["-0.17", "-0.14", "-0.12"]),
            ("good", ["-0.08", "+0.03", "+0.08"]),
            ("loose", ["+0.12", "+0.14", "+0.17"]),
        ] {
            all.extend(steps.map(|step| format!("{size}{step},{tool},{word}\n")));
        }
    }
    let one_sided = "coupon,tool,outcome\nA+0.0,slim lamp,good\nB+0.0,middle lamp,good\nM+0.0,body,good\n";
    work.write("one-sided.csv", one_sided);
    assert_eq!(calibrate(&work, &["one-sided.csv", "--out", "other"])["next"]["enough"], false);
    work.write("all.csv", &all);
    assert_eq!(calibrate(&work, &["all.csv"])["next"]["enough"], true);
    spec(&work, Some("calibration.toml"));
    let before = work.all_paths();
    let run = work.run(&["coupons", "spec.toml", "--next", "--out", "second"]);
    assert_eq!((run.code, work.all_paths()), (0, before), "{}", run.out);
    assert!(run.out.to_lowercase().contains("enough"), "{}", run.out);
    assert_eq!(work.run(&["coupons", "spec.toml", "--most", "5"]).code, 2, "--most belongs to --next");
}

#[test]
fn mistakes_in_trials_point_at_their_place() {
    let work = WorkFolder::new();
    spec(&work, None);
    work.write("bad.csv", "coupon,tool,outcome\nA+0.1,slim lamp,good\nA+0.1,middle lamp,godd\n");
    let run = work.run(&["calibrate", "spec.toml", "bad.csv"]);
    assert_eq!(run.code, 1);
    assert!(
        run.err.contains("bad.csv:3:7: error: \"middle lamp\" belongs in size B, not in size A (other-size)"),
        "{}",
        run.err
    );
    assert!(run.err.contains("hint: did you mean \"good\"?"), "{}", run.err);
    let run = work.run(&["calibrate", "spec.toml", "absent.csv"]);
    assert_eq!(run.code, 1);
    assert!(run.err.contains("absent.csv"), "{}", run.err);
    assert_eq!(work.run(&["calibrate", "spec.toml"]).code, 2);
    fs::create_dir(work.path("sub")).unwrap();
    work.write("sub/bad.csv", FIRST);
    work.write("bad.csv", FIRST);
    let run = work.run(&["calibrate", "spec.toml", "bad.csv", "sub/bad.csv"]);
    assert!(run.code == 1 && run.err.contains("same-name"), "{}", run.err);
}

/// Paths have backslashes on Windows, and may have them elsewhere.
#[cfg(unix)]
#[test]
fn the_line_for_the_spec_can_be_read_back_whatever_the_folder_is_called() {
    let work = WorkFolder::new();
    let spec_file = spec(&work, None);
    work.write("trials.csv", FIRST);
    let folder = r#"out\tried "twice""#;
    let run = work.run(&["calibrate", &spec_file, "trials.csv", "--out", folder]);
    assert_eq!(run.code, 0, "{}", run.err);
    let line = run.out.lines().find(|line| line.trim_start().starts_with("calibration = ")).unwrap();
    let text = fs::read_to_string(work.path(&spec_file)).unwrap();
    let text = text.replace("least_wall = 0.8", &format!("least_wall = 0.8\n{line}"));
    work.write(&spec_file, text);
    let run = work.run(&["check", &spec_file]);
    assert_eq!(run.code, 0, "{line}: {}", run.err);
}

/// A cast holder is sized by its own friction; the printed coupons may be too rough to be tried.
#[test]
fn coupons_that_jam_are_a_problem_of_the_printed_material() {
    const ROUGH: &str = "[rough]\ntitle = \"Invented\"\n\
        modulus = { least = 1900, greatest = 2200, source = \"invented\" }\n\
        poisson = { value = 0.38, source = \"invented\" }\n\
        strain_single = { value = 0.028, source = \"invented\" }\n\
        strain_repeated = { value = 0.0168, source = \"invented\" }\n\
        friction = { least = 0.4, greatest = 1.4, source = \"invented\" }\n\
        density = { value = 1.27, source = \"invented\" }\n\
        grip_after_1000_h = { least = 0.40, greatest = 0.70, source = \"invented\" }\n\
        across_layers = { value = 0.5, source = \"invented\" }\n";
    let work = WorkFolder::new();
    work.write("rough.toml", ROUGH);
    let printed = "print = \"rough\"\nfinal = \"petg\"\nlibrary = \"rough.toml\"";
    work.write("spec.toml", gripwright::STARTER_SPEC.replace("print = \"petg\"", printed));
    work.write("tried.csv", "coupon,tool,outcome\nM+0.0,body,good\n");
    assert_eq!(work.run(&["check", "spec.toml", "--quiet"]).code, 0);
    for arguments in [vec!["calibrate", "spec.toml", "tried.csv"], vec!["coupons", "spec.toml", "--next", "--out", "o"]]
    {
        let run = work.run(&arguments);
        assert_eq!(run.code, 1, "{}", run.err);
        // Which size jams first depends on the design.
        let jam = "error: at some friction from 0.34 to 1.64 nothing goes into the coupons of ";
        assert!(run.err.contains(jam) && run.err.contains(" as drawn (coupon-jams)"), "{}", run.err);
        assert!(
            run.err.contains("spec.toml:42:9: ") && run.err.contains("\n  hint: `rough` has a friction"),
            "{}",
            run.err
        );
    }
}
