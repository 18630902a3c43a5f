//! Match of printed slices to the stiffness of the cast part: the walls that push and pull alike, by the contact solver.
//!
//! Bending stiffness goes with the third power of the wall, so that the cube root of the ratio of the moduli is the
//! first guess. This factor is only a start. The lips grow with the wall and touch the barrel elsewhere, the clamp
//! moves, and a thick arm is stiffer in shear. Strain, which follows the wall, and friction cannot be matched.
//!
//! - One factor of the walls is solved for each size, at the designed seat.
//! - Target: the mean of the logarithms of greatest push and greatest pull, on the least and on the greatest barrel,
//!   equals that of the cast part of the same length.
//! - Method: secants. Inner faces are kept; friction and moduli are in the middle of their ranges. The deviations at
//!   every step, and along the curves, are reported.
//!
//! On the demos the cube root leaves 6 to 22 % of the peaks, the solver 0.5 to 3.5 %. The mount on a rounded rectangle is
//! worst, because its lips change most where they hook round the corner (`tests/stiffness.rs`).

use gripwright_mechanics::{ForcePoint, Interval, SnapRun};
use rayon::prelude::*;

use crate::{
    coupons::coupon_brief::CouponBrief,
    coupons::coupon_model::CouponModel,
    design::coupon::{CouponStep, StiffnessMatch},
    design::sizes::{MountDesign, Size},
    limits::design_limits::DesignLimits,
    rounding::{ceil_to, round_to},
    shape::body_section::BodySection,
};

/// A coupon that no wall matches to the cast part.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub(crate) enum Unmatched {
    #[error(
        "slices {letter} would need walls of {wall_mm:.2} mm to push and pull like the cast part, thinner than the \
         {least_mm:.2} mm that print soundly with this draft and chamfer"
    )]
    TooThin { letter: char, wall_mm: f64, least_mm: f64 },
    #[error(
        "no wall makes slices {letter} push and pull like the cast part: up to {wall_mm:.2} mm they reach {:.0} % of its \
         forces, and with thicker walls they do not go in or are no arms any more", 100.0 * share
    )]
    TooThick { letter: char, wall_mm: f64, share: f64 },
    #[error("no wall makes slices {letter} push and pull like the cast part: what is tried on it does not go in")]
    NoRun { letter: char },
}

/// Matches of the coupons to the cast part, and the coupons that no wall matches; none unless the spec asks for them.
pub(crate) fn stiffness_matches(
    brief: &CouponBrief<'_>,
    sizes: &[Size],
    mount: &MountDesign,
    wanted: &[CouponStep],
) -> (Vec<StiffnessMatch>, Vec<Unmatched>) {
    if !brief.matched {
        return (Vec::new(), Vec::new());
    }
    let steps = |letter: char| wanted.iter().filter(|w| w.letter == letter).map(|w| w.step_mm).collect::<Vec<_>>();
    // A body that cannot be drawn has no mount, and is refused long before.
    let body_section = BodySection::from_body(brief.body).ok();
    let clips = sizes.iter().map(|size| CouponModel::for_size(size, brief.coupons.length_mm));
    let mount =
        body_section.as_ref().and_then(|body_section| CouponModel::for_mount(&mount.mount, brief, body_section));
    let slices: Vec<(CouponModel<'_>, Vec<f64>)> = clips
        .chain(mount)
        .map(|slice| (steps(slice.letter), slice))
        .filter(|(steps, _)| !steps.is_empty())
        .map(|(steps, slice)| (slice, steps))
        .collect();
    let (part, print) = (&brief.part_limits, &brief.slice_limits);
    let found = slices.par_iter().map(|(slice, steps)| {
        let steps = brief.compares_steps.then_some(steps.as_slice());
        Matching { slice, part, print, length_mm: brief.coupons.length_mm }.solve(steps)
    });
    let (good, bad): (Vec<_>, Vec<_>) = found.collect::<Vec<_>>().into_iter().partition(Result::is_ok);
    (good.into_iter().filter_map(Result::ok).collect(), bad.into_iter().filter_map(Result::err).collect())
}

/// One coupon, with the limits of the cast part and those of the print.
struct Matching<'a> {
    slice: &'a CouponModel<'a>,
    part: &'a DesignLimits,
    print: &'a DesignLimits,
    length_mm: f64,
}

/// Peaks below this share of the greatest one are ignored: they hardly depend on the wall.
const LEAST_PEAK_SHARE: f64 = 0.05;
/// Tolerance of the mean of the peaks before walls are rounded.
const MEAN_TOLERANCE: f64 = 5e-4;
/// Walls are rounded to this, mm: a calliper's last digit.
const WALL_STEP_MM: f64 = 0.01;
/// Greatest change of the logarithm of the scale in one step.
const LONGEST_STEP: f64 = 0.35;
/// A wall thicker than this share of the radius is no arm.
const MOST_WALL_OVER_RADIUS: f64 = 0.9;

impl Matching<'_> {
    /// The match, compared with the part at some steps.
    fn solve(&self, steps: Option<&[f64]>) -> Result<StiffnessMatch, Unmatched> {
        let letter = self.slice.letter;
        let target = self.part_runs(0.0).ok_or(Unmatched::NoRun { letter })?;
        let ratio = self.slice.middle_modulus_mpa(self.part) / self.slice.middle_modulus_mpa(self.print);
        let cube_root = ratio.cbrt();
        let walls = self.slice.walls_mm();
        let plain = self.slice_runs(walls.map(|wall| cube_root * wall), 0.0);
        let plain_off = plain.as_ref().and_then(|plain| mean_log_ratio(&target, plain));
        let scale = self.scale(&target, (cube_root, plain_off))?;
        let rounded = walls.map(|wall| round_to(scale * wall, WALL_STEP_MM));
        let least_mm = ceil_to(self.print.least_wall_at_parting_mm(self.length_mm), WALL_STEP_MM);
        let wall_mm = rounded[0].min(rounded[1]);
        if wall_mm < least_mm {
            return Err(Unmatched::TooThin { letter, wall_mm, least_mm });
        }
        let found = self.slice_runs(rounded, 0.0).ok_or(Unmatched::NoRun { letter })?;
        let (part, print) = (self.part.elastic.modulus_mpa, self.print.elastic.modulus_mpa);
        let over = |slice: f64, cast: f64| (slice / print.middle()) / (cast / part.middle());
        Ok(StiffnessMatch {
            letter,
            part_walls_mm: walls,
            slice_walls_mm: rounded,
            scale,
            cube_root,
            peaks_off: greatest_peak_deviation(&target, &found),
            peaks_off_cube_root: plain.map(|plain| greatest_peak_deviation(&target, &plain)),
            steps_off: steps.map(|steps| self.greatest_step_deviation(steps, rounded, [&target, &found])),
            curves_off: curve_deviation(&target[0], &found[0]).max(curve_deviation(&target[1], &found[1])),
            over_ranges: Interval {
                least: over(print.least, part.greatest),
                greatest: over(print.greatest, part.least),
            },
            friction: self.friction(),
        })
    }

    /// The scale at which the mean of the logarithms of all peaks is that of the part, from a first scale and the mean that
    /// it leaves; `None` where it does not run.
    fn scale(&self, target: &[SnapRun; 2], first: (f64, Option<f64>)) -> Result<f64, Unmatched> {
        /// More rounds than any case needs: five are usual.
        const ROUNDS: usize = 40;
        let letter = self.slice.letter;
        let walls = self.slice.walls_mm();
        let (mut at, mut known) = (first.0.ln(), Some(first.1));
        // The part's own walls go in, in whatever material.
        let (mut sound, mut missing) = (0.0, None);
        let mut last: Option<(f64, f64)> = None;
        let mut barrier = None;
        for _ in 0..ROUNDS {
            let scaled = walls.map(|wall| at.exp() * wall);
            let mean = || self.slice_runs(scaled, 0.0).and_then(|found| mean_log_ratio(target, &found));
            let Some(off) = known.take().unwrap_or_else(mean) else {
                barrier = Some(at);
                at = 0.5 * (at + sound);
                if (at - sound).abs() < MEAN_TOLERANCE {
                    break;
                }
                continue;
            };
            if off.abs() < MEAN_TOLERANCE {
                return Ok(at.exp());
            }
            // Force grows with the third power of the wall, or about that.
            let slope = last.map_or(3.0, |(x, y)| (off - y) / (at - x)).clamp(1.0, 9.0);
            last = Some((at, off));
            (sound, missing) = (at, Some(off));
            at -= (off / slope).clamp(-LONGEST_STEP, LONGEST_STEP);
            if let Some(wall) =
                barrier.filter(|wall: &f64| (at - sound) * (wall - at) <= 0.0 && (wall - sound) * (at - sound) > 0.0)
            {
                at = 0.5 * (sound + wall);
            }
            if (at - sound).abs() < 0.1 * MEAN_TOLERANCE {
                break;
            }
        }
        let share = missing.map_or(0.0, f64::exp);
        Err(Unmatched::TooThick { letter, wall_mm: sound.exp() * walls[0], share })
    }

    fn friction(&self) -> f64 {
        self.part.elastic.friction.middle()
    }

    /// The cast part, as short as the slice.
    fn part_runs(&self, step_mm: f64) -> Option<[SnapRun; 2]> {
        let solved = self.slice.prepared(self.slice.walls_mm(), step_mm, self.part)?;
        solved.runs(self.friction(), self.slice.middle_modulus_mpa(self.part), self.part)
    }

    /// The printed slice at the same friction, so that walls answer for stiffness alone.
    fn slice_runs(&self, walls_mm: [f64; 2], step_mm: f64) -> Option<[SnapRun; 2]> {
        if walls_mm.iter().any(|wall| *wall > MOST_WALL_OVER_RADIUS * self.slice.radius_mm()) {
            return None;
        }
        let solved = self.slice.prepared(walls_mm, step_mm, self.print)?;
        solved.runs(self.friction(), self.slice.middle_modulus_mpa(self.print), self.print)
    }

    /// Greatest deviation over all steps, without those at which part or slice do not go in. `designed` are part and slice at
    /// the designed seat.
    fn greatest_step_deviation(&self, steps: &[f64], walls_mm: [f64; 2], designed: [&[SnapRun; 2]; 2]) -> f64 {
        let [part, slice] = designed.map(peaks);
        let greatest = part.iter().copied().fold(0.0, f64::max);
        let deviation = |step_mm: &f64| {
            let (part, slice) = if step_mm.abs() > 0.0 {
                (peaks(&self.part_runs(*step_mm)?), peaks(&self.slice_runs(walls_mm, *step_mm)?))
            } else {
                (part, slice)
            };
            Some(part.iter().zip(slice).map(|(p, s)| (s - p).abs() / greatest).fold(0.0, f64::max))
        };
        let deviations: Vec<f64> = steps.par_iter().filter_map(deviation).collect();
        deviations.into_iter().fold(0.0, f64::max)
    }
}

/// Greatest push and pull of both runs, N/mm.
fn peaks(runs: &[SnapRun; 2]) -> [f64; 4] {
    let [a, b] = runs;
    [a.snap_in, a.pull_out, b.snap_in, b.pull_out].map(|peak| peak.force_n_per_mm)
}

/// Peaks of the part with those of the slice, without those far below the greatest.
fn relevant_peaks<'a>(target: &'a [f64; 4], found: &'a [f64; 4]) -> impl Iterator<Item = (f64, f64)> + 'a {
    let greatest = target.iter().copied().fold(0.0, f64::max);
    target.iter().zip(found).map(|(t, f)| (*t, *f)).filter(move |(t, _)| *t > LEAST_PEAK_SHARE * greatest)
}

/// Mean of the logarithms of slice over part; `None` where a peak is missing.
fn mean_log_ratio(target: &[SnapRun; 2], found: &[SnapRun; 2]) -> Option<f64> {
    let (target, found) = (peaks(target), peaks(found));
    let (mut sum, mut count) = (0.0, 0.0);
    for (t, f) in relevant_peaks(&target, &found) {
        sum += (f / t).ln();
        count += 1.0;
    }
    let mean: f64 = sum / count;
    mean.is_finite().then_some(mean)
}

/// Worst of the peaks, as a share of the part's.
fn greatest_peak_deviation(target: &[SnapRun; 2], found: &[SnapRun; 2]) -> f64 {
    let (target, found) = (peaks(target), peaks(found));
    relevant_peaks(&target, &found).map(|(t, f)| (f / t - 1.0).abs()).fold(0.0, f64::max)
}

/// Root of the mean square of the difference of two runs over their way, over that of the first.
fn curve_deviation(target: &SnapRun, found: &SnapRun) -> f64 {
    /// Places on the way: closer than the steps of a run.
    const PLACES: usize = 400;
    let (mut difference, mut all) = (0.0, 0.0);
    for (wanted, given) in [(&target.insertion, &found.insertion), (&target.removal, &found.removal)] {
        let heights = || wanted.iter().chain(given.iter()).map(|p| p.axis_mm);
        let (low, high) = (heights().fold(f64::INFINITY, f64::min), heights().fold(f64::NEG_INFINITY, f64::max));
        for place in 0..PLACES {
            let height = low + (high - low) * (place as f64 + 0.5) / PLACES as f64;
            let (w, g) = (force_at(wanted, height), force_at(given, height));
            difference += (w - g) * (w - g);
            all += w * w;
        }
    }
    if all > 0.0 { (difference / all).sqrt() } else { 0.0 }
}

/// Force of a curve at a height of the axis, N/mm; none before the first touch and after the last.
fn force_at(curve: &[ForcePoint], height: f64) -> f64 {
    let between = |pair: &[ForcePoint]| match pair {
        [a, b] if (a.axis_mm - height) * (b.axis_mm - height) <= 0.0 && (a.axis_mm - b.axis_mm).abs() > 0.0 => {
            let t = (height - a.axis_mm) / (b.axis_mm - a.axis_mm);
            Some(a.force_n_per_mm + t * (b.force_n_per_mm - a.force_n_per_mm))
        }
        _ => None,
    };
    curve.windows(2).find_map(between).unwrap_or(0.0)
}
