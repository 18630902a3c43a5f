//! Likelihood of the friction from drags: a barrel dragged over a flat wall of the print under a known load.
//!
//! Force over load is the friction, whatever the stiffness and the bores of the print are. Push, pull and slide of a coupon
//! all grow with stiffness and with a power of friction (0.5 to 1.0). They determine a mixture of both and hardly either; a
//! drag determines friction alone. The principle is that of the sled of ISO 8295 and ASTM D1894 (from memory), which are for
//! film.
//!
//! Every drag is judged by itself, since an error with the scale is independent of the coupon's outcome.

use gripwright_input::Drag;

use crate::{
    measurement_error::{FORCE_FLOOR_N, OUTLIER_FORCE_LOG_WIDTH},
    normal_distribution::density,
    prior::Prior,
};

/// The two explanations of a drag, each weighted with its prior probability.
struct DragLikelihood {
    measured: f64,
    outlier: f64,
}

fn drag_likelihood(prior: &Prior, drag: &Drag, friction: f64) -> DragLikelihood {
    let expected = friction * drag.load_n;
    let sd = (prior.force_log_sd * expected).max(FORCE_FLOOR_N);
    DragLikelihood {
        measured: (1.0 - prior.lapse_rate) * density((drag.force_n - expected) / sd) / sd,
        outlier: prior.lapse_rate / (OUTLIER_FORCE_LOG_WIDTH * drag.force_n.max(FORCE_FLOOR_N)),
    }
}

/// Logarithm of the likelihood of all drags at one friction.
pub(crate) fn log_likelihood(prior: &Prior, drags: &[Drag], friction: f64) -> f64 {
    let log = |drag: &Drag| {
        let DragLikelihood { measured, outlier } = drag_likelihood(prior, drag, friction);
        [measured, outlier].iter().sum::<f64>().max(f64::MIN_POSITIVE).ln()
    };
    drags.iter().map(log).sum()
}

/// Probability at one friction that the drag is an outlier.
pub(crate) fn outlier_probability(prior: &Prior, drag: &Drag, friction: f64) -> f64 {
    let DragLikelihood { measured, outlier } = drag_likelihood(prior, drag, friction);
    outlier / (measured + outlier).max(f64::MIN_POSITIVE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_likelihood_is_greatest_at_the_measured_friction() {
        let (prior, drags) = (Prior::default(), [Drag { force_n: 3.0, load_n: 10.0 }]);
        let at = |friction: f64| log_likelihood(&prior, &drags, friction);
        assert!(at(0.3) > at(0.24) && at(0.3) > at(0.37));
        // One standard deviation of the scale away it is half a unit less, but for the share of outliers.
        assert!((at(0.3) - at(0.3 / 1.1) - 0.4).abs() < 0.15, "{}", at(0.3) - at(0.3 / 1.1));
        // A light load under a coarse scale says little.
        let light = [Drag { force_n: 0.06, load_n: 0.2 }];
        assert!((log_likelihood(&prior, &light, 0.3) - log_likelihood(&prior, &light, 0.2)).abs() < 0.1);
    }

    #[test]
    fn a_drag_far_off_is_an_outlier() {
        let drag = Drag { force_n: 15.0, load_n: 10.0 };
        let outlier = |friction| outlier_probability(&Prior::default(), &drag, friction);
        assert!(outlier(0.3) > 0.99 && outlier(1.5) < 0.05);
    }
}
