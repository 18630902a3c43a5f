//! Cylinder, cone or oblique cone between two arcs, as a family of straight lines with one normal each.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use gripwright_solid::{
    Brep, EdgeCurve, Face, Frame, Point3, Surface,
    vector::{along, dot, sub},
};

use crate::vector::unit;

/// Directions that differ by less than this are parallel.
const PARALLEL: f64 = 1e-12;
/// Samples of an oblique cone that is pulled askew, before its extremes are refined.
const SAMPLES: u32 = 128;

/// Round face. The line at the angle θ runs between the points of the two arcs at θ; along it the normal is the same.
pub(super) struct RoundFace {
    frame: Frame,
    /// Centres of the lower and upper arc, mm; upper along the frame's z.
    centres: [Point3; 2],
    radii_mm: [f64; 2],
    /// Least angle about the frame's z from its x, rad.
    from_rad: f64,
    sweep_rad: f64,
    /// 1 if the outward normal of the solid points away from the axis, otherwise −1.
    sense: f64,
}

impl RoundFace {
    /// The round face of a boundary; `None` for planes and for faces that are not bounded by two arcs about their axis.
    pub(super) fn new(brep: &Brep, face: &Face) -> Option<Self> {
        let sense = if face.same_sense { 1.0 } else { -1.0 };
        let frame = *face.surface.frame();
        match face.surface {
            Surface::Plane { .. } => None,
            Surface::Oblique { radius, upper_radius, shift, height, sweep, .. } => {
                let centres = [frame.origin, frame.world([shift[0], shift[1], height])];
                Some(Self { frame, centres, radii_mm: [radius, upper_radius], from_rad: 0.0, sweep_rad: sweep, sense })
            }
            Surface::Cylinder { .. } | Surface::Cone { .. } => {
                let mut arcs = face.loops.iter().flatten().filter_map(|u| match brep.edges[u.edge].curve {
                    EdgeCurve::Arc { frame, radius, sweep } => Some((frame, radius, sweep)),
                    EdgeCurve::Line => None,
                });
                let (mut one, mut two) = (arcs.next()?, arcs.next()?);
                let height = |arc: &(Frame, f64, f64)| dot(arc.0.origin, frame.z);
                if height(&one) > height(&two) {
                    (one, two) = (two, one);
                }
                let (arc, radius, sweep_rad) = one;
                let start = dot(arc.x, frame.y()).atan2(dot(arc.x, frame.x));
                let from_rad = if dot(arc.z, frame.z) > 0.0 { start } else { start - sweep_rad };
                let centres = [arc.origin, two.0.origin];
                Some(Self { frame, centres, radii_mm: [radius, two.1], from_rad, sweep_rad, sense })
            }
        }
    }

    /// Outward normal of the solid at an angle.
    pub(super) fn normal(&self, angle_rad: f64) -> Point3 {
        let out = self.out(angle_rad);
        let lift = sub(self.centres[1], self.centres[0]);
        let growth = dot(out, lift) + self.radii_mm[1] - self.radii_mm[0];
        let normal = along(out.map(|x| x * dot(lift, self.frame.z)), self.frame.z, -growth);
        unit(normal).map(|x| x * self.sense)
    }

    /// Ends of the line at an angle, mm.
    pub(super) fn line(&self, angle_rad: f64) -> [Point3; 2] {
        let out = self.out(angle_rad);
        [0, 1].map(|k| along(self.centres[k], out, self.radii_mm[k]))
    }

    /// Unit direction from the axis at an angle.
    fn out(&self, angle_rad: f64) -> Point3 {
        let (sin, cos) = angle_rad.sin_cos();
        along(self.frame.x.map(|x| x * cos), self.frame.y(), sin)
    }

    /// Angles from the first to the last, with `steps` equal ones between any two at which the slope against `pull` may turn
    /// or change its sign, or the face may cross the height `below_mm`.
    pub(super) fn divided(&self, pull: Point3, below_mm: f64, steps: u32) -> Vec<f64> {
        let mut corners = self.extreme_angles(pull, below_mm);
        let towards = dot(pull, self.frame.y()).atan2(dot(pull, self.frame.x));
        corners.extend([FRAC_PI_2, -FRAC_PI_2].into_iter().filter_map(|quarter| self.within(towards + quarter)));
        corners.sort_by(f64::total_cmp);
        let between = |pair: &[f64]| {
            let (from, way) = (pair[0], pair[1] - pair[0]);
            (1..=steps).map(move |i| from + way * f64::from(i) / f64::from(steps))
        };
        std::iter::once(self.from_rad).chain(corners.windows(2).flat_map(between)).collect()
    }

    /// Angles at equal steps from the first to the last.
    pub(super) fn angles(&self, steps: u32) -> impl Iterator<Item = f64> + '_ {
        (0..=steps).map(move |i| self.from_rad + self.sweep_rad * f64::from(i) / f64::from(steps))
    }

    /// Angles among which the slope against `pull` has its least and greatest value over the lines that reach below the
    /// height `below_mm` along it.
    pub(super) fn extreme_angles(&self, pull: Point3, below_mm: f64) -> Vec<f64> {
        let mut angles = vec![self.from_rad, self.from_rad + self.sweep_rad];
        let across = [dot(pull, self.frame.x), dot(pull, self.frame.y())];
        let lift = sub(self.centres[1], self.centres[0]);
        let shift = [dot(lift, self.frame.x), dot(lift, self.frame.y())];
        let slope = across[0].hypot(across[1]);
        let towards = |v: [f64; 2]| v[1].atan2(v[0]);
        for v in [across, shift] {
            if v[0].hypot(v[1]) > PARALLEL {
                angles.extend([towards(v), towards(v) + PI]);
            }
        }
        if slope > PARALLEL {
            for k in 0..2 {
                let cos = (below_mm - dot(self.centres[k], pull)) / (self.radii_mm[k] * slope);
                if cos.abs() <= 1.0 {
                    angles.extend([towards(across) + cos.acos(), towards(across) - cos.acos()]);
                }
            }
            if shift[0].hypot(shift[1]) > PARALLEL {
                angles.extend(self.refined(pull));
            }
        }
        angles.into_iter().filter_map(|angle| self.within(angle)).collect()
    }

    /// The angle, plus whole turns, if it lies within the face.
    fn within(&self, angle_rad: f64) -> Option<f64> {
        const SLACK: f64 = 1e-12;
        let turn = (angle_rad - self.from_rad).rem_euclid(TAU);
        let turn = if turn > TAU - SLACK { 0.0 } else { turn };
        (turn <= self.sweep_rad + SLACK).then(|| self.from_rad + turn.min(self.sweep_rad))
    }

    /// Local extremes of the slope of an oblique cone against `pull`, by golden section about samples.
    fn refined(&self, pull: Point3) -> Vec<f64> {
        let slope = |angle: f64| dot(self.normal(angle), pull);
        let step = self.sweep_rad / f64::from(SAMPLES);
        let mut found = Vec::new();
        for angle in self.angles(SAMPLES) {
            let (before, here, after) = (slope(angle - step), slope(angle), slope(angle + step));
            for sign in [1.0, -1.0] {
                if sign * here >= sign * before && sign * here >= sign * after {
                    found.push(highest(|a| sign * slope(a), angle - step, angle + step));
                }
            }
        }
        found
    }
}

/// Place of the maximum of a function with one maximum between two places, by golden section.
fn highest(value: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let (mut low, mut high) = (low, high);
    for _ in 0..60 {
        let (a, b) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
        if value(a) < value(b) {
            low = a;
        } else {
            high = b;
        }
    }
    0.5 * (low + high)
}
