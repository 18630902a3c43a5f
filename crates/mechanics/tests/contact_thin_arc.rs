//! Thin round clips against the linear theory of an arc whose tip slides over a rigid cylinder.
//!
//! The theory is derived here. An arc of centreline radius R reaches from the middle of the floor, where it is clamped, to
//! its tip at the angle α. It is inextensible and does not shear, and its deflection is small; bending stiffness B. With
//! positions (R sin φ, −R cos φ), a force F at the tip bends the section at φ with the moment
//!
//! ```text
//! m(φ) · F,   m(φ) = R (cos α − cos φ, sin α − sin φ),
//! ```
//!
//! and by Castigliano's theorem moves the tip by C F with the compliance
//!
//! ```text
//! C = R/B ∫₀^α m mᵀ dφ = R³/B ⎡ α cos²α − 2 cos α sin α + α/2 + sin 2α/4   α sin α cos α − cos α (1 − cos α) − sin²α/2 ⎤
//!                             ⎣ (the same as above)                         α sin²α − 2 sin α (1 − cos α) + α/2 − sin 2α/4 ⎦
//! ```
//!
//! The tip touches a rigid cylinder about (0, h); ρ is its radius and that of the lip's round together. Its normal there
//! is n, and the tip is pressed by N (n + μ t), where t is the direction across n in which the cylinder slides: down on
//! the way in and up on the way out. N follows from the condition that the tip lies on the cylinder,
//!
//! ```text
//! |P + N C (n + μ t) − (0, h)| = ρ,
//! ```
//!
//! and both tips together resist with 2 N (n + μ t) along the motion.
//!
//! - C₁₂ is negative: a tip that is pressed outward moves down. So a push, which drags the tips down, needs less N than
//!   a pull, which drags them up. Friction makes it harder to pull than to push, beyond the turn of its own force.
//! - At the seat, n is at α − 90° above the horizontal. Hence the tips draw the cylinder home by themselves if
//!   tan (α − 90°) > μ, otherwise it must be pushed all the way.

#![expect(clippy::print_stdout, reason = "the figures are what the reader of these tests is after")]

mod common;

use common::plastic;
use gripwright_mechanics::{
    CoulombFriction, InsertionOutcome, MeshedClip, RigidSection, SnapRun, SolverSettings, simulate,
};
use gripwright_section::Point;

const SETTINGS: SolverSettings = SolverSettings { steps: 200.0, strain_limit: 0.2, try_locking: true };
/// Radii of the seat and of the cylinder, mm: it lies loose.
const RADIUS: f64 = 10.0;
const CYLINDER: f64 = 9.995;
/// Height below which the cylinder may touch the floor, mm.
const FLOOR_MM: f64 = 0.05;

/// A thin arc and its cylinder. Lengths mm.
#[derive(Clone, Copy, Debug)]
struct ThinArc {
    half_wrap_rad: f64,
    wall_mm: f64,
    friction: f64,
}

impl ThinArc {
    fn centreline_mm(&self) -> f64 {
        RADIUS + 0.5 * self.wall_mm
    }

    /// Tip at rest.
    fn tip(&self) -> Point {
        let (sin, cos) = self.half_wrap_rad.sin_cos();
        Point::new(sin, -cos) * self.centreline_mm()
    }

    /// Displacement of the tip under a force, N/mm.
    fn displacement(&self, force: Point) -> Point {
        let alpha = self.half_wrap_rad;
        let (sin, cos) = alpha.sin_cos();
        let double = (2.0 * alpha).sin() / 4.0;
        let xx = alpha * cos * cos - 2.0 * cos * sin + 0.5 * alpha + double;
        let xy = alpha * sin * cos - cos * (1.0 - cos) - 0.5 * sin * sin;
        let yy = alpha * sin * sin - 2.0 * sin * (1.0 - cos) + 0.5 * alpha - double;
        let bending = plastic().plane_modulus_mpa * self.wall_mm.powi(3) / 12.0;
        let scale = self.centreline_mm().powi(3) / bending;
        Point::new(xx * force.x + xy * force.y, xy * force.x + yy * force.y) * scale
    }

    /// Force along the motion that holds the cylinder at a height; `sense` is 1 on the way out and −1 on the way in.
    fn resistance(&self, height_mm: f64, sense: f64) -> f64 {
        let axis = Point::new(0.0, height_mm);
        let (mut tip, mut force) = (self.tip(), Point::ORIGIN);
        // The direction of the force depends on where the tip lies, a little.
        for _ in 0..50 {
            let normal = (tip - axis) * (1.0 / (tip - axis).length());
            // Across the normal; upward on the right side, where the normal points right.
            let direction = normal + normal.turned_left() * (sense * self.friction);
            let unit = self.displacement(direction);
            // |P + N u − c|² = ρ², the smaller root.
            let from = self.tip() - axis;
            let (a, b, c) = (unit.dot(unit), from.dot(unit), from.dot(from) - (CYLINDER + 0.5 * self.wall_mm).powi(2));
            let size = if c >= 0.0 { 0.0 } else { -c / (b + (b * b - a * c).sqrt()) };
            force = direction * size;
            tip = self.tip() + unit * size;
        }
        2.0 * sense * force.y
    }

    /// Greatest force along the motion.
    fn peak(&self, sense: f64) -> f64 {
        let touch_mm = 2.0 * self.tip().y;
        (0..1000).map(|k| self.resistance(touch_mm * f64::from(k) / 1000.0, sense)).fold(0.0, f64::max)
    }

    fn run(&self) -> SnapRun {
        // Clamped in the middle of the floor: the pad is shorter than what the clamp gives.
        let pad_rad = 0.1 * self.wall_mm / RADIUS;
        let clip = MeshedClip::round(RADIUS, self.wall_mm, self.half_wrap_rad, pad_rad).expect("it is sound");
        let friction = CoulombFriction { coefficient: self.friction };
        simulate(&clip, &RigidSection::round(CYLINDER), friction, plastic(), &SETTINGS)
    }
}

/// Arcs from 97° to 106°, which open by 0.7 to 3.9 % of their radius, with friction from none to 1.5 times that at which
/// they are still drawn home.
fn arcs() -> impl Iterator<Item = (ThinArc, f64)> {
    [97.0_f64, 100.0, 103.0, 106.0].into_iter().flat_map(|degrees| {
        [0.0, 0.3, 0.6, 0.9, 1.1, 1.5].into_iter().map(move |share| {
            let friction = share * (degrees - 90.0).to_radians().tan();
            (ThinArc { half_wrap_rad: degrees.to_radians(), wall_mm: 0.3, friction }, share)
        })
    })
}

/// Both curves along the way, as long as the tips alone touch: measured within 3.1 % of the peak. It grows with the
/// opening. At 97° and without friction it is 2.1 %, because contacts begin half a micrometre before touch.
#[test]
fn push_and_pull_follow_the_linear_theory() {
    for (arc, _) in arcs() {
        let run = arc.run();
        for (curve, sense) in [(&run.insertion, -1.0), (&run.removal, 1.0)] {
            let peak = arc.peak(sense);
            let along = curve.iter().filter(|p| p.axis_mm > FLOOR_MM);
            let off = along.clone().map(|p| (p.force_n_per_mm - arc.resistance(p.axis_mm, sense)).abs() / peak);
            let worst = off.fold(0.0, f64::max);
            println!("{arc:?} sense {sense}: {worst:.4} over {} points", along.clone().count());
            assert!(along.count() > 20 && worst < 0.04, "{arc:?}, sense {sense}: {worst}");
        }
    }
}

/// Pull over push: from 1.08 without friction to 1.60; measured within 2.3 % of the theory.
#[test]
fn friction_makes_it_harder_to_pull_than_to_push() {
    let mut before = 0.0;
    for (arc, share) in arcs() {
        let run = arc.run();
        let found = run.pull_out.force_n_per_mm / run.snap_in.force_n_per_mm;
        let wanted = arc.peak(1.0) / arc.peak(-1.0);
        println!("{arc:?}: {found:.4} against {wanted:.4}");
        assert!((found / wanted - 1.0).abs() < 0.03, "{arc:?}: {found} against {wanted}");
        assert!(found > 1.05 && (share <= 0.0 || found > before), "{arc:?}: {found} after {before}");
        before = found;
    }
}

#[test]
fn tips_draw_the_cylinder_home_below_the_slope_of_their_normal() {
    for (arc, share) in arcs() {
        let wanted = if share < 1.0 { InsertionOutcome::Snaps } else { InsertionOutcome::PushedHome };
        assert_eq!(arc.run().outcome, wanted, "{arc:?}");
    }
}
