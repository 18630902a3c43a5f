//! A split ring that was slid on a barrel larger than its bore.
//!
//! It goes on over the barrel's end, so that it opens by the interference alone and friction acts along the axis: round
//! the barrel it is free to settle. What decides is where it touches: with its back over some angle, and with its two
//! ends; between them it stands off. A half of the ring is an arm clamped in the plane of symmetry.

use std::f64::consts::FRAC_PI_2;

use gripwright_section::{Curve, Point, SplitRing};

use super::{
    arm_mesh::{ArmMesh, Plan},
    arm_solver::ArmSolver,
    block_chain::NodeVector,
    plane_stiffness::PlaneStiffness,
};
use crate::rigid_shape::RigidShape;

/// Elements of half a ring at most 7° long: the place where it leaves the barrel lies within one of them.
const ELEMENTS: usize = 24;
const POINTS_PER_ELEMENT: usize = 6;
/// Share of the normal forces up to which a force along the plane of symmetry counts as none.
const BALANCED: f64 = 1e-3;
/// Looks at heights until the forces balance.
const MOST_LOOKS: usize = 60;

/// Searches for equilibrium at one height: thin rings take several.
const PATIENCE: usize = 12;

/// What a ring does on a barrel. Forces in N per mm of its length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingState {
    /// Sum of the normal forces.
    pub grip_n_per_mm: f64,
    /// Greatest strain of its faces.
    pub strain: f64,
    /// How far its inner face stands off the barrel at most, mm.
    pub stands_off_mm: f64,
    /// How much wider the slit stands than drawn, mm.
    pub slit_opens_mm: f64,
}

impl RingState {
    /// A ring that is not opened.
    const LOOSE: Self = Self { grip_n_per_mm: 0.0, strain: 0.0, stands_off_mm: 0.0, slit_opens_mm: 0.0 };
}

/// A ring on a barrel of some radius (mm); loose when the barrel is no larger than the bore. `None` when the ring cannot
/// be drawn, or no equilibrium is found.
///
/// ```
/// use gripwright_mechanics::{PlaneStiffness, solve_split_ring};
/// use gripwright_section::SplitRing;
///
/// let ring = SplitRing { bore_radius_mm: 5.9, wall_mm: 1.5, half_wrap_rad: 165_f64.to_radians(), edge_mm: 0.4 };
/// let found = solve_split_ring(&ring, 6.0, PlaneStiffness::plane_strain(2000.0, 0.38)).unwrap();
/// assert!(found.grip_n_per_mm > 1.0 && found.strain < 0.003);
/// ```
pub fn solve_split_ring(ring: &SplitRing, barrel_radius_mm: f64, stiffness: PlaneStiffness) -> Option<RingState> {
    let interference = barrel_radius_mm - ring.bore_radius_mm;
    ring.outline().ok()?;
    if !(barrel_radius_mm.is_finite() && stiffness.plane_modulus_mpa > 0.0) {
        return None;
    }
    if interference <= 0.0 {
        return Some(RingState::LOOSE);
    }
    let skeleton = skeleton(ring)?;
    let shape = RigidShape::Circle(barrel_radius_mm);
    let mut held = ArmSolver::new(&skeleton, &shape, 0.0, stiffness.poisson, 10.0 * barrel_radius_mm);
    held.start_from(interference, opened(&skeleton, ring, interference));
    settle(&mut held, interference)?;
    let axis = Point::new(0.0, held.height_mm());
    let clear = barrel_radius_mm + 0.5 * ring.wall_mm;
    let stands_off_mm = held.nodes().map(|node| node.distance(axis) - clear).fold(0.0, f64::max);
    Some(RingState {
        grip_n_per_mm: 2.0 * held.load().normals * stiffness.plane_modulus_mpa,
        strain: held.strains().greatest,
        stands_off_mm,
        slit_opens_mm: 2.0 * held.opening_mm(),
    })
}

fn skeleton(ring: &SplitRing) -> Option<ArmMesh> {
    let (centre, turn) = ring.edge_round();
    let inner_face = [Curve::arc(Point::ORIGIN, ring.bore_radius_mm, -FRAC_PI_2, ring.half_wrap_rad - turn)];
    let plan = Plan {
        inner_face: &inner_face,
        wall: &|_, _| ring.wall_mm,
        clamp_mm: 0.0,
        strain_from_mm: 0.0,
        lip: (centre, ring.edge_mm),
        elements: ELEMENTS,
        points_per_element: POINTS_PER_ELEMENT,
    };
    ArmMesh::new(&plan).ok()
}

/// Displacements of a ring bent evenly to the barrel's radius, its back where it was: the start of the search.
fn opened(skeleton: &ArmMesh, ring: &SplitRing, interference: f64) -> Vec<NodeVector> {
    let radius = ring.bore_radius_mm + 0.5 * ring.wall_mm;
    let wider = radius + interference;
    let place = |node: &Point| {
        let angle = node.angle() + FRAC_PI_2;
        // Beyond the slit's side of the circle `angle` would start anew; half a ring is less than half a turn.
        let angle = angle.rem_euclid(std::f64::consts::TAU);
        let turned = angle * radius / wider;
        let to = Point::new(wider * turned.sin(), interference - wider * turned.cos());
        [to.x - node.x, to.y - node.y, turned - angle]
    };
    skeleton.nodes.iter().skip(1).map(place).collect()
}

/// Moves the barrel along the plane of symmetry until back and ends press alike.
fn settle(held: &mut ArmSolver<'_>, interference: f64) -> Option<()> {
    let push = |held: &mut ArmSolver<'_>, height: f64| -> Option<f64> {
        // Without friction the way does not matter: what was reached is as good a start as any.
        let found = (0..PATIENCE).any(|_| {
            let found = held.seek(height).is_some();
            held.accept();
            held.reverse();
            found
        });
        found.then(|| held.load().push)
    };
    // Lower, the back bears more; higher, the ends do.
    let mut low = (interference, push(held, interference)?);
    let mut high = low;
    let mut way = 0.02 * interference;
    for _ in 0..MOST_LOOKS {
        if low.1 >= 0.0 && high.1 <= 0.0 {
            break;
        }
        let height = if low.1 < 0.0 { low.0 - way } else { high.0 + way };
        let at = (height, push(held, height)?);
        if low.1 < 0.0 {
            low = at;
        } else {
            high = at;
        }
        way *= 1.6;
    }
    if low.1 < 0.0 || high.1 > 0.0 {
        return None;
    }
    for round in 0..MOST_LOOKS {
        let load = held.load();
        if load.push.abs() <= BALANCED * load.normals || high.0 - low.0 <= 1e-12 {
            return Some(());
        }
        let share = if round % 3 == 2 { 0.5 } else { (low.1 / (low.1 - high.1)).clamp(0.02, 0.98) };
        let height = low.0 + share * (high.0 - low.0);
        let found = push(held, height)?;
        if found >= 0.0 { low = (height, found) } else { high = (height, found) }
    }
    let load = held.load();
    (load.push.abs() <= 10.0 * BALANCED * load.normals).then_some(())
}

#[cfg(test)]
mod tests;
