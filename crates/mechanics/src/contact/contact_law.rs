//! Force between one place of an arm and the rigid section: a smoothed penalty with Coulomb friction.
//!
//! The penalty is as stiff as the wall itself. Friction follows by return mapping from the state at the last accepted
//! equilibrium.

use gripwright_section::Point;

use super::block_chain::NodeBlock;
use crate::rigid_shape::Gap;

/// A place of the arm or floor that the rigid section may touch, and how it moves with its nodes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ContactSite {
    /// The two nodes that carry it (as unknowns; `None` for the clamp), each with its share.
    pub(crate) nodes: [(Option<usize>, f64); 2],
    /// Position in the trial, mm: of a point, or of the centre of a round lip.
    pub(crate) place: Point,
    /// Rotation of its section in the trial, rad.
    pub(crate) turn_rad: f64,
    /// From the centreline to the place, turned with the section, mm.
    pub(crate) lever: Point,
    /// Radius of the round lip, mm; zero for a point.
    pub(crate) radius: f64,
    /// Stiffness of the penalty.
    pub(crate) stiffness: f64,
    /// True on the floor and on the lower half of the arm.
    pub(crate) is_lower: bool,
}

/// State of friction at one place: position and friction force at some equilibrium.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct FrictionState {
    pub(crate) place: Point,
    pub(crate) turn_rad: f64,
    pub(crate) drag: f64,
}

/// Constants of the contact between an arm and one rigid section.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ContactLaw {
    /// Coefficient of friction.
    pub(crate) friction: f64,
    /// Half the depth over which the penalty sets in, mm.
    pub(crate) onset: f64,
}

/// Forces and directions of one contact.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ContactForce {
    pub(crate) normal: Point,
    along: Point,
    /// Total force on the arm.
    pub(crate) force: Point,
    pub(crate) normal_force: f64,
    /// Friction force along the surface.
    pub(crate) drag: f64,
    turn_per_mm: f64,
    /// Derivative of the normal force by the depth.
    rate: f64,
    /// Signed coefficient of friction while it slides; `None` while it sticks.
    sliding: Option<f64>,
}

impl ContactLaw {
    /// Returns the force at a site, or `None` if it is not pressed. `before` is the state at the accepted equilibrium,
    /// from which the rigid section has carried its point at the site along by `carried` (mm).
    // Called for every site in every Newton step, mostly to find that nothing presses there.
    #[inline]
    pub(crate) fn force(
        &self,
        site: &ContactSite,
        gap: &Gap,
        before: &FrictionState,
        carried: Point,
    ) -> Option<ContactForce> {
        let (pressed, slope) = smooth_ramp(-gap.distance, self.onset);
        if pressed <= 0.0 {
            return None;
        }
        let normal_force = site.stiffness * pressed;
        let along = gap.normal.turned_left();
        let way = (site.place - before.place) - carried;
        let slip = along.dot(way) - site.radius * (site.turn_rad - before.turn_rad);
        let sticking_drag = before.drag - site.stiffness * slip;
        let most = self.friction * normal_force;
        let sticks = sticking_drag.abs() <= most;
        let drag = if sticks { sticking_drag } else { most * sticking_drag.signum() };
        Some(ContactForce {
            normal: gap.normal,
            along,
            force: gap.normal * normal_force + along * drag,
            normal_force,
            drag,
            turn_per_mm: gap.turn_per_mm,
            rate: site.stiffness * slope,
            sliding: (!sticks).then(|| self.friction * sticking_drag.signum()),
        })
    }
}

impl ContactForce {
    /// Moment of the force about the centreline.
    #[inline]
    pub(crate) fn moment(&self, site: &ContactSite) -> f64 {
        site.lever.cross(self.force) - site.radius * self.drag
    }

    /// Derivative of force and moment by the motion of the section.
    #[inline]
    pub(crate) fn tangent(&self, site: &ContactSite) -> NodeBlock {
        let lever = site.lever.turned_left();
        // Motion of the place along the normal and along the surface per x, y and turn of the section.
        let by_normal = [self.normal.x, self.normal.y, self.normal.dot(lever)];
        let by_along = [self.along.x, self.along.y, self.along.dot(lever)];
        let mut block = [[0.0; 3]; 3];
        for k in 0..3 {
            let press = -self.rate * by_normal[k];
            let turn = self.turn_per_mm * by_along[k];
            let roll = if k == 2 { site.radius } else { 0.0 };
            let drag = match self.sliding {
                Some(friction) => friction * press,
                None => -site.stiffness * (by_along[k] - roll),
            };
            let change = self.normal * (press - self.drag * turn) + self.along * (self.normal_force * turn + drag);
            block[0][k] = change.x;
            block[1][k] = change.y;
            block[2][k] = lever.dot(change) - site.radius * drag;
        }
        block[2][2] -= site.lever.dot(self.force);
        block
    }
}

/// Factors on the usual contact stiffness.
#[derive(Clone, Copy, Debug)]
pub(crate) struct StiffnessFactors {
    /// On the floor and the inner face.
    pub(crate) face: f64,
    /// On the lip.
    pub(crate) lip: f64,
}

impl StiffnessFactors {
    /// Returns the factors for a rigid section of this sharpness (1 for a blunt one).
    ///
    /// A wall that gives like a bed of springs lets a sharp round sink in several times deeper than an elastic half
    /// plane under a line load. The lip lets it sink in less deep (Hertz's line contact, from memory). The lip would
    /// then take the round over too early, with its normal turned too far. The two powers bring both depths to about
    /// the same value. They were chosen on eight hexagonal bars by finite elements (`tests/data/fem-clips.csv`) and
    /// leave blunt sections unchanged.
    pub(crate) fn for_sharpness(sharpness: f64) -> Self {
        Self { face: sharpness.powi(3), lip: sharpness.powf(-1.6) }
    }
}

/// Penalty that sets in smoothly: pressed depth and its slope for a depth (mm, negative outside).
#[inline]
fn smooth_ramp(depth: f64, onset: f64) -> (f64, f64) {
    if depth <= -onset {
        (0.0, 0.0)
    } else if depth < onset {
        let from = depth + onset;
        (from * from / (4.0 * onset), from / (2.0 * onset))
    } else {
        (depth, 1.0)
    }
}
