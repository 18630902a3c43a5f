//! Fit of tools and mount, as results: figures, odds, bands.

use gripwright_mechanics::Interval;
use serde::Serialize;

use crate::{design::material_effect::MaterialEffect, limits::margin::Margin};

/// Probability that one tool is held and snapped on, with its uncertainty.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Odds {
    /// Probability that it holds across and along the axis.
    pub holds: f64,
    /// Probability that it snaps on within the permissible push and strain.
    pub goes_on: f64,
    /// Probability of both.
    pub both: f64,
    /// Uncertainty of `both`: sampling (two standard errors) and interpolation.
    pub error: f64,
}

/// Middle 90 % of the sampled parts.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Bands {
    /// Push to snap on, N.
    pub snap_in_n: Interval,
    /// Pull through the mouth, N.
    pub pull_out_n: Interval,
    /// Friction along the axis, N.
    #[serde(rename = "axial_hold_n")]
    pub axial_n: Interval,
}

/// Fit of one tool in its clip at one diameter.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct FitRow {
    /// Letter of the size.
    pub letter: char,
    /// Index of the tool in the spec.
    pub tool: usize,
    /// Name of the tool.
    pub tool_name: String,
    /// Diameter, or size across flats, with the spread of its measurement, mm.
    pub diameter_mm: f64,
    /// Figures of a hexagonal tool; absent for a round tool.
    pub hexagon: Option<HexagonFit>,
    /// True for the greatest diameter, false for the least.
    pub greatest: bool,
    /// Identity of the sleeve in which it is gripped, such as `A1`; absent when the clip grips the barrel itself.
    pub sleeve: Option<String>,
    /// Forces, hold and strain against their limits.
    pub figures: FitFigures,
    /// The odds of the tool over all its barrels and all parts of the process; the same in both rows of a tool.
    pub odds: Option<Odds>,
}

/// Attitudes of a hexagon. The figures beside it are the worse of both.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct HexagonFit {
    /// Its size across corners, mm.
    pub across_corners_mm: f64,
    /// Height of its axis at rest with a flat at the bottom, as `seat_mm` says it, mm.
    pub flat_down_mm: Interval,
    /// The same with a corner at the bottom, mm.
    pub corner_down_mm: Interval,
}

/// Fit of a clip on a barrel, or of the mount on the body over the spread of its measurement.
///
/// Intervals are the least and the greatest over the corners of modulus and friction.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct FitFigures {
    /// Interference, mm: radius of the barrel minus that of the seat, or all round at the nominal body; negative is
    /// clearance.
    pub interference_mm: f64,
    /// Push to snap on, N.
    pub snap_in_n: Interval,
    /// Greatest push allowed, N.
    pub snap_in_limit_n: f64,
    /// Pull that comes off through the mouth, N: what holds against a load sideways.
    pub pull_out_n: Interval,
    /// Pull-out needed to hold the loads across, safety included, N; with their moments where these are limits.
    pub across_needed_n: f64,
    /// Sum of the normal forces at rest, N.
    pub grip_n: Interval,
    /// Friction along the axis, pull or push, N.
    pub axial_hold_n: Interval,
    /// Friction along the axis needed to hold the loads along it, safety included, N; with all that shares it where moments are
    /// limits.
    pub along_needed_n: f64,
    /// Torque about the axis that friction holds, N mm.
    pub twist_hold_nmm: Interval,
    /// Friction along the axis that is left after 1,000 h at rest, N, as the material is declared to relax.
    pub axial_hold_after_1000_h_n: Interval,
    /// Greatest strain on the way in or out.
    pub strain: f64,
    /// Permissible strain.
    pub strain_limit: f64,
    /// Strain that stays at rest.
    pub strain_at_rest: f64,
    /// Greatest opening of each lip, mm.
    pub opening_mm: f64,
    /// Height of the axis at rest over its place in the drawing, toward the mouth, over the range of friction, mm.
    pub seat_mm: Interval,
    /// Greatest deviation of the point that must be true with this barrel, mm: the seats in clip and mount, and what web,
    /// mount and clips give way under the load across.
    pub aim_mm: f64,
    /// False if mount or clips let go under that load; then it is the least deviation, of all the rest.
    pub aim_is_known: bool,
    /// Permissible deviation, mm; no limit when absent.
    pub aim_limit_mm: Option<f64>,
    /// True if the lips pull the barrel home by themselves at the greatest friction; otherwise it is pushed home.
    #[serde(rename = "snaps_home")]
    pub snaps: bool,
    /// Typical forces, and what the ranges of modulus and friction make of them.
    pub material: MaterialEffect,
    /// The middle 90 % of forces over the spreads of the process; absent where it could not be sampled.
    #[serde(rename = "middle_90_percent")]
    pub bands: Option<Bands>,
    /// Force over the height of the axis at the least and the greatest friction, both at the middle modulus.
    pub curves: [ForceCurves; 2],
    /// Least and greatest force over those of the curves, from the range of the modulus; the least counts its fall with the
    /// strain.
    pub curves_times: Interval,
    /// Margins of all limits that apply.
    pub margins: Vec<Margin>,
    /// Margins of the loads with their moments; they are among `margins` where they are limits.
    pub load_path: LoadPathMargins,
    /// Margin of the governing limit.
    pub margin: Margin,
}

/// How many times a part bears the load path at the weakest of its material: loads with their moments, long-term hold, and
/// order of letting go.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct LoadPathMargins {
    /// Loads that the mouth bears most of, safety included, with the load that takes the greatest share.
    pub mouth: Option<Margin>,
    /// How many times that load is held until the mouth lets go altogether. The margin counts from where peeling sets in:
    /// with a moment one end peels before the other lets go.
    pub mouth_lets_go: Option<f64>,
    /// Loads that friction along and round the axis bears most of, or the form of the body.
    pub friction: Option<Margin>,
    /// All loads without the safety factor after 1,000 h; absent where nothing is left on for long.
    pub after_1000_h: Option<Margin>,
    /// All loads without the safety factor on a vee that has held its largest tool for 1,000 h, whether it is left on or not;
    /// told of the least diameter of its tools, and no limit.
    pub after_largest: Option<Margin>,
    /// Pull that would take the mount off, over that which takes a tool out and the factor between them; absent for the mount
    /// itself, and where a hand holds the holder.
    pub letting_go: Option<Margin>,
}

impl LoadPathMargins {
    /// The margins that are limits.
    pub fn all(&self) -> impl Iterator<Item = Margin> {
        [self.mouth, self.friction, self.after_1000_h, self.letting_go].into_iter().flatten()
    }

    /// The least of each.
    #[must_use]
    pub fn least(self, other: Self) -> Self {
        let least = |a: Option<Margin>, b: Option<Margin>| match (a, b) {
            (Some(a), Some(b)) => Some(a.least(b)),
            (a, b) => a.or(b),
        };
        Self {
            mouth: least(self.mouth, other.mouth),
            mouth_lets_go: [self.mouth_lets_go, other.mouth_lets_go].into_iter().flatten().reduce(f64::min),
            friction: least(self.friction, other.friction),
            after_1000_h: least(self.after_1000_h, other.after_1000_h),
            after_largest: least(self.after_largest, other.after_largest),
            letting_go: least(self.letting_go, other.letting_go),
        }
    }
}

/// The curves of one run, N for the whole length.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[non_exhaustive]
pub struct ForceCurves {
    /// Friction of the run.
    pub friction: f64,
    /// The way in: height of the axis (mm) and push (N), from the first touch to the seat.
    #[serde(rename = "axis_mm_and_push_n")]
    pub insertion: Vec<[f64; 2]>,
    /// The way out: height of the axis (mm) and pull (N).
    #[serde(rename = "axis_mm_and_pull_n")]
    pub removal: Vec<[f64; 2]>,
}

impl FitFigures {
    /// The figures of several clips that share a tool, from those of one of them.
    pub(crate) fn for_clips(self, clips: f64) -> Self {
        let curves = self.curves.map(|mut curves| {
            for point in curves.insertion.iter_mut().chain(&mut curves.removal) {
                point[1] *= clips;
            }
            curves
        });
        Self {
            snap_in_n: self.snap_in_n.scaled(clips),
            snap_in_limit_n: clips * self.snap_in_limit_n,
            pull_out_n: self.pull_out_n.scaled(clips),
            across_needed_n: clips * self.across_needed_n,
            grip_n: self.grip_n.scaled(clips),
            axial_hold_n: self.axial_hold_n.scaled(clips),
            along_needed_n: clips * self.along_needed_n,
            twist_hold_nmm: self.twist_hold_nmm.scaled(clips),
            axial_hold_after_1000_h_n: self.axial_hold_after_1000_h_n.scaled(clips),
            bands: self.bands.map(|bands| Bands {
                snap_in_n: bands.snap_in_n.scaled(clips),
                pull_out_n: bands.pull_out_n.scaled(clips),
                axial_n: bands.axial_n.scaled(clips),
            }),
            material: self.material.for_clips(clips),
            curves,
            ..self
        }
    }
}
