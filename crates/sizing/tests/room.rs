//! Room between body and tool is a part of the search: a looser limit thickens no wall until parts collide.

use gripwright_input::{MaterialLibrary, Spec, read_spec};
use gripwright_sizing::{Problem, Sizer, size};

/// A flat arm of 24 × 16 mm with one pen; offset in mm, push in N.
fn spec(offset_mm: f64, push_n: f64, load_path: &str) -> Spec {
    let text = format!(
        "[holder]\nname = \"Arm\"\n[body]\nmount_length = 24\n\
         profile = {{ shape = \"rounded-rectangle\", width = 24, height = 16, corner = 3 }}\n[[tools]]\nname = \"Pen\"\n\
         diameter = {{ min = 10.5, max = 11 }}\nmass = \"15 g\"\nworking_load = {{ along = \"2 N\", across = \"1.5 N\" }}\n\
         [layout]\noffset = {offset_mm}\n[fit]\nload_path = \"{load_path}\"\nsnap_on = {{ at_most = \"{push_n} N\" }}\n\
         [material]\nprint = \"petg\"\n"
    );
    read_spec(&text, "room.toml", &MaterialLibrary::built_in()).expect("the spec is sound").spec
}

fn problem(spec: &Spec) -> Problem {
    size(spec).expect_err("there is no design").remove(0)
}

/// Before, walls grew with the push until mount and clip collided from 60 N on.
#[test]
fn what_has_room_at_a_push_has_room_at_every_greater_one() {
    let refused: Vec<f64> = [40.0, 60.0, 80.0, 120.0, 200.0]
        .into_iter()
        .filter(|push_n| size(&spec(19.0, *push_n, "report")).is_err())
        .collect();
    assert!(refused.is_empty(), "refused at {refused:?} N");
}

#[test]
fn the_offset_that_a_collision_names_works() {
    for push_n in [40.0, 200.0] {
        let found = problem(&spec(18.0, push_n, "report"));
        assert_eq!(found.code, "offset-too-small", "{found}");
        let hint = found.hint.expect("it has a hint");
        let offset_mm: f64 =
            hint.split('"').nth(1).and_then(|value| value.strip_suffix(" mm")?.parse().ok()).expect("a length");
        assert!(offset_mm > 18.0 && offset_mm < 20.5, "{hint}");
        assert!(size(&spec(offset_mm, push_n, "report")).is_ok(), "{push_n} N: {hint}");
    }
}

#[test]
fn all_limits_that_the_nearest_mount_breaks_are_named_with_it() {
    let problems = size(&spec(20.5, 30.0, "limit")).expect_err("there is no design");
    let message = &problems.iter().find(|problem| problem.at == "body.profile").expect("no mount serves").message;
    for words in [
        "to snap on where 30 N is allowed",
        "of the loads, of which the rock takes most",
        "the nearest mount has a wall of",
    ] {
        assert!(message.contains(words), "{message}");
    }
}

#[test]
fn a_refusal_is_told_before_its_remedies_are_looked_for() {
    use std::sync::Mutex;
    static TOLD: Mutex<Vec<String>> = Mutex::new(Vec::new());
    let sizer = Sizer::new().with_refusal_notice(|verdict| TOLD.lock().expect("it is free").push(verdict.to_owned()));
    assert!(sizer.size(&spec(17.0, 60.0, "report")).is_err());
    assert_eq!(*TOLD.lock().expect("it is free"), ["the parts of a holder do not go together"]);
}
