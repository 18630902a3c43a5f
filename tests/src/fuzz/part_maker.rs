//! Target that makes parts: outlines, their insets, prisms, and joins, up to the full validity check and the mesh.

use std::{collections::HashSet, f64::consts::PI};

use gripwright_section::{
    ClipBack, LeadIn, Mount, Outline, Point, RoundClip, SplitRing, VeeClip, circle, difference, ellipse,
    flatted_circle, inset, rounded_rectangle, union,
};
use gripwright_solid::{
    Cap, CheckLimits, GripDraft, Lettering, PartingPlane, PlateSpec, Pocket, PrismSpec, Relief, SleeveSpec, Solid,
    SolidDefect, Station, ToolAxis, WebShape, check, holder, holder_with_stations, least_offset_mm, lettering,
    mass_properties, plate, prism, sleeve, triangulate,
};

use super::random_bytes::RandomBytes;

/// Parts with walls thinner than this (mm) are not meshed: the chords of the two sides of a wall may cross.
const THIN_MM: f64 = 0.1;
/// Chord tolerance of the mesh, mm, and the one that is tried when its details are too fine for it.
const CHORD_MM: f64 = 0.03;
const FINE_CHORD_MM: f64 = 0.001;

/// Makes one part and checks it. Refusals are fine; a part that is handed out must be sound.
pub(super) fn parts(bytes: &[u8]) {
    let mut input = RandomBytes::new(bytes);
    match input.below(8) {
        0 => outlines(&mut input),
        1 => labelled_coupon(&mut input),
        2 => joined_with_stations(&mut input),
        3 => sleeve_of(&mut input),
        4 => plate_of(&mut input),
        _ => joined(&mut input),
    }
}

/// Booleans and insets of two outlines keep their areas.
fn outlines(input: &mut RandomBytes<'_>) {
    let back = pad(input);
    let (Some(first), Some(second)) = (clip(input, back), body(input)) else { return };
    let second =
        second.moved(input.between(-PI, PI), Point::new(input.between(-20.0, 20.0), input.between(-20.0, 20.0)));
    let amounts: Vec<f64> = first.segments().iter().map(|_| input.between(-0.5, 1.0)).collect();
    if let Ok(moved) = inset(&first, &amounts) {
        assert_eq!(moved.curves.len(), first.segments().len());
    }
    if let (Ok(both), Ok(rest)) = (union(&first, &second), difference(&first, &second)) {
        let off = both.area_mm2() - rest.area_mm2() - second.area_mm2().abs();
        let allowed = 1e-3 * (first.area_mm2() + second.area_mm2()).abs() + 1e-2;
        assert!(off.abs() <= allowed, "the areas of union and difference differ by {off} mm²");
    }
}

fn labelled_coupon(input: &mut RandomBytes<'_>) {
    let back = ClipBack::Tab {
        neck_half_width_mm: input.between(1.0, 8.0),
        depth_mm: input.between(0.0, 4.0),
        fillet_mm: input.between(0.2, 3.0),
        half_width_mm: input.between(1.0, 30.0),
        length_mm: input.between(1.0, 12.0),
    };
    let Some(outline) = clip(input, back) else { return };
    let cap = if input.below(2) == 0 { Cap::Lower } else { Cap::Upper };
    let mut spec = finished(outline, input);
    let letters: String =
        (0..=input.below(6)).map(|_| char::from(b"ABM0189+-."[usize::from(input.below(10))])).collect();
    let size = Lettering { height_mm: input.between(2.0, 8.0), ..Lettering::default() };
    if let Ok(text) = lettering(&letters, &size) {
        let low = spec.outline.bounds().min.y;
        let middle = Point::new(-0.5 * text.width_mm, low + input.between(0.0, 3.0));
        let outlines = text.outlines.iter().map(|o| o.moved(0.0, middle)).collect();
        spec.pockets = vec![Pocket { outlines, depth_mm: input.between(0.1, 2.0), cap }];
    }
    if let Ok(solid) = prism("coupon", &spec) {
        check_solid(&solid);
    }
}

fn joined(input: &mut RandomBytes<'_>) {
    let back = pad(input);
    let (Some(on_body), Some(on_tool)) = (mount(input, back), clip(input, back)) else { return };
    let first = finished(on_body, input);
    let half_height_mm = input.between(0.5, 20.0);
    let second = PrismSpec { outline: on_tool, half_height_mm, ..first.clone() };
    let Ok(least) = least_offset_mm(&first, &second) else { return };
    let made = holder("holder", &first, &second, least + input.often_zero(15.0));
    if let Ok(solid) = made {
        check_solid(&solid);
        if let (Some(peg), true) = (body(input), input.below(2) == 0) {
            let peg = peg.scaled(0.1).moved(0.0, Point::new(0.0, 0.5 * least));
            if let Ok(drilled) = solid.with_blind_hole(&peg, -first.half_height_mm, input.between(0.1, 8.0)) {
                check_solid(&drilled);
            }
        }
    }
}

fn joined_with_stations(input: &mut RandomBytes<'_>) {
    let back = pad(input);
    let Some(on_body) = mount(input, back) else { return };
    let first = PrismSpec { parting: PartingPlane::Middle, ..finished(on_body, input) };
    let mut stations = Vec::new();
    let mut at_mm = input.between(-30.0, 0.0);
    for _ in 0..=input.below(3) {
        let Some(outline) = clip(input, back) else { return };
        let half_height_mm = input.between(1.0, 10.0);
        stations.push(Station { at_mm, clip: PrismSpec { outline, half_height_mm, ..first.clone() } });
        at_mm += input.between(2.0, 30.0);
    }
    let axis = ToolAxis { offset_mm: input.between(5.0, 60.0), pitch_rad: 0.0 };
    if let Ok(solid) = holder_with_stations("holder", &first, &stations, axis, &WebShape::Flat) {
        check_solid(&solid);
    }
}

fn sleeve_of(input: &mut RandomBytes<'_>) {
    let ring = SplitRing {
        bore_radius_mm: input.between(1.0, 20.0),
        wall_mm: input.between(0.3, 4.0),
        half_wrap_rad: input.between(1.6, 3.1),
        edge_mm: input.between(0.05, 1.0),
    };
    let spec = SleeveSpec {
        ring,
        between_mm: input.between(0.5, 30.0),
        collar_mm: input.between(0.2, 3.0),
        rim_mm: input.between(0.2, 3.0),
        chamfer_mm: input.often_zero(1.0),
        pockets: Vec::new(),
    };
    if let Ok(solid) = sleeve("sleeve", &spec) {
        check_solid(&solid);
    }
}

fn plate_of(input: &mut RandomBytes<'_>) {
    let Some(outline) = body(input) else { return };
    let mut spec = PlateSpec::plain(outline, input.between(0.5, 10.0));
    spec.draft_rad = input.often_zero(0.2);
    for lower in [true, false] {
        let Some(small) = body(input) else { return };
        let place = Point::new(input.between(-8.0, 8.0), input.between(-8.0, 8.0));
        let mut relief =
            Relief::straight(small.scaled(input.between(0.05, 0.6)).moved(0.0, place), input.between(-4.0, 6.0));
        relief.draft_rad = input.often_zero(0.2);
        if lower { &mut spec.lower } else { &mut spec.upper }.push(relief);
    }
    if input.below(3) == 0 {
        let Some(small) = body(input) else { return };
        spec.holes
            .push(small.scaled(0.1).moved(0.0, Point::new(input.between(-12.0, 12.0), input.between(-12.0, 12.0))));
    }
    if let Ok(solid) = plate("plate", &spec) {
        check_solid(&solid);
    }
}

fn pad(input: &mut RandomBytes<'_>) -> ClipBack {
    ClipBack::Pad {
        half_width_mm: input.between(0.5, 10.0),
        depth_mm: input.between(0.0, 4.0),
        fillet_mm: input.between(0.2, 3.0),
    }
}

fn lead_in(input: &mut RandomBytes<'_>) -> Option<LeadIn> {
    let flared = input.below(2) == 0;
    let flare = LeadIn { radius_mm: input.between(1.0, 8.0), angle_rad: input.between(0.05, 1.2) };
    flared.then_some(flare)
}

/// Round clip or vee.
fn clip(input: &mut RandomBytes<'_>, back: ClipBack) -> Option<Outline> {
    let (root_wall_mm, thin) = (input.between(0.4, 5.0), input.between(0.3, 1.0));
    let (lip_wall_mm, half_wrap_rad, lead_in) = (root_wall_mm * thin, input.between(1.58, 2.9), lead_in(input));
    if input.below(3) == 0 {
        let angle_rad = input.between(0.5, 3.0);
        let vee = VeeClip {
            angle_rad,
            axis_mm: input.between(3.0, 40.0),
            root_radius_mm: input.between(0.2, 4.0),
            flat_mm: input.between(1.0, 25.0),
            closing_radius_mm: input.between(2.0, 30.0),
            half_wrap_rad,
            root_wall_mm,
            lip_wall_mm,
            lead_in,
            back,
        };
        return vee.outline().ok();
    }
    let seat_radius_mm = input.between(1.0, 30.0);
    RoundClip { seat_radius_mm, root_wall_mm, lip_wall_mm, half_wrap_rad, lead_in, back }.outline().ok()
}

fn body(input: &mut RandomBytes<'_>) -> Option<Outline> {
    let (width, share, corner) = (input.between(4.0, 80.0), input.between(0.1, 1.0), input.between(0.1, 20.0));
    match input.below(4) {
        0 => circle(width).ok(),
        1 => rounded_rectangle(width, width * share, corner).ok(),
        2 => flatted_circle(width, width * (0.5 + 0.5 * share), corner).ok(),
        _ => ellipse(width, width * share, 1e-3).ok(),
    }
}

fn mount(input: &mut RandomBytes<'_>, back: ClipBack) -> Option<Outline> {
    let body = body(input)?;
    let (gap_mm, wall_mm) = (input.between(-0.5, 0.5), input.between(0.4, 6.0));
    let (half_wrap_rad, lead_in) = (input.between(1.58, 2.8), lead_in(input));
    Mount { body, gap_mm, wall_mm, half_wrap_rad, lead_in, back }.outline().ok()
}

/// A prism of an outline with draft, chamfers and gripping faces of the input.
fn finished(outline: Outline, input: &mut RandomBytes<'_>) -> PrismSpec {
    let half_height_mm = input.between(0.5, 25.0);
    let draft_rad = input.often_zero(0.15);
    let chamfer_mm = input.often_zero(1.0);
    let gripping = match input.below(3) {
        0 => GripDraft::Drafted,
        1 => GripDraft::Straight,
        _ => GripDraft::Tapered { lean: input.between(-0.2, 0.2) },
    };
    let seat_chamfer_mm = if gripping == GripDraft::Drafted { 0.0 } else { input.between(0.0, 1.0) * chamfer_mm };
    let parting = if input.below(3) == 0 { PartingPlane::LowerEnd } else { PartingPlane::Middle };
    let plain = PrismSpec::plain(outline, half_height_mm);
    PrismSpec { draft_rad, chamfer_mm, gripping, seat_chamfer_mm, parting, ..plain }
}

/// Full validity check, mass and mesh. A part whose outline touches itself is one that the program refuses.
fn check_solid(solid: &Solid) {
    let defects = check(solid, &CheckLimits::default());
    if defects.iter().any(|defect| matches!(defect, SolidDefect::SelfContact { .. })) {
        return;
    }
    assert_eq!(defects, vec![]);
    let exact = mass_properties(solid.brep()).expect("all its faces can be integrated");
    if !check(solid, &CheckLimits::wall(THIN_MM)).is_empty() {
        return;
    }
    // A tolerance coarser than the details of a face is refused; a fine one must do.
    let mesh = triangulate(solid.brep(), CHORD_MM).or_else(|_| triangulate(solid.brep(), FINE_CHORD_MM));
    let mesh = mesh.expect("all its faces can be cut");
    let mut open = HashSet::new();
    for &[a, b, c] in &mesh.triangles {
        for (from, to) in [(a, b), (b, c), (c, a)] {
            if !open.remove(&(to, from)) {
                assert!(open.insert((from, to)), "an edge of the mesh is used twice in one direction");
            }
        }
    }
    assert!(open.is_empty(), "the mesh has {} open edges", open.len());
    let off = (mesh.volume_mm3() - exact.volume_mm3).abs();
    assert!(off <= exact.area_mm2 * CHORD_MM, "the volume of the mesh is off by {off} mm³");
}
