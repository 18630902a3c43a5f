//! An arm as the formulae see it: sections along its centreline, from the clamp to the lip.

use gripwright_section::{Curve, Point};

/// Greatest turn of the centreline between two sections that are integrated together, rad (about 10°).
const STEP_RAD: f64 = 0.18;
/// Pieces into which a straight stretch is divided, so that a wall that tapers along it is followed.
const LINE_PIECES: usize = 6;

/// Three-point Gauss rule on (0, 1): places and weights. Exact to the fifth power.
const GAUSS: [(f64, f64); 3] =
    [(0.112_701_665_379_258_3, 5.0 / 18.0), (0.5, 4.0 / 9.0), (0.887_298_334_620_741_7, 5.0 / 18.0)];

/// Why a centreline makes no arm.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ArmError {
    /// A wall that is missing or thicker than its bend allows.
    #[error("a wall of {wall_mm} mm cannot be bent: it must be positive, and below twice the radius of {radius_mm} mm")]
    Wall {
        /// Thickness there, mm.
        wall_mm: f64,
        /// Radius of the centreline there, mm.
        radius_mm: f64,
    },
    /// No centreline at all.
    #[error("the arm has no length between its clamp and its lip")]
    Empty,
}

/// One section of an arm, with the stretch of centreline that it stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// Middle of the wall, mm.
    pub point: Point,
    /// Unit vector toward the lip.
    pub tangent: Point,
    /// Curvature of the centreline, 1/mm, positive when it turns left on the way to the lip.
    pub curvature_per_mm: f64,
    /// Thickness, mm.
    pub wall_mm: f64,
    /// Length of centreline that the section stands for, mm.
    pub share_mm: f64,
    /// Length of centreline from the clamp to here, mm.
    pub run_mm: f64,
}

/// The right-hand arm of a clip. It is clamped at its first end; loads come on its tip.
#[derive(Clone, Debug, PartialEq)]
pub struct Arm {
    stations: Vec<Station>,
    tip: Point,
    lip_radius_mm: f64,
}

impl Arm {
    /// An arm along a centreline, its wall (mm) given at each fraction of the length. The lip is half the last wall.
    pub fn along(centreline: &[Curve], wall: impl Fn(f64) -> f64) -> Result<Self, ArmError> {
        let total: f64 = centreline.iter().map(Curve::length).sum();
        let mut run = 0.0;
        let mut stations = Vec::new();
        for curve in centreline {
            let length = curve.length();
            push_stations(&mut stations, curve, run, |t| (wall((run + t * length) / total), t * length))?;
            run += length;
        }
        let tip = centreline.last().map(Curve::end).ok_or(ArmError::Empty)?;
        Self::checked(stations, tip, 0.5 * wall(1.0))
    }

    /// An arm whose inner face runs along `inner_face` (cavity on the left) with a wall (mm) at each point of it,
    /// given by the index of the curve and the fraction of its length. The lip is half the last wall.
    pub fn outside(inner_face: &[Curve], wall: impl Fn(usize, f64) -> f64) -> Result<Self, ArmError> {
        let mut run = 0.0;
        let mut stations = Vec::new();
        for (index, curve) in inner_face.iter().enumerate() {
            let before = run;
            for (from, share) in pieces(curve) {
                for (place, weight) in GAUSS {
                    let t = from + place * share;
                    let wall_mm = wall(index, t);
                    let inner = curvature(curve);
                    let stretch = 1.0 + 0.5 * wall_mm * inner;
                    let tangent = curve.tangent(t);
                    let share_mm = curve.length() * share * weight * stretch;
                    stations.push(Station {
                        point: curve.at(t) - tangent.turned_left() * (0.5 * wall_mm),
                        tangent,
                        curvature_per_mm: inner / stretch,
                        wall_mm,
                        share_mm,
                        run_mm: run + 0.5 * share_mm,
                    });
                    run += share_mm;
                }
            }
            debug_assert!(run >= before);
        }
        let last = inner_face.len().checked_sub(1).ok_or(ArmError::Empty)?;
        let end = inner_face[last];
        let lip_radius_mm = 0.5 * wall(last, 1.0);
        let tip = end.end() - end.tangent(1.0).turned_left() * lip_radius_mm;
        Self::checked(stations, tip, lip_radius_mm)
    }

    fn checked(stations: Vec<Station>, tip: Point, lip_radius_mm: f64) -> Result<Self, ArmError> {
        if stations.is_empty() {
            return Err(ArmError::Empty);
        }
        for station in &stations {
            let bend = 0.5 * station.wall_mm * station.curvature_per_mm.abs();
            // Not-a-number fails this test as well.
            if !(station.wall_mm > 0.0 && bend < 1.0) {
                let radius_mm = 1.0 / station.curvature_per_mm.abs();
                return Err(ArmError::Wall { wall_mm: station.wall_mm, radius_mm });
            }
        }
        Ok(Self { stations, tip, lip_radius_mm })
    }

    /// The same arm with a lip of another radius (mm) about `centre`, rigid and fixed to the arm's end.
    #[must_use]
    pub fn with_lip(mut self, centre: Point, radius_mm: f64) -> Self {
        self.tip = centre;
        self.lip_radius_mm = radius_mm;
        self
    }

    /// Sections from the clamp to the lip.
    pub fn stations(&self) -> &[Station] {
        &self.stations
    }

    /// Centre of the lip round, mm.
    pub fn tip(&self) -> Point {
        self.tip
    }

    /// Radius of the lip round, mm.
    pub fn lip_radius_mm(&self) -> f64 {
        self.lip_radius_mm
    }
}

/// How much of the wall the clamp reaches into the pad in effect, along the centreline: the wall between gives way.
/// Source: own finite-element study of round clips whose outer face is held by a rigid pad (t/R 0.11 to 0.26).
pub const CLAMP_INTO_PAD: f64 = 0.40;
/// How far from the pad's edge, over the wall, the strain of the beam is that of the solid. Source: the same study.
pub const STRAIN_FROM_EDGE: f64 = 0.35;

/// Where a round arm is clamped in effect, as an angle from the middle of its floor.
///
/// The outer face is held by the pad up to `pad_rad`; the clamp lies [`CLAMP_INTO_PAD`] t/R further in.
pub fn effective_clamp_rad(pad_rad: f64, wall_over_radius: f64) -> f64 {
    (pad_rad - CLAMP_INTO_PAD * wall_over_radius).max(0.0)
}

/// Where the strain of a round arm is greatest, as an angle from the middle of its floor: [`STRAIN_FROM_EDGE`] t/R
/// beyond the pad.
pub fn strain_site_rad(pad_rad: f64, wall_over_radius: f64) -> f64 {
    pad_rad + STRAIN_FROM_EDGE * wall_over_radius
}

/// Curvature of a curve, 1/mm, positive when it turns left.
pub(crate) fn curvature(curve: &Curve) -> f64 {
    match *curve {
        Curve::Line { .. } => 0.0,
        Curve::Arc { radius, sweep, .. } => sweep.signum() / radius,
    }
}

/// Starts and lengths of the pieces of a curve, as fractions of its length.
fn pieces(curve: &Curve) -> impl Iterator<Item = (f64, f64)> + use<> {
    let count = match *curve {
        Curve::Line { .. } => LINE_PIECES,
        Curve::Arc { sweep, .. } => {
            // An arc has less than a few turns; a sweep that is not finite gives one piece and fails the wall check.
            let turns = (sweep.abs() / STEP_RAD).ceil().clamp(1.0, 100.0);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 1..=100 above")]
            let count = turns as usize;
            count
        }
    };
    (0..count).map(move |i| (i as f64 / count as f64, 1.0 / count as f64))
}

fn push_stations(
    stations: &mut Vec<Station>,
    curve: &Curve,
    run: f64,
    wall_and_run: impl Fn(f64) -> (f64, f64),
) -> Result<(), ArmError> {
    if curve.length().partial_cmp(&0.0) != Some(std::cmp::Ordering::Greater) {
        return Err(ArmError::Empty);
    }
    for (from, share) in pieces(curve) {
        for (place, weight) in GAUSS {
            let t = from + place * share;
            let (wall_mm, ahead) = wall_and_run(t);
            stations.push(Station {
                point: curve.at(t),
                tangent: curve.tangent(t),
                curvature_per_mm: curvature(curve),
                wall_mm,
                share_mm: curve.length() * share * weight,
                run_mm: run + ahead,
            });
        }
    }
    Ok(())
}
