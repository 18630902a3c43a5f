//! A straight, slender arm pushed aside by a wedge: the mating force of the plastics makers' guides.

mod common;

use common::plastic;
use gripwright_mechanics::{
    ArmGeometry, CoulombFriction, MeshDensity, MeshedClip, RigidSection, SolverSettings, simulate,
};
use gripwright_section::{Curve, LipRound, Outline, Point, Role, Segment};

/// Mating force over deflection force, (μ + tan α) / (1 − μ tan α), for a lead angle α (rad) and friction μ. `None`:
/// the joint locks itself, no push moves it.
///
/// Bayer `MaterialScience`, *Snap-Fit Joints for Plastics – A Design Guide*, p. 14, read in part. It holds for slender
/// arms (length over wall above about 10), small deflections and rigid parts to mate with.
fn mating_factor(lead_rad: f64, friction: f64) -> Option<f64> {
    let (sin, cos) = lead_rad.sin_cos();
    // Written with sine and cosine so that a lead of a right angle needs no infinite tangent.
    let denominator = cos - friction * sin;
    (denominator > 0.0).then(|| (friction * cos + sin) / denominator)
}

/// The guide's calculation example I (from memory, recomputed): α = 30°, μ = 0.60.
#[test]
fn mating_factor_is_that_of_the_guides_example() {
    let factor = mating_factor(30.0_f64.to_radians(), 0.6).expect("no self-locking");
    assert!((factor / 1.80 - 1.0).abs() < 1e-3, "{factor}");
    assert_eq!(mating_factor(60.0_f64.to_radians(), 0.6), None);
}

/// A convex polygon (counter-clockwise), its corners rounded by moving it out.
fn rounded(corners: &[Point], radius: f64) -> Outline {
    let count = corners.len();
    let normal = |i: usize| {
        let along = corners[(i + 1) % count] - corners[i];
        -(along * (1.0 / along.length())).turned_left()
    };
    let mut curves = Vec::new();
    for i in 0..count {
        let (before, after) = (normal((i + count - 1) % count), normal(i));
        let turn = before.cross(after).atan2(before.dot(after));
        curves.push(Curve::arc(corners[i], radius, before.angle(), turn));
        curves.push(Curve::line(corners[i] + after * radius, corners[(i + 1) % count] + after * radius));
    }
    Outline::new(curves.into_iter().map(|c| Segment::new(c, Role::Body)).collect()).expect("a closed chain")
}

/// W = P (μ + tan α) / (1 − μ tan α) with P = 3 E I y / l³ of a cantilever: the guide, p. 14, and its type 1 arm.
/// Small displacements: y is at most 2 % of l. The length runs to the centre of the lip round.
#[test]
fn push_follows_the_mating_force_of_the_guides() {
    let (length, wall, half_mouth) = (60.0, 1.0, 5.0);
    let face = [Curve::line(Point::new(half_mouth, 0.0), Point::new(half_mouth, length))];
    let lip = LipRound { centre: Point::new(half_mouth + 0.5 * wall, length), radius_mm: 0.5 * wall };
    let arm = ArmGeometry { inner_face: &face, wall: &|_, _| wall, pad_mm: 0.0, lip };
    let clip = MeshedClip::symmetric(&arm, MeshDensity { elements: 36, points_per_element: 2 }).expect("a sound arm");
    let bend = plastic().plane_modulus_mpa * wall.powi(3) / 12.0;
    for (lead_degrees, friction) in [(20.0_f64, 0.0), (20.0, 0.3), (30.0, 0.0), (30.0, 0.2), (30.0, 0.6), (40.0, 0.4)] {
        let lead = lead_degrees.to_radians();
        // From a tip narrower than the mouth to a body that opens each arm by 1.2 mm.
        let (narrow, wide, radius) = (half_mouth - 1.5, half_mouth + 1.0, 0.2);
        let height = (wide - narrow) / lead.tan();
        let right = [Point::new(narrow, 0.0), Point::new(wide, height), Point::new(wide, height + 4.0)];
        let left = right.iter().rev().map(|p| Point::new(-p.x, p.y));
        let corners: Vec<Point> = right.iter().copied().chain(left).collect();
        let wedge = RigidSection::from_outline(&rounded(&corners, radius)).expect("convex");
        let settings = SolverSettings { steps: 800.0, ..SolverSettings::default() };
        let snap = simulate(&clip, &wedge, CoulombFriction { coefficient: friction }, plastic(), &settings);
        let factor = mating_factor(lead, friction).expect("no self-locking");
        let on_the_slope: Vec<_> = snap.insertion.iter().filter(|p| p.opening_mm > 0.2 && p.opening_mm < 0.9).collect();
        assert!(on_the_slope.len() > 4, "{} points, {:?}", on_the_slope.len(), snap.outcome);
        for point in on_the_slope {
            let wanted = 2.0 * factor * 3.0 * bend * point.opening_mm / length.powi(3);
            let ratio = point.force_n_per_mm / wanted;
            // The arm turns by 1.5 y / l and leans into the push: an error that goes to nothing with the opening.
            assert!(
                (ratio - 1.0).abs() < 0.002 + 0.03 * point.opening_mm,
                "lead {lead_degrees}, friction {friction}: {ratio} at {point:?}"
            );
        }
    }
}
