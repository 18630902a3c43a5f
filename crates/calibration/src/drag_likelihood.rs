//! A barrel dragged over a flat wall of the print under a known load: force over load is the friction, whatever the print's
//! stiffness and its bores are.
//!
//! Every drag counts by itself, since a slip with the scale says nothing of the coupon's outcome.

use gripwright_input::Drag;

use crate::{
    normal_distribution::density,
    piece_likelihood::{FORCE_FLOOR_N, SLIP_FORCE_LOG},
    prior::Prior,
};

/// What a drag says of a friction: that it was measured well, and that it says nothing.
fn likelihoods(prior: &Prior, drag: &Drag, friction: f64) -> [f64; 2] {
    let expected = friction * drag.load_n;
    let sd = (prior.force_log_sd * expected).max(FORCE_FLOOR_N);
    let measured = (1.0 - prior.lapse) * density((drag.force_n - expected) / sd) / sd;
    [measured, prior.lapse / (SLIP_FORCE_LOG * drag.force_n.max(FORCE_FLOOR_N))]
}

/// Logarithm of what all drags say of a friction.
pub(crate) fn log_likelihood(prior: &Prior, drags: &[Drag], friction: f64) -> f64 {
    let log = |drag: &Drag| likelihoods(prior, drag, friction).iter().sum::<f64>().max(f64::MIN_POSITIVE).ln();
    drags.iter().map(log).sum()
}

/// How probable it is at this friction that the drag says nothing.
pub(crate) fn slip(prior: &Prior, drag: &Drag, friction: f64) -> f64 {
    let [measured, slipped] = likelihoods(prior, drag, friction);
    slipped / (measured + slipped).max(f64::MIN_POSITIVE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drag_says_most_of_the_friction_that_it_shows() {
        let (prior, drags) = (Prior::default(), [Drag { force_n: 3.0, load_n: 10.0 }]);
        let at = |friction: f64| log_likelihood(&prior, &drags, friction);
        assert!(at(0.3) > at(0.24) && at(0.3) > at(0.37));
        // One standard deviation of the scale away, half a unit less, but for what the slips lift.
        assert!((at(0.3) - at(0.3 / 1.1) - 0.4).abs() < 0.15, "{}", at(0.3) - at(0.3 / 1.1));
        // A light load under a coarse scale says little.
        let light = [Drag { force_n: 0.06, load_n: 0.2 }];
        assert!((log_likelihood(&prior, &light, 0.3) - log_likelihood(&prior, &light, 0.2)).abs() < 0.1);
    }

    #[test]
    fn what_is_far_off_is_sooner_a_slip() {
        let drag = Drag { force_n: 15.0, load_n: 10.0 };
        let slipped = |friction| slip(&Prior::default(), &drag, friction);
        assert!(slipped(0.3) > 0.99 && slipped(1.5) < 0.05);
    }
}
