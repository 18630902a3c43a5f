//! Loss of grip with time: the stress of a plastic falls at constant strain.

use crate::interval::Interval;

/// Returns the grip that remains after a clip has rested on its barrel for some time, in the unit of `grip`.
///
/// `remaining` is the share of the grip that is left after that time. The barrel holds its clip open by a constant
/// amount, so the normal forces fall as the material's stress does at constant strain.
pub fn relaxed_grip(grip: Interval, remaining: Interval) -> Interval {
    Interval { least: grip.least * remaining.least, greatest: grip.greatest * remaining.greatest }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grip_relaxes_within_its_bounds() {
        let grip = Interval { least: 8.0, greatest: 16.0 };
        let relaxed = relaxed_grip(grip, Interval { least: 0.5, greatest: 0.75 });
        assert_eq!(relaxed, Interval { least: 4.0, greatest: 12.0 });
        assert_eq!(relaxed_grip(grip, Interval::exactly(1.0)), grip);
    }
}
