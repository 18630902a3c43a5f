//! Keep-outs: what is in the way is named with what frees it, the web gives way where it can, and figures are exact.

use gripwright_input::{MaterialLibrary, Spec, read_spec};
use gripwright_section::Role;
use gripwright_sizing::{Design, KeepOutPart, KeepOutPlan, Problem, ProblemKind, WebPlan, size};

/// An invented spec with these lines under `[layout]` and these keep-outs.
fn spec_text(layout: &str, keep_outs: &str, more: &str) -> String {
    format!(
        "[holder]\nname = \"Invented\"\n[body]\nprofile = {{ shape = \"rounded-rectangle\", width = 22.0, height = 15.0, \
         corner = 4.0 }}\nmount_length = 24.0\n[[tools]]\nname = \"rod\"\ndiameter = {{ min = 9.9, max = 10.1 }}\n\
         working_load = {{ along = \"1 N\", across = \"1 N\" }}\n[layout]\n{layout}\n{keep_outs}\n[fit]\n\
         snap_on = {{ at_most = \"60 N\" }}\nhold = {{ safety = 1.5 }}\nload_path = \"report\"\n[material]\nprint = \"petg\"\n{more}"
    )
}

fn spec(layout: &str, keep_outs: &str, more: &str) -> Spec {
    read_spec(&spec_text(layout, keep_outs, more), "keep.toml", &MaterialLibrary::built_in())
        .expect("the spec is sound")
        .spec
}

fn design(layout: &str, keep_outs: &str) -> Design {
    size(&spec(layout, keep_outs, "")).unwrap_or_else(|p| panic!("there is a design: {p:?}"))
}

fn problem(layout: &str, keep_outs: &str, more: &str) -> Problem {
    size(&spec(layout, keep_outs, more)).expect_err("there is none").remove(0)
}

fn only(design: &Design) -> &KeepOutPlan {
    &design.holders[0].keep_outs[0]
}

fn a_box(from: [f64; 3], to: [f64; 3], clearance: f64) -> String {
    format!("[[keep_out]]\nname = \"switch\"\nbox = {{ from = {from:?}, to = {to:?} }}\nclearance = {clearance}\n")
}

const ONE: &str = "offset = 34.0";
const TWO: &str = "offset = 34.0\nstations = [-14.0, 14.0]\nlengths = [8.0, 8.0]";

#[test]
fn what_is_far_away_changes_nothing() {
    let with = design(TWO, &a_box([30.0, 0.0, -5.0], [40.0, 10.0, 5.0], 2.0));
    let without = design(TWO, "");
    let found = only(&with);
    assert!(!found.relieved && found.before == found.after);
    assert_eq!(found.after.part, KeepOutPart::Mount);
    assert_eq!(with.holders[0].web_plan, without.holders[0].web_plan);
    assert_eq!(with.fit, without.fit);
    // The mount's side stands at half of the body's width, its clearance and its wall.
    let mount = &with.mount.mount;
    let side = 11.0 + mount.gap_mm + mount.wall_mm;
    assert!((found.after.distance_mm - (30.0 - side)).abs() < 0.01, "{found:?} {side}");
}

/// A box beside the web: the web gives way, has no sharp inner corner, and stands off by just the clearance.
#[test]
fn a_web_gives_way_to_a_box() {
    let found = design(TWO, &a_box([-10.0, 15.0, 7.0], [10.0, 18.5, 40.0], 0.8));
    let (plan, keep_out) = (&found.holders[0], only(&found));
    assert!(keep_out.relieved && keep_out.before.distance_mm < 0.0, "{keep_out:?}");
    // Corners of a pocket have at least a millimetre, so that a box with less clearance is given a millimetre, and what
    // crumbs would be left beside it go too.
    assert!(keep_out.after.distance_mm > 0.998 && keep_out.after.distance_mm < 2.0, "{keep_out:?}");
    let WebPlan::Side(outline) = &plan.web_plan else { panic!("the web is drawn in side view") };
    let joints = outline.segments().iter().zip(outline.segments().iter().cycle().skip(1));
    for (one, next) in joints.filter(|(a, b)| a.role != Role::Pad && b.role != Role::Pad) {
        assert!(one.curve.tangent(1.0).distance(next.curve.tangent(0.0)) < 1e-6, "{one:?} {next:?}");
    }
    let plain = design(TWO, "");
    assert!(plan.web.depth_mm < plain.holders[0].web.depth_mm, "what is left of the web counts");
    assert!(plan.web.sway_mm > plain.holders[0].web.sway_mm);
}

/// A plain web becomes one in side view when it has to give way.
#[test]
fn a_plain_web_gives_way_too() {
    let keep_out = "[[keep_out]]\nname = \"lever\"\nsweep = { pivot = [20.0, 30.0], reach = 27.0, thickness = 3.0, \
                    width = 9.0, from = \"172 deg\", to = \"182 deg\" }\nclearance = 0.5\n";
    let found = design("offset = 36.0", keep_out);
    let keep_out = only(&found);
    assert!(keep_out.relieved && (keep_out.after.distance_mm - 0.5).abs() < 0.2, "{keep_out:?}");
    assert!(matches!(found.holders[0].web_plan, WebPlan::Side(_)));
}

/// What a message names as freeing it does, when it is written into the spec.
#[test]
fn changes_that_are_named_work() {
    let keep_out = a_box([-4.0, 20.0, 16.0], [4.0, 31.0, 30.0], 1.0);
    let found = problem(TWO, &keep_out, "");
    assert_eq!((found.at.as_str(), found.code), ("keep_out[0]", "keep-out-blocked"), "{found:?}");
    assert_eq!(found.kind, ProblemKind::NoDesign);
    assert!(found.message.contains("the clip at station 2 of size A"), "{}", found.message);
    let hint = found.hint.expect("it says what frees it");
    let quoted = |key: &str| hint.split('`').find(|part| part.starts_with(key)).map(str::to_owned);
    let offset = quoted("offset = \"").expect("more offset frees it");
    let offset: f64 = offset.split(['"', ' ']).find_map(|word| word.parse().ok()).expect("a number");
    let layout = |offset: f64, stations: &str, lengths: &str| {
        spec(&format!("offset = {offset}\nstations = {stations}\nlengths = {lengths}"), &keep_out, "")
    };
    assert!(size(&layout(offset, "[-14.0, 14.0]", "[8.0, 8.0]")).is_ok(), "{hint}");
    assert!(size(&layout(offset - 0.3, "[-14.0, 14.0]", "[8.0, 8.0]")).is_err(), "{hint}");
    let stations = quoted("stations = ").expect("a shift frees it");
    assert!(size(&spec(&format!("offset = 34\n{stations}\nlengths = [8, 8]"), &keep_out, "")).is_ok(), "{hint}");
    assert!(hint.contains("the tools on the other side (`opens = \"up\"` in [body]"), "{hint}");
}

/// A shorter mount is named where its end is in the way, and works.
#[test]
fn a_mount_in_the_way_may_be_shorter() {
    let pin = a_box([-2.0, 9.0, 10.5], [2.0, 14.0, 16.0], 0.2);
    let found = problem(ONE, &pin, "");
    assert!(found.message.contains("the mount of size A"), "{}", found.message);
    let hint = found.hint.expect("it says what frees it");
    let shorter = hint.split('`').find(|part| part.starts_with("mount_length = ")).expect("a length");
    let text = spec_text(ONE, &pin, "").replace("mount_length = 24.0", shorter);
    let spec = read_spec(&text, "keep.toml", &MaterialLibrary::built_in()).expect("the spec is sound").spec;
    assert!(size(&spec).is_ok(), "{hint}");
}

#[test]
fn a_keep_out_that_swallows_the_mount_says_so() {
    let found = problem(TWO, &a_box([-40.0, -40.0, -40.0], [40.0, 15.0, 40.0], 1.0), "");
    assert_eq!((found.code, found.kind), ("keep-out-swallows-mount", ProblemKind::BadSpec), "{found:?}");
    assert!(found.allowed.is_some() && found.hint.is_some());
}

#[test]
fn a_tool_in_the_way_and_a_hole_through_the_web_are_refused() {
    let ahead = "offset = 34.0\nstations = [-14.0, 14.0]\nlengths = [8.0, 8.0]\naim = { ahead = 60.0, within = 3.0 }";
    let tool = problem(ahead, &a_box([-4.0, 31.0, 45.0], [4.0, 40.0, 50.0], 1.0), "");
    assert!(tool.message.contains("the thickest tool of size A reaches"), "{}", tool.message);
    // Without the point ahead the tool is not known to reach so far.
    assert!(size(&spec(TWO, &a_box([-4.0, 31.0, 45.0], [4.0, 40.0, 50.0], 1.0), "")).is_ok());
}

#[test]
fn a_web_with_draft_is_not_relieved() {
    let layout = "offset = 34.0\nstations = [-14.0, 14.0]\nlengths = [8.0, 8.0]";
    let found = problem(layout, &a_box([-10.0, 15.0, 7.0], [10.0, 18.5, 40.0], 0.8), "[finish]\ndraft = 1.0\n");
    assert_eq!(found.code, "keep-out-draft", "{found:?}");
    assert!(found.hint.is_some_and(|hint| hint.contains("`draft = 0` in [finish]")));
}

#[test]
fn order_of_keep_outs_does_not_matter() {
    let (one, other) = (
        a_box([-10.0, 15.0, 7.0], [10.0, 20.0, 40.0], 0.8),
        "[[keep_out]]\nname = \"pin\"\ncylinder = { along = \"x\", through = [0.0, 20.0, -14.0], diameter = 6.0, \
         from = -9.0, to = 9.0 }\n"
            .to_owned(),
    );
    let (first, second) = (design(TWO, &format!("{one}{other}")), design(TWO, &format!("{other}{one}")));
    let (a, b) = (&first.holders[0].keep_outs, &second.holders[0].keep_outs);
    assert!(a[0].relieved && a[1].relieved);
    assert!((a[0].after.distance_mm - b[1].after.distance_mm).abs() < 0.01);
    assert!((a[1].after.distance_mm - b[0].after.distance_mm).abs() < 0.01);
}

/// A pin that stands before a window is measured against the window's edge, not against the web that is no longer there.
#[test]
fn windows_count_in_what_is_left_free() {
    let layout = "offset = 48.0\nstations = [-10.0, 10.0]\nlengths = [9.0, 9.0]\nweb = \"windows\"";
    let plain = design(layout, "");
    let holder = &plain.holders[0];
    let window = holder.windows.first().expect("there is room for a window");
    let (middle, beside) = (window.bounds().centre(), 0.5 * holder.web.width_mm + 1.0);
    let from = [beside, middle.x - 0.25, middle.y - 0.25];
    let with = design(layout, &a_box(from, [beside + 3.0, middle.x + 0.25, middle.y + 0.25], 0.5));
    assert_eq!(with.holders[0].windows, holder.windows);
    let found = only(&with);
    assert!(!found.relieved && (found.before.distance_mm - 1.0).abs() < 0.003, "{found:?}");
    // From the box's corners and edges to the window's edge at the web's side, by points of it.
    let chamferless = window.segments().iter().flat_map(|s| (0..400).map(|i| s.curve.at(f64::from(i) / 400.0)));
    let away = chamferless.map(|p| {
        let [y, z] = [p.x - middle.x, p.y - middle.y].map(|d| (d.abs() - 0.25).max(0.0));
        y.hypot(z).hypot(1.0)
    });
    let least = away.fold(f64::INFINITY, f64::min);
    assert!((found.after.distance_mm - least).abs() < 0.01 && least > 1.5, "{found:?} {least}");
}
