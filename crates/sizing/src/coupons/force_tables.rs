//! Force tables: coupons and finished clips solved over interference and friction, for the fit model of trials.

use gripwright_input::{Body, Layout, MaterialChoice, Spec, Tool};
use gripwright_mechanics::{Interval, RigidSection, STANDARD_GRAVITY_M_PER_S2};
use rayon::prelude::*;

use crate::{
    design::Design,
    design::coupon::{CouponShape, MOUNT_LETTER},
    design::sizes::Size,
    limits::barrel_section::BarrelSection,
    limits::design_limits::{DesignLimits, ToolDemand},
    limits::station_share::{clip_count, share_among_clips},
    model::clip_model::ClipModel,
    model::mount_model::MountModel,
    model::response::{ForceScale, unit_run},
    model::unit_response::UnitResponse,
    shape::body_section::BodySection,
    shape::clip_geometry::ClipGeometry,
    shape::mount_shape::MountShape,
};

/// Interferences of a table below those of its tools (the clearances) and from there on.
const LOOSE_PLACES: usize = 3;
const TIGHT_PLACES: usize = 9;

/// Range of the tables that a fit model needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForceTableRange {
    /// Greatest deviation of the seat's diameter from the design's, either way, mm.
    pub seat_mm: f64,
    /// Frictions to solve at, ascending.
    pub frictions: [f64; 3],
}

/// One clip or mount of some length and material, solved over interference and friction.
#[derive(Clone, Debug, PartialEq)]
pub struct ForceTable {
    /// Interferences, ascending, mm: of the barrel's radius over the seat's.
    pub interferences_mm: Vec<f64>,
    /// Frictions, ascending.
    pub frictions: [f64; 3],
    /// A row for each friction, a run for each interference; none where the barrel does not go in.
    pub runs: Vec<Vec<Option<UnitResponse>>>,
    /// Force over a run's figure at the geometric mean of the range of the modulus, N.
    pub force_n: f64,
    /// Strain at which the material yields.
    pub yield_strain: f64,
    /// Strain over a run's.
    pub strain_factor: f64,
    /// Permissible strain.
    pub strain_limit: f64,
    /// Range of the modulus over its geometric mean.
    pub modulus_share: Interval,
    /// Range of the friction.
    pub friction: Interval,
}

/// A tool that coupons of its size are tried with, or the body that tries the mount's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CouponTarget {
    /// Index in the spec; absent for the body.
    pub tool: Option<usize>,
    /// Interference of its middle with the design's seat, mm.
    pub interference_mm: f64,
    /// Half the range of its diameter, mm.
    pub half_range_mm: f64,
    /// Standard deviation of its measured diameter, mm.
    pub spread_mm: f64,
    /// Hold across the axis that is asked of one clip, N.
    pub across_n: f64,
    /// Hold along the axis that is asked of one clip, N.
    pub along_n: f64,
    /// Its weight, as far as one clip carries it, N.
    pub weight_n: f64,
}

/// Force tables of one size, or of the mount: its coupon and its finished part.
#[derive(Clone, Debug, PartialEq)]
pub struct CouponForces {
    /// Letter of the size; M for the mount.
    pub letter: char,
    /// Diameter of the design's seat (twice the clearance of a mount), mm.
    pub seat_mm: f64,
    /// True if `seat_mm` is a diameter that can be measured: neither a vee's nor a mount's is.
    pub round_seat: bool,
    /// Tools, or the body, that try it.
    pub tools: Vec<CouponTarget>,
    /// Greatest push on one clip, N.
    pub snap_on_n: f64,
    /// Length of the coupon over that of the finished clip: loads that are asked of the clip are asked of the coupon in
    /// this share.
    pub coupon_share: f64,
    /// The coupon in the printed material.
    pub coupon: ForceTable,
    /// The finished clip in its own.
    pub part: ForceTable,
}

/// Reason why there are no forces: the contact solver finds no way in for a coupon at some friction.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error(
    "at some friction from {:.2} to {:.2} nothing goes into the coupons of {letter} as drawn",
    friction.least, friction.greatest
)]
#[non_exhaustive]
pub struct UnrunnableCoupon {
    /// Letter of the size, or M.
    pub letter: char,
    /// Least and greatest friction that were solved.
    pub friction: Interval,
}

/// Solves coupons and finished clips of every size and of the mount of a design.
///
/// The error names one that cannot be drawn, or into whose coupon nothing goes as it is drawn.
pub fn coupon_forces(
    spec: &Spec,
    design: &Design,
    range: &ForceTableRange,
) -> Result<Vec<CouponForces>, UnrunnableCoupon> {
    // Coupons are tried at 23 °C, and what they teach holds there.
    let spec = &spec.at_reference_temperature();
    let material = MaterialChoice { print: spec.coupon_material().clone(), cast: None };
    let printed = Spec { material, ..spec.clone() };
    let solver = ForceTableSolver {
        layout: &spec.layout,
        tools: &spec.tools,
        body: &spec.body,
        slice_mm: spec.coupons.length_mm,
        // Without draft a slice is the clip, only shorter.
        slice_is_part: spec.material.cast.is_none() && spec.finish.draft_rad <= 0.0,
        demands: ToolDemand::all(spec),
        printed: DesignLimits::from_spec(&printed),
        finished: DesignLimits::from_spec(spec),
        range: *range,
    };
    let [least, _, greatest] = range.frictions;
    let unrunnable = |letter: char| UnrunnableCoupon { letter, friction: Interval { least, greatest } };
    let mut out = Vec::new();
    for size in &design.sizes {
        out.push(solver.clip(design, size).ok_or(unrunnable(size.letter))?);
    }
    out.push(solver.mount(design).ok_or(unrunnable(MOUNT_LETTER))?);
    Ok(out)
}

/// Input of the tables: family, body, and limits of printed and finished parts.
struct ForceTableSolver<'a> {
    layout: &'a Layout,
    tools: &'a [Tool],
    body: &'a Body,
    /// Length of a coupon, mm.
    slice_mm: f64,
    /// True if a coupon has the forces of its clip in the ratio of their lengths.
    slice_is_part: bool,
    demands: Vec<ToolDemand>,
    /// Limits of the printed part.
    printed: DesignLimits,
    /// Limits of the finished part.
    finished: DesignLimits,
    range: ForceTableRange,
}

impl ForceTableSolver<'_> {
    fn clip(&self, design: &Design, size: &Size) -> Option<CouponForces> {
        let (limits, demands) = share_among_clips(self.layout, self.tools, &self.finished, &self.demands);
        let seat_mm = 2.0 * size.seat_radius_mm;
        let tools: Vec<CouponTarget> = size
            .tools
            .iter()
            .filter_map(|index| Some((self.tools.get(*index)?, demands.get(*index)?)))
            .map(|(tool, demand)| {
                let barrel = tool.barrel;
                // A hexagon is tried flat down, where it does what a round barrel over its corners does.
                let width = |size_mm: f64| BarrelSection { size_mm, ..demand.least() }.widest_mm();
                let [least_mm, greatest_mm] = [width(barrel.least_mm), width(barrel.greatest_mm)];
                CouponTarget {
                    tool: Some(demand.index),
                    interference_mm: 0.25 * (least_mm + greatest_mm) - size.seat_radius_mm,
                    half_range_mm: 0.5 * (greatest_mm - least_mm),
                    spread_mm: demand.least().widest_per_size() * barrel.spread_mm,
                    across_n: demand.across_n,
                    along_n: demand.along_n,
                    weight_n: tool.mass_kg * STANDARD_GRAVITY_M_PER_S2 / clip_count(self.layout),
                }
            })
            .collect();
        // A coupon that feels like a cast part has walls of its own.
        let slice = size.clip.with_walls(coupon_walls_mm(design, size.letter).unwrap_or(walls_mm(&size.clip)));
        let solve = |limits: &DesignLimits, length_mm: f64, coupon: bool| {
            let form = if coupon { slice } else { size.clip };
            let drawn = ClipModel::from_geometry(&form, size.seat_radius_mm, length_mm, limits)?;
            let run = |i: f64, friction: f64| {
                let barrel = RigidSection::round(size.seat_radius_mm + i);
                UnitResponse::from_run(&unit_run(drawn.clip(), &barrel, friction, limits))
            };
            self.table(&tools, limits, drawn.scale(), run)
        };
        let forces = self.forces(Seat { letter: size.letter, seat_mm }, limits.snap_on_n, size.length_mm, solve)?;
        Some(CouponForces { tools: tools.clone(), round_seat: size.clip.vee().is_none(), ..forces })
    }

    fn mount(&self, design: &Design) -> Option<CouponForces> {
        let (body, mount) = (self.body, &design.mount);
        let body_section = BodySection::from_body(body).ok()?;
        let shape = MountShape {
            gap_mm: mount.mount.gap_mm,
            wall_mm: mount.mount.wall_mm,
            half_wrap_rad: mount.mount.half_wrap_rad,
        };
        let pad_half_width_mm = mount.mount.back.neck_half_width_mm();
        let most = |read: fn(&ToolDemand) -> f64| self.demands.iter().map(read).fold(0.0, f64::max);
        let heaviest = self.tools.iter().map(|t| t.mass_kg).fold(0.0, f64::max);
        let tools = vec![CouponTarget {
            tool: None,
            interference_mm: -shape.gap_mm,
            half_range_mm: 0.0,
            spread_mm: 2.0 * body.spread_mm,
            across_n: most(|d| d.across_n),
            along_n: most(|d| d.along_n),
            weight_n: heaviest * STANDARD_GRAVITY_M_PER_S2,
        }];
        let slice_wall_mm = coupon_walls_mm(design, MOUNT_LETTER).map_or(shape.wall_mm, |walls| walls[0]);
        let solve = |limits: &DesignLimits, length_mm: f64, coupon: bool| {
            let shape = if coupon { MountShape { wall_mm: slice_wall_mm, ..shape } } else { shape };
            let drawn = MountModel::new(&shape, &body_section, pad_half_width_mm, length_mm, limits)?;
            let run = |i: f64, friction: f64| {
                let body = drawn.body().clone().grown(i + shape.gap_mm);
                UnitResponse::from_run(&unit_run(drawn.clip(), &body, friction, limits))
            };
            self.table(&tools, limits, drawn.scale(), run)
        };
        let seat = Seat { letter: MOUNT_LETTER, seat_mm: 2.0 * shape.gap_mm };
        let forces = self.forces(seat, self.finished.snap_on_n, mount.length_mm, solve)?;
        Some(CouponForces { tools: tools.clone(), ..forces })
    }

    fn forces(
        &self,
        seat: Seat,
        snap_on_n: f64,
        length_mm: f64,
        solve: impl Fn(&DesignLimits, f64, bool) -> Option<ForceTable>,
    ) -> Option<CouponForces> {
        let (slice_mm, Seat { letter, seat_mm }) = (self.slice_mm, seat);
        let coupon = solve(&self.printed, slice_mm, true)?;
        let part = if self.slice_is_part {
            ForceTable { force_n: coupon.force_n * length_mm / slice_mm, ..coupon.clone() }
        } else {
            solve(&self.finished, length_mm, false)?
        };
        let coupon_share = slice_mm / length_mm;
        Some(CouponForces {
            letter,
            seat_mm,
            round_seat: false,
            tools: Vec::new(),
            snap_on_n,
            coupon_share,
            coupon,
            part,
        })
    }

    fn table(
        &self,
        tools: &[CouponTarget],
        limits: &DesignLimits,
        scale: &ForceScale,
        run: impl Fn(f64, f64) -> Option<UnitResponse> + Sync,
    ) -> Option<ForceTable> {
        let half = |t: &CouponTarget| 0.5 * (self.range.seat_mm + t.half_range_mm);
        // Grip sets in where a barrel just fills the seat: without that place, no seat would be known to let a tool fall out.
        let least = tools.iter().map(|t| t.interference_mm - half(t)).fold(0.0, f64::min);
        let greatest = tools.iter().map(|t| t.interference_mm + half(t)).fold(f64::NEG_INFINITY, f64::max);
        let interferences_mm = places(least, greatest);
        let frictions = self.range.frictions;
        let asked: Vec<(f64, f64)> =
            frictions.iter().flat_map(|f| interferences_mm.iter().map(move |i| (*i, *f))).collect();
        let solved: Vec<_> = asked.par_iter().map(|(i, f)| run(*i, *f)).collect();
        let runs: Vec<Vec<Option<UnitResponse>>> = solved.chunks(interferences_mm.len()).map(<[_]>::to_vec).collect();
        let Interval { least, greatest } = limits.elastic.modulus_mpa;
        let middle = (least * greatest).sqrt();
        let width = scale.plane_modulus_mpa.middle() / limits.elastic.modulus_mpa.middle();
        // Something must go in at every friction, or there is nothing to read.
        let enough = |row: &Vec<Option<UnitResponse>>| row.iter().filter(|r| r.is_some()).count() >= 2;
        runs.iter().all(enough).then_some(ForceTable {
            interferences_mm,
            frictions,
            runs,
            force_n: middle * width * scale.length_mm,
            yield_strain: scale.yield_strain,
            strain_factor: scale.strain_factor,
            strain_limit: limits.strain_limit,
            modulus_share: Interval { least: least / middle, greatest: greatest / middle },
            friction: limits.elastic.friction,
        })
    }
}

/// Letter and seat of a size, or of the mount.
struct Seat {
    letter: char,
    seat_mm: f64,
}

fn walls_mm(form: &ClipGeometry) -> [f64; 2] {
    [form.root_wall_mm(), form.lip_wall_mm()]
}

/// Walls of the coupons of a letter, mm.
fn coupon_walls_mm(design: &Design, letter: char) -> Option<[f64; 2]> {
    let coupon = design.coupons.coupons.iter().find(|c| c.letter == letter)?;
    Some(match &coupon.shape {
        CouponShape::Clip(form) => walls_mm(form),
        CouponShape::Mount(mount) => [mount.wall_mm; 2],
    })
}

/// A few clearances, where forces run smoothly, and more from there on, where grip sets in.
fn places(least: f64, greatest: f64) -> Vec<f64> {
    let even = |from: f64, to: f64, count: usize| (0..count).map(move |k| from + (to - from) * k as f64 / count as f64);
    let start = least.max(0.0_f64.min(greatest));
    let loose = if start > least { LOOSE_PLACES } else { 0 };
    // A ladder of seats that are all wider than the barrel ends where it would begin to grip.
    let tight = if greatest > start { TIGHT_PLACES } else { 0 };
    even(least, start, loose).chain(even(start, greatest, tight)).chain([greatest]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_ascend_and_hold_the_onset_of_grip() {
        for (least, greatest) in [(-0.4, 0.5), (0.1, 0.9), (-0.9, -0.2)] {
            let found = places(least, greatest);
            assert!(found.windows(2).all(|p| p[1] > p[0]), "{found:?}");
            assert!((found[0] - least).abs() < 1e-12 && (found[found.len() - 1] - greatest).abs() < 1e-12);
            assert_eq!(found.contains(&0.0), least < 0.0 && greatest > 0.0);
        }
    }
}
