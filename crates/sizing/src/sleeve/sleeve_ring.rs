//! One sleeve: a split ring that brings small barrels up to a clip's size.
//!
//! It is slid over the barrel's end and stays there. Its bore is smaller than the barrel, so it grips by itself. Its
//! collars keep it in the clip. The clip meets it as a barrel of its own outside. The squeeze of the clip presses back
//! and ends of the ring onto the barrel and never lifts them. This addition to the grip is not counted.
//!
//! The ring is sized by `mechanics::solve_split_ring`: half a ring clamped in its plane of symmetry, without friction
//! round the barrel; the barrel moves until back and ends press alike. Limitation: sleeves have no coupons of their
//! own.

use gripwright_input::Barrel;
use gripwright_mechanics::{Interval, PlaneStiffness, RingState, WidthRegime, secant_modulus_ratio, solve_split_ring};
use gripwright_section::SplitRing;

use crate::{
    limits::design_limits::{COVERAGE, DesignLimits, ProcessSpreads, ToolDemand},
    limits::margin::{Limit, Margin},
    model::clip_context::ClipContext,
    model::response::ForceScale,
    rng::SplitMix64,
    rounding::{ceil_to, round_to, told_apart},
};

/// Height of the collars, mm: more than lips open by chance, less than the thinnest floor of a clip and its pad.
/// Common practice, no source.
pub(crate) const COLLAR_MM: f64 = 0.8;
/// Length of a collar's rim, mm. Common practice, no source.
pub(crate) const RIM_MM: f64 = 1.2;
/// Play of the clip between the collars, both ends together, mm. Common practice, no source.
const PLAY_MM: f64 = 0.4;
/// Round of the slit's edges at the bore, mm: half a common nozzle and a little more.
const EDGE_MM: f64 = 0.3;
/// Greatest chamfer of the ends, mm: it leaves part of the edges' round.
const GREATEST_CHAMFER_MM: f64 = 0.2;
/// Half the angle that a sleeve embraces: the slit is wide enough to print open, and far narrower than any mouth.
/// Common practice, no source.
const HALF_WRAP_RAD: f64 = 165.0 * std::f64::consts::PI / 180.0;
/// Thickest wall over the radius of the bore: up to there bending of a curved bar is within 2 % of the handbooks' exact
/// stress (centreline radius over half the wall at least 3, Machinery's Handbook, table of curved beams).
const THICKEST_WALL_OVER_BORE: f64 = 1.0;
/// Friction of a plastic on itself over its friction on a common barrel: the guides say 1.0 to 2.0, by plastic (Bayer
/// guide, table 3, from memory).
const FRICTION_ON_ITSELF: f64 = 1.5;
/// Samples for the odds of one tool.
pub(crate) const DRAWS: u32 = 2000;
/// Step of walls, mm.
const WALL_STEP_MM: f64 = 0.05;

/// A sleeve with its tools, its loads and its margin.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SleeveDesign {
    pub(crate) ring: SplitRing,
    /// Length between the collars' cones, mm.
    pub(crate) between_mm: f64,
    /// The tools as they are, without the sleeve.
    pub(crate) tools: Vec<ToolDemand>,
    /// The same in the sleeve, as the clip meets them.
    pub(crate) barrels: Vec<ToolDemand>,
    /// Push to slide it on, N: least tool at the least friction and modulus, greatest at the greatest.
    pub(crate) slide_on_n: Interval,
    /// Greatest strain.
    pub(crate) strain: f64,
    /// Greatest gap between sleeve and barrel, mm.
    pub(crate) stands_off_mm: f64,
    /// Width of the slit as drawn, and on the greatest barrel in the narrowest bore, mm.
    pub(crate) slit_mm: [f64; 2],
    /// Greatest offset of the barrel's axis from the middle of the outside, mm.
    pub(crate) off_axis_mm: f64,
    pub(crate) margin: Margin,
}

/// Reason why a sleeve does not serve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum SleeveRejection {
    /// The difference to the clip's size is too small for a wall.
    Thin { wall_mm: f64, least_mm: f64 },
    /// The difference is so large that the ring does not bend as a beam.
    Thick { wall_mm: f64, greatest_mm: f64 },
    /// The tools of one sleeve must all meet the clip at its own size.
    Apart,
    /// A limit that no bore keeps.
    Limit { wall_mm: f64, margin: Margin },
    /// A sleeve's bore is round.
    Hexagon,
    /// No ring can be drawn or solved.
    Shape,
}

impl SleeveRejection {
    /// The reason as part of a sentence.
    pub(crate) fn message(&self, limits: &DesignLimits) -> String {
        match *self {
            Self::Thin { wall_mm, least_mm } => {
                format!("its wall would be {wall_mm:.2} mm where at least {least_mm:.2} mm are needed")
            }
            Self::Thick { wall_mm, greatest_mm } => {
                format!("its wall would be {wall_mm:.2} mm where {greatest_mm:.2} mm still bend as a ring")
            }
            Self::Apart => "they are too different for one".to_owned(),
            Self::Limit { wall_mm, margin } => {
                let share = margin.ratio;
                let what = match margin.limit {
                    Limit::SnapOn => {
                        let [push, most] = told_apart(limits.snap_on_n / share, limits.snap_on_n, 0);
                        format!("sliding it on takes {push} N where {most} N are allowed")
                    }
                    Limit::Strain => {
                        let most = 100.0 * limits.strain_limit;
                        let [strain, most] = told_apart(most / share, most, 2);
                        format!("it strains to {strain} % where {most} % is permissible")
                    }
                    _ => format!("it holds {:.0} % of what is needed along the axis", 100.0 * share),
                };
                format!("with a wall of {wall_mm:.2} mm {what}")
            }
            Self::Hexagon => "a sleeve has a round bore, and the tool is a hexagon".to_owned(),
            Self::Shape => "no ring can be drawn".to_owned(),
        }
    }
}

/// Clip that a sleeve is made for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SleeveSeat {
    /// Least and greatest barrel that the clip is meant for, mm.
    pub(crate) clip_mm: Interval,
    /// Length of the clip, mm.
    pub(crate) length_mm: f64,
}

/// Limits of a clip that grips sleeves: the plastic may rub more on itself than on barrels, and sleeves take their part
/// of the aim.
pub(crate) fn sleeve_friction_limits(limits: &DesignLimits, off_axis_mm: f64) -> DesignLimits {
    let mut out = limits.clone();
    out.elastic.friction.greatest *= FRICTION_ON_ITSELF;
    out.aim_within_mm = limits.aim_within_mm.map(|within| (within - off_axis_mm).max(0.0));
    out
}

/// Chamfer of a sleeve's ends, mm.
pub(crate) fn chamfer_mm(limits: &DesignLimits) -> f64 {
    limits.finish.chamfer_mm.min(GREATEST_CHAMFER_MM)
}

/// Greatest offset of a barrel's axis from the middle of a sleeve's outside, mm: walls are only as true as the process.
pub(crate) fn off_axis_mm(spreads: &ProcessSpreads) -> f64 {
    COVERAGE * spreads.wall_mm
}

/// Designs one sleeve for all of some tools in a clip.
pub(crate) fn design_sleeve(
    tools: &[ToolDemand],
    seat: SleeveSeat,
    spreads: &ProcessSpreads,
    context: ClipContext<'_>,
) -> Result<SleeveDesign, SleeveRejection> {
    if tools.iter().any(|t| t.least().is_hexagon()) {
        return Err(SleeveRejection::Hexagon);
    }
    let least = tools.iter().map(|t| t.least_mm).fold(f64::INFINITY, f64::min);
    let greatest = tools.iter().map(|t| t.greatest_mm).fold(0.0, f64::max);
    let along_n = tools.iter().map(|t| t.along_n).fold(0.0, f64::max);
    // In the middle of the clip's range.
    let step = 0.5 * (seat.clip_mm.least + seat.clip_mm.greatest - least - greatest);
    let wall_mm = round_to(0.5 * step, WALL_STEP_MM);
    let least_mm = ceil_to(context.limits.least_wall_mm + EDGE_MM, WALL_STEP_MM);
    if wall_mm < least_mm {
        return Err(SleeveRejection::Thin { wall_mm, least_mm });
    }
    let greatest_mm = THICKEST_WALL_OVER_BORE * 0.5 * least;
    if wall_mm > greatest_mm {
        return Err(SleeveRejection::Thick { wall_mm, greatest_mm });
    }
    // Barrels that differ by more than the clip's own range would each need another wall.
    if greatest - least > (seat.clip_mm.greatest - seat.clip_mm.least).max(APART_OVER_BARREL * least) {
        return Err(SleeveRejection::Apart);
    }
    let search = SleeveSearch { least, greatest, along_n, wall_mm, length_mm: seat.length_mm, context, spreads };
    search.best(tools)
}

/// Difference of barrels, over their size, up to which one sleeve is tried whatever the clip's range.
const APART_OVER_BARREL: f64 = 0.04;

/// Search for the bore of a sleeve.
struct SleeveSearch<'a> {
    /// Least barrel, mm.
    least: f64,
    /// Greatest barrel, mm.
    greatest: f64,
    along_n: f64,
    wall_mm: f64,
    /// Of the clip.
    length_mm: f64,
    context: ClipContext<'a>,
    spreads: &'a ProcessSpreads,
}

/// Grip and strain of a sleeve on one barrel, at unit modulus, summed over its length.
#[derive(Clone, Copy, Debug)]
struct RingForces {
    grip: f64,
    strain: f64,
    stands_off_mm: f64,
    slit_opens_mm: f64,
}

impl SleeveSearch<'_> {
    /// The bore that balances hold against push and strain.
    fn best(&self, tools: &[ToolDemand]) -> Result<SleeveDesign, SleeveRejection> {
        let bore_spread = COVERAGE * self.spreads.seat_mm;
        // Grip and strain grow with the interference, nearly in proportion: one run gives the rate.
        let trial = 0.01 * self.least + bore_spread;
        let (bore, middle) = (self.least - trial, self.forces_on(self.least - trial, self.wall_mm, self.least, true));
        let middle = middle.ok_or(SleeveRejection::Shape)?;
        let (per_hold, per_load) = (self.hold(&middle, bore) / trial, self.load(&middle, bore).ratio * trial);
        let width = self.greatest - self.least + 2.0 * bore_spread;
        // h x = p / (x + w), the two margins for a least interference x (on diameter).
        let least = 0.5 * ((width * width + 4.0 * per_load / per_hold).sqrt() - width);
        let bore = round_to(self.least - bore_spread - least, 0.01);
        if bore <= 2.0 * EDGE_MM {
            return Err(SleeveRejection::Shape);
        }
        let found = self.with_bore(bore, tools).ok_or(SleeveRejection::Shape)?;
        if found.margin.is_kept() {
            Ok(found)
        } else {
            Err(SleeveRejection::Limit { wall_mm: self.wall_mm, margin: found.margin })
        }
    }

    /// Margin of the hold of a sleeve at the weak end of the material.
    fn hold(&self, found: &RingForces, bore_mm: f64) -> f64 {
        let scale = self.scale(bore_mm);
        let soft = scale.plane_modulus_mpa.least * secant_modulus_ratio(found.strain / scale.yield_strain);
        self.context.limits.elastic.friction.least * found.grip * soft / self.along_n
    }

    /// Push that slides a sleeve on at the strong end of the material, N.
    fn push_n(&self, found: &RingForces, bore_mm: f64) -> f64 {
        self.context.limits.elastic.friction.greatest * found.grip * self.scale(bore_mm).plane_modulus_mpa.greatest
    }

    /// Margin of push and strain there.
    fn load(&self, found: &RingForces, bore_mm: f64) -> Margin {
        let push = Margin::new(self.context.limits.snap_on_n / self.push_n(found, bore_mm), Limit::SnapOn);
        Margin::new(self.context.limits.strain_limit / found.strain, Limit::Strain).least(push)
    }

    fn with_bore(&self, bore_mm: f64, tools: &[ToolDemand]) -> Option<SleeveDesign> {
        let (bore, wall) = (COVERAGE * self.spreads.seat_mm, COVERAGE * self.spreads.wall_mm);
        // The least barrel in the widest and weakest sleeve, and the greatest in the narrowest and strongest.
        let loose = self.forces_on(bore_mm + bore, self.wall_mm - wall, self.least, false)?;
        let tight = self.forces_on(bore_mm - bore, self.wall_mm + wall, self.greatest, true)?;
        let hold = self.hold(&loose, bore_mm + bore);
        let ring = split_ring(bore_mm, self.wall_mm);
        Some(SleeveDesign {
            ring,
            between_mm: self.length_mm + PLAY_MM,
            tools: tools.to_vec(),
            barrels: tools.iter().map(|t| self.as_barrel(t, tight.stands_off_mm)).collect(),
            slide_on_n: Interval { least: hold * self.along_n, greatest: self.push_n(&tight, bore_mm - bore) },
            strain: tight.strain,
            stands_off_mm: tight.stands_off_mm,
            slit_mm: [ring.slit_mm(), ring.slit_mm() + tight.slit_opens_mm],
            off_axis_mm: off_axis_mm(self.spreads),
            margin: self.load(&tight, bore_mm - bore).least(Margin::new(hold, Limit::HoldAlong)),
        })
    }

    /// A tool in its sleeve as the clip meets it. Along the axis the collars hold the sleeve, so that nothing is asked
    /// of the clip's friction.
    fn as_barrel(&self, tool: &ToolDemand, stands_off_mm: f64) -> ToolDemand {
        let walls = 2.0 * self.wall_mm;
        let spread = 2.0 * COVERAGE * self.spreads.wall_mm;
        ToolDemand {
            least_mm: tool.least_mm + walls - spread,
            greatest_mm: tool.greatest_mm + walls + spread + 2.0 * stands_off_mm,
            along_n: 0.0,
            ..*tool
        }
    }

    fn scale(&self, bore_mm: f64) -> ForceScale {
        let regime = WidthRegime::from_dimensions(self.length_mm, 0.5 * bore_mm, self.wall_mm);
        ForceScale::new(self.context.limits, regime, self.length_mm, 1.0)
    }

    /// The whole sleeve on a barrel; its cones count as body, or as rims where that is the greater load.
    fn forces_on(&self, bore_mm: f64, wall_mm: f64, barrel_mm: f64, cones_as_rims: bool) -> Option<RingForces> {
        let ring = split_ring(bore_mm, wall_mm);
        ring_forces(&ring, self.length_mm + PLAY_MM, barrel_mm, self.context, cones_as_rims)
    }
}

fn split_ring(bore_mm: f64, wall_mm: f64) -> SplitRing {
    SplitRing { bore_radius_mm: 0.5 * bore_mm, wall_mm, half_wrap_rad: HALF_WRAP_RAD, edge_mm: EDGE_MM }
}

/// Forces of a sleeve with its body's ring and a length between the collars' cones, mm, on a barrel.
fn ring_forces(
    ring: &SplitRing,
    between_mm: f64,
    barrel_mm: f64,
    context: ClipContext<'_>,
    cones_as_rims: bool,
) -> Option<RingForces> {
    let poisson = context.limits.elastic.poisson;
    let stiffness = PlaneStiffness { plane_modulus_mpa: 1.0, poisson };
    let solved = |wall_mm: f64| -> Option<RingState> {
        let ring = SplitRing { wall_mm, ..*ring };
        let numbers = [ring.bore_radius_mm, wall_mm, barrel_mm, poisson];
        context.cache.ring_state(numbers, || solve_split_ring(&ring, 0.5 * barrel_mm, stiffness))
    };
    let wall_mm = ring.wall_mm;
    let (body, rim) = rayon::join(|| solved(wall_mm), || solved(wall_mm + COLLAR_MM));
    let (body, rim) = (body?, rim?);
    let cones = 2.0 * COLLAR_MM;
    let (as_body, as_rim) = if cones_as_rims { (0.0, cones) } else { (cones, 0.0) };
    Some(RingForces {
        grip: (between_mm + as_body) * body.grip_n_per_mm + (2.0 * RIM_MM + as_rim) * rim.grip_n_per_mm,
        strain: body.strain.max(rim.strain),
        stands_off_mm: body.stands_off_mm,
        slit_opens_mm: body.slit_opens_mm,
    })
}

/// Friction along one sleeve and grip on its barrel (N), over modulus and friction, as drawn; and its strain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SleeveGrip {
    pub(crate) axial_n: Interval,
    pub(crate) grip_n: Interval,
    pub(crate) strain: f64,
}

impl SleeveDesign {
    /// Grip of the sleeve as drawn on a barrel. `None` when the ring cannot be solved.
    pub(crate) fn grip_on(&self, barrel_mm: f64, context: ClipContext<'_>) -> Option<SleeveGrip> {
        let limits = context.limits;
        let found = ring_forces(&self.ring, self.between_mm, barrel_mm, context, false)?;
        let regime = WidthRegime::from_dimensions(self.between_mm, self.ring.bore_radius_mm, self.ring.wall_mm);
        let scale = ForceScale::new(limits, regime, self.between_mm, 1.0);
        let soft = scale.plane_modulus_mpa.least * secant_modulus_ratio(found.strain / scale.yield_strain);
        let grip_n = Interval { least: found.grip * soft, greatest: found.grip * scale.plane_modulus_mpa.greatest };
        let friction = limits.elastic.friction;
        let axial_n = Interval { least: grip_n.least * friction.least, greatest: grip_n.greatest * friction.greatest };
        Some(SleeveGrip { axial_n, grip_n, strain: found.strain })
    }

    /// Returns the probabilities that the sleeve holds a tool along its axis, that it goes on, and both. They are taken
    /// over the spreads of bore, wall and barrel (a range and its standard uncertainty, mm).
    pub(crate) fn odds(
        &self,
        along_n: f64,
        barrel: &Barrel,
        spreads: &ProcessSpreads,
        context: ClipContext<'_>,
        seed: u64,
    ) -> Option<[f64; 3]> {
        let bore = 2.0 * self.ring.bore_radius_mm;
        let barrel_mm = Interval { least: barrel.least_mm, greatest: barrel.greatest_mm };
        let middle = barrel_mm.middle();
        let limits = context.limits;
        let at = self.grip_on(middle, context)?;
        let interference = middle - bore;
        if interference <= 0.0 {
            return None;
        }
        let mut rng = SplitMix64::seeded(seed);
        let (mut holds, mut goes_on, mut both) = (0_u32, 0_u32, 0_u32);
        for _ in 0..DRAWS {
            let diameter_mm = barrel_mm.at_share(rng.unit()) + barrel.spread_mm * rng.normal();
            let tight = (diameter_mm - bore - spreads.seat_mm * rng.normal()).max(0.0) / interference;
            // A ring's stiffness goes with the third power of its wall, its strain with the first.
            let wall = (1.0 + spreads.wall_mm * rng.normal() / self.ring.wall_mm).max(0.0);
            let force = |range: Interval, share: f64| tight * wall.powi(3) * range.at_share(share);
            // Modulus and friction: shares of their ranges.
            let (modulus, friction) = (rng.unit(), rng.unit());
            let slides = limits.elastic.friction.at_share(friction) * force(at.grip_n, modulus);
            let held = slides >= along_n;
            let on = slides <= limits.snap_on_n && tight * wall * at.strain <= limits.strain_limit;
            holds += u32::from(held);
            goes_on += u32::from(on);
            both += u32::from(held && on);
        }
        Some([holds, goes_on, both].map(|count| f64::from(count) / f64::from(DRAWS)))
    }
}
