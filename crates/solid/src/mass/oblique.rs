//! Integrals over an oblique cone between its two arcs, by Gaussian quadrature.
//!
//! The rule is exact over the height, where the integrands are polynomials, and exact to rounding over the angle.

use std::f64::consts::FRAC_PI_2;

use super::face_integrals::FaceIntegrals;
use crate::{
    brep::{Frame, Point3},
    vector::{add, along, cross, dot, length, scale, sub},
};

/// Nodes and weights of the three-point Gauss–Legendre rule on [−1, 1].
const GAUSS_3: [(f64, f64); 3] =
    [(-0.774_596_669_241_483_4, 5.0 / 9.0), (0.0, 8.0 / 9.0), (0.774_596_669_241_483_4, 5.0 / 9.0)];
/// Nodes and weights of the eight-point rule, for angles of at most a quarter turn (Abramowitz and Stegun, table 25.4).
const GAUSS_8: [(f64, f64); 8] = [
    (-0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
    (-0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (-0.525_532_409_916_329, 0.313_706_645_877_887_27),
    (-0.183_434_642_495_649_8, 0.362_683_783_378_361_96),
    (0.183_434_642_495_649_8, 0.362_683_783_378_361_96),
    (0.525_532_409_916_329, 0.313_706_645_877_887_27),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
];

/// Oblique cone or cylinder between two arcs, as in [`Surface::Oblique`](crate::Surface::Oblique).
pub(super) struct ObliquePatch {
    pub(super) frame: Frame,
    /// Radii of the lower and the upper arc, mm.
    pub(super) radii: [f64; 2],
    /// Centre of the upper arc along x and y of the frame, mm.
    pub(super) shift: [f64; 2],
    pub(super) height: f64,
    pub(super) sweep: f64,
}

impl ObliquePatch {
    /// Integrals relative to the point `middle`.
    ///
    /// With x = O + t D + r e(θ), r = r₀ + t Δr and t from 0 to 1, the area vector is r (e′ × D − Δr a) dθ dt.
    pub(super) fn integrals(&self, same_sense: bool, middle: Point3) -> FaceIntegrals {
        let Frame { origin, x, z } = self.frame;
        let y = self.frame.y();
        let origin = sub(origin, middle);
        let lift = along(along(scale(x, self.shift[0]), y, self.shift[1]), z, self.height);
        let growth = self.radii[1] - self.radii[0];
        let pieces = (self.sweep / FRAC_PI_2).ceil().max(1.0);
        let half = 0.5 * self.sweep / pieces;
        let mut sum = FaceIntegrals::default();
        let mut piece = 0.5;
        while piece < pieces {
            let about = 2.0 * half * piece;
            for (place, weight) in GAUSS_8 {
                let (sin, cos) = (about + half * place).sin_cos();
                let out = add(scale(x, cos), scale(y, sin));
                let tangent = sub(scale(y, cos), scale(x, sin));
                let normal = sub(cross(tangent, lift), scale(z, growth));
                for (height, share) in GAUSS_3 {
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
