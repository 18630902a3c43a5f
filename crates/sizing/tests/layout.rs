//! Layouts: clips share a tool, pitch and draft are refused where they cannot be, and the values that messages name work.

use gripwright_input::{MaterialLibrary, Spec, read_spec};
use gripwright_sizing::{Design, Problem, WebPlan, size};

/// An invented spec with these lines under `[layout]`, these loads and this push allowed.
fn spec(layout: &str, loads_n: f64, push_n: f64, more: &str) -> Spec {
    let text = format!(
        "[holder]\nname = \"Invented\"\n[body]\nprofile = {{ shape = \"rounded-rectangle\", width = 22.0, height = 15.0, \
         corner = 4.0 }}\nmount_length = 22.0\n[[tools]]\nname = \"rod\"\ndiameter = {{ min = 9.9, max = 10.1 }}\n\
         working_load = {{ along = \"{loads_n} N\", across = \"{loads_n} N\" }}\n[layout]\n{layout}\n[fit]\n\
         snap_on = {{ at_most = \"{push_n} N\" }}\nhold = {{ safety = 1.5 }}\nload_path = \"report\"\n[material]\nprint = \"petg\"\n{more}"
    );
    read_spec(&text, "layout.toml", &MaterialLibrary::built_in()).expect("the spec is sound").spec
}

fn design(spec: &Spec) -> Design {
    size(spec).expect("there is a design")
}

fn problem(spec: &Spec) -> Problem {
    size(spec).expect_err("there is none").remove(0)
}

/// The first number of a text.
fn number(text: &str) -> f64 {
    let found = text.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-')).find_map(|word| word.parse().ok());
    found.expect("there is a number in it")
}

/// Two clips of one length do what one does under half of load and push, twice.
#[test]
fn clips_share_load_and_push() {
    let two = design(&spec("offset = 27.0\nstations = [-12.0, 12.0]\nlengths = [9.0, 9.0]", 2.4, 60.0, ""));
    // The mount carries the whole load in both, so only the clip's own figures are compared.
    let one = design(&spec("offset = 27.0\nlengths = [9.0]", 1.2, 30.0, ""));
    assert_eq!(two.sizes[0].clip, one.sizes[0].clip);
    assert!((two.sizes[0].length_mm - 9.0).abs() < 1e-12);
    for (two, one) in two.fit.iter().zip(&one.fit) {
        let (two, one) = (&two.figures, &one.figures);
        for (two, one) in [
            (two.snap_in_n.greatest, one.snap_in_n.greatest),
            (two.snap_in_limit_n, one.snap_in_limit_n),
            (two.pull_out_n.least, one.pull_out_n.least),
            (two.axial_hold_n.least, one.axial_hold_n.least),
            (two.along_needed_n, one.along_needed_n),
            (two.grip_n.greatest, one.grip_n.greatest),
            (two.twist_hold_nmm.least, one.twist_hold_nmm.least),
        ] {
            assert!((two / (2.0 * one) - 1.0).abs() < 1e-9, "{two} {one}");
        }
        assert!((two.strain / one.strain - 1.0).abs() < 1e-12);
    }
}

/// Clips of different lengths, together as long as equal ones, hold the same: force goes with length.
#[test]
fn lengths_may_differ() {
    let unequal = design(&spec("offset = 27.0\nstations = [-12.0, 12.0]\nlengths = [7.0, 11.0]", 2.4, 60.0, ""));
    let lengths: Vec<f64> = unequal.holders[0].stations.iter().map(|s| s.length_mm).collect();
    assert!((lengths[0] - 7.0).abs() < 1e-12 && (lengths[1] - 11.0).abs() < 1e-12);
    let equal = design(&spec("offset = 27.0\nstations = [-12.0, 12.0]\nlengths = [9.0, 9.0]", 2.4, 60.0, ""));
    assert_eq!(unequal.sizes[0].clip, equal.sizes[0].clip);
    assert!(unequal.fit.iter().zip(&equal.fit).all(|(a, b)| a.figures.grip_n == b.figures.grip_n));
}

/// A second clip over a long mount makes the web deeper, so that it sways less.
#[test]
fn a_second_clip_stiffens_the_web() {
    let one = design(&spec("offset = 30.0\nlengths = [9.0]", 1.2, 60.0, ""));
    let two = design(&spec("offset = 30.0\nstations = [-9.0, 9.0]\nlengths = [9.0, 9.0]", 1.2, 60.0, ""));
    let sway = |d: &Design| d.holders[0].web.sway_mm;
    assert!(sway(&two) < 0.7 * sway(&one), "{} {}", sway(&two), sway(&one));
}

#[test]
fn a_pitched_axis_is_where_the_spec_says() {
    let found = design(&spec(
        "offset = 30.0\npitch = 10.0\nstations = [-10.0, 12.0]\naim = { ahead = 50.0, within = 3.0 }",
        1.0,
        60.0,
        "",
    ));
    let plan = &found.holders[0];
    let (sin, cos) = 10.0_f64.to_radians().sin_cos();
    let [x, y, z] = plan.axis_point_mm(plan.ahead_mm.expect("a point was asked for"));
    assert!(x.abs() < 1e-12 && (y - 30.0 - 50.0 * sin).abs() < 1e-12 && (z - 50.0 * cos).abs() < 1e-12);
    assert!(matches!(plan.web_plan, WebPlan::Side(_)));
    let plain = design(&spec("offset = 30.0", 1.0, 60.0, ""));
    assert_eq!(plain.holders[0].web_plan, WebPlan::Plain);
}

/// The pitch and the offset that the message names both work.
#[test]
fn a_pitch_that_collides_names_what_works() {
    let layout = |offset: f64, pitch: f64| {
        spec(
            &format!("offset = {offset}\npitch = {pitch}\nstations = [-16.0, 16.0]\nlengths = [8.0, 8.0]"),
            1.0,
            60.0,
            "",
        )
    };
    let found = problem(&layout(26.0, -28.0));
    assert_eq!((found.at.as_str(), found.code), ("layout.pitch", "pitch-collides"), "{found:?}");
    let pitch = number(found.allowed.as_deref().expect("it says what is allowed"));
    assert!(pitch < -1.0 && pitch > -28.0, "{pitch}");
    assert!(size(&layout(26.0, pitch)).is_ok(), "{:?}", size(&layout(26.0, pitch)));
    assert!(size(&layout(26.0, pitch - 0.1)).is_err());
    let offset = number(found.hint.as_deref().expect("it says how to mend it"));
    let at_offset = size(&layout(offset, -28.0));
    assert!(at_offset.as_ref().err().is_none_or(|p| p[0].code != "pitch-collides"), "{at_offset:?}");
}

/// The offset that a web without room asks for works.
#[test]
fn a_web_without_room_names_an_offset_that_works() {
    let layout =
        |offset: f64| spec(&format!("offset = {offset}\nstations = [-4.0, 50.0]\nlengths = [8.0, 8.0]"), 1.0, 60.0, "");
    let offset = (0..20)
        .map(|i| 21.5 + 0.5 * f64::from(i))
        .find(|o| size(&layout(*o)).is_err_and(|p| p[0].code == "web-not-drawable"));
    let found = problem(&layout(offset.expect("a low web far out has no room for its valley")));
    assert_eq!(found.at, "layout.offset");
    let works = number(found.allowed.as_deref().expect("it says what is allowed"));
    assert!(size(&layout(works)).is_ok(), "{works}");
}

#[test]
fn drafted_clips_stand_on_both_sides_of_the_parting_plane() {
    let draft = "[finish]\ndraft = 1.0\n";
    let both = design(&spec("offset = 28.0\nstations = [-12.0, 12.0]", 1.0, 60.0, draft));
    assert_eq!(both.holders[0].web_plan, WebPlan::Flat);
    let one_sided = problem(&spec("offset = 28.0\nstations = [12.0, 30.0]", 1.0, 60.0, draft));
    assert_eq!((one_sided.at.as_str(), one_sided.code), ("layout.stations", "draft-one-sided"), "{one_sided:?}");
}

#[test]
fn stations_without_room_for_a_clip_are_refused() {
    let near = problem(&spec("offset = 28.0\nstations = [0.0, 5.0]", 1.0, 60.0, ""));
    assert_eq!((near.at.as_str(), near.code), ("layout.stations[1]", "stations-overlap"), "{near:?}");
    let stop = problem(&spec("offset = 28.0\nstop = { at = 3.0 }", 1.0, 60.0, ""));
    assert_eq!((stop.at.as_str(), stop.code), ("layout.stop.at", "stop-among-clips"), "{stop:?}");
    // Clips keep within what their neighbours leave.
    let tight = design(&spec("offset = 28.0\nstations = [-5.0, 5.0]", 0.5, 60.0, ""));
    assert!(tight.sizes[0].length_mm <= 8.0 + 1e-12, "{}", tight.sizes[0].length_mm);
}

/// A limit on the sway widens pads and web until it is kept, and no wider.
#[test]
fn webs_are_made_as_stiff_as_asked() {
    let aim = "offset = 64.0\nlengths = [22.0]\naim = { ahead = 25, within = 2.5 }\n";
    let free = design(&spec(aim, 0.6, 60.0, ""));
    let loose = free.holders[0].web;
    assert!(loose.working_limit_mm.is_none() && loose.working.web_mm > 0.03, "{loose:?}");
    let limit = 0.6 * loose.working.web_mm + loose.working.supports_mm();
    let stiff = design(&spec(&format!("{aim}sway = {{ at_most = {limit} }}"), 0.6, 60.0, ""));
    let web = stiff.holders[0].web;
    assert!(web.working.at_least_mm() <= limit && web.working.web_mm > 0.8 * 0.6 * loose.working.web_mm, "{web:?}");
    assert!(web.width_mm > loose.width_mm + 0.2);
    // A limit that is kept anyhow changes nothing.
    let slack =
        design(&spec(&format!("{aim}sway = {{ at_most = {} }}", 1.01 * loose.working.at_least_mm()), 0.6, 60.0, ""));
    assert_eq!(slack.holders[0].web.width_mm.to_bits(), loose.width_mm.to_bits());
}

#[test]
fn a_sway_that_no_web_keeps_says_what_would_free_it() {
    let asked = "offset = 34.0\naim = { ahead = 60, within = 2.5 }\nsway = { at_most = 0.01 }";
    let lost = problem(&spec(asked, 0.4, 60.0, ""));
    assert_eq!((lost.code, lost.at.as_str()), ("supports-too-soft", "layout.sway.at_most"), "{lost:?}");
    let hint = lost.hint.expect("there is a hint");
    // The value that it names works.
    let named = hint.split("at_most = ").nth(1).and_then(|rest| rest.split(" }").next()).expect("a limit is named");
    let mended = asked.replace("at_most = 0.01", &format!("at_most = {named}"));
    assert!(design(&spec(&mended, 0.4, 60.0, "")).holders[0].web.working.at_least_mm() <= number(named), "{hint}");
}

/// Windows take material and keep every limit; without being asked for there are none.
#[test]
fn windows_come_only_when_asked_and_keep_the_limits() {
    let layout = "offset = 46.0\nstations = [-20.0, 20.0]\naim = { ahead = 60, within = 2.5 }\n";
    let solid = design(&spec(layout, 1.5, 60.0, ""));
    assert!(solid.holders[0].windows.is_empty());
    let light = design(&spec(&format!("{layout}web = \"windows\""), 1.5, 60.0, ""));
    let (holder, web) = (&light.holders[0], &light.holders[0].web);
    assert!(!holder.windows.is_empty());
    let WebPlan::Side(outline) = &holder.web_plan else { panic!("{:?}", holder.web_plan) };
    for (index, window) in holder.windows.iter().enumerate() {
        assert!(window.area_mm2() > 9.0 && outline.contact_with(window).is_none());
        for other in &holder.windows[index + 1..] {
            assert!(other.bounds().min.y - window.bounds().max.y >= 2.0);
        }
    }
    let before = &solid.holders[0].web;
    assert!(web.strain <= web.strain_limit && web.working.web_mm > before.working.web_mm, "{web:?}");
    assert!(web.tip.web_mm - before.tip.web_mm <= 0.05 * 2.5 + 1e-9);
    assert!(
        light.notes.iter().any(|note| note.starts_with("Lightened as asked: ") && note.contains("size A is windows"))
    );
    // A limit that the solid web just keeps leaves no window, or a smaller one.
    let limit = before.working.at_least_mm() + 0.001 * before.working.web_mm;
    let held = design(&spec(&format!("{layout}web = \"windows\"\nsway = {{ at_most = {limit} }}"), 1.5, 60.0, ""));
    assert!(held.holders[0].web.working.at_least_mm() <= limit);
    assert!(held.holders[0].windows.len() < 2);
}

/// Sized clips end where the barrel does.
#[test]
fn clips_are_no_longer_than_the_barrel() {
    let free = design(&spec("offset = 27.0", 1.5, 60.0, ""));
    assert!(free.sizes[0].length_mm > 12.0, "{}", free.sizes[0].length_mm);
    let mut short = spec("offset = 27.0", 1.5, 60.0, "");
    short.tools[0].length_mm = Some(11.0);
    match size(&short) {
        Ok(found) => assert!(found.sizes[0].length_mm <= 11.0 + 1e-9),
        Err(problems) => assert_eq!(problems[0].code, "no-size"),
    }
}

#[test]
fn parts_that_begin_above_the_bed_are_named() {
    let note = |layout: &str| {
        design(&spec(layout, 1.2, 60.0, "")).notes.into_iter().find(|note| note.starts_with("Printed upright"))
    };
    // A mount of 22 mm reaches 6.5 mm below a clip of 9 mm over its middle.
    assert!(note("offset = 27.0\nlengths = [9.0]").is_some_and(|note| note.contains("size A: the clip by 6.5 mm.")));
    assert_eq!(note("offset = 27.0\nlengths = [22.0]"), None);
}
