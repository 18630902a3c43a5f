//! Integrals over an oblique cone between its two arcs, by Gauss's rule: exact over the height, where all is a polynomial,
//! and to rounding over the angle.

use std::f64::consts::FRAC_PI_2;

use super::{Share, from_middle};
use crate::{
    brep::{Frame, Point3},
    vector::{add, along, cross, dot, length, scale, sub},
};

/// Places and weights of Gauss's rule with three places on [−1, 1].
const THREE: [(f64, f64); 3] =
    [(-0.774_596_669_241_483_4, 5.0 / 9.0), (0.0, 8.0 / 9.0), (0.774_596_669_241_483_4, 5.0 / 9.0)];
/// Those of the rule with eight places, for angles of at most a quarter turn (Abramowitz and Stegun, table 25.4).
const EIGHT: [(f64, f64); 8] = [
    (-0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
    (-0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (-0.525_532_409_916_329, 0.313_706_645_877_887_27),
    (-0.183_434_642_495_649_8, 0.362_683_783_378_361_96),
    (0.183_434_642_495_649_8, 0.362_683_783_378_361_96),
    (0.525_532_409_916_329, 0.313_706_645_877_887_27),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
];

/// The surface with its ends.
pub(super) struct Patch {
    pub(super) frame: Frame,
    pub(super) radii: [f64; 2],
    pub(super) shift: [f64; 2],
    pub(super) height: f64,
    pub(super) sweep: f64,
}

impl Patch {
    /// With x = O + t D + r e(θ), r = r₀ + t Δr and t from 0 to 1, the area vector is r (e′ × D − Δr a) dθ dt.
    pub(super) fn share(&self, same_sense: bool, middle: Point3) -> Share {
        let Frame { origin, x, z } = self.frame;
        let y = self.frame.y();
        let origin = from_middle(origin, middle);
        let lift = along(along(scale(x, self.shift[0]), y, self.shift[1]), z, self.height);
        let growth = self.radii[1] - self.radii[0];
        let pieces = (self.sweep / FRAC_PI_2).ceil().max(1.0);
        let half = 0.5 * self.sweep / pieces;
        let mut sum = Share::default();
        let mut piece = 0.5;
        while piece < pieces {
            let about = 2.0 * half * piece;
            for (place, weight) in EIGHT {
                let (sin, cos) = (about + half * place).sin_cos();
                let out = add(scale(x, cos), scale(y, sin));
                let ahead = sub(scale(y, cos), scale(x, sin));
                let normal = sub(cross(ahead, lift), scale(z, growth));
                for (height, share) in THREE {
                    let t = 0.5 + 0.5 * height;
                    let radius = self.radii[0] + t * growth;
                    let point = add(add(origin, scale(lift, t)), scale(out, radius));
                    let weight = weight * half * 0.5 * share * radius;
                    let flux = weight * dot(point, normal);
                    sum.area += weight * length(normal);
                    sum.flux += flux;
                    sum.moment = add(sum.moment, scale(point, flux));
                }
            }
            piece += 1.0;
        }
        if !same_sense {
            (sum.flux, sum.moment) = (-sum.flux, scale(sum.moment, -1.0));
        }
        sum
    }
}
