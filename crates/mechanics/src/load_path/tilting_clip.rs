//! Capacity of a clip for a force out of its mouth and a moment that tilts the barrel or body in it.

use crate::load_path::force_travel::ForceTravel;

/// Most rounds of a root search and its accuracy over the bracket, and doublings of a bracket that grows.
const ROUNDS: usize = 80;
const ACCURACY: f64 = 1e-12;
const DOUBLINGS: usize = 48;
/// Points between two of the force curve that the search for the greatest load tries.
const SUBDIVISION: u32 = 4;

/// A clip of some length. The holder is stiff beside the arms, so that the travel varies linearly along the length.
///
/// Slices along the length know nothing of each other, which is on the safe side: peeling begins at 0.5 to 0.85 of the
/// moment that finite elements in three dimensions give, the less the shorter the clip (0.5 at 1.25 radii of the seat).
#[derive(Clone, Copy, Debug)]
pub struct TiltingClip<'a> {
    /// Length, mm.
    pub length_mm: f64,
    /// Force per mm of length over the travel.
    pub travel: &'a ForceTravel,
}

impl TiltingClip<'_> {
    /// Force (N) and moment about the middle (N mm) at a travel of the near and of the far end, mm.
    pub fn load_at(&self, near_mm: f64, far_mm: f64) -> [f64; 2] {
        let over = far_mm - near_mm;
        if over.abs() < 1e-9 {
            return [self.length_mm * self.travel.force_at(near_mm), 0.0];
        }
        let [force, moment] = self.travel.integrals(near_mm.min(far_mm), near_mm.max(far_mm));
        let per_travel = self.length_mm / over.abs();
        [per_travel * force, per_travel * per_travel * moment * over.signum()]
    }

    /// Factor by which a force out of the mouth (N, negative presses in) and a moment (N mm) may be multiplied until
    /// peeling sets in: until the force per length reaches its peak at one end. Infinite if the load only presses.
    pub fn peeling_factor(&self, force_n: f64, moment_nmm: f64) -> f64 {
        self.factor_at(self.travel.peak()[0], force_n, moment_nmm.abs())
    }

    /// Factor by which the load may be multiplied until the clip lets go, if the load grows in proportion: the greatest
    /// over all travels of the far end. Never less than [`TiltingClip::peeling_factor`].
    pub fn letting_go_factor(&self, force_n: f64, moment_nmm: f64) -> f64 {
        let peak = self.travel.peak()[0];
        let beyond: Vec<f64> = self.travel.travels().filter(|w| *w >= peak).collect();
        let between = beyond.windows(2).flat_map(|pair| {
            (1..=SUBDIVISION).map(|k| pair[0] + (pair[1] - pair[0]) * f64::from(k) / f64::from(SUBDIVISION))
        });
        let factor = |far: f64| self.factor_at(far, force_n, moment_nmm.abs());
        between.map(factor).filter(|f| f.is_finite()).fold(factor(peak), f64::max)
    }

    /// Factor at which the load brings the far end to a travel; infinite if no travel of the near end gives its ratio of
    /// moment to force.
    fn factor_at(&self, far_mm: f64, force_n: f64, moment_nmm: f64) -> f64 {
        let size = force_n.hypot(moment_nmm / self.length_mm);
        if size <= 0.0 {
            return f64::INFINITY;
        }
        let wanted = [force_n / size, moment_nmm / (self.length_mm * size)];
        // Force and moment in the same unit, and on which side of the wanted direction they lie.
        let found = |near: f64| {
            let [force, moment] = self.load_at(near, far_mm);
            [force, moment / self.length_mm]
        };
        let side = |near: f64| {
            let [force, moment] = found(near);
            force * wanted[1] - moment * wanted[0]
        };
        let along = |near: f64| {
            let [force, moment] = found(near);
            force * wanted[0] + moment * wanted[1]
        };
        if wanted[1] <= 0.0 {
            // Without a moment both ends move alike.
            let factor = self.length_mm * self.travel.force_at(far_mm) / force_n;
            return if factor > 0.0 { factor } else { f64::INFINITY };
        }
        let Some(bracket) = self.bracket(far_mm, &side) else { return f64::INFINITY };
        let factor = along(root(bracket, side)) / size;
        if factor > 0.0 { factor } else { f64::INFINITY }
    }

    /// Travels of the near end between which the load passes the wanted direction, from an even travel downward.
    fn bracket(&self, far_mm: f64, side: &dyn Fn(f64) -> f64) -> Option<[f64; 2]> {
        let points: Vec<f64> = self.travel.travels().filter(|w| *w < far_mm).collect();
        let lowest = points.first().copied()?;
        let below = (0..DOUBLINGS).map(|k| lowest - f64::exp2(f64::from(u32::try_from(k).unwrap_or(0))));
        let mut high = far_mm;
        for near in points.iter().rev().copied().chain(below) {
            if side(near) <= 0.0 {
                return Some([near, high]);
            }
            high = near;
        }
        None
    }
}

/// Root of a function that is at most zero at the low end and greater than zero at the high end: false position that halves
/// the weight of an end that stays.
fn root([mut low, mut high]: [f64; 2], of: impl Fn(f64) -> f64) -> f64 {
    let accuracy = ACCURACY * (high - low);
    let (mut at_low, mut at_high) = (of(low), of(high));
    let mut moved_low: Option<bool> = None;
    for _ in 0..ROUNDS {
        if high - low <= accuracy || at_low >= 0.0 {
            break;
        }
        let share = at_low / (at_low - at_high);
        let middle = low + (high - low) * if share.is_finite() { share.clamp(0.001, 0.999) } else { 0.5 };
        let found = of(middle);
        let moves_low = found <= 0.0;
        if moves_low {
            (low, at_low) = (middle, found);
            at_high *= if moved_low == Some(true) { 0.5 } else { 1.0 };
        } else {
            (high, at_high) = (middle, found);
            at_low *= if moved_low == Some(false) { 0.5 } else { 1.0 };
        }
        moved_low = Some(moves_low);
    }
    low
}
