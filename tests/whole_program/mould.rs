//! The command that plans a mould.

use std::fs;

use serde_json::Value;

use crate::program::{RunResult, WorkFolder, demo, demo_without_mould, root};

/// Narrowest terminal for which texts are made.
const COLUMNS: usize = 80;

/// Spec of the dispensing arm with another table `[casting]`, and changes of other lines.
fn cast(casting: &str, changes: &[(&str, &str)]) -> String {
    let mut spec = demo_without_mould("dispensing-arm");
    for (from, to) in changes {
        assert!(spec.contains(from), "{from}");
        spec = spec.replace(from, to);
    }
    spec + "\n[casting]\n" + casting
}

fn run(spec: &str, arguments: &[&str]) -> (WorkFolder, RunResult) {
    let work = WorkFolder::new();
    let file = work.write("cast.toml", spec);
    let run = work.run(&[&["mould", file.as_str(), "--out", "m"], arguments].concat());
    (work, run)
}

const NO_DRAFT: (&str, &str) = ("draft = \"1.5 deg\"", "draft = 0");

#[test]
fn a_mould_that_parts_at_the_end_has_all_its_files() {
    let (work, run) = run(&cast("parting = \"end\"\ncopies = 4\n", &[]), &[]);
    assert_eq!((run.code, run.err.as_str()), (0, ""));
    assert!(run.out.lines().all(|line| line.chars().count() <= COLUMNS), "{}", run.out);
    for file in
        ["master-a.step", "master-slice-c.stl", "master.3mf", "mould-parts.step", "bench-sheet.html", "mould.json"]
    {
        assert!(work.path("m").join(file).is_file(), "{file}");
        assert!(run.out.contains(&format!("m/{file}")), "{file}: {}", run.out);
    }
    assert!(run.out.contains("For 4 castings of each holder: 4 shots in 1 mould"), "{}", run.out);
    let document: Value = serde_json::from_slice(&fs::read(work.path("m/mould.json")).unwrap()).unwrap();
    assert_eq!(document["parting"], "end");
    for master in document["masters"].as_array().unwrap() {
        assert_eq!(master["pockets_left"].as_array().map(Vec::len), Some(0), "{master}");
        assert_ne!(master["release"]["verdict"], "does not come off", "{master}");
    }
}

/// The sizes on the way from the master to the casting, by hand: net shrinkage of 0.15 %, primer of 0.04 mm on outer faces.
#[test]
fn the_chain_is_that_of_net_shrinkage_and_primer() {
    let (_, run) = run(&cast("parting = \"end\"\n", &[]), &["--json"]);
    let document: Value = serde_json::from_str(&run.out).unwrap();
    for size in document["chain"].as_array().unwrap() {
        let figure = |key: &str| size[key].as_f64().unwrap();
        let layers = match size["size"].as_str().unwrap() {
            name if name.contains("length") => 0.08,
            _ => 0.0,
        };
        assert!((figure("drawn_mm") - (figure("wanted_mm") / 0.9985 - layers)).abs() < 1e-9, "{size}");
        assert!((figure("cast_mm") - figure("wanted_mm")).abs() < 1e-9, "{size}");
    }
}

#[test]
fn blocks_and_halves_are_planned_too() {
    let (_, cut) = run(&cast("parting = \"cut\"\n", &[NO_DRAFT]), &[]);
    assert_eq!((cut.code, cut.err.as_str()), (0, ""));
    assert!(cut.out.contains("Silicone for the block") && cut.out.contains("No pressure vessel"), "{}", cut.out);
    let equal = ("offset = 26.0 ", "lengths = [28.0]\noffset = 26.0 ");
    let (_, middle) = run(&cast("parting = \"middle\"\n", &[equal]), &[]);
    assert_eq!((middle.code, middle.err.as_str()), (0, ""));
    assert!(middle.out.contains("Silicone for the lid"), "{}", middle.out);
}

/// The arm of the magnifier with its mount turned about: no pocket of a bed takes it. The remedy is followed.
#[test]
fn a_master_without_a_bed_is_refused_with_a_remedy() {
    let turned = [
        ("opens = \"down\"", "opens = \"up\""),
        ("offset = 33.0", "offset = 44.0"),
        ("load_path = \"limit\"", "load_path = \"report\""),
        ("60 N", "90 N"),
    ];
    let demo = fs::read_to_string(demo("magnifier-arm")).unwrap();
    let spec = turned.iter().fold(demo, |spec, (from, to)| spec.replace(from, to));
    let planned = |spec: String| {
        let work = WorkFolder::new();
        let drawing = "drawings/magnifier-arm.dxf";
        fs::create_dir_all(work.path("drawings")).unwrap();
        work.write(drawing, fs::read(root().join("demo-specs").join(drawing)).unwrap());
        let file = work.write("cast.toml", spec);
        work.run(&["mould", &file, "--out", "m"])
    };
    let refused = planned(spec.clone());
    assert_eq!(refused.code, 3, "{}{}", refused.out, refused.err);
    for text in ["(no-bed)", "hint: write `parting = \"cut\"`, with `draft = 0` in [finish]"] {
        assert!(refused.err.contains(text), "{}", refused.err);
    }
    let cut = spec.replace("parting = \"middle\"", "parting = \"cut\"").replace("draft = \"1.5 deg\"", "draft = 0");
    let followed = planned(cut);
    assert_eq!((followed.code, followed.err.as_str()), (0, ""));
}

#[test]
fn the_same_spec_gives_the_same_mould() {
    let spec = cast("parting = \"end\"\n", &[]);
    let [one, other] = [run(&spec, &[]), run(&spec, &[])];
    for entry in fs::read_dir(one.0.path("m")).unwrap() {
        let path = entry.unwrap().path();
        let twin = other.0.path("m").join(path.file_name().unwrap());
        assert!(fs::read(&path).unwrap() == fs::read(&twin).unwrap(), "{}", path.display());
    }
}

#[test]
fn make_writes_the_mould_too() {
    let work = WorkFolder::new();
    let file = work.write("cast.toml", cast("parting = \"end\"\n", &[]));
    let run = work.run(&["make", &file, "--out", "m"]);
    assert_eq!(run.code, 0, "{}", run.err);
    for file in ["holder-a.step", "master-a.step", "bench-sheet.html", "design.json", "mould.json"] {
        assert!(work.path("m").join(file).is_file(), "{file}");
    }
}

/// Impossible moulds: the problem, what is allowed, and how to mend it.
#[test]
fn impossible_moulds_are_refused_with_a_remedy() {
    let vessel = |diameter: u32, height: u32| {
        format!("parting = \"end\"\n[casting.vessel]\ndiameter = {diameter}\nheight = {height}\npressure = \"4 bar\"\n")
    };
    let cases: [(String, [&str; 2]); 5] = [
        (vessel(90, 240), ["wider across its corners than the vessel", "hint: "]),
        (vessel(260, 40), ["the box is 13.0 mm higher than the vessel", "no smaller number fits"]),
        ("parting = \"end\"\ncavities = 2\n".to_owned(), ["the family has 3 sizes", "write `cavities = 3`"]),
        ("parting = \"middle\"\n".to_owned(), ["would hang over its pocket", "`lengths = [28]` in [layout]"]),
        (
            "parting = \"end\"\n[casting.resin]\npot_life = \"90 s\"\n".to_owned(),
            ["pot life of 1.5 min", "slower resin"],
        ),
    ];
    for (casting, says) in cases {
        let (work, refused) = run(&cast(&casting, &[]), &[]);
        assert_eq!(refused.code, 3, "{casting}: {}{}", refused.out, refused.err);
        for text in says {
            assert!(refused.err.contains(text), "{casting}: {}", refused.err);
        }
        assert!(!work.path("m").exists(), "nothing is written");
    }
}

/// The numbers that a refusal proposes are tried: the mould of that many cavities fits.
#[test]
fn the_proposed_number_of_cavities_fits() {
    let vessel = "[casting.vessel]\ndiameter = 150\nheight = 240\npressure = \"4 bar\"\n";
    let (_, refused) = run(&cast(&format!("parting = \"end\"\ncavities = 12\n{vessel}"), &[]), &[]);
    assert_eq!(refused.code, 3, "{}{}", refused.out, refused.err);
    let (_, hint) = refused.err.split_once("hint: `cavities = ").unwrap();
    let (cavities, rest) = hint.split_once("` with `slices = ").unwrap();
    let (slices, _) = rest.split_once('`').unwrap();
    let followed = format!("parting = \"end\"\ncavities = {cavities}\nslices = {slices}\n{vessel}");
    let (_, run) = run(&cast(&followed, &[]), &[]);
    assert_eq!(run.code, 0, "{followed}: {}", run.err);
}

/// The pot life that a refusal allows is tried, with numbers of cavities whose pours take different times.
#[test]
fn the_least_pot_life_suffices() {
    for cavities in 3..6 {
        let resin = |minutes: &str| {
            format!(
                "parting = \"end\"\nslices = 0\ncavities = {cavities}\n[casting.resin]\npot_life = \"{minutes} min\"\n"
            )
        };
        let (_, refused) = run(&cast(&resin("1.5"), &[]), &[]);
        assert_eq!(refused.code, 3, "{}{}", refused.out, refused.err);
        let (_, rest) = refused.err.split_once("a pot life of at least ").unwrap();
        let (least, _) = rest.split_once(" min").unwrap();
        let (_, followed) = run(&cast(&resin(least), &[]), &[]);
        assert_eq!((followed.code, followed.err.as_str()), (0, ""), "{least}");
    }
}

/// The attitude that a refusal proposes is tried: a mould with less tilt fits the low vessel, and leaves no air.
#[test]
fn the_proposed_tilt_fits() {
    let vessel = "[casting.vessel]\ndiameter = 260\nheight = 76\npressure = \"4 bar\"\n";
    let (_, refused) = run(&cast(&format!("parting = \"end\"\ncavities = 4\n{vessel}"), &[]), &[]);
    assert_eq!(refused.code, 3, "{}{}", refused.out, refused.err);
    assert!(refused.err.contains("tilted for the resin, the box is 5.6 mm higher than the vessel"), "{}", refused.err);
    let (_, hint) = refused.err.split_once("hint: `tilt = \"").unwrap_or_else(|| panic!("{}", refused.err));
    let (tilt, rest) = hint.split_once("\"`").unwrap();
    let (_, run_flatter) =
        run(&cast(&format!("parting = \"end\"\ncavities = 4\ntilt = \"{tilt}\"\n{vessel}"), &[]), &["--json"]);
    assert_eq!(run_flatter.code, 0, "{tilt}: {}", run_flatter.err);
    let document: Value = serde_json::from_str(&run_flatter.out).unwrap();
    for master in document["masters"].as_array().unwrap() {
        assert_eq!(master["pockets_left"].as_array().map(Vec::len), Some(0), "{master}");
    }
    // The numbers that are named beside it fit, too.
    let (_, numbers) = rest.split_once("`cavities = ").unwrap();
    let (cavities, rest) = numbers.split_once("` with `slices = ").unwrap();
    let (slices, _) = rest.split_once('`').unwrap();
    let fewer = format!("parting = \"end\"\ncavities = {cavities}\nslices = {slices}\n{vessel}");
    let (_, followed) = run(&cast(&fewer, &[]), &[]);
    assert_eq!(followed.code, 0, "{fewer}: {}", followed.err);
}

/// A box that is longer than the bed is printed across it, and the sheet says so.
#[test]
fn long_parts_are_turned_on_the_bed() {
    let bed = ("bed = [220.0, 220.0]", "bed = [182.0, 182.0]");
    let (work, planned) = run(&cast("parting = \"end\"\ncavities = 4\n", &[bed]), &[]);
    assert_eq!((planned.code, planned.err.as_str()), (0, ""));
    let sheet = fs::read_to_string(work.path("m/bench-sheet.html")).unwrap();
    assert!(sheet.contains("° on the printer's bed"), "{sheet}");
}

/// Rubber between the rods of one master, where rods are thickest: Ø 7 mm for sprues. A level mould asks for the most vents.
#[test]
fn rods_of_a_master_leave_rubber_between_them() {
    for casting in ["parting = \"end\"\n", "parting = \"end\"\ntilt = 0\n"] {
        let (_, planned) = run(&cast(casting, &[]), &["--json"]);
        let document: Value = serde_json::from_str(&planned.out).unwrap();
        let openings = document["box"]["openings"].as_array().unwrap();
        let figure = |value: &Value| value.as_f64().unwrap();
        let radius = |rod: &Value| if rod["kind"] == "sprue" { 3.5 } else { 0.5 * figure(&rod["diameter_mm"]) };
        let mut pairs = 0;
        for (i, one) in openings.iter().enumerate() {
            for other in openings[..i].iter().filter(|other| other["place"] == one["place"]) {
                let apart = |k: usize| figure(&one["at_mm"][k]) - figure(&other["at_mm"][k]);
                let rubber = apart(0).hypot(apart(1)) - radius(one) - radius(other);
                assert!(rubber > 1.5 - 1e-6, "{casting}: {rubber} between {one} and {other}");
                pairs += 1;
            }
        }
        assert!(pairs > 10, "{pairs}");
    }
}

/// The arms of mount and clip leave cores of rubber in a block, and open over them.
#[test]
fn a_block_strains_mount_and_clip_as_they_are_pulled_out() {
    let (work, cut) = run(&cast("parting = \"cut\"\n", &[NO_DRAFT]), &["--json"]);
    let document: Value = serde_json::from_str(&cut.out).unwrap();
    for master in document["masters"].as_array().unwrap() {
        let strains = master["pull_strains"].as_array().unwrap();
        let parts: Vec<&str> = strains.iter().map(|strain| strain["part"].as_str().unwrap()).collect();
        let is_slice = master["name"].as_str().unwrap().starts_with("Slice");
        assert_eq!(parts, if is_slice { vec!["clip"] } else { vec!["mount", "clip"] });
        for strain in strains {
            let [rigid, rubber] = ["over_rigid_core", "over_rubber_core"].map(|key| strain[key].as_f64().unwrap());
            assert!(0.0 < rubber && rubber <= rigid && rigid < 0.2, "{strain}");
        }
    }
    let sheet = fs::read_to_string(work.path("m/bench-sheet.html")).unwrap();
    assert!(sheet.contains("The pull strains the mount by about"), "{sheet}");
}

/// The means of the bench change the work: with a vacuum chamber silicone and resin are degassed, without a vessel the
/// cavity is brushed, and an oven hardens the castings.
#[test]
fn means_of_the_bench_change_its_sheet() {
    let sheet = |casting: &str| {
        let (work, planned) = run(&cast(&format!("parting = \"end\"\n{casting}"), &[]), &[]);
        assert_eq!((planned.code, planned.err.as_str()), (0, ""), "{casting}");
        fs::read_to_string(work.path("m/bench-sheet.html")).unwrap()
    };
    let [bare, none] = ["", "vessel = \"none\"\n"].map(sheet);
    assert_eq!(bare, none);
    for text in ["Expect more rejects", "Brush a film of resin", "Without a vacuum chamber", "neither vacuum"] {
        assert!(none.to_lowercase().contains(&text.to_lowercase()), "{text}");
    }
    let slow = "[casting.resin]\npot_life = \"10 min\"\npost_cure = { temperature = 70, time = \"4 h\" }\n";
    let full = sheet(&format!("vacuum = true\n{slow}"));
    for text in ["Degas the silicone", "degassed by", "Heat it slowly to 70 °C, hold it for 4 h"] {
        assert!(full.contains(text) && !none.contains(text), "{text}");
    }
}

#[test]
fn a_spec_without_casting_has_no_mould() {
    let (_, refused) = run(&demo_without_mould("dispensing-arm"), &[]);
    assert_eq!(refused.code, 1);
    assert!(refused.err.contains("no table [casting]"), "{}", refused.err);
}
