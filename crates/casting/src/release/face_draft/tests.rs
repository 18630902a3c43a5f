use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

use gripwright_section::{Outline, circle, rounded_rectangle};
use gripwright_solid::{Motion, PartingPlane, PrismSpec, Solid, check_boundary, mass_properties, prism};

use super::*;
use crate::release::turned_part::turned;

const UP: Point3 = [0.0, 0.0, 1.0];
const DOWN: Point3 = [0.0, 0.0, -1.0];

fn no_grip(_: &Face) -> bool {
    false
}

fn drafts(part: &Brep, half: &MouldHalf) -> Vec<FaceDraft> {
    face_drafts(part, half, &no_grip).unwrap()
}

fn block() -> Outline {
    rounded_rectangle(30.0, 20.0, 4.0).unwrap()
}

fn solid(spec: &PrismSpec) -> Solid {
    prism("part", spec).unwrap()
}

fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{found} instead of {wanted}");
}

/// Sides of a straight prism slide; its lower end draws clear; its upper end belongs to the lid.
#[test]
fn a_straight_prism_has_no_draft() {
    let part = solid(&PrismSpec::plain(block(), 6.0));
    let half = MouldHalf::through_end(part.brep(), UP);
    near(half.parting_mm, 6.0, 1e-12);
    let found = drafts(part.brep(), &half);
    assert_eq!(found.len(), 9);
    let groups = group_drafts(&found);
    let [side, end] = groups.as_slice() else { panic!("{groups:?}") };
    assert_eq!((side.group, side.faces, end.group, end.faces), (FaceGroup::Side, 8, FaceGroup::FlatEnd, 1));
    near(side.least_rad, 0.0, 0.0);
    near(side.greatest_rad, 0.0, 0.0);
    near(end.least_rad, FRAC_PI_2, 1e-7);
    near(side.undercut_mm + end.undercut_mm, 0.0, 0.0);
    near(side.area_mm2, 12.0 * block().perimeter_mm(), 1e-9);
}

/// Draft away from the middle: 1.5° in both halves of a mould parted there, an undercut in one that is left through an end.
#[test]
fn a_drafted_prism_leaves_both_halves_but_no_single_block() {
    let draft_rad = 1.5_f64.to_radians();
    let part = solid(&PrismSpec { draft_rad, ..PrismSpec::plain(block(), 6.0) });
    for half in MouldHalf::at_plane(UP, 0.0) {
        let found = drafts(part.brep(), &half);
        assert_eq!(found.len(), 9);
        for draft in found.iter().filter(|draft| draft.group == FaceGroup::Side) {
            near(draft.least_rad, draft_rad, 1e-12);
            near(draft.greatest_rad, draft_rad, 1e-12);
            near(draft.undercut_mm, 0.0, 0.0);
        }
    }
    let whole = group_drafts(&drafts(part.brep(), &MouldHalf::through_end(part.brep(), UP)));
    near(whole[0].least_rad, -draft_rad, 1e-12);
    near(whole[0].greatest_rad, draft_rad, 1e-12);
    near(whole[0].undercut_mm, 6.0 * draft_rad.tan(), 1e-12);
    assert_eq!(whole[0].undercut_faces, 8);
}

#[test]
fn a_cone_has_the_draft_of_its_half_angle() {
    let part = turned(&[[5.0, 0.0], [8.0, 30.0]]);
    assert!(check_boundary(&part).is_empty());
    let half_angle = (3.0_f64).atan2(30.0);
    let out = drafts(&part, &MouldHalf::through_end(&part, UP));
    near(out[1].least_rad, half_angle, 1e-12);
    near(out[1].greatest_rad, half_angle, 1e-12);
    let back = drafts(&part, &MouldHalf::through_end(&part, DOWN));
    near(back[0].least_rad, -half_angle, 1e-12);
    near(back[0].undercut_mm, 3.0, 1e-12);
}

/// Parted through its axis a lying cylinder leaves both halves; parted higher, it is caught by what is above the axis.
#[test]
fn a_lying_cylinder_leaves_from_its_widest_place() {
    let round = solid(&PrismSpec::plain(circle(16.0).unwrap(), 20.0));
    let part = round.brep().moved(&Motion::turn([1.0, 0.0, 0.0], 0.5 * PI, [3.0, 0.0, 2.0]));
    let sides = |half: &MouldHalf| -> Vec<FaceDraft> {
        drafts(&part, half).into_iter().filter(|d| d.area_mm2 > 300.0).collect()
    };
    for half in MouldHalf::at_plane(UP, 2.0) {
        for draft in sides(&half) {
            near(draft.least_rad, 0.0, 1e-7);
            near(draft.greatest_rad, FRAC_PI_2, 1e-7);
            near(draft.undercut_mm, 0.0, 1e-12);
        }
    }
    let [low, high] = MouldHalf::at_plane(UP, 6.0);
    // 4 mm above the axis of a radius of 8 mm the face slopes by 30°, and the opening is narrower by 8 (1 − cos 30°).
    for draft in sides(&low) {
        near(draft.least_rad, -PI / 6.0, 1e-9);
        near(draft.undercut_mm, 8.0 * (1.0 - (PI / 6.0).cos()), 1e-12);
    }
    assert!(sides(&high).iter().all(|draft| draft.least_rad > PI / 6.0 - 1e-9));
}

#[test]
fn an_inverted_taper_is_an_undercut_over_its_length() {
    let taper = 2.0_f64.to_radians();
    let part = turned(&[[10.0, -5.0], [10.0 - 10.0 * taper.tan(), 5.0]]);
    let found = drafts(&part, &MouldHalf::through_end(&part, UP));
    let groups = group_drafts(&found);
    near(groups[0].least_rad, -taper, 1e-12);
    near(groups[0].undercut_mm, 10.0 * taper.tan(), 1e-12);
    let slant = 10.0 / taper.cos();
    near(groups[0].undercut_area_mm2, PI * (20.0 - 10.0 * taper.tan()) * slant, 1e-9);
}

/// A flange below a shaft has a flat ledge of 3 mm; a board with a step there takes it out of the first half.
#[test]
fn a_ledge_is_an_undercut_unless_the_board_is_stepped() {
    let part = turned(&[[9.0, 0.0], [9.0, 4.0], [6.0, 4.0], [6.0, 12.0]]);
    assert!(check_boundary(&part).is_empty());
    near(mass_properties(&part).unwrap().volume_mm3, PI * (81.0 * 4.0 + 36.0 * 8.0), 1e-9);
    let half = MouldHalf::through_end(&part, UP);
    let caught: Vec<FaceDraft> = drafts(&part, &half).into_iter().filter(|d| d.undercut_mm > 0.0).collect();
    let [ledge] = caught.as_slice() else { panic!("{caught:?}") };
    assert_eq!(ledge.group, FaceGroup::FlatEnd);
    near(ledge.least_rad, -FRAC_PI_2, 1e-7);
    near(ledge.undercut_mm, 3.0, 1e-12);
    near(ledge.area_mm2, PI * (81.0 - 36.0), 1e-9);
    let stepped = MouldHalf { stepped_ends_mm: vec![4.0], ..half };
    assert!(drafts(&part, &stepped).iter().all(|d| d.undercut_mm <= 0.0));
}

/// A chamfer at the parting end leans the wrong way by 45°, as deep as its leg.
#[test]
fn chamfers_at_the_parting_end_are_shallow_undercuts() {
    let part = solid(&PrismSpec { chamfer_mm: 0.4, ..PrismSpec::plain(block(), 6.0) });
    let groups = group_drafts(&drafts(part.brep(), &MouldHalf::through_end(part.brep(), DOWN)));
    let slopes = groups.iter().find(|g| g.group == FaceGroup::Slope).unwrap();
    assert_eq!((slopes.faces, slopes.undercut_faces), (16, 8));
    near(slopes.least_rad, -FRAC_PI_4, 1e-12);
    near(slopes.greatest_rad, FRAC_PI_4, 1e-12);
    near(slopes.undercut_mm, 0.4, 1e-12);
}

/// Drafted one way and with chamfers at the far end alone, a part leaves one block without any undercut.
#[test]
fn a_part_that_parts_at_its_lower_end_leaves_through_it() {
    let draft_rad = 1.5_f64.to_radians();
    let plain = PrismSpec::plain(block(), 6.0);
    let part = solid(&PrismSpec { draft_rad, chamfer_mm: 0.4, parting: PartingPlane::LowerEnd, ..plain });
    let groups = group_drafts(&drafts(part.brep(), &MouldHalf::through_end(part.brep(), DOWN)));
    let words: Vec<&str> = groups.iter().map(|group| group.group.name()).collect();
    assert_eq!(words, ["sides", "chamfers, fillets and slopes", "flat ends and ledges"]);
    assert!(groups.iter().all(|group| group.undercut_faces == 0 && group.least_rad > draft_rad - 1e-12));
    near(groups[0].greatest_rad, draft_rad, 1e-12);
}

/// Oblique cones between two blocks: each line leans as much as its two ends are apart across the pull. A pull askew is
/// compared with dense samples of the normal.
#[test]
fn oblique_cones_are_bounded_by_their_steepest_lines() {
    let upper = Some(rounded_rectangle(26.0, 17.0, 3.0).unwrap());
    let part = solid(&PrismSpec { upper, ..PrismSpec::plain(block(), 6.0) });
    let skew = Motion::turn([1.0, 0.3, 0.0], 0.4, [0.0; 3]).direction(UP);
    for pull in [UP, DOWN, skew] {
        let half = MouldHalf { parting_mm: 1e3, ..MouldHalf::through_end(part.brep(), pull) };
        let mut oblique = 0;
        for draft in drafts(part.brep(), &half) {
            let Some(round) = RoundFace::new(part.brep(), &part.brep().faces[draft.face]) else { continue };
            oblique += 1;
            let samples = round.angles(4000).map(|angle| -dot(round.normal(angle), pull).asin());
            let (least, greatest) = samples.fold((9.0_f64, -9.0_f64), |(a, b), s| (a.min(s), b.max(s)));
            near(draft.least_rad, least, 1e-7);
            near(draft.greatest_rad, greatest, 1e-7);
        }
        assert_eq!(oblique, 4);
    }
    let along = drafts(part.brep(), &MouldHalf::through_end(part.brep(), DOWN));
    let steepest = along.iter().map(|d| d.greatest_rad).filter(|rad| *rad < 1.0).fold(0.0, f64::max);
    // The centres of the corners move by (1, 0.5) mm and their radii shrink by 1 mm over 12 mm.
    near(steepest, (1.0 + 1.25_f64.sqrt()).atan2(12.0), 1e-12);
}

#[test]
fn gripping_faces_are_those_of_the_caller() {
    let part = turned(&[[5.0, 0.0], [5.0, 10.0]]);
    let round = |face: &Face| matches!(face.surface, Surface::Cylinder { .. });
    let found = face_drafts(&part, &MouldHalf::through_end(&part, UP), &round).unwrap();
    let groups: Vec<FaceGroup> = group_drafts(&found).iter().map(|group| group.group).collect();
    assert_eq!(groups, [FaceGroup::Gripping, FaceGroup::FlatEnd]);
}
