//! Effect of the material's ranges on a fit, as results: typical forces, their spread, how a barrel comes home.

use serde::{Serialize, Serializer};

/// How a barrel or body is taken in and held, as the contact solver finds it over the range of friction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub enum HoldClass {
    /// Past the lips they draw it home, at the least friction at least.
    SnapsHome,
    /// It must be pushed all the way, but the lips hold it even without friction.
    PushedHome,
    /// It must be pushed all the way, and without friction no pull is needed to take it out.
    FrictionAlone,
    /// No pull is needed to take it out, whatever the friction.
    Loose,
}

impl HoldClass {
    /// Words for tables and documents.
    pub fn word(self) -> &'static str {
        match self {
            Self::SnapsHome => "snaps home",
            Self::PushedHome => "pushed home",
            Self::FrictionAlone => "holds by friction alone",
            Self::Loose => "does not hold",
        }
    }
}

impl Serialize for HoldClass {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

/// Ratio of the greatest to the least force over the ranges of the material. A force is a modulus times what friction makes
/// of it, so that both parts multiply.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct ForceSpread {
    /// Over the modulus alone, at the middle friction.
    pub by_modulus: f64,
    /// Over the friction alone, at the middle modulus; infinite where nothing holds at the least friction.
    pub by_friction: f64,
}

impl ForceSpread {
    /// Ratio over both ranges.
    pub fn whole(&self) -> f64 {
        self.by_modulus * self.by_friction
    }
}

/// Figure of the material that widens the forces most, and what a measured value of it would gain.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct MeasureFirst {
    /// Name of the figure in a material file.
    pub figure: &'static str,
    /// Part whose push is spread most.
    pub part: String,
    /// Ratio of the greatest to the least push over the ranges of the material.
    pub spread: f64,
    /// The same ratio with a measured value of the figure.
    pub narrowed_spread: f64,
    /// The same ratio with a measured value of the other figure instead.
    pub other_spread: f64,
}

/// Push and pull at the middle of modulus and friction, and how far the ranges of both spread them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct MaterialEffect {
    /// Push to snap on at the middle modulus and friction, N.
    pub typical_snap_in_n: f64,
    /// Pull through the mouth of the same clip, N.
    pub typical_pull_out_n: f64,
    /// Spread of the push.
    pub snap_in_spread: ForceSpread,
    /// Spread of the pull.
    pub pull_out_spread: ForceSpread,
    /// Greatest friction at which the lips draw it home by themselves, to 1 %: the greatest of the range if they always do,
    /// absent if they do not at the least.
    pub snaps_home_up_to_friction: Option<f64>,
    /// How it is taken in and held.
    pub hold_class: HoldClass,
}

impl MaterialEffect {
    /// The effect on several clips that share a tool, from that on one of them.
    pub(crate) fn for_clips(self, clips: f64) -> Self {
        Self {
            typical_snap_in_n: clips * self.typical_snap_in_n,
            typical_pull_out_n: clips * self.typical_pull_out_n,
            ..self
        }
    }
}
