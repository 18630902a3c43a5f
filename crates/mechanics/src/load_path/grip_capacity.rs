//! Loads that a clip or mount bears: its shares in all that it holds, of force and moment together.

use crate::load_path::{
    force_travel::ForceTravel, friction_use::friction_use, tilting_clip::TiltingClip, wrench::Wrench,
};

/// Capacity of a clip or mount of some length, from displacements of its barrel or body out of rest.
#[derive(Clone, Debug, PartialEq)]
pub struct GripCapacity {
    /// Length, mm.
    pub length_mm: f64,
    /// Force per mm over the travel out of the mouth and into it.
    pub out: ForceTravel,
    /// Force per mm over the travel aside, one way and the other; absent if it is not known, so that nothing is held.
    pub aside: Option<[ForceTravel; 2]>,
    /// Moment about the axis per mm of length (N) over the turn (rad), one way and the other; empty for a round section,
    /// which does not turn below its friction.
    pub roll: Vec<ForceTravel>,
    /// Greatest moment about the axis, N mm.
    pub round_nmm: f64,
    /// Greatest friction along the axis, N.
    pub along_n: f64,
}

/// Kind of load that takes the greatest share of a capacity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum LoadKind {
    /// Force across the axis, out of the mouth or aside.
    Across,
    /// Force along the axis.
    Along,
    /// Moment about the axis.
    Roll,
    /// Moment that tips the axis out of the mouth.
    Rock,
    /// Moment that tips the axis aside.
    Yaw,
}

/// End of a clip's hold against a load that tilts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tilting {
    /// The force per length reaches its peak at one end.
    Peels,
    /// The load is the greatest of all travels.
    LetsGo,
}

/// Shares of a capacity that one load takes; at a sum of one it lets go.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct LoadShares {
    /// Force through the mouth and moment that tips out of it.
    pub mouth: f64,
    /// Force aside and moment that tips aside.
    pub aside: f64,
    /// Friction taken by the force along the axis.
    pub along: f64,
    /// Friction or form taken by the moment about the axis.
    pub roll: f64,
}

impl GripCapacity {
    /// Returns the capacity of the same clip at another length, mm.
    #[must_use]
    pub fn over_length(&self, length_mm: f64) -> Self {
        let longer = length_mm / self.length_mm;
        Self { length_mm, round_nmm: longer * self.round_nmm, along_n: longer * self.along_n, ..self.clone() }
    }

    /// Returns the shares that a wrench about the middle takes. Its axes: across the mouth, out of it, and along the length,
    /// right-handed.
    ///
    /// Peeling is counted from its onset: the local force reaches its peak at one end.
    pub fn shares(&self, on: &Wrench) -> LoadShares {
        self.shares_until(on, Tilting::Peels)
    }

    /// Returns the shares likewise, but counted from where the mouth lets go altogether: the load has grown to its greatest,
    /// while one end has peeled already. None is greater than in [`GripCapacity::shares`].
    pub fn shares_until_it_lets_go(&self, on: &Wrench) -> LoadShares {
        self.shares_until(on, Tilting::LetsGo)
    }

    fn shares_until(&self, on: &Wrench, end: Tilting) -> LoadShares {
        let [across_n, out_n, along_n] = on.force_n;
        let [rock_nmm, yaw_nmm, roll_nmm] = on.moment_nmm;
        LoadShares {
            mouth: self.tilting_share(&self.out, [out_n, rock_nmm], end),
            aside: self.aside_share([across_n, yaw_nmm], end),
            along: friction_use(along_n, self.along_n, 0.0, self.round_nmm),
            roll: friction_use(0.0, self.along_n, roll_nmm, self.round_nmm),
        }
    }

    /// Returns the kind of load that takes the greatest share, each by itself.
    pub fn governing(&self, on: &Wrench) -> LoadKind {
        let [across_n, out_n, _] = on.force_n;
        let [rock_nmm, yaw_nmm, _] = on.moment_nmm;
        let LoadShares { along, roll, .. } = self.shares(on);
        let across = self.peeling_share([out_n, 0.0]).max(self.aside_share([across_n, 0.0], Tilting::Peels));
        let kinds = [
            (LoadKind::Along, along),
            (LoadKind::Roll, roll),
            (LoadKind::Rock, self.peeling_share([0.0, rock_nmm])),
            (LoadKind::Yaw, self.aside_share([0.0, yaw_nmm], Tilting::Peels)),
        ];
        kinds.into_iter().fold((LoadKind::Across, across), |best, next| if next.1 > best.1 { next } else { best }).0
    }

    fn peeling_share(&self, load: [f64; 2]) -> f64 {
        self.tilting_share(&self.out, load, Tilting::Peels)
    }

    /// Share of a force (N) and a moment (N mm) that tilts.
    fn tilting_share(&self, travel: &ForceTravel, [force_n, moment_nmm]: [f64; 2], end: Tilting) -> f64 {
        let clip = TiltingClip { length_mm: self.length_mm, travel };
        let factor = match end {
            Tilting::Peels => clip.peeling_factor(force_n, moment_nmm),
            Tilting::LetsGo => clip.letting_go_factor(force_n, moment_nmm),
        };
        if factor.is_nan() { f64::INFINITY } else { 1.0 / factor }
    }

    fn aside_share(&self, [across_n, yaw_nmm]: [f64; 2], end: Tilting) -> f64 {
        match &self.aside {
            Some(aside) => self.tilting_share(&aside[usize::from(across_n < 0.0)], [across_n.abs(), yaw_nmm], end),
            None if across_n.abs() + yaw_nmm.abs() > 0.0 => f64::INFINITY,
            None => 0.0,
        }
    }
}

impl LoadShares {
    /// Sum of the shares, which may be at most one.
    ///
    /// The sum is on the safe side wherever the loads that hold form a convex set: it contains the greatest load of each
    /// plane alone, hence all between them. Friction has that property (see [`friction_use`]); for the mouth and aside
    /// `tests/load_path.rs` compares combined displacements with the sum.
    pub fn sum(&self) -> f64 {
        self.mouth + self.aside + self.along + self.roll
    }

    /// Share of what friction, or the form of the body, bears: along and round.
    pub fn slip(&self) -> f64 {
        self.along + self.roll
    }
}
