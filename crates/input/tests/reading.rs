//! Values that valid specs give.

#![expect(clippy::float_cmp, reason = "what is written in the unit of the checked value arrives bit for bit")]

use std::f64::consts::PI;

use gripwright_input::{
    Aim, Barrel, BodyProfile, FigureBounds, GrippingFaces, LoadPath, LoadedSpec, MAX_FILE_BYTES, MaterialLibrary,
    Mould, MouthDirection, PrintDirection, STARTER_SPEC, Spec, Uses, read_spec, read_spec_bytes, requested_library,
};

fn small(tool: &str, rest: &str) -> String {
    format!(
        "[holder]\nname = \"Bench holder\"\n[body]\nprofile = {{ shape = \"circle\", diameter = 25.0 }}\n\
         mount_length = 18.0\n[[tools]]\nname = \"Tool\"\n{tool}\n[layout]\noffset = 22.0\n{rest}"
    )
}

fn loaded(text: &str) -> LoadedSpec {
    read_spec(text, "spec.toml", &MaterialLibrary::built_in()).expect("the spec is good")
}

fn barrel(diameter: &str) -> Barrel {
    loaded(&small(&format!("diameter = {diameter}\nmass = 9"), "")).spec.tools[0].barrel
}

fn codes(text: &str) -> Vec<&'static str> {
    let problems = read_spec(text, "spec.toml", &MaterialLibrary::built_in()).err().unwrap_or_default();
    problems.iter().map(|problem| problem.code).collect()
}

#[test]
fn every_key_of_the_starter_is_read() {
    let spec = loaded(STARTER_SPEC).spec;
    assert_eq!(spec.name, "Tool holder");
    let profile = BodyProfile::RoundedRectangle { width_mm: 24.0, height_mm: 16.0, corner_mm: 4.0 };
    assert_eq!((spec.body.profile, spec.body.opens), (profile, MouthDirection::Down));
    assert_eq!([spec.body.spread_mm, spec.body.mount_length_mm, spec.layout.offset_mm], [0.03, 24.0, 24.0]);
    assert_eq!(spec.tools.len(), 2);
    assert_eq!(spec.tools[1].barrel, Barrel { least_mm: 12.0, greatest_mm: 12.1, spread_mm: 0.0, read_mm: None });
    assert_eq!([spec.tools[1].mass_kg, spec.tools[1].load_along_n, spec.tools[1].load_across_n], [0.014, 1.0, 1.0]);
    assert_eq!((spec.fit.snap_on_at_most_n, spec.fit.hold_safety, spec.fit.uses), (40.0, 1.5, Uses::Repeated));
    assert_eq!((spec.material.print.key.as_str(), spec.material.cast), ("petg", None));
    assert!((spec.finish.draft_rad - 1.5 * PI / 180.0).abs() < 1e-15);
    assert_eq!((spec.finish.gripping_faces, spec.finish.chamfer_mm), (GrippingFaces::Straight, 0.4));
    assert_eq!((spec.printer.bed_mm, spec.printer.least_wall_mm), ([220.0, 220.0], 0.8));
    assert_eq!(spec.printer.direction, PrintDirection::OnItsSide);
    assert_eq!([spec.printer.seat_spread_mm, spec.printer.wall_spread_mm], [0.05, 0.03]);
    assert_eq!(spec.layout.aim, None);
    assert_eq!(spec.coupons.clip_steps_mm, [-0.2, -0.1, 0.0, 0.1, 0.2]);
    assert_eq!((spec.coupons.mount_steps_mm.as_slice(), spec.coupons.length_mm), ([-0.1, 0.0, 0.1].as_slice(), 8.0));
}

/// The keys that the starter shows in comments can be uncommented.
#[test]
fn the_starters_comments_are_valid_keys() {
    let text = STARTER_SPEC
        .replace("# aim =", "aim =")
        .replace("# final =", "final =")
        .replace("# [mould]", "[mould]")
        .replace("# seat_spread = 0.05", "seat_spread = 0.07")
        .replace("# wall_spread = 0.03", "wall_spread = 0.04")
        .replace("# least_wall = 1.0", "least_wall = 1.2")
        .replace("direction = \"side\"", "direction = \"standing\"");
    let LoadedSpec { spec, warnings, .. } = loaded(&text);
    assert_eq!(warnings, []);
    assert_eq!(spec.layout.aim, Some(Aim { ahead_mm: 60.0, within_mm: 2.0 }));
    assert_eq!(spec.printer.direction, PrintDirection::Standing);
    // The printer keeps its own figures beside those of the mould.
    assert_eq!(
        [spec.printer.seat_spread_mm, spec.printer.wall_spread_mm, spec.printer.least_wall_mm],
        [0.05, 0.03, 0.8]
    );
    assert_eq!(spec.mould, Mould { seat_spread_mm: 0.07, wall_spread_mm: 0.04, least_wall_mm: 1.2 });
}

/// An aim without `ahead` lies in the middle of the clip.
#[test]
fn an_aim_lies_in_the_middle_by_default() {
    let text =
        small("diameter = 9.6\nmass = 9", "").replace("offset = 22.0", "offset = 22.0\naim = { within = \"0.04 in\" }");
    assert_eq!(loaded(&text).spec.layout.aim, Some(Aim { ahead_mm: 0.0, within_mm: 1.016 }));
}

/// A spec without optional keys gives the same values as one that writes the defaults.
#[test]
fn defaults_are_those_of_the_schema() {
    let short = loaded(&small("diameter = 9.6\nmass = 9", "")).spec;
    let long = small(
        "diameter = 9.6\nmass = 9\nworking_load = { along = 0, across = 0 }",
        "[fit]\nsnap_on = { at_most = 40 }\nhold = { safety = 2 }\nuses = \"repeated\"\n[material]\nprint = \"pla\"\n\
         [finish]\ndraft = 0\ngripping_faces = \"straight\"\nchamfer = 0.4\n[printer]\nbed = [220, 220]\n\
         least_wall = 0.8\ndirection = \"side\"\nseat_spread = 0.05\nwall_spread = 0.03\n[mould]\nseat_spread = 0.05\n\
         wall_spread = 0.03\nleast_wall = 1\n[coupons]\nlength = 8\nclip_steps = [-0.2, -0.1, 0, 0.1, 0.2]\nmount_steps = [-0.1, 0, 0.1]",
    );
    let long = long.replace("mount_length", "spread = 0.05\nopens = \"down\"\nmount_length");
    assert_eq!(short, loaded(&long).spec);
    let schema = gripwright_input::schema();
    let default = |table: &str, key: &str| schema["properties"][table]["properties"][key]["default"].clone();
    assert_eq!(default("material", "print"), "pla");
    assert_eq!(default("finish", "chamfer"), 0.4);
    assert_eq!([default("printer", "wall_spread"), default("mould", "wall_spread")], [0.03, 0.03]);
    assert_eq!([default("printer", "least_wall"), default("mould", "least_wall")], [0.8, 1.0]);
    assert_eq!(default("printer", "direction"), "side");
    assert_eq!(default("coupons", "mount_steps"), serde_json::json!([-0.1, 0.0, 0.1]));
}

/// A thin wall reduces the default chamfer and is not refused because of it.
#[test]
fn the_default_chamfer_respects_a_thin_wall() {
    let spec = loaded(&small("diameter = 9.6\nmass = 9", "[printer]\nleast_wall = 0.4")).spec;
    assert_eq!(spec.finish.chamfer_mm, 0.2);
}

/// A deep flat on a small bar reduces the default rounding: 0.95·(2 − 1.5) mm would fit, and half of it is taken.
#[test]
fn the_default_corner_respects_a_deep_flat() {
    let flatted = "{ shape = \"flatted-circle\", diameter = 3.0, across = 2.0 }";
    let text = small("diameter = 9.6\nmass = 9", "").replace("{ shape = \"circle\", diameter = 25.0 }", flatted);
    let BodyProfile::FlattedCircle { corner_mm, .. } = loaded(&text).spec.body.profile else {
        panic!("another shape than was written");
    };
    assert!((corner_mm - 0.2375).abs() < 1e-12, "{corner_mm}");
}

#[test]
fn every_notation_of_a_diameter_is_read() {
    let plain = |least_mm: f64, greatest_mm: f64| Barrel { least_mm, greatest_mm, spread_mm: 0.0, read_mm: None };
    assert_eq!(barrel("9.6"), plain(9.6, 9.6));
    assert_eq!(barrel("10"), plain(10.0, 10.0));
    assert_eq!(barrel("\"0.5 in\""), plain(12.7, 12.7));
    assert_eq!(barrel("{ min = 9.5, max = \"0.5 in\" }"), plain(9.5, 12.7));
    assert_eq!(barrel("\"12 h9\""), plain(11.957, 12.0));
    let declared = Barrel { spread_mm: 0.02, ..plain(9.5, 9.7) };
    assert_eq!(barrel("{ min = 9.5, max = 9.7, spread = 0.02 }"), declared);
}

/// Readings become limits once, at 95 %: their mean with two sample standard deviations (n − 1), of at least 0.012 mm, or
/// 0.05 mm for a single reading. A declared spread is that of each reading, so that it widens the least and the greatest.
#[test]
fn readings_become_limits_once() {
    let close = |barrel: Barrel, limits: [f64; 2], spread: f64, read: [f64; 2]| {
        let [least, greatest] = barrel.limits_mm();
        let measured = barrel.read_mm.expect("it was read");
        let found = [least, greatest, barrel.spread_mm, measured.least, measured.greatest];
        let expected = [limits[0], limits[1], spread, read[0], read[1]];
        assert!(found.iter().zip(expected).all(|(one, other)| (one - other).abs() < 1e-12), "{found:?} {expected:?}");
    };
    // Deviations −0.1, 0, +0.1: the sum of squares 0.02 over n − 1 = 2.
    close(barrel("{ readings = [9.5, 9.6, 9.7] }"), [9.4, 9.8], 0.1, [9.5, 9.7]);
    close(barrel("{ readings = [9.6, 9.6] }"), [9.576, 9.624], 0.012, [9.6, 9.6]);
    close(barrel("{ readings = [9.6] }"), [9.5, 9.7], 0.05, [9.6, 9.6]);
    close(barrel("{ readings = [9.5, 9.7], spread = 0.03 }"), [9.44, 9.76], 0.03, [9.5, 9.7]);
    // No reading lies outside of the limits: one of seven is 2.27 standard deviations off.
    let one_off = barrel("{ readings = [9.6, 9.6, 9.6, 9.6, 9.6, 9.6, 9.7] }");
    let [least, greatest] = one_off.limits_mm();
    assert!((greatest - 9.7).abs() < 1e-12 && least < 9.6, "{one_off:?}");
    assert_eq!(barrel("{ min = 9.5, max = 9.7 }").read_mm, None);
}

/// A spec in millimetres and one in inches and other units give the same values.
#[test]
fn units_do_not_change_values() {
    let metric = small(
        "diameter = 12.7\nmass = \"453.59237 g\"\nworking_load = { along = \"9.80665 N\" }",
        "[finish]\ndraft = 9\n[printer]\nbed = [254, 203.2]",
    );
    let other = metric
        .replace("[body]", "units = \"in\"\n[body]")
        .replace("diameter = 25.0", "diameter = \"2.5 cm\"")
        .replace("mount_length = 18.0", "mount_length = \"18 mm\"")
        .replace("diameter = 12.7", "diameter = 0.5")
        .replace("453.59237 g", "1 lb")
        .replace("9.80665 N", "1 kgf")
        .replace("offset = 22.0", "offset = \"22000 µm\"")
        .replace("draft = 9", &format!("draft = \"{} rad\"", PI / 20.0))
        .replace("[254, 203.2]", "[10, \"8 in\"]");
    let (one, two) = (loaded(&metric).spec, loaded(&other).spec);
    let numbers = |spec: &Spec| {
        let tool = &spec.tools[0];
        let [width, depth] = spec.printer.bed_mm;
        let (offset, draft) = (spec.layout.offset_mm, spec.finish.draft_rad);
        [tool.barrel.least_mm, tool.mass_kg, tool.load_along_n, offset, draft, width, depth, spec.body.mount_length_mm]
    };
    for (one, two) in numbers(&one).into_iter().zip(numbers(&two)) {
        assert!((one - two).abs() <= 1e-13 * one.abs(), "{one} against {two}");
    }
    assert_eq!(one.body.profile, two.body.profile);
}

#[test]
fn key_paths_lead_to_their_lines() {
    let source = loaded(STARTER_SPEC).source;
    let line_of = |start: &str| STARTER_SPEC.lines().position(|line| line.starts_with(start)).unwrap() + 1;
    let place = |path: &str| {
        let problem = source.diagnostic(path, "no-design", "message");
        (problem.line, problem.column)
    };
    assert_eq!(place("layout.offset"), (line_of("offset"), 10));
    assert_eq!(place("tools[1].diameter.max"), (line_of("diameter = { min"), 32));
    // A path that is not written falls back to its tool, its table or the file.
    assert_eq!(place("tools[1].diameter.spread"), (line_of("diameter = { min"), 12));
    assert_eq!(place("finish.primer"), (line_of("[finish]"), 1));
    assert_eq!(place("casting.silicone"), (1, 1));
    assert!(source.is_written("finish.draft") && !source.is_written("material.final"));
}

#[test]
fn oversized_and_binary_files_are_refused_before_parsing() {
    let materials = MaterialLibrary::built_in();
    let problems = |bytes: &[u8]| read_spec_bytes(bytes, "spec.toml", &materials).unwrap_err();
    let large = problems(&vec![b'#'; MAX_FILE_BYTES + 1]);
    assert_eq!((large[0].code, large.len(), large[0].line), ("too-large", 1, 1));
    assert_eq!(problems(&vec![b'#'; MAX_FILE_BYTES])[0].code, "missing");
    let broken = problems(b"[holder]\nname = \"\xc3\xb6\xff\"");
    assert_eq!((broken[0].code, broken[0].line, broken[0].column), ("not-utf8", 2, 10));
    assert_eq!(problems(&[0xff, 0xfe, b'[', 0]).first().map(|problem| problem.code), Some("not-utf8"));
}

const OWN: &str = "
[walnut]
title = \"Walnut\"
modulus = { least = \"10 GPa\", greatest = 12000, source = \"invented for this test\" }
poisson = { value = 0.3, source = \"invented for this test\" }
strain_single = { value = \"1 %\", source = \"invented for this test\" }
strain_repeated = { value = 0.005, source = \"invented for this test\" }
friction = { least = 0.2, greatest = 0.4, source = \"invented for this test\" }
density = { value = \"650 kg/m3\", source = \"invented for this test\" }
";

#[test]
fn own_materials_are_read_in_two_steps() {
    let spec = small("diameter = 9.6\nmass = 9", "[material]\nfinal = \"walnut\"\nlibrary = \"own.toml\"");
    assert_eq!(requested_library(&spec).as_deref(), Some("own.toml"));
    assert_eq!(requested_library(STARTER_SPEC), None);
    assert_eq!(requested_library("[material"), None);
    assert_eq!(codes(&spec), ["unknown-material"]);
    let materials = MaterialLibrary::built_in().extended(OWN.as_bytes(), "own.toml").unwrap();
    let walnut = read_spec(&spec, "spec.toml", &materials).unwrap().spec.material.cast.unwrap();
    assert_eq!((walnut.modulus_mpa.least, walnut.modulus_mpa.greatest), (10_000.0, 12_000.0));
    assert_eq!((walnut.strain_single, walnut.density_g_cm3), (0.01, 0.65));
    assert!(materials.get("pla").is_some());
    // The file has no figures for rest and layers: defaults apply, and the sources name them.
    assert!((walnut.strain_at_rest - 0.01 / 3.0).abs() < 1e-15, "{}", walnut.strain_at_rest);
    assert_eq!(walnut.grip_after_1000_h, FigureBounds { least: 0.4, greatest: 0.7 });
    assert!((walnut.strain_yield - 0.01 / 0.7).abs() < 1e-15, "{}", walnut.strain_yield);
    assert_eq!((walnut.across_layers, walnut.sources.len()), (0.5, 10));
    assert!(walnut.sources[4].starts_with("strain_at_rest: not given"));
    assert!(walnut.sources[5].starts_with("strain_yield: not given, strain_single / 0.7"));
    assert!(walnut.sources[8].starts_with("grip_after_1000_h: not given") && walnut.sources[9].contains("0.5"));
}

#[test]
fn own_materials_may_give_relaxation() {
    let known = "grip_after_1000_h = { least = \"80 %\", greatest = 0.9, source = \"invented for this test\" }\n\
                 across_layers = { value = 1, source = \"invented for this test\" }\n\
                 strain_at_rest = { value = 0.004, source = \"invented for this test\" }\n";
    let read = |text: &str| MaterialLibrary::built_in().extended(text.as_bytes(), "own.toml");
    let walnut = read(&format!("{OWN}{known}")).unwrap().get("walnut").cloned().unwrap();
    assert_eq!((walnut.grip_after_1000_h, walnut.across_layers), (FigureBounds { least: 0.8, greatest: 0.9 }, 1.0));
    assert!((walnut.strain_at_rest - 0.004).abs() < 1e-15);
    assert_eq!(walnut.sources[8], "grip_after_1000_h: invented for this test");
    // A share above 1, bounds in the wrong order and a figure without a source are refused.
    let too_much = known.replace("value = 0.004", "value = 0.04");
    assert_eq!(read(&format!("{OWN}{too_much}")).unwrap_err()[0].code, "strain-order");
    let broken = known.replace("0.9", "0.7").replace("value = 1, source = \"invented for this test\"", "value = 1.2");
    let problems = read(&format!("{OWN}{broken}")).unwrap_err();
    let found: Vec<_> = problems.iter().map(|problem| (problem.line, problem.code)).collect();
    assert_eq!(found, [(10, "min-above-max"), (11, "missing"), (11, "out-of-range")]);
}

/// The strain at yield is a figure of its own: it is no less than what a single snapping may take.
#[test]
fn own_materials_may_give_the_strain_at_yield() {
    let read = |value: &str| {
        let figure = format!("strain_yield = {{ value = {value}, source = \"invented for this test\" }}\n");
        MaterialLibrary::built_in().extended(format!("{OWN}{figure}").as_bytes(), "own.toml")
    };
    let walnut = read("\"1.1 %\"").unwrap().get("walnut").cloned().unwrap();
    assert!((walnut.strain_yield - 0.011).abs() < 1e-15);
    assert_eq!(walnut.sources[5], "strain_yield: invented for this test");
    let problems = read("0.009").unwrap_err();
    assert_eq!((problems[0].line, problems[0].code), (10, "strain-order"));
}

#[test]
fn problems_of_own_materials_point_into_their_file() {
    let broken = OWN
        .replace("least = \"10 GPa\"", "least = \"10 GPa\", most = 3")
        .replace("poisson = { value = 0.3, source = \"invented for this test\" }", "poisson = 0.3")
        .replace("value = 0.005", "value = 0.05")
        .replace(
            "friction = { least = 0.2, greatest = 0.4, source = \"invented for this test\" }",
            "friction = { least = 0.5, greatest = 0.4 }",
        )
        .replace("[walnut]", "[\"Wal nut\"]");
    let problems = MaterialLibrary::built_in().extended(broken.as_bytes(), "own.toml").unwrap_err();
    let found: Vec<_> = problems.iter().map(|problem| (problem.line, problem.code)).collect();
    let expected = [
        (2, "bad-key"),
        (4, "unknown-key"),
        (5, "wrong-type"),
        (7, "strain-order"),
        (8, "missing"),
        (8, "min-above-max"),
    ];
    assert_eq!(found, expected);
    assert!(problems.iter().all(|problem| problem.file == "own.toml"));
}

#[test]
fn keys_of_the_load_path_are_read() {
    let tool = "diameter = 9.0\nmass = 9\ncentre = -12\nworking_load = { across = \"2 N\", at = \"1 in\" }";
    let fit = "[fit]\nshock = 2.5\nload_path = \"report\"\nuses = \"left-on\"\ntake_off = { at_most = \"25 N\" }\n";
    let body = "mount_length = 18.0\nfriction = { least = 0.5, greatest = 0.8 }\nuses = \"repeated\"\noutlasts = ";
    let text = |outlasts: &str| small(tool, fit).replace("mount_length = 18.0", &format!("{body}{outlasts}"));
    let spec = loaded(&text("1.5")).spec;
    assert_eq!(spec.body.friction, Some(FigureBounds { least: 0.5, greatest: 0.8 }));
    assert_eq!((spec.body.outlasts, spec.body.uses), (Some(1.5), Uses::Repeated));
    assert_eq!((spec.tools[0].centre_mm, spec.tools[0].load_at_mm), (Some(-12.0), Some(25.4)));
    assert_eq!((spec.fit.shock, spec.fit.load_path, spec.fit.uses), (2.5, LoadPath::Report, Uses::LeftOn));
    assert_eq!(spec.fit.take_off_at_most_n, Some(25.0));
    assert_eq!(loaded(&text("\"held\"")).spec.body.outlasts, None);
    // Without them the load path limits, and the clips must let go first.
    let plain = loaded(&small("diameter = 9.0\nmass = 9", "")).spec;
    assert_eq!((plain.body.friction, plain.body.uses, plain.body.outlasts), (None, Uses::LeftOn, Some(1.3)));
    assert_eq!((plain.fit.shock, plain.fit.load_path, plain.fit.take_off_at_most_n), (1.0, LoadPath::Limit, None));

    assert_eq!(codes(&text("0.9")), ["out-of-range"]);
    assert_eq!(codes(&text("\"hand\"")).len(), 1);
    assert_eq!(codes(&text("1.5").replace("greatest = 0.8", "greatest = 0.4")), ["min-above-max"]);
    assert_eq!(codes(&text("1.5").replace(", greatest = 0.8", "")), ["missing"]);
}

/// A holder that is used warm covers 23 °C as well: the modulus spans both, and strains and relaxation are the worse.
#[test]
fn a_temperature_of_use_covers_both_temperatures() {
    let figures = "service_temperature = { value = \"60 °C\", source = \"invented for this test\" }\n\
                   modulus_by_temperature = { celsius = [-17, 63], share = [1.5, 0.6], source = \"invented\" }\n\
                   strain_by_temperature = { celsius = [53], share = [0.7], source = \"invented\" }\n\
                   grip_by_temperature = { celsius = [43, 63], share = [0.8, 0.5], source = \"invented\" }\n";
    let materials = MaterialLibrary::built_in().extended(format!("{OWN}{figures}").as_bytes(), "own.toml").unwrap();
    let read = |celsius: &str| {
        let more = format!("[fit]\ntemperature = {celsius}\n[material]\nprint = \"walnut\"\nlibrary = \"own.toml\"");
        read_spec(&small("diameter = 9.6\nmass = 9", &more), "spec.toml", &materials)
    };
    let close = |found: f64, expected: f64| (found - expected).abs() < 1e-12 * expected;
    let used = read("43").unwrap().spec.used_material();
    // Half way from 23 to 63 °C; two thirds of the way from 23 to 53 °C.
    assert!(close(used.modulus_mpa.least, 0.8 * 10_000.0) && close(used.modulus_mpa.greatest, 12_000.0), "{used:?}");
    assert!(close(used.strain_single, 0.8 * 0.01) && close(used.strain_repeated, 0.8 * 0.005), "{used:?}");
    assert!(close(used.grip_after_1000_h.least, 0.8 * 0.4) && close(used.grip_after_1000_h.greatest, 0.7), "{used:?}");
    // In the cold it is stiffer, and bears no more; figures that stop at 23 °C count as there.
    let cold = read("\"3 °C\"").unwrap().spec.used_material();
    assert!(close(cold.modulus_mpa.least, 10_000.0) && close(cold.modulus_mpa.greatest, 1.25 * 12_000.0), "{cold:?}");
    assert_eq!((cold.strain_single, cold.grip_after_1000_h.least), (0.01, 0.4));
    // At 23 °C nothing changes.
    let plain = read("23").unwrap().spec;
    assert_eq!(plain.used_material(), plain.material.print);

    let code = |celsius: &str| read(celsius).unwrap_err()[0].code;
    assert_eq!(
        [code("61"), code("54"), code("-30"), code("\"40 K\"")],
        ["too-warm", "undeclared-temperature", "undeclared-temperature", "unknown-unit"]
    );
}

#[test]
fn shares_by_temperature_are_checked() {
    let code = |table: &str| {
        let text = format!("{OWN}modulus_by_temperature = {{ {table}, source = \"invented\" }}\n");
        MaterialLibrary::built_in().extended(text.as_bytes(), "own.toml").unwrap_err()[0].code
    };
    assert_eq!(code("celsius = [40, 60], share = [0.8]"), "unequal-lists");
    assert_eq!(code("celsius = [60, 40], share = [0.8, 0.9]"), "not-ascending");
    assert_eq!(code("celsius = [23, 40], share = [1.0, 0.9]"), "not-ascending");
    assert_eq!(code("celsius = [40]"), "missing");
}
