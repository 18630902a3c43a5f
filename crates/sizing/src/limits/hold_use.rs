//! Margins of the loads on a clip or mount, with their moments.

use gripwright_mechanics::{GripCapacity, LoadKind, Wrench};

use crate::limits::margin::{Limit, Margin};

/// Greatest shares of a capacity that the cases of load take, by what gives way: the mouth, or friction and form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct HoldUse {
    pub(crate) across: Margin,
    pub(crate) along: Margin,
}

impl HoldUse {
    /// Margins without any load.
    pub(crate) const UNLOADED: Self = Self {
        across: Margin { ratio: f64::INFINITY, limit: Limit::HoldAcross },
        along: Margin { ratio: f64::INFINITY, limit: Limit::HoldAlong },
    };

    /// Margins of a clip that holds nothing.
    pub(crate) const NOTHING: Self = Self {
        across: Margin { ratio: 0.0, limit: Limit::HoldAcross },
        along: Margin { ratio: 0.0, limit: Limit::HoldAlong },
    };

    /// The margins without the safety factor that the loads contain, as those of the hold after 1,000 h.
    pub(crate) fn after_1000_h(self, safety: f64) -> Self {
        let remains = |margin: Margin| Margin { ratio: safety * margin.ratio, limit: Limit::Remains };
        Self { across: remains(self.across), along: remains(self.along) }
    }

    /// The least margins over some loads.
    pub(crate) fn of_loads<'a>(capacity: &GripCapacity, loads: impl IntoIterator<Item = &'a Wrench>) -> Self {
        let [mouth, friction] = most_demanding(capacity, loads);
        let margin = |most: Option<(f64, &Wrench)>, unloaded: Margin| {
            most.map_or(unloaded, |(sum, load)| Margin::new(1.0 / sum, limit_of(capacity.governing(load))))
        };
        Self { across: margin(mouth, Self::UNLOADED.across), along: margin(friction, Self::UNLOADED.along) }
    }

    /// How many times the load that the mouth bears least is borne until the mouth lets go altogether; peeling sets in before.
    /// Infinite without such a load.
    pub(crate) fn until_it_lets_go<'a>(capacity: &GripCapacity, loads: impl IntoIterator<Item = &'a Wrench>) -> f64 {
        let [mouth, _] = most_demanding(capacity, loads);
        mouth.map_or(f64::INFINITY, |(_, load)| 1.0 / capacity.shares_until_it_lets_go(load).sum())
    }

    /// The least margins of both.
    #[must_use]
    pub(crate) fn least(self, other: Self) -> Self {
        Self { across: self.across.least(other.across), along: self.along.least(other.along) }
    }
}

/// Loads that take the greatest sum of shares, with it: of those that the mouth bears most of, and of those that friction or
/// form does.
fn most_demanding<'a>(
    capacity: &GripCapacity,
    loads: impl IntoIterator<Item = &'a Wrench>,
) -> [Option<(f64, &'a Wrench)>; 2] {
    let mut most: [Option<(f64, &Wrench)>; 2] = [None; 2];
    for load in loads {
        let shares = capacity.shares(load);
        let sum = shares.sum();
        let by_friction = usize::from(shares.slip() > 0.5 * sum);
        if most[by_friction].is_none_or(|(before, _)| sum > before || sum.is_nan()) {
            most[by_friction] = Some((sum, load));
        }
    }
    most
}

fn limit_of(kind: LoadKind) -> Limit {
    match kind {
        LoadKind::Along => Limit::HoldAlong,
        LoadKind::Roll => Limit::Roll,
        LoadKind::Rock => Limit::Rock,
        LoadKind::Yaw => Limit::Yaw,
        _ => Limit::HoldAcross,
    }
}
