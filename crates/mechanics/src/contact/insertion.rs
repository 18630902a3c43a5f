//! The way in: from the first touch to the seat.

use super::{
    equilibrium::Equilibrium, force_curve::ForceCurve, height_bracket::HeightBracket, motion::Motion,
    snap_run::InsertionOutcome, way::Way,
};

/// Height above the floor, as a share of the reach, up to which a section that hangs between lips and steep flanks
/// counts as home.
const NEAR_HOME: f64 = 1e-2;
/// Share of the normal forces (and of the greatest push) from which on the floor counts as carrying, and the accuracy of
/// that load, as a share of the greatest push.
const CARRYING_SHARE: f64 = 0.05;
const CARRYING_TOLERANCE: f64 = 2e-3;
/// Share of the greatest push up to which a force counts as none.
const BALANCE_TOLERANCE: f64 = 1e-3;
/// Share of the greatest push, and of the normal forces, up to which the forces at rest are balanced. Where lips let go,
/// hardly any force is left long before the section is free.
const REST_TOLERANCE: f64 = 2e-4;
const REST_TOLERANCE_OF_NORMALS: f64 = 1e-3;
/// Sinking of the rigid section into the penalty of the floor before the floor carries anything, over the reach.
const GIVE: f64 = 1e-3;

/// State of the way in between two steps.
pub(crate) struct Insertion {
    way: Way,
    /// Height at which the free rigid section stands on the floor, mm.
    home: f64,
    /// Lowest height that is tried, mm, and the amount by which it is lowered.
    bottom: f64,
    give: f64,
    /// True once the lips have drawn the section in.
    drawn_in: bool,
    /// True if the flanks hold it above the floor, so that it must be pushed for the rest of the way.
    short_of_home: bool,
    touching: bool,
    /// Load on the floor in the accepted equilibrium beyond that from which on it counts as carrying, N/mm.
    floor_excess: f64,
    strain_limit: f64,
}

impl Insertion {
    /// Pushes the rigid section in from the accepted height, where it touches the lips. Returns the outcome and the
    /// force curve.
    pub(crate) fn run(
        motion: &mut Motion<'_>,
        home: f64,
        steps: f64,
        strain_limit: f64,
    ) -> (InsertionOutcome, ForceCurve) {
        let touch = motion.travel;
        let mut curve = ForceCurve::new(true);
        curve.push(touch, &motion.equilibrium(touch, true));
        let give = GIVE * motion.reach;
        let mut insertion = Self {
            way: Way::new(motion, curve, touch - home, steps, 0.5),
            home,
            bottom: home - give,
            give,
            drawn_in: false,
            short_of_home: false,
            touching: false,
            floor_excess: 0.0,
            strain_limit,
        };
        loop {
            if let Some(outcome) = insertion.step(motion) {
                return (outcome, insertion.way.curve);
            }
        }
    }

    /// Tries one step inward. Returns the outcome if the way in ends with it.
    fn step(&mut self, motion: &mut Motion<'_>) -> Option<InsertionOutcome> {
        let height = (motion.travel - self.way.step).max(self.bottom);
        let length = motion.travel - height;
        let Some(newton_steps) = motion.seek(height) else {
            let jams = self.way.shorten(motion, length);
            return jams.then_some(InsertionOutcome::Jams { axis_mm: motion.travel });
        };
        let found = motion.equilibrium(height, true);
        let excess = self.floor_excess(&found);
        let on_floor = height < 0.5 * motion.reach && excess > 0.0;
        // Lips that let go within a step, or before the floor carries, may have drawn it in: take a shorter step.
        let may_be_drawn_in = self.touching && !self.drawn_in && (found.load.normals <= 0.0 || on_floor);
        if may_be_drawn_in && length > 0.1 * self.way.usual_step {
            self.way.step = 0.25 * length;
            return None;
        }
        if self.drawn_in && found.load.push > 0.0 && !self.short_of_home {
            return self.settle_drawn_in(motion, height, found.load.push);
        }
        if on_floor && (self.short_of_home || !self.drawn_in) {
            return self.stand_on_floor(motion, height, excess);
        }
        if !self.way.advance(motion, height, &found.without_floor(), newton_steps) {
            return None;
        }
        self.note_accepted(height, &found)
    }

    /// Notes an accepted step. Returns the outcome if the way in ends here.
    fn note_accepted(&mut self, height: f64, found: &Equilibrium) -> Option<InsertionOutcome> {
        let curve = &self.way.curve;
        self.drawn_in |= found.load.push < -BALANCE_TOLERANCE * curve.greatest_force();
        self.touching = found.load.normals > 0.0;
        self.floor_excess = self.floor_excess(found);
        let strain = found.strain.strain;
        if strain > self.strain_limit && self.way.curve.rising() {
            return Some(InsertionOutcome::OverStrained { axis_mm: height, strain });
        }
        if height <= self.bottom {
            self.bottom -= self.give;
            if self.bottom < self.home - 40.0 * self.give {
                return Some(InsertionOutcome::Jams { axis_mm: height });
            }
        }
        None
    }

    /// Load on the floor beyond that from which on it counts as carrying, N/mm.
    fn floor_excess(&self, found: &Equilibrium) -> f64 {
        found.load.support - CARRYING_SHARE * found.load.normals.max(self.way.curve.greatest_force())
    }

    /// Finds where the floor begins to carry, between the accepted height and `low`. Any further push only presses on
    /// the floor. Returns the outcome unless the lips draw the section in before.
    fn stand_on_floor(&mut self, motion: &mut Motion<'_>, low: f64, low_excess: f64) -> Option<InsertionOutcome> {
        let high_excess = self.floor_excess.min(0.0);
        let mut bracket = HeightBracket::new((low, low_excess), high_excess, self.home, motion.reach);
        while let Some(height) = bracket.next(motion.travel) {
            if motion.seek(height).is_none() {
                continue;
            }
            let found = motion.equilibrium(height, true);
            let excess = self.floor_excess(&found);
            if excess > 0.0 {
                bracket.raise_low(height, excess);
                continue;
            }
            bracket.lower_high(excess);
            self.floor_excess = excess;
            let found = found.without_floor();
            motion.accept(height);
            self.way.curve.push(height, &found);
            let peak = self.way.curve.greatest_force();
            if !self.short_of_home && found.load.push < -BALANCE_TOLERANCE * peak {
                self.drawn_in = true;
                self.way.step = 0.1 * self.way.usual_step;
                return None;
            }
            if -excess < CARRYING_TOLERANCE * peak {
                break;
            }
        }
        // The arms stand as they were accepted; this restores the loads of that equilibrium.
        let _found = motion.seek(motion.travel);
        Some(InsertionOutcome::PushedHome)
    }

    /// Lets a section that the lips have drawn in come to rest above `low`, where it has to be pushed by `low_push`.
    /// Returns the outcome unless the flanks hold it short of home.
    fn settle_drawn_in(&mut self, motion: &mut Motion<'_>, low: f64, low_push: f64) -> Option<InsertionOutcome> {
        let peak = self.way.curve.greatest_force();
        self.settle(motion, low, low_push);
        let rest = motion.equilibrium(motion.travel, true).load;
        // Flanks that squeeze can hold it before it is home: then it must be pushed for the rest of the way.
        self.short_of_home = rest.normals > CARRYING_SHARE * peak
            && rest.support < CARRYING_SHARE * rest.normals
            && motion.travel > self.home + NEAR_HOME * motion.reach;
        if !self.short_of_home {
            return Some(InsertionOutcome::Snaps);
        }
        self.way.step = 0.1 * self.way.usual_step;
        None
    }

    /// Finds the height where the forces balance, between the accepted height and `low`, where `low_push` is needed.
    fn settle(&mut self, motion: &mut Motion<'_>, low: f64, low_push: f64) {
        let high_push = -self.way.curve.last_force().abs();
        let mut bracket = HeightBracket::new((low, low_push), high_push, self.home, motion.reach);
        let most = REST_TOLERANCE * self.way.curve.greatest_force();
        while let Some(height) = bracket.next(motion.travel) {
            if motion.seek(height).is_none() {
                continue;
            }
            let found = motion.equilibrium(height, true);
            let push = found.load.push;
            let tolerance = most.min(REST_TOLERANCE_OF_NORMALS * found.load.normals);
            if push > tolerance {
                bracket.raise_low(height, push);
                continue;
            }
            motion.accept(height);
            self.way.curve.push(height, &found);
            if push.abs() <= tolerance {
                return;
            }
            bracket.lower_high(push);
        }
        // The last accepted height is the seat to within the narrowest bracket; its forces stand for it.
        if motion.seek(motion.travel).is_some() {
            motion.accept(motion.travel);
        }
    }
}
