//! Volume, surface area and centroid against closed forms and against Simpson's rule over the areas of sections.

mod common;

use std::f64::consts::PI;

use common::{clip_outline, drafted, mount_outline, sample_holder};
use gripwright_section::{Curve, Outline, Point, Role, Segment, inset};
use gripwright_solid::{GripDraft, MassProperties, Motion, PrismSpec, Solid, mass_properties, prism};

fn close(found: f64, wanted: f64, relative: f64) {
    assert!((found - wanted).abs() <= relative * wanted.abs().max(1.0), "found {found}, wanted {wanted}");
}

fn properties(solid: &Solid) -> MassProperties {
    mass_properties(solid.brep()).expect("all its faces can be integrated")
}

fn polygon(corners: &[(f64, f64)]) -> Outline {
    let at = |i: usize| Point::new(corners[i % corners.len()].0, corners[i % corners.len()].1);
    Outline::new((0..corners.len()).map(|i| Segment::new(Curve::line(at(i), at(i + 1)), Role::Web)).collect())
        .expect("the sides chain")
}

/// Sector of a tube about the origin, from the x axis counter-clockwise.
fn sector(inner: f64, outer: f64, angle: f64) -> Outline {
    let at = |r: f64, a: f64| Point::unit(a) * r;
    let curves = [
        Curve::line(at(inner, 0.0), at(outer, 0.0)),
        Curve::arc(Point::ORIGIN, outer, 0.0, angle),
        Curve::line(at(outer, angle), at(inner, angle)),
        Curve::arc(Point::ORIGIN, inner, angle, -angle),
    ];
    Outline::new(curves.map(|c| Segment::new(c, Role::Web)).to_vec()).expect("the sides chain")
}

/// Disc of two half circles.
fn disc(radius: f64, role: Role) -> Outline {
    let half = |start| Segment::new(Curve::arc(Point::ORIGIN, radius, start, PI), role);
    Outline::new(vec![half(0.0), half(PI)]).expect("the halves chain")
}

#[test]
fn a_box() {
    let m = properties(
        &prism("box", &PrismSpec::plain(polygon(&[(1.0, 2.0), (5.0, 2.0), (5.0, 5.0), (1.0, 5.0)]), 2.5)).unwrap(),
    );
    close(m.volume_mm3, 60.0, 1e-15);
    close(m.area_mm2, 2.0 * (12.0 + 20.0 + 15.0), 1e-15);
    for (found, wanted) in m.centroid_mm.into_iter().zip([3.0, 3.5, 0.0]) {
        close(found, wanted, 1e-15);
    }
}

#[test]
fn a_sector_of_a_tube() {
    let (inner, outer, angle, h) = (4.0_f64, 7.0_f64, 1.3_f64, 3.0);
    let m = properties(&prism("sector", &PrismSpec::plain(sector(inner, outer, angle), 0.5 * h)).unwrap());
    let ring = outer * outer - inner * inner;
    close(m.volume_mm3, 0.5 * angle * ring * h, 1e-14);
    close(m.area_mm2, angle * ring + angle * (inner + outer) * h + 2.0 * (outer - inner) * h, 1e-14);
    // Centroid of a ring sector: ⅔ (R³ − r³)/(R² − r²) · sin(φ/2)/(φ/2) along the bisector.
    let lever = 2.0 / 3.0 * (outer.powi(3) - inner.powi(3)) / ring * (0.5 * angle).sin() / (0.5 * angle);
    close(m.centroid_mm[0], lever * (0.5 * angle).cos(), 1e-14);
    close(m.centroid_mm[1], lever * (0.5 * angle).sin(), 1e-14);
}

#[test]
fn a_drafted_disc_is_two_cone_frustums() {
    let (radius, h, draft) = (9.0_f64, 4.0, 0.05_f64);
    let spec = PrismSpec { draft_rad: draft, ..PrismSpec::plain(disc(radius, Role::Web), h) };
    let m = properties(&prism("disc", &spec).unwrap());
    let top = radius - h * draft.tan();
    let frustum = PI * h / 3.0 * (radius * radius + radius * top + top * top);
    close(m.volume_mm3, 2.0 * frustum, 1e-14);
    close(m.area_mm2, 2.0 * (PI * top * top + PI * (radius + top) * (h / draft.cos())), 1e-14);
    assert!(m.centroid_mm.iter().all(|c| c.abs() < 1e-13));
}

#[test]
fn a_drafted_box_is_two_frustums_of_a_pyramid() {
    let (a, b, h, draft) = (10.0, 6.0, 5.0, 0.03_f64);
    let outline = polygon(&[(0.0, 0.0), (a, 0.0), (a, b), (0.0, b)]);
    let m = properties(&prism("box", &PrismSpec { draft_rad: draft, ..PrismSpec::plain(outline, h) }).unwrap());
    let t = h * draft.tan();
    let half = a * b * h - (a + b) * t * h + 4.0 / 3.0 * t * t * h;
    close(m.volume_mm3, 2.0 * half, 1e-14);
    close(m.centroid_mm[0], 0.5 * a, 1e-14);
}

/// Area of the section of a drafted, chamfered prism at a height.
fn area_at(spec: &PrismSpec, height: f64) -> f64 {
    let (z, edge) = (height.abs(), spec.half_height_mm - spec.chamfer_mm);
    let amount = z.min(edge) * spec.draft_rad.tan() + (z - edge).max(0.0);
    let moves = |s: &Segment| match s.role {
        Role::Pad => false,
        r if r.grips() => spec.gripping == GripDraft::Drafted,
        _ => true,
    };
    let amounts: Vec<f64> = spec.outline.segments().iter().map(|s| if moves(s) { amount } else { 0.0 }).collect();
    let moved = inset(&spec.outline, &amounts).expect("the walls have room");
    moved.to_outline(&spec.outline).expect("its curves chain").area_mm2()
}

#[test]
fn prisms_agree_with_simpson_over_their_sections() {
    for outline in [clip_outline(), mount_outline()] {
        for gripping in [GripDraft::Drafted, GripDraft::Straight] {
            let spec = PrismSpec { gripping, ..drafted(outline.clone(), 6.0) };
            let edge = spec.half_height_mm - spec.chamfer_mm;
            // Within an interval, the area of a section is quadratic in the height, so Simpson's rule is exact.
            let simpson = |a: f64, b: f64| {
                (b - a) / 6.0 * (area_at(&spec, a) + 4.0 * area_at(&spec, 0.5 * (a + b)) + area_at(&spec, b))
            };
            let wanted = 2.0 * (simpson(0.0, edge) + simpson(edge, spec.half_height_mm));
            close(properties(&prism("p", &spec).unwrap()).volume_mm3, wanted, 1e-12);
        }
    }
}

#[test]
fn moving_a_part_moves_its_centroid_and_nothing_else() {
    let solid = sample_holder();
    let before = properties(&solid);
    for motion in [
        Motion::shift([300.0, -200.0, 50.0]),
        Motion::half_turn([10.0, 0.0, 0.0]),
        Motion::turn([1.0, -2.0, 0.7], 0.9, [40.0, 90.0, -30.0]),
    ] {
        let after = properties(&solid.moved(&motion));
        close(after.volume_mm3, before.volume_mm3, 1e-13);
        close(after.area_mm2, before.area_mm2, 1e-13);
        for (found, wanted) in after.centroid_mm.into_iter().zip(motion.point(before.centroid_mm)) {
            close(found, wanted, 1e-12);
        }
    }
}

#[test]
fn a_holder_is_its_two_prisms_and_a_web() {
    let (mount, clip) = (drafted(mount_outline(), 6.0), drafted(clip_outline(), 6.0));
    let holder = gripwright_solid::holder("h", &mount, &clip, 28.0).unwrap();
    let parts =
        properties(&prism("m", &mount).unwrap()).volume_mm3 + properties(&prism("c", &clip).unwrap()).volume_mm3;
    let length = 28.0 + clip.outline.bounds().min.y + mount.outline.bounds().min.y;
    // The section of the web is the pad: 6 mm wide at the parting plane, drafted and chamfered.
    let (slope, width) = (mount.draft_rad.tan(), 6.0);
    let edge = 6.0 - 0.3;
    let section = 2.0 * (edge * (width - slope * edge) + 0.3 * (width - 2.0 * slope * edge - 0.3));
    close(properties(&holder).volume_mm3, parts + section * length, 1e-12);
}
