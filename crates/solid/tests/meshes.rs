//! Meshes: watertight, within tolerance of the exact faces, and no larger than needed.

mod common;

use common::{clip_outline, drafted, mesh_faults, sample_holder};
use gripwright_section::{Curve, Outline, Point, Role, Segment};
use gripwright_solid::{
    Brep, Cap, Mesh, MeshError, Motion, Pocket, PrismSpec, Surface, mass_properties, prism, triangulate,
};

/// Greatest distance of points of a triangle from the surface of its face, sampled on a grid.
fn chord_error(mesh: &Mesh, brep: &Brep) -> f64 {
    let mut worst: f64 = 0.0;
    for t in &mesh.triangles {
        let [a, b, c] = t.map(|i| mesh.vertices[i as usize]);
        let sample = |i: u32, j: u32| {
            let (u, v) = (f64::from(i) / 8.0, f64::from(j) / 8.0);
            [0, 1, 2].map(|k| a[k] * (1.0 - u - v) + b[k] * u + c[k] * v)
        };
        let off = |s: &Surface| {
            (0..=8)
                .flat_map(|i| (0..=8 - i).map(move |j| (i, j)))
                .map(|(i, j)| s.signed_distance(sample(i, j)).abs())
                .fold(0.0, f64::max)
        };
        // The surface that a triangle fits best is that of its own face; its corners lie on it exactly.
        let fits = brep.faces.iter().filter(|f| [a, b, c].iter().all(|p| f.surface.signed_distance(*p).abs() < 1e-9));
        worst = worst.max(fits.map(|f| off(&f.surface)).fold(f64::INFINITY, f64::min));
    }
    worst
}

#[test]
fn a_drafted_clip_is_watertight_within_tolerance_and_small() {
    let solid = prism("clip", &drafted(clip_outline(), 6.0)).unwrap();
    let exact = mass_properties(solid.brep()).unwrap();
    for tolerance in [0.1, 0.01, 0.001] {
        let mesh = triangulate(solid.brep(), tolerance).unwrap();
        assert_eq!(mesh_faults(&mesh), Vec::<String>::new());
        let error = chord_error(&mesh, solid.brep());
        assert!(error <= tolerance * (1.0 + 1e-9), "{error} mm off at a tolerance of {tolerance} mm");
        let missing = (mesh.volume_mm3() - exact.volume_mm3).abs();
        assert!(missing <= exact.area_mm2 * tolerance, "{missing} mm³ off at a tolerance of {tolerance} mm");
    }
    let count = triangulate(solid.brep(), 0.01).unwrap().triangles.len();
    assert!((300..1200).contains(&count), "{count} triangles");
}

#[test]
fn the_number_of_triangles_follows_from_the_chords() {
    // Disc of two half circles with a radius of 10 mm. At 0.05 mm, a chord may span 2 acos(1 − 0.005) = 0.2001 rad, so
    // a half circle needs 16 chords. There are two intervals of two strips of 2·16 triangles, and two caps of 32 − 2.
    let half = |start| Segment::new(Curve::arc(Point::ORIGIN, 10.0, start, std::f64::consts::PI), Role::Web);
    let outline = Outline::new(vec![half(0.0), half(std::f64::consts::PI)]).unwrap();
    let spec = PrismSpec { draft_rad: 0.02, ..PrismSpec::plain(outline, 5.0) };
    let mesh = triangulate(prism("disc", &spec).unwrap().brep(), 0.05).unwrap();
    assert_eq!(mesh.triangles.len(), 2 * 2 * 2 * 16 + 2 * 30);
    assert_eq!(mesh.vertices.len(), 3 * 32);
}

#[test]
fn a_holder_is_watertight_in_any_position() {
    let solid = sample_holder();
    let exact = mass_properties(solid.brep()).unwrap();
    for motion in [Motion::shift([0.0; 3]), Motion::turn([0.3, 1.0, -2.0], 2.0, [250.0, 10.0, 4.0])] {
        let mesh = triangulate(solid.moved(&motion).brep(), 0.01).unwrap();
        assert_eq!(mesh_faults(&mesh), Vec::<String>::new());
        assert!((mesh.volume_mm3() - exact.volume_mm3).abs() <= exact.area_mm2 * 0.01);
    }
}

/// Rectangle whose sides are divided into many collinear pieces.
fn divided_rectangle(half: Point, pieces: [u32; 2]) -> Outline {
    let corners = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(x, y)| Point::new(x * half.x, y * half.y));
    let mut segments = Vec::new();
    for i in 0..4 {
        let (a, b, n) = (corners[i], corners[(i + 1) % 4], pieces[i % 2]);
        let at = |k: u32| if k == n { b } else { a.towards(b, f64::from(k) / f64::from(n)) };
        segments.extend((0..n).map(|k| Segment::new(Curve::line(at(k), at(k + 1)), Role::Tab)));
    }
    Outline::new(segments).expect("the sides chain")
}

#[test]
fn collinear_points_and_rows_of_pockets_leave_no_gaps() {
    // All points lie on a grid, so that `earcut` meets collinear points at every step.
    let square = |x: f64, y: f64| divided_rectangle(Point::new(0.5, 0.5), [2, 3]).moved(0.0, Point::new(x, y));
    let outlines: Vec<Outline> =
        (-4..=4).flat_map(|i| (-1..=1).map(move |j| square(f64::from(i) * 2.0, f64::from(j) * 2.0))).collect();
    let spec = PrismSpec {
        pockets: vec![Pocket { outlines, depth_mm: 0.6, cap: Cap::Upper }],
        upper: None,
        ..PrismSpec::plain(divided_rectangle(Point::new(10.0, 4.0), [20, 8]), 2.0)
    };
    let solid = prism("plate", &spec).unwrap();
    let mesh = triangulate(solid.brep(), 0.01).unwrap();
    assert_eq!(mesh_faults(&mesh), Vec::<String>::new());
    let wanted = 20.0 * 8.0 * 4.0 - 27.0 * 0.6;
    assert!((mesh.volume_mm3() - wanted).abs() < 1e-9);
    assert!((mass_properties(solid.brep()).unwrap().volume_mm3 - wanted).abs() < 1e-9);
}

#[test]
fn an_impossible_tolerance_is_an_error() {
    let solid = prism("clip", &PrismSpec::plain(clip_outline(), 2.0)).unwrap();
    for tolerance in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(triangulate(solid.brep(), tolerance), Err(MeshError::Tolerance { .. })));
    }
    assert!(matches!(triangulate(solid.brep(), 1e-30), Err(MeshError::TooFine { .. })));
}
