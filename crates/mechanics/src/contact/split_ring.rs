//! A split ring that has been slid on a barrel larger than its bore.
//!
//! The ring goes on over the barrel's end, so the interference alone opens it. Friction acts along the axis; round the
//! barrel the ring is free to settle. It touches the barrel with its back over some angle and with its two ends, and
//! stands off between them. Half of the ring is modelled as an arm clamped in the plane of symmetry, without friction.
//! The barrel is moved along that plane until back and ends press equally.

use std::f64::consts::FRAC_PI_2;

use gripwright_section::{Curve, LipRound, Point, RoundedEdge, SplitRing};

use super::{
    arm_mesh::{ArmMesh, MeshPlan},
    arm_solver::ArmSolver,
    block_chain::NodeVector,
    plane_stiffness::PlaneStiffness,
};
use crate::rigid_shape::RigidShape;

/// Elements of half a ring: each spans at most 7°, and the place where the ring leaves the barrel lies within one of
/// them.
const ELEMENTS: usize = 24;
const POINTS_PER_ELEMENT: usize = 6;
/// Share of the normal forces up to which a force along the plane of symmetry counts as none.
const BALANCE_TOLERANCE: f64 = 1e-3;
/// Greatest number of heights that are tried until the forces balance.
const MOST_HEIGHTS: usize = 60;
/// Greatest number of searches for equilibrium at one height: thin rings take several.
const MOST_SEARCHES: usize = 12;

/// State of a split ring on a barrel. Forces in N per mm of its length.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct RingState {
    /// Sum of the normal forces.
    pub grip_n_per_mm: f64,
    /// Greatest strain of its faces.
    pub strain: f64,
    /// Greatest distance of its inner face from the barrel, mm.
    pub stands_off_mm: f64,
    /// Increase of the slit's width, mm.
    pub slit_opens_mm: f64,
}

impl RingState {
    /// State of a ring that is not opened.
    const LOOSE: Self = Self { grip_n_per_mm: 0.0, strain: 0.0, stands_off_mm: 0.0, slit_opens_mm: 0.0 };
}

/// Returns the state of a ring on a barrel of this radius (mm). It is loose if the barrel is no larger than the bore.
///
/// Returns `None` if the ring cannot be drawn or no equilibrium is found.
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
    let mesh = mesh(ring)?;
    let shape = RigidShape::Circle(barrel_radius_mm);
    let mut solver = ArmSolver::new(&mesh, &shape, 0.0, stiffness.poisson, 10.0 * barrel_radius_mm);
    solver.start_from(interference, opened_displacements(&mesh, ring, interference));
    balance(&mut solver, interference)?;
    let axis = Point::new(0.0, solver.travel_mm());
    let clear = barrel_radius_mm + 0.5 * ring.wall_mm;
    let stands_off_mm = solver.nodes().map(|node| node.distance(axis) - clear).fold(0.0, f64::max);
    Some(RingState {
        grip_n_per_mm: 2.0 * solver.load().normals * stiffness.plane_modulus_mpa,
        strain: solver.strains().greatest,
        stands_off_mm,
        slit_opens_mm: 2.0 * solver.opening_mm(),
    })
}

fn mesh(ring: &SplitRing) -> Option<ArmMesh> {
    let RoundedEdge { centre, turn_rad: turn, .. } = ring.edge_round();
    let inner_face = [Curve::arc(Point::ORIGIN, ring.bore_radius_mm, -FRAC_PI_2, ring.half_wrap_rad - turn)];
    let plan = MeshPlan {
        inner_face: &inner_face,
        wall: &|_, _| ring.wall_mm,
        clamp_mm: 0.0,
        strain_from_mm: 0.0,
        lip: LipRound { centre, radius_mm: ring.edge_mm },
        elements: ELEMENTS,
        points_per_element: POINTS_PER_ELEMENT,
    };
    ArmMesh::new(&plan).ok()
}

/// Displacements of a ring bent evenly to the barrel's radius, its back in place: the start of the search.
fn opened_displacements(mesh: &ArmMesh, ring: &SplitRing, interference: f64) -> Vec<NodeVector> {
    let radius = ring.bore_radius_mm + 0.5 * ring.wall_mm;
    let wider = radius + interference;
    let place = |node: &Point| {
        let angle = node.angle() + FRAC_PI_2;
        // `angle` would wrap around at the slit; half a ring is less than half a turn.
        let angle = angle.rem_euclid(std::f64::consts::TAU);
        let turned = angle * radius / wider;
        let to = Point::new(wider * turned.sin(), interference - wider * turned.cos());
        [to.x - node.x, to.y - node.y, turned - angle]
    };
    mesh.nodes.iter().skip(1).map(place).collect()
}

/// Moves the barrel along the plane of symmetry until back and ends press equally; `None` if it finds no such height.
fn balance(solver: &mut ArmSolver<'_>, interference: f64) -> Option<()> {
    let push = |solver: &mut ArmSolver<'_>, height: f64| -> Option<f64> {
        // Without friction the path does not matter: any displacements reached are a good start.
        let found = (0..MOST_SEARCHES).any(|_| {
            let found = solver.seek(height).is_some();
            solver.accept();
            solver.reverse();
            found
        });
        found.then(|| solver.load().push)
    };
    // At a lower height the back carries more, at a higher one the ends.
    let mut low = (interference, push(solver, interference)?);
    let mut high = low;
    let mut reach = 0.02 * interference;
    for _ in 0..MOST_HEIGHTS {
        if low.1 >= 0.0 && high.1 <= 0.0 {
            break;
        }
        let height = if low.1 < 0.0 { low.0 - reach } else { high.0 + reach };
        let at = (height, push(solver, height)?);
        if low.1 < 0.0 {
            low = at;
        } else {
            high = at;
        }
        reach *= 1.6;
    }
    if low.1 < 0.0 || high.1 > 0.0 {
        return None;
    }
    for round in 0..MOST_HEIGHTS {
        let load = solver.load();
        if load.push.abs() <= BALANCE_TOLERANCE * load.normals || high.0 - low.0 <= 1e-12 {
            return Some(());
        }
        let share = if round % 3 == 2 { 0.5 } else { (low.1 / (low.1 - high.1)).clamp(0.02, 0.98) };
        let height = low.0 + share * (high.0 - low.0);
        let found = push(solver, height)?;
        if found >= 0.0 { low = (height, found) } else { high = (height, found) }
    }
    let load = solver.load();
    (load.push.abs() <= 10.0 * BALANCE_TOLERANCE * load.normals).then_some(())
}

#[cfg(test)]
mod tests;
