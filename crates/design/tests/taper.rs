//! Bodies that taper: the mount follows two sections of any shape, and uneven ones are refused with numbers.

use gripwright_design::{Design, Problem, ProblemKind, size};
use gripwright_spec::{MaterialLibrary, Spec, read};

fn spec(profile: &str, far: &str, at: f64) -> Spec {
    let text = format!(
        "[holder]\nname = \"Invented\"\n[body]\nprofile = {{ {profile} }}\nfar = {{ at = {at}, profile = {{ {far} }} }}\n\
         spread = 0.02\nmount_length = 20.0\n[[tools]]\nname = \"rod\"\ndiameter = {{ min = 9.9, max = 10.1 }}\n\
         working_load = {{ along = \"1.5 N\", across = \"1.5 N\" }}\n[layout]\noffset = 32.0\n[fit]\n\
         snap_on = {{ at_most = \"70 N\" }}\nhold = {{ safety = 1.5 }}\n[material]\nprint = \"petg\"\n"
    );
    read(&text, "taper.toml", &MaterialLibrary::built_in()).expect("the spec is sound").spec
}

fn design(spec: &Spec) -> Design {
    size(spec).expect("there is a design")
}

fn problem(spec: &Spec) -> Problem {
    size(spec).expect_err("there is none").remove(0)
}

const NEAR: &str = "shape = \"rounded-rectangle\", width = 22.0, height = 15.0, corner = 4.0";
const FAR: &str = "shape = \"rounded-rectangle\", width = 20.8, height = 13.8, corner = 3.4";

#[test]
fn a_taper_is_found_from_either_side() {
    let ahead = design(&spec(NEAR, FAR, 30.0));
    assert!((ahead.mount.taper.slope - 0.02).abs() < 1e-12 && ahead.mount.taper.residual_mm < 1e-9);
    let behind = design(&spec(NEAR, FAR, -30.0));
    assert!((behind.mount.taper.slope + 0.02).abs() < 1e-12);
    // The two are each other's mirror image: the same mount, drawn from the other end.
    assert_eq!(ahead.mount.mount, behind.mount.mount);
    assert_eq!(ahead.holders[0].mount_outline, behind.holders[0].mount_outline);
    assert!((ahead.holders[0].mount_lean + behind.holders[0].mount_lean).abs() < 1e-15);
    // The outline drawn is that of the thick end, whose wall is the least and still a sound one.
    let wall = ahead.holders[0].mount_outline.least_wall().map_or(0.0, |w| w.thickness_mm);
    assert!((wall - (ahead.mount.mount.wall_mm - 0.2)).abs() < 1e-6, "{wall}");
}

/// A body that does not taper after all gives the design that it gives without a second section.
#[test]
fn no_taper_is_no_change() {
    let plain = spec(NEAR, NEAR, 30.0);
    let mut without = plain.clone();
    without.body.far = None;
    let (one, other) = (design(&plain), design(&without));
    assert!(one.mount.taper.is_none());
    assert_eq!(one.holders, other.holders);
    assert_eq!(one.mount_fit, other.mount_fit);
}

/// The grip on a cone pushes toward its thin end: what is left of the hold goes with friction less slope.
#[test]
fn a_steep_taper_holds_less_along_the_axis() {
    let round = |far: &str| design(&spec("shape = \"circle\", diameter = 22.0", far, 30.0));
    let gentle = round("shape = \"circle\", diameter = 21.8");
    let steep = round("shape = \"circle\", diameter = 19.0");
    let share = |d: &Design| d.mount_fit.axial_hold_n.least / d.mount_fit.grip_n.least;
    assert!((gentle.mount.taper.slope - 0.1 / 30.0).abs() < 1e-12);
    assert!((steep.mount.taper.slope - 0.05).abs() < 1e-12);
    // The least hold and the least grip need not come from one corner of the material.
    assert!(
        (share(&gentle) - share(&steep) - (0.05 - 0.1 / 30.0)).abs() < 5e-3,
        "{} {}",
        share(&gentle),
        share(&steep)
    );
    assert!(steep.mount_fit.margin.kept());
}

#[test]
fn uneven_sections_are_refused_with_numbers() {
    let lost = problem(&spec(NEAR, "shape = \"rounded-rectangle\", width = 20.0, height = 15.0, corner = 3.4", 30.0));
    assert_eq!((lost.code, lost.at.as_str(), lost.kind), ("uneven-taper", "body.far.profile", ProblemKind::BadSpec));
    assert!(lost.message.contains("evenly: 0."), "{}", lost.message);
    assert_eq!(lost.allowed.as_deref(), Some("at most 0.040 mm off with this `body.spread`"));
    assert!(lost.hint.is_some_and(|hint| hint.contains("at 30 mm would be")));
    let other = problem(&spec(NEAR, "shape = \"circle\", diameter = 20.0", 30.0));
    assert_eq!(other.code, "uneven-taper");
    let steep = problem(&spec("shape = \"circle\", diameter = 22.0", "shape = \"circle\", diameter = 12.0", 20.0));
    assert_eq!((steep.code, steep.at.as_str()), ("taper-too-steep", "body.far.at"));
    assert!(steep.message.contains("14.0 deg"), "{}", steep.message);
}
