//! Bodies that taper: the mount follows two sections of any shape, evenly or unevenly.

use gripwright_input::{KeepOut, KeepOutShape, MaterialLibrary, Spec, read_spec};
use gripwright_section::{Curve, Role};
use gripwright_sizing::{Design, KeepOutPart, Problem, ProblemKind, size};

fn spec(profile: &str, far: &str, at: f64) -> Spec {
    let text = format!(
        "[holder]\nname = \"Invented\"\n[body]\nprofile = {{ {profile} }}\nfar = {{ at = {at}, profile = {{ {far} }} }}\n\
         spread = 0.02\nmount_length = 20.0\n[[tools]]\nname = \"rod\"\ndiameter = {{ min = 9.9, max = 10.1 }}\n\
         working_load = {{ along = \"1.5 N\", across = \"1.5 N\" }}\n[layout]\noffset = 32.0\n[fit]\n\
         snap_on = {{ at_most = \"70 N\" }}\nhold = {{ safety = 1.5 }}\nload_path = \"report\"\n[material]\nprint = \"petg\"\n"
    );
    read_spec(&text, "taper.toml", &MaterialLibrary::built_in()).expect("the spec is sound").spec
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

/// Fillets grow with the wall on tapering bodies, too.
#[test]
fn fillets_of_tapering_mounts_grow_with_the_wall() {
    let flatter = "shape = \"rounded-rectangle\", width = 21.6, height = 13.4, corner = 3.6";
    for far in [NEAR, FAR, flatter] {
        let design = design(&spec(NEAR, far, 30.0));
        let outline = &design.holders[0].mount_outline;
        let radii = outline.segments().iter().filter(|s| s.role == Role::Fillet).filter_map(|s| match s.curve {
            Curve::Arc { radius, .. } => Some(radius),
            Curve::Line { .. } => None,
        });
        let radii: Vec<f64> = radii.collect();
        let wanted = 0.6 * design.mount.mount.wall_mm;
        assert!(wanted > 1.2 && radii.len() == 2, "{far}: {wanted} {radii:?}");
        assert!(radii.iter().all(|radius| (radius - wanted).abs() < 1e-9), "{far}: {wanted} {radii:?}");
    }
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
    // The least hold is that at the least friction, 0.13 of PETG. The least grip need not come from the same corner of the
    // material, but from the same corner for both.
    let ratio = (0.13 - 0.1 / 30.0) / (0.13 - 0.05);
    assert!((share(&gentle) / share(&steep) / ratio - 1.0).abs() < 0.01, "{} {}", share(&gentle), share(&steep));
    assert!(steep.mount_fit.margin.is_kept());
}

#[test]
fn tapers_that_are_too_steep_are_refused_with_numbers() {
    let steep = problem(&spec("shape = \"circle\", diameter = 22.0", "shape = \"circle\", diameter = 12.0", 20.0));
    assert_eq!((steep.code, steep.at.as_str()), ("taper-too-steep", "body.far.at"));
    assert!(steep.message.contains("14.0 deg"), "{}", steep.message);
    let lost = "shape = \"rounded-rectangle\", width = 22.0, height = 3.0, corner = 1.4";
    let steep = problem(&spec(NEAR, lost, 20.0));
    assert_eq!((steep.code, steep.kind), ("taper-too-steep", ProblemKind::BadSpec));
    assert!(steep.message.contains("16.7 deg where it is steepest"), "{}", steep.message);
}

const UNEVEN: &str = "shape = \"rounded-rectangle\", width = 20.0, height = 14.6, corner = 3.5";

/// A body that gets narrower faster than lower: at every place the seat is that of the body there.
#[test]
fn an_uneven_taper_is_followed_at_both_ends() {
    let found = design(&spec(NEAR, UNEVEN, 30.0));
    let uneven = found.mount.uneven.as_ref().expect("it tapers unevenly");
    let [least, most] = uneven.slopes();
    assert!((least - 0.2 / 30.0).abs() < 1e-9 && (most - 1.0 / 30.0).abs() < 1e-9, "{least} {most}");
    assert!(found.mount.taper.slope.abs() <= 0.0 && (found.mount.taper.steepest - most).abs() < 1e-12);
    let holder = &found.holders[0];
    let upper = holder.mount_upper.as_ref().expect("its upper end is another");
    for (outline, along) in [(&holder.mount_outline, -10.0), (upper, 10.0)] {
        let body = uneven.section(along).expect("it reaches so far");
        let size = body.bounds().size();
        assert!((size.x - (22.0 - along / 15.0)).abs() < 1e-9 && (size.y - (15.0 - 0.4 * along / 30.0)).abs() < 1e-9);
        let seat = outline.segments().iter().filter(|s| s.role == Role::Seat);
        let off = |p| (body.nearest(p).distance_mm - found.mount.mount.gap_mm).abs();
        let worst = seat.flat_map(|s| [0.0, 0.4, 1.0].map(|t| off(s.curve.at(t)))).fold(0.0, f64::max);
        assert!(worst < 1e-9, "{worst}");
        let wall = outline.least_wall().map_or(0.0, |w| w.thickness_mm);
        assert!((wall - found.mount.mount.wall_mm).abs() < 1e-6, "{wall}");
    }
}

/// What is reported of the mount is no better than what the mount of either end alone would do.
#[test]
fn an_uneven_mount_is_as_good_as_its_worse_end() {
    let found = design(&spec(NEAR, UNEVEN, 30.0));
    let behind = design(&spec(NEAR, UNEVEN, -30.0));
    // The mirror image along the body is the same mount.
    assert_eq!(found.mount.mount, behind.mount.mount);
    assert!((found.mount_fit.strain - behind.mount_fit.strain).abs() < 1e-9);
    assert!(found.mount_fit.margin.is_kept());
    let even = design(&spec(NEAR, NEAR, 30.0));
    assert!(
        found.mount_fit.axial_hold_n.least / found.mount_fit.grip_n.least
            < even.mount_fit.axial_hold_n.least / even.mount_fit.grip_n.least
    );
}

#[test]
fn a_body_that_cannot_be_continued_says_what_to_measure() {
    // A flat that only the second section has would have less than no length beyond the first.
    let oval = "shape = \"rounded-rectangle\", width = 23.0, height = 19.0, corner = 9.0";
    let lost = problem(&spec("shape = \"circle\", diameter = 22.0", oval, 30.0));
    assert_eq!((lost.code, lost.at.as_str(), lost.kind), ("taper-unknown", "body.far.profile", ProblemKind::BadSpec));
    assert!(lost.message.contains("-10 mm from the middle") && lost.message.contains("the flat"), "{}", lost.message);
    assert!(lost.allowed.is_some() && lost.hint.is_some_and(|hint| hint.contains("at -30 mm")));
}

/// Keep-outs are measured against the mount as it is at their place: here it has shrunk by a thirtieth of the way.
#[test]
fn keep_outs_see_an_uneven_mount_where_they_are() {
    let mut near = spec(NEAR, UNEVEN, 30.0);
    let places = [[-6.0, -5.0], [5.0, 6.0]];
    let of = |[from, to]: [f64; 2]| KeepOut {
        name: format!("pin at {from}"),
        shape: KeepOutShape::Box { from_mm: [30.0, -2.0, from], to_mm: [33.0, 2.0, to] },
        clearance_mm: 1.0,
    };
    near.keep_outs = places.map(of).to_vec();
    let found = design(&near);
    let mount = &found.mount.mount;
    for (keep_out, [from, _]) in found.holders[0].keep_outs.iter().zip(places) {
        // It is widest where the pin begins.
        let side = 11.0 - from / 30.0 + mount.gap_mm + mount.wall_mm;
        assert_eq!(keep_out.after.part, KeepOutPart::Mount);
        assert!((keep_out.after.distance_mm - (30.0 - side)).abs() < 0.012, "{keep_out:?} {side}");
    }
}
