//! Plates with bosses, recesses and holes: closed boundaries, textbook volumes, errors for impossible ones.

use std::f64::consts::PI;

use gripwright_section::{Outline, Point, circle, rounded_rectangle};
use gripwright_solid::{
    Cap, CheckLimits, Mesh, PlateError, PlateSpec, Relief, ReliefPath, Solid, check, mass_properties, plate,
    triangulate,
};

fn disc(x: f64, y: f64, diameter_mm: f64) -> Outline {
    circle(diameter_mm).expect("it is round").moved(0.0, Point::new(x, y))
}

fn cone_frustum(radius: f64, end_radius: f64, height: f64) -> f64 {
    PI * height / 3.0 * (radius * radius + radius * end_radius + end_radius * end_radius)
}

fn base() -> PlateSpec {
    PlateSpec::plain(rounded_rectangle(60.0, 40.0, 2.0).expect("it can be drawn"), 8.0)
}

fn volume_mm3(solid: &Solid) -> f64 {
    assert_eq!(check(solid, &CheckLimits::wall(1.0)), vec![]);
    mass_properties(solid.brep()).expect("it is closed").volume_mm3
}

/// Edges of a mesh that are not used once in each direction.
fn open_edges(mesh: &Mesh) -> usize {
    let mut edges: Vec<(u32, u32)> =
        mesh.triangles.iter().flat_map(|t| [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])]).collect();
    edges.sort_unstable();
    edges.iter().filter(|e| edges.binary_search(&(e.1, e.0)).is_err()).count()
        + edges.windows(2).filter(|pair| pair[0] == pair[1]).count()
}

#[test]
fn every_relief_adds_or_removes_its_own_volume() {
    let slab = 8.0 * (60.0 * 40.0 - (4.0 - PI) * 4.0);
    let draft_rad = 12_f64.to_radians();
    let end = |radius: f64, height: f64| radius - height * draft_rad.tan();
    let boss = Relief { draft_rad, ..Relief::straight(disc(15.0, 0.0, 9.0), 4.5) };
    let recess = Relief { draft_rad, ..Relief::straight(disc(-15.0, 8.0, 9.0), -4.5) };
    let frustum = cone_frustum(4.5, end(4.5, 4.5), 4.5);
    for (lower, upper, holes, volume) in [
        (vec![], vec![], vec![], slab),
        (vec![], vec![boss.clone()], vec![], slab + frustum),
        (vec![recess.clone()], vec![boss.clone()], vec![], slab),
        (vec![boss.clone(), recess.clone()], vec![], vec![disc(0.0, 0.0, 5.0)], slab - 8.0 * 6.25 * PI),
        (vec![boss], vec![recess], vec![disc(0.0, 0.0, 5.0), disc(0.0, 10.0, 2.0)], slab - 8.0 * 7.25 * PI),
    ] {
        let solid = plate("plate", &PlateSpec { lower, upper, holes, ..base() }).unwrap();
        assert!((volume_mm3(&solid) / volume - 1.0).abs() < 1e-12);
        let mesh = triangulate(solid.brep(), 0.01).unwrap();
        assert_eq!(open_edges(&mesh), 0);
        assert!((mesh.volume_mm3() / volume - 1.0).abs() < 1e-3);
    }
}

#[test]
fn reliefs_stand_on_reliefs() {
    // A recess with a boss on its floor that rises above the plate and has a blind hole in its end.
    let hole = Relief::straight(disc(0.0, 0.0, 3.0), -6.0);
    let boss = Relief { on_end: vec![hole], ..Relief::straight(disc(0.0, 0.0, 8.0), 5.0) };
    let recess = Relief { on_end: vec![boss], ..Relief::straight(disc(0.0, 0.0, 20.0), -3.0) };
    let solid = plate("plate", &PlateSpec { upper: vec![recess], ..base() }).unwrap();
    let slab = 8.0 * (60.0 * 40.0 - (4.0 - PI) * 4.0);
    let volume = slab - 3.0 * 100.0 * PI + 5.0 * 16.0 * PI - 6.0 * 2.25 * PI;
    assert!((volume_mm3(&solid) / volume - 1.0).abs() < 1e-12);
    let heights = solid.brep().bounds().unwrap();
    assert!(heights.min_mm[2].abs() < 1e-15 && (heights.max_mm[2] - 10.0).abs() < 1e-12);
}

#[test]
fn a_drafted_disc_with_a_peg_is_a_tapered_rod() {
    let draft_rad = (1.5_f64 / 12.0).atan();
    let rod = PlateSpec {
        draft_rad,
        upper: vec![Relief::straight(disc(0.0, 0.0, 3.0), 4.0)],
        lower: vec![Relief::straight(disc(0.0, 0.0, 3.2), -4.5)],
        ..PlateSpec::plain(disc(0.0, 0.0, 7.0), 12.0)
    };
    let solid = plate("rod", &rod).unwrap();
    let volume = cone_frustum(3.5, 2.0, 12.0) + PI * (2.25 * 4.0 - 2.56 * 4.5);
    assert!((mass_properties(solid.brep()).unwrap().volume_mm3 / volume - 1.0).abs() < 1e-12);
    assert_eq!(check(&solid, &CheckLimits::default()), vec![]);
}

#[test]
fn impossible_plates_are_refused() {
    let at = |indices: &[usize]| ReliefPath { cap: Some(Cap::Upper), indices: indices.to_vec() };
    let upper = |upper: Vec<Relief>| plate("plate", &PlateSpec { upper, ..base() }).unwrap_err();
    let disc_of = |x: f64, rise: f64| Relief::straight(disc(x, 0.0, 6.0), rise);
    assert_eq!(upper(vec![disc_of(28.0, 1.0)]), PlateError::Outside { at: at(&[0]) });
    assert_eq!(upper(vec![disc_of(50.0, 1.0)]), PlateError::Outside { at: at(&[0]) });
    assert_eq!(
        upper(vec![disc_of(0.0, 1.0), disc_of(3.0, -1.0)]),
        PlateError::Touching { first: at(&[0]), second: at(&[1]) }
    );
    assert_eq!(upper(vec![disc_of(0.0, 0.0)]), PlateError::Rise { at: at(&[0]), rise_mm: 0.0 });
    assert!(matches!(upper(vec![disc_of(0.0, -8.0)]), PlateError::Thickness { .. }));
    let nested = Relief { on_end: vec![disc_of(1.0, 1.0)], ..disc_of(0.0, 1.0) };
    assert_eq!(upper(vec![nested]), PlateError::Outside { at: at(&[0, 0]) });
    let steep = Relief { draft_rad: 0.5, ..disc_of(0.0, 6.0) };
    assert!(matches!(upper(vec![steep]), PlateError::Inset { .. }));
    let reversed = Relief::straight(disc(0.0, 0.0, 6.0).reversed(), 1.0);
    assert_eq!(upper(vec![reversed]), PlateError::Clockwise { at: at(&[0]) });
    let holes = vec![disc(0.0, 0.0, 6.0)];
    let found = plate("plate", &PlateSpec { holes, upper: vec![disc_of(0.0, 1.0)], ..base() }).unwrap_err();
    assert!(matches!(found, PlateError::Touching { .. }), "{found}");
}

/// A hole in the wide end of a tapered rod may be wider than its thin end, as long as a wall is left at its floor.
#[test]
fn a_hole_in_the_wide_end_needs_room_at_its_floor_alone() {
    let rod = |depth_mm: f64| PlateSpec {
        draft_rad: 0.4,
        lower: vec![Relief::straight(circle(2.2).expect("it is round"), -depth_mm)],
        ..PlateSpec::plain(circle(7.0).expect("it is round"), 6.0)
    };
    // The rod is 7 − 2 · 6 · tan 0.4 = 1.93 mm thick at its end, and 2.2 mm at 5.68 mm.
    assert!(plate("rod", &rod(2.0)).is_ok());
    assert!(plate("rod", &rod(5.8)).is_err());
}
