//! The beam alone, under loads on its last node, against published and closed solutions.

use std::f64::consts::{FRAC_PI_2, PI};

use gripwright_section::{Curve, LipRound};

use super::*;
use crate::contact::arm_mesh::MeshPlan;

/// So slender that stretch and shear do not count: their share is about the square of this.
const THIN: f64 = 1e-3;

fn beam(curve: Curve, wall: f64, elements: usize) -> Beam {
    let plan = MeshPlan {
        inner_face: &[curve],
        wall: &|_, _| wall,
        clamp_mm: 0.0,
        strain_from_mm: 0.0,
        lip: LipRound { centre: curve.end(), radius_mm: 0.5 * wall },
        elements,
        points_per_element: 1,
    };
    Beam::new(&ArmMesh::new(&plan).unwrap(), 0.38)
}

/// Way and turn of the last node under a force (x, y) and a moment there, brought on in steps.
fn tip(beam: &Beam, load: NodeVector, steps: usize) -> NodeVector {
    let last = beam.nodes() - 1;
    let mut moved = vec![[0.0; 3]; beam.nodes()];
    let mut chain = BlockChain::new(beam.nodes());
    let (mut turns, mut strained) = (Vec::new(), Vec::new());
    for step in 1..=steps {
        let share = step as f64 / steps as f64;
        for _ in 0..60 {
            let mut residual = vec![[0.0; 3]; beam.nodes()];
            ElementTurn::update(&mut turns, &moved);
            beam.add_forces(&moved, &turns, &mut strained, &mut residual);
            beam.set_tangent(&strained, &mut chain);
            for (r, l) in residual[last].iter_mut().zip(load) {
                *r -= share * l;
            }
            assert!(chain.solve(&mut residual));
            let mut largest: f64 = 0.0;
            for (m, r) in moved.iter_mut().zip(&residual) {
                for k in 0..3 {
                    m[k] -= r[k];
                    largest = largest.max(r[k].abs());
                }
            }
            if largest < 1e-11 {
                break;
            }
        }
    }
    moved[last]
}

/// Richardson's extrapolation of a second-order rule from so many elements and twice as many.
fn extrapolated(elements: usize, run: impl Fn(usize) -> NodeVector) -> NodeVector {
    let (coarse, fine) = (run(elements), run(2 * elements));
    [0, 1, 2].map(|k| fine[k] + (fine[k] - coarse[k]) / 3.0)
}

fn straight(elements: usize) -> (Beam, f64) {
    (beam(Curve::line(Point::ORIGIN, Point::new(1.0, 0.0)), THIN, elements), THIN.powi(3) / 12.0)
}

/// P L² / (E I), deflection and shortening over the length, turn of the tip (rad). Rows 1, 2, 5 and 10: K. Mattiasson,
/// Int. J. Numer. Methods Eng. 17 (1981) 145–153, Table 1, as two test suites quote it. The others recomputed by
/// elliptic integrals after K. E. Bisshopp and D. C. Drucker, Quart. Appl. Math. 3 (1945) 272–275.
const ELASTICA: [[f64; 4]; 9] = [
    [0.2, 0.066_364_5, 0.002_646_5, 0.099_636_2],
    [0.4, 0.130_975_2, 0.010_353_9, 0.197_154_6],
    [0.6, 0.192_350_3, 0.022_487_7, 0.290_737_8],
    [0.8, 0.249_451_5, 0.038_165_6, 0.379_063_0],
    [1.0, 0.301_720_8, 0.056_433_2, 0.461_351_9],
    [2.0, 0.493_457_5, 0.160_641_7, 0.781_749_8],
    [4.0, 0.669_964_2, 0.328_941_2, 1.121_239_3],
    [5.0, 0.713_791_5, 0.387_628_4, 1.215_368_1],
    [10.0, 0.810_609_0, 0.554_995_6, 1.430_285_5],
];

#[test]
fn cantilever_follows_the_elastica() {
    for [load, deflection, shortening, turn] in ELASTICA {
        let run = |elements| {
            let (beam, bend) = straight(elements);
            tip(&beam, [0.0, load * bend, 0.0], 200)
        };
        let [x, y, theta] = extrapolated(40, run);
        for (found, wanted) in [(y, deflection), (-x, shortening), (theta, turn)] {
            assert!((found - wanted).abs() < 1e-5, "at {load}: {found} against {wanted}");
        }
        // As many elements as an arm has, without extrapolation: within 0.1 %.
        let [_, usual, _] = run(18);
        assert!((usual / deflection - 1.0).abs() < 1e-3, "at {load}: {usual} against {deflection}");
    }
}

#[test]
fn elements_converge_with_their_square() {
    let run = |elements| {
        let (beam, bend) = straight(elements);
        tip(&beam, [0.0, 2.0 * bend, 0.0], 10)[1]
    };
    let errors = [8, 16, 32].map(|n| (run(n) - ELASTICA[5][1]).abs());
    for pair in errors.windows(2) {
        let order = (pair[0] / pair[1]).log2();
        assert!((order - 2.0).abs() < 0.05, "{errors:?}");
    }
}

/// A moment of π E I / (2 L) bends a straight bar into a quarter circle: closed form.
#[test]
fn end_moment_makes_a_quarter_circle() {
    let run = |elements| {
        let (beam, bend) = straight(elements);
        tip(&beam, [0.0, 0.0, FRAC_PI_2 * bend], 20)
    };
    let [x, y, theta] = extrapolated(40, run);
    assert!((1.0 + x - 2.0 / PI).abs() < 1e-5 && (y - 2.0 / PI).abs() < 1e-5, "{x} {y}");
    assert!((theta - FRAC_PI_2).abs() < 1e-6, "{theta}");
}

/// Motion (radial, tangential, turn) of the end of a thin arc of unit radius for small loads there, over 1 / (E I).
fn arc(angle: f64, radial: f64, tangential: f64, moment: f64) -> NodeVector {
    let end = angle - FRAC_PI_2;
    let (out, along) = (Point::unit(end), Point::unit(end).turned_left());
    let tiny = 1e-9 * THIN.powi(3) / 12.0;
    let force = (out * radial + along * tangential) * tiny;
    let moved = extrapolated(80, |elements| {
        let beam = beam(Curve::arc(Point::ORIGIN, 1.0 - 0.5 * THIN, -FRAC_PI_2, angle), THIN, elements);
        tip(&beam, [force.x, force.y, moment * tiny], 1)
    });
    let way = Point::new(moved[0], moved[1]);
    [way.dot(out) * 1e9, way.dot(along) * 1e9, moved[2] * 1e9]
}

/// Thin arc, fixed at one end, loaded at the other, bending only: Castigliano's theorem, from memory and recomputed
/// (Roark's circular arches). π/4 for the quarter arc stands in published exam solutions.
#[test]
fn thin_arcs_follow_castigliano() {
    for degrees in [90.0_f64, 120.0, 150.0, 180.0] {
        let angle = degrees.to_radians();
        let (sin, cos) = angle.sin_cos();
        let twice = (2.0 * angle).sin();
        let [radial, coupled, turn] = arc(angle, 1.0, 0.0, 0.0);
        let [back, tangential, roll] = arc(angle, 0.0, 1.0, 0.0);
        let coupling = 0.5 * (1.0 - cos).powi(2);
        for (found, wanted) in [
            (radial, 0.5 * angle - 0.25 * twice),
            (tangential, 1.5 * angle - 2.0 * sin + 0.25 * twice),
            (coupled.abs(), coupling),
            (back.abs(), coupling),
            (turn.abs(), 1.0 - cos),
            (roll.abs(), angle - sin),
        ] {
            assert!((found - wanted).abs() < 1e-4, "{degrees} degrees: {found} against {wanted}");
        }
    }
}

/// Closed thin ring under a pair of forces: (π/4 − 2/π) P R³ / (E I) along them, (2/π − 1/2) across. Castigliano 1879,
/// Timoshenko; the second from memory and recomputed.
#[test]
fn pinched_ring_follows_castigliano() {
    // A quarter from the unloaded to the loaded diameter, whose end cannot turn.
    let (force, moment) = (arc(FRAC_PI_2, -0.5, 0.0, 0.0), arc(FRAC_PI_2, 0.0, 0.0, 1.0));
    let hold = -force[2] / moment[2];
    let along = -2.0 * (force[0] + hold * moment[0]);
    let across = 2.0 * (force[1] + hold * moment[1]);
    assert!((along - (PI / 4.0 - 2.0 / PI)).abs() < 1e-4, "{along}");
    assert!((across - (2.0 / PI - 0.5)).abs() < 1e-4, "{across}");
}
