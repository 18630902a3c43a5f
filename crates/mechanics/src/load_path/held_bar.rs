//! Displacement of a rigid bar in clips of one section: a tool in its stations, or a holder on its body.

use crate::load_path::{
    force_travel::ForceTravel,
    friction_use::friction_use,
    grip_capacity::GripCapacity,
    wrench::{Wrench, cross, sum},
};

/// Most rounds of Newton's method and of one step, and the accuracy of the equilibrium over the load.
const ROUNDS: usize = 60;
const STEP_ROUNDS: usize = 60;
const ACCURACY: f64 = 1e-9;
/// Load, over what the clips hold, that counts as none.
const ROUNDING: f64 = 1e-12;
/// Share of the missing load along a step that the step may leave.
const LEFT_ALONG: f64 = 0.5;
/// Least slope of the curve that steps count with, over that from rest to the peak: gaps have none.
const LEAST_SLOPE: f64 = 1e-3;
/// Load steps that are tried one after the other: the whole load, or shares of it.
const LOAD_STEPS: [u32; 2] = [1, 16];

/// A clip that holds a bar over a part of its length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClipSpan {
    /// Middle of the clip along the bar, mm.
    pub at_mm: f64,
    /// Length, mm; greater than zero.
    pub length_mm: f64,
}

/// Small displacement of a rigid bar.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BarMotion {
    /// Displacement of the bar's origin, mm.
    pub shift_mm: [f64; 3],
    /// Turn about each axis, rad.
    pub turn_rad: [f64; 3],
}

impl BarMotion {
    /// Displacement of a point that moves with the bar, mm; the point is measured from the bar's origin, mm.
    pub fn at(&self, point_mm: [f64; 3]) -> [f64; 3] {
        sum(self.shift_mm, cross(self.turn_rad, point_mm))
    }
}

impl GripCapacity {
    /// Returns the displacement of a rigid bar that clips of this section hold, under a wrench about the bar's origin. Its
    /// axes: across the mouth, out of it, and along the bar, right-handed. `None` if the wrench exceeds what holds, so that
    /// there is no rest: a clip peels, or the bar slips along or round.
    ///
    /// Both planes are solved by themselves on the force curves, in which the travel varies linearly along the bar. Along
    /// it, and round it where the section is round, the bar does not move below the friction.
    pub fn displacement(&self, clips: &[ClipSpan], on: &Wrench) -> Option<BarMotion> {
        let [across_n, out_n, along_n] = on.force_n;
        let [rock_nmm, yaw_nmm, roll_nmm] = on.moment_nmm;
        let length_mm: f64 = clips.iter().map(|clip| clip.length_mm).sum();
        let times = length_mm / self.length_mm;
        if friction_use(along_n, times * self.along_n, roll_nmm, times * self.round_nmm) > 1.0 {
            return None;
        }
        // A force out of the mouth turns about −x when it acts ahead.
        let out = HeldBar { travel: &self.out, clips }.motion(out_n, -rock_nmm)?;
        let aside = match &self.aside {
            Some([right, _]) => {
                let bar = HeldBar { travel: right, clips };
                bar.motion(across_n, yaw_nmm).filter(|motion| bar.ends(motion)[0] >= right.first_travel())
            }
            None => (across_n.abs() + yaw_nmm.abs() <= 0.0).then(PlaneMotion::default),
        }?;
        let roll = |curve: &ForceTravel| curve.travel_at(roll_nmm.abs() / length_mm);
        let turns: Option<Vec<f64>> = self.roll.iter().map(roll).collect();
        // The softer way round counts.
        let turn_rad = turns?.into_iter().fold(0.0, f64::max).copysign(roll_nmm);
        Some(BarMotion { shift_mm: [aside.shift, out.shift, 0.0], turn_rad: [-out.tilt, aside.tilt, turn_rad] })
    }
}

/// A bar in one plane, on the force curve of its clips.
struct HeldBar<'a> {
    travel: &'a ForceTravel,
    clips: &'a [ClipSpan],
}

/// Displacement at the origin, mm, and tilt, rad, of a bar in one plane.
#[derive(Clone, Copy, Debug, Default)]
struct PlaneMotion {
    shift: f64,
    tilt: f64,
}

/// Force and moment of the clips on a bar, and their derivatives by shift and tilt.
#[derive(Clone, Copy, Debug, Default)]
struct PlaneLoad {
    force: f64,
    moment: f64,
    /// Stiffness against a shift, coupling of shift and tilt, stiffness against a tilt.
    stiffness: [f64; 3],
}

impl HeldBar<'_> {
    /// Motion under a force and its moment about the origin. `None` if a clip's end passes the peak of the curve, where
    /// peeling sets in.
    fn motion(&self, force: f64, moment: f64) -> Option<PlaneMotion> {
        if force.abs() + moment.abs() <= 0.0 {
            return Some(PlaneMotion::default());
        }
        let found = LOAD_STEPS.iter().find_map(|steps| {
            (1..=*steps).try_fold(PlaneMotion::default(), |from, step| {
                let share = f64::from(step) / f64::from(*steps);
                self.equilibrium(from, share * force, share * moment)
            })
        })?;
        (self.ends(&found)[1] <= self.travel.peak()[0] + 1e-12).then_some(found)
    }

    /// Equilibrium under a load by Newton's method, from another one.
    fn equilibrium(&self, from: PlaneMotion, force: f64, moment: f64) -> Option<PlaneMotion> {
        let reach = self.clips.iter().map(|c| c.at_mm.abs() + 0.5 * c.length_mm).fold(0.0, f64::max);
        // Loads far below what holds are rounding errors of others.
        let length_mm: f64 = self.clips.iter().map(|c| c.length_mm).sum();
        let near = ACCURACY * (force.abs() + moment.abs() / reach) + ROUNDING * length_mm * self.travel.peak()[1];
        let missing = |load: &PlaneLoad| [force - load.force, moment - load.moment];
        let (mut motion, mut load) = (from, self.load(&from));
        for _ in 0..ROUNDS {
            let [f, m] = missing(&load);
            if f.abs() + m.abs() / reach <= near {
                return Some(motion);
            }
            let [shift, coupling, tilt] = load.stiffness;
            let determinant = shift * tilt - coupling * coupling;
            let step = [(f * tilt - m * coupling) / determinant, (m * shift - f * coupling) / determinant];
            (motion, load) = self.step_along(motion, step, [f, m], missing)?;
        }
        None
    }

    /// Takes a step of a length that leaves little of the missing load along it, so that neither a gap in the curve nor a
    /// floor behind it stops the search.
    fn step_along(
        &self,
        from: PlaneMotion,
        step: [f64; 2],
        missing_before: [f64; 2],
        missing: impl Fn(&PlaneLoad) -> [f64; 2],
    ) -> Option<(PlaneMotion, PlaneLoad)> {
        let along = |[f, m]: [f64; 2]| f * step[0] + m * step[1];
        let before = along(missing_before);
        let (mut short, mut long, mut share) = (0.0, f64::INFINITY, 1.0);
        for _ in 0..STEP_ROUNDS {
            let tried = PlaneMotion { shift: from.shift + share * step[0], tilt: from.tilt + share * step[1] };
            let load = self.load(&tried);
            let left = along(missing(&load));
            if left.abs() <= LEFT_ALONG * before {
                return Some((tried, load));
            }
            if left > 0.0 {
                short = share;
            } else {
                long = share;
            }
            share = if long.is_finite() { 0.5 * (short + long) } else { 2.0 * share };
        }
        None
    }

    /// Least and greatest travel of any end of a clip, mm.
    fn ends(&self, motion: &PlaneMotion) -> [f64; 2] {
        let ends = self
            .clips
            .iter()
            .flat_map(|clip| [-0.5, 0.5].map(|half| motion.shift + motion.tilt * (clip.at_mm + half * clip.length_mm)));
        ends.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], end| [low.min(end), high.max(end)])
    }

    fn load(&self, motion: &PlaneMotion) -> PlaneLoad {
        self.clips.iter().fold(PlaneLoad::default(), |sum, clip| {
            let part = self.load_of(clip, motion);
            PlaneLoad {
                force: sum.force + part.force,
                moment: sum.moment + part.moment,
                stiffness: [0, 1, 2].map(|i: usize| sum.stiffness[i] + part.stiffness[i]),
            }
        })
    }

    /// Load of one clip: the sum of its slices, between two points of the curve in closed form.
    fn load_of(&self, clip: &ClipSpan, motion: &PlaneMotion) -> PlaneLoad {
        let middle = motion.shift + motion.tilt * clip.at_mm;
        let over = motion.tilt * clip.length_mm;
        let [peak_mm, peak] = self.travel.peak();
        let least_slope = LEAST_SLOPE * peak / peak_mm.abs();
        let mut load = PlaneLoad::default();
        // Places along the bar and forces per mm at the ends of a piece whose force runs along one line.
        let mut add = |[z, to]: [f64; 2], [fa, fb]: [f64; 2], slope: f64| {
            let (width, mean) = (to - z, 0.5 * (fa + fb));
            let at = 0.5 * (z + to);
            load.force += width * mean;
            load.moment += width * (mean * at + (fb - fa) * width / 12.0);
            let second = at * at + width * width / 12.0;
            for (sum, share) in load.stiffness.iter_mut().zip([1.0, at, second]) {
                *sum += slope.max(least_slope) * width * share;
            }
        };
        let [from, to] = [-0.5, 0.5].map(|half| clip.at_mm + half * clip.length_mm);
        if over.abs() < 1e-9 {
            let mut line = ([0.0; 2], 0.0);
            self.travel.visit(middle, middle, &mut |_, ends, slope| line = (ends, slope));
            add([from, to], line.0, line.1);
        } else {
            let place = |travel: f64| clip.at_mm + (travel - middle) / motion.tilt;
            let low = middle - 0.5 * over.abs();
            self.travel.visit(low, low + over.abs(), &mut |[a, b], [fa, fb], slope| {
                if motion.tilt > 0.0 {
                    add([place(a), place(b)], [fa, fb], slope);
                } else {
                    add([place(b), place(a)], [fb, fa], slope);
                }
            });
        }
        load
    }
}
