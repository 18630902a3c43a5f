//! Load path of whole holders: moments on mount and clips, friction on the body, long-term hold, order of letting go.

use gripwright_input::{MaterialLibrary, Spec, Uses, read_spec};
use gripwright_sizing::{Design, Limit, Margin, size};

/// A lamp on a tube of 27.2 mm, which takes 3 N at 44 mm from the tube's axis. The scenario is invented.
fn tube(body: &str, tool: &str, fit: &str) -> Spec {
    // What is no limit can be read as a figure.
    let report = if fit.contains("load_path") { "" } else { "load_path = \"report\"" };
    let text = format!(
        "[holder]\nname = \"Invented\"\n[body]\nprofile = {{ shape = \"circle\", diameter = 27.2 }}\nspread = 0.03\n\
         mount_length = 22.0\n{body}\n[[tools]]\nname = \"lamp\"\ndiameter = {{ min = 26.6, max = 27.0 }}\n\
         mass = \"95 g\"\n{tool}\n[layout]\noffset = 44.45\n[fit]\nsnap_on = {{ at_most = \"70 N\" }}\n\
         hold = {{ safety = 1.5 }}\n{fit}\n{report}\n[material]\nprint = \"petg\"\n[printer]\nleast_wall = 0.8\n"
    );
    read_spec(&text, "tube.toml", &MaterialLibrary::built_in()).expect("the spec is sound").spec
}

const WORK: &str = "working_load = { along = \"2.5 N\", across = \"3 N\" }";

fn designed(spec: &Spec) -> Design {
    size(spec).unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn ratio(margin: Option<Margin>) -> f64 {
    margin.map_or(f64::INFINITY, |margin| margin.ratio)
}

/// The mount of this tube rolls before it slides along: the report says so, and the limit refuses the mount.
#[test]
fn a_mount_that_would_roll_on_its_tube_is_named_and_refused() {
    let design = designed(&tube("", WORK, ""));
    let mount = design.mount_fit.load_path;
    assert!(mount.friction.is_some_and(|m| m.limit == Limit::Roll && m.ratio < 0.6), "{mount:?}");
    assert!(ratio(mount.after_1000_h) < 0.5, "{mount:?}");
    // Reported, it is no limit: hold along the axis alone is enough.
    assert!(design.mount_fit.margin.ratio >= 1.0);
    assert!(
        design.notes.iter().any(|note| note.contains("the mount") && note.contains("load path")),
        "{:?}",
        design.notes
    );

    let fit = "load_path = \"limit\"";
    let problems = size(&tube("outlasts = \"held\"", WORK, fit)).expect_err("it rolls");
    let refused = problems.iter().find(|p| p.code == "mount-no-fit").expect("the mount is refused");
    assert!(refused.message.contains("after 1,000 h") || refused.message.contains("roll"), "{refused:?}");
}

/// A moment peels one end before the clip lets go; a force alone lets go where it peels.
#[test]
fn a_part_lets_go_after_it_has_begun_to_peel() {
    let at_the_middle = designed(&tube("", "working_load = { along = \"0 N\", across = \"3 N\" }", ""));
    let beside = designed(&tube("", "working_load = { along = \"0 N\", across = \"3 N\", at = 30 }", ""));
    let on_the_clip = |design: &Design| {
        let margins = design.fit[0].figures.load_path;
        margins.mouth_lets_go.expect("there is a load") / ratio(margins.mouth)
    };
    let (straight, tilting) = (on_the_clip(&at_the_middle), on_the_clip(&beside));
    assert!((straight - 1.0).abs() < 1e-9, "{straight}");
    assert!((1.02..2.0).contains(&tilting), "{tilting}");
}

/// Roll on a round body is friction times the sum of the normals times the radius: the report's margin against the figures
/// beside it.
#[test]
fn roll_of_a_round_mount_is_friction_times_radius() {
    // No load but a push across at the tool's axis: 2 N of work and 0.93 N of weight, times 1.5.
    let design = designed(&tube("", "working_load = { along = \"0 N\", across = \"2 N\" }", ""));
    let fit = &design.mount_fit;
    let load_n = 1.5 * (2.0 + 0.095 * 9.806_65);
    let alone = fit.axial_hold_n.least * 0.5 * (27.2 - 2.0 * 0.06) / (load_n * 44.45);
    let with_the_force = ratio(fit.load_path.friction);
    // The same load presses aside as well, which takes a small share.
    assert!(with_the_force < 1.01 * alone && with_the_force > 0.85 * alone, "{with_the_force} {alone}");
}

/// With the friction of a rubber liner and a smaller offset the same lamp is held for long, moments included.
#[test]
fn a_liner_and_a_smaller_offset_hold_the_lamp() {
    let mut spec =
        tube("outlasts = \"held\"\nfriction = { least = 0.5, greatest = 0.7 }", WORK, "load_path = \"limit\"");
    spec.layout.offset_mm = 36.0;
    spec.body.mount_length_mm = 40.0;
    let design = designed(&spec);
    let all: Vec<f64> = design.mount_fit.load_path.all().map(|margin| margin.ratio).collect();
    assert!(all.len() >= 3 && all.iter().all(|ratio| *ratio >= 1.0), "{all:?}");
    assert!(design.mount_fit.margins.iter().any(|m| m.limit == Limit::Remains));
}

/// Each key turns its own margin.
#[test]
fn keys_of_the_load_path_change_their_margins() {
    let base = designed(&tube("", WORK, ""));
    let clip = |design: &Design| design.fit[0].figures.load_path;
    let farther = designed(&tube("", "working_load = { along = \"2.5 N\", across = \"3 N\", at = 30 }", ""));
    assert!(ratio(clip(&farther).mouth) < 0.7 * ratio(clip(&base).mouth));
    assert!(clip(&farther).mouth.is_some_and(|m| m.limit == Limit::Rock), "{:?}", clip(&farther));
    let heavy = designed(&tube("", &format!("centre = 40\n{WORK}"), "shock = 3.0"));
    assert!(ratio(clip(&heavy).mouth) < 0.8 * ratio(clip(&base).mouth));
    assert!(heavy.mount_fit.across_needed_n > base.mount_fit.across_needed_n + 2.0);
    let held = designed(&tube("outlasts = \"held\"", WORK, ""));
    assert!(clip(&base).letting_go.is_some() && clip(&held).letting_go.is_none());
    let twice = designed(&tube("outlasts = 2.6", WORK, ""));
    // Half of the ratio, unless what the mount holds after 1,000 h decides.
    assert!(ratio(clip(&twice).letting_go) <= ratio(clip(&base).letting_go));
    let stays = designed(&tube("", "working_load = { along = \"0.2 N\", across = \"0.2 N\" }", "uses = \"left-on\""));
    assert!(clip(&stays).after_1000_h.is_some() && clip(&base).after_1000_h.is_none());
}

/// A pull by hand that must not be exceeded binds the clip, and one that no clip keeps is refused by name.
#[test]
fn the_pull_that_takes_a_tool_out_is_a_limit() {
    let base = designed(&tube("", WORK, ""));
    let pull = base.fit.iter().map(|row| row.figures.pull_out_n.greatest).fold(0.0, f64::max);
    let bounded = designed(&tube("", WORK, &format!("take_off = {{ at_most = \"{:.0} N\" }}", 0.9 * pull)));
    let less = bounded.fit.iter().map(|row| row.figures.pull_out_n.greatest).fold(0.0, f64::max);
    assert!(less <= 0.91 * pull, "{less} {pull}");
    let problems = size(&tube("", WORK, "take_off = { at_most = \"4 N\" }")).expect_err("it would fall out");
    assert!(problems.iter().any(|p| p.message.contains("takes a tool out")), "{problems:?}");
}

/// Every remedy that a refused mount prints frees it when it is applied to the spec.
#[test]
fn remedies_of_a_refused_mount_work() {
    let text = |length: &str, snap_on: &str| {
        format!(
            "[holder]\nname = \"Invented\"\n[body]\nprofile = {{ shape = \"rounded-rectangle\", width = 24.0, height = \
             16.0, corner = 4.0 }}\n{length}\noutlasts = \"held\"\n[[tools]]\nname = \"pen\"\ndiameter = {{ min = 11.9, \
             max = 12.1 }}\nmass = \"40 g\"\nworking_load = {{ across = \"3 N\" }}\n[layout]\noffset = 26.0\n[fit]\n\
             load_path = \"limit\"\n{snap_on}\n[material]\nprint = \"petg\"\n"
        )
    };
    let sized = |length: &str, snap_on: &str| {
        size(&read_spec(&text(length, snap_on), "pen.toml", &MaterialLibrary::built_in()).expect("it is sound").spec)
    };
    let (length, snap_on) = ("mount_length = 18.0", "snap_on = { at_most = \"25 N\" }");
    let problems = sized(length, snap_on).expect_err("it rocks");
    let hint = problems[0].hint.clone().unwrap_or_default();
    // Remedies stand between backquotes, as they are written in a spec.
    let remedies: Vec<&str> = hint.split('`').skip(1).step_by(2).collect();
    let mut tried = 0;
    for remedy in remedies {
        let design = match remedy.split(' ').next() {
            Some("mount_length") => sized(remedy, snap_on),
            Some("snap_on") => sized(length, remedy),
            Some("hold") => sized(length, &format!("{snap_on}\n{remedy}")),
            _ => panic!("{remedy} has no rule here"),
        };
        tried += 1;
        assert!(design.is_ok(), "{remedy} does not free it: {:?}", design.err());
    }
    assert!(tried >= 1, "{hint}");
}

/// The lamps of a demo, whose best clips would outlast the best mount: the mount is made stronger and the clips weaker, until
/// the clips let go first.
#[test]
fn a_mount_is_made_to_outlast_the_clips() {
    let text = include_str!("../../../demo-specs/seatpost-lamps.toml");
    let mut spec = read_spec(text, "demo.toml", &MaterialLibrary::built_in()).expect("the demo is sound").spec;
    let factor = spec.body.outlasts.expect("the demo asks for the order");
    let tool_pull =
        |design: &Design| design.fit.iter().map(|row| row.figures.pull_out_n.greatest).fold(0.0_f64, f64::max);
    let ordered = designed(&spec);
    let orders: Vec<f64> = ordered.fit.iter().map(|row| ratio(row.figures.load_path.letting_go)).collect();
    assert!(orders.iter().all(|order| (1.0..10.0).contains(order)), "{orders:?}");
    // The pull of the mount by itself says the same: a single clip over its middle pulls it straight off.
    assert!(ordered.mount_fit.pull_out_n.greatest >= factor * tool_pull(&ordered));
    spec.body.outlasts = None;
    let held = designed(&spec);
    assert!(held.mount_fit.pull_out_n.greatest < factor * tool_pull(&held), "the case decides nothing");
}

/// A mount that stays on keeps to the strain at rest of its material; one that is taken off after use need not, and is not
/// asked what it holds after 1,000 h.
#[test]
fn only_a_mount_that_stays_on_has_limits_for_long() {
    let mut spec = tube("", "working_load = { along = \"0.2 N\", across = \"0.2 N\" }", "");
    let limits = |spec: &Spec| {
        let design = designed(spec);
        let has_limit = design.mount_fit.margins.iter().any(|margin| margin.limit == Limit::RestStrain);
        (has_limit, design.mount_fit.load_path.after_1000_h.is_some(), design.mount_fit.strain_at_rest)
    };
    let (has_limit, is_asked, strain) = limits(&spec);
    assert!(has_limit && is_asked && strain <= spec.material.print.strain_at_rest);
    spec.material.print.strain_at_rest = 0.8 * strain;
    let (_, _, less) = limits(&spec);
    assert!(less <= 0.8 * strain, "{less} {strain}");
    spec.body.uses = Uses::Repeated;
    let (has_limit, is_asked, _) = limits(&spec);
    assert!(!has_limit && !is_asked);
}
