//! Assembles the design: holders from clip sizes and the mount, their fit, and their coupons.

use rayon::prelude::*;

use crate::{
    coupons::coupon_brief::CouponBrief,
    coupons::coupon_set::{coupon_set, step_ladder},
    design::Design,
    design::coupon::{CouponSet, MOUNT_LETTER},
    design::fit_row::{FitFigures, FitRow, Odds},
    design::holder_plan::HolderPlan,
    design::sizes::{MountDesign, Size},
    family::split::ClipGroup,
    fit::active_limits::{ThinWallEffect, active_clip_limits, active_mount_limits, thin_wall_effect},
    fit::fit_context::FitContext,
    limits::design_limits::{DesignLimits, ToolDemand},
    limits::margin::Margin,
    model::response::Response,
    parts::holder::assemble_holder,
    parts::holder_brief::HolderBrief,
    parts::holder_fault::HolderFault,
    parts::sleeve::sleeves,
    pipeline::calibrated::BoreCorrection,
    pipeline::failure::{BlockedHolder, Failure, NoDesign, OffAim},
    pipeline::support_movement::Supports,
    search::mount_evaluation::MountTask,
    search::mount_search::SizedMount,
    shape::mount_shape::MountShape,
};

/// The chosen mount, with the search task that found it.
#[derive(Clone, Debug)]
pub(crate) struct SettledMount<'a> {
    /// The task, with the correction of its closed forms at this mount.
    pub(crate) task: MountTask<'a>,
    pub(crate) shape: MountShape,
    pub(crate) margin: Margin,
    /// Simulations on the least and the greatest body; `None` if the mount does not snap on at every extreme of the
    /// material.
    pub(crate) runs: Option<[Response; 2]>,
    /// Greatest offset of the body's axis in the mount, mm.
    pub(crate) seat_mm: f64,
    /// Greatest pulls on all clips together that leave the mount on the body, at the least and the greatest friction, N;
    /// no limit when absent.
    pub(crate) greatest_take_off_n: Option<[f64; 2]>,
}

impl<'a> SettledMount<'a> {
    pub(crate) fn new(task: MountTask<'a>, shape: MountShape, margin: Margin) -> Self {
        let runs = task.responses(&shape);
        let offset = |r: &Response| r.seat_mm.least.abs().max(r.seat_mm.greatest.abs());
        let seat_mm = runs.iter().flatten().map(offset).fold(0.0, f64::max);
        Self { task, shape, margin, runs, seat_mm, greatest_take_off_n: task.greatest_take_off_n(&shape) }
    }
}

/// Input of the assembly: everything that is decided before the parts are put together.
pub(crate) struct Assembly<'a> {
    pub(crate) holder: HolderBrief<'a>,
    pub(crate) fit_context: FitContext<'a>,
    /// Limits of one clip.
    pub(crate) clip_limits: &'a DesignLimits,
    pub(crate) groups: &'a [ClipGroup],
    pub(crate) mount: &'a SettledMount<'a>,
    pub(crate) coupons: &'a CouponBrief<'a>,
    pub(crate) bores: BoreCorrection<'a>,
}

/// Holders with the results of their checks, from which the fit table is made.
struct CheckedHolders {
    holders: Vec<HolderPlan>,
    /// Effect of the thinnest wall on each clip.
    thin_walls: Vec<ThinWallEffect>,
    /// Rows of each size; `None` if a barrel of the size does not snap in.
    rows: Vec<Option<Vec<FitRow>>>,
}

impl Assembly<'_> {
    /// Returns the design with the given coupons, or with coupons of its own clips if none are given.
    pub(crate) fn design(&self, coupons: Option<CouponSet>) -> Result<Design, NoDesign> {
        let context = self.fit_context.context;
        let Some(mut sizes) = sizes(self.groups, context.pad_half_width_mm) else {
            return Err(Failure::TooManySizes { count: self.groups.len() }.into());
        };
        for size in &mut sizes {
            size.drawn_wider_mm = self.bores.wider_mm(size.letter, 2.0 * size.seat_radius_mm);
        }
        let SettledMount { task, shape, margin, .. } = self.mount;
        let drawn_wider_mm = self.bores.wider_mm(MOUNT_LETTER, 2.0 * shape.gap_mm);
        let mut mount = mount_design(task, shape, *margin, drawn_wider_mm);
        let (mount_fit, checked) = rayon::join(|| self.mount_fit(), || self.checked_holders(&sizes, &mount));
        let CheckedHolders { holders, thin_walls, rows } = checked?;
        let Some((mount_fit, mount_odds)) = mount_fit else {
            return Err(Failure::no_mount(task, None).into());
        };
        if task.context.limits.limits_load_path() && !mount_fit.load_path.all().all(|margin| margin.is_kept()) {
            return Err(Failure::no_mount(task, Some(SizedMount { shape: *shape, margin: mount_fit.margin })).into());
        }
        mount.margin = mount_fit.margin;
        mount.active_limits = active_mount_limits(task, shape, &[&mount_fit]);
        let coupons = match coupons {
            Some(coupons) => coupons,
            None => coupon_set(self.coupons, &sizes, &mount, &step_ladder(self.coupons, &sizes, |_| 0.0))
                .map_err(|error| NoDesign::from(Failure::Coupons(error)))?,
        };
        let fit = self.fit(&mut sizes, &holders, rows)?;
        self.name_active_limits(&mut sizes, &thin_walls, &fit);
        let clips = self.clip_limits.clips;
        let fit = fit.into_iter().map(|row| FitRow { figures: row.figures.for_clips(clips), ..row }).collect();
        let sleeves = sleeves(self.holder.name, self.clip_limits, self.groups, &sizes);
        Ok(Design {
            sizes,
            mount,
            sleeves,
            plan: None,
            holders,
            fit,
            mount_fit,
            mount_odds,
            notes: Vec::new(),
            coupons,
        })
    }

    fn mount_fit(&self) -> Option<(FitFigures, Option<Odds>)> {
        let SettledMount { task, shape, runs, .. } = self.mount;
        let [least, greatest] = runs.as_ref()?;
        self.fit_context.mount(task, shape, least, greatest)
    }

    /// Returns the holders and the fit rows of their sizes. The thinnest walls are evaluated in parallel, as they need no
    /// rows.
    fn checked_holders(&self, sizes: &[Size], mount: &MountDesign) -> Result<CheckedHolders, NoDesign> {
        let context = self.fit_context.context;
        // The search reserved a part of the aim's allowance for the mount; the fit is checked against all of it.
        let one_clip = DesignLimits { aim_within_mm: context.limits.aim_within_mm, ..self.clip_limits.clone() };
        let fit_context = FitContext { context: context.with_limits(&one_clip), ..self.fit_context };
        let holders = self.holders(sizes, mount)?;
        let thin_walls = || {
            let effect = |group| thin_wall_effect(group, context.with_limits(&group.limits(self.clip_limits)));
            self.groups.par_iter().map(effect).collect()
        };
        let rows = || {
            let sized = sizes.iter().zip(self.groups).zip(&holders);
            sized.map(|((size, group), holder)| fit_context.rows(group, size, &holder.web)).collect()
        };
        let (thin_walls, rows) = rayon::join(thin_walls, rows);
        Ok(CheckedHolders { holders, thin_walls, rows })
    }

    fn holders(&self, sizes: &[Size], mount: &MountDesign) -> Result<Vec<HolderPlan>, NoDesign> {
        let (mut holders, mut failures, mut faults) = (Vec::new(), Vec::new(), Vec::new());
        let mount = &mount.as_drawn();
        let clips = self.clip_limits.clips;
        let supports = self.supports();
        // On all cores; by then the fit of the mount has its own curves ready.
        let gripping: Vec<_> =
            sizes.par_iter().zip(self.groups).map(|(size, group)| supports.clip_capacities(group, size)).collect();
        let on_body = self.mount.task.weakest_capacities(&self.mount.shape);
        for ((size, group), gripping) in sizes.iter().zip(self.groups).zip(&gripping) {
            let size = Size { greatest_mm: group.thickest_mm(), ..size.as_drawn() };
            let letter = size.letter;
            let across_n = clips * group.all_tools().map(|t| t.across_n).fold(0.0, f64::max);
            let loads = supports.loads(&size, across_n, on_body.as_deref(), gripping.as_deref());
            match assemble_holder(&self.holder, &size, mount, &loads) {
                Ok(holder) if holder.web.strain <= holder.web.strain_limit => holders.push(holder),
                Ok(holder) => failures.push(Failure::WeakWeb {
                    letter,
                    strain: holder.web.strain,
                    strain_limit: holder.web.strain_limit,
                    relieved: holder.keep_outs.iter().any(|k| k.relieved),
                }),
                Err(HolderFault::KeepOut { letter, index, blocked }) => {
                    let (block, mount) = (*blocked, mount.clone());
                    let blocked = BlockedHolder { letter, index, block, size, mount, loads };
                    failures.push(Failure::KeepOut(Box::new(blocked)));
                }
                Err(fault) => faults.push(Failure::Holder(fault)),
            }
        }
        failures.extend(faults);
        if failures.is_empty() { Ok(holders) } else { Err(NoDesign(failures)) }
    }

    fn supports(&self) -> Supports<'_> {
        let context = self.fit_context.context.with_limits(self.clip_limits);
        Supports { holder: &self.holder, context, mount_length_mm: self.mount.task.length_mm }
    }

    /// Returns all rows of the fit table, and lowers the margin of each size to the least of its rows.
    fn fit(
        &self,
        sizes: &mut [Size],
        holders: &[HolderPlan],
        rows: Vec<Option<Vec<FitRow>>>,
    ) -> Result<Vec<FitRow>, NoDesign> {
        let (mut fit, mut failures) = (Vec::new(), Vec::new());
        for (((size, group), holder), rows) in sizes.iter_mut().zip(self.groups).zip(holders).zip(rows) {
            let Some(rows) = rows else {
                let tool = group.tools.first().map_or(0, |t| t.index);
                failures.push(Failure::SticksInClip { tool, letter: size.letter });
                continue;
            };
            size.margin = rows.iter().map(|r| r.figures.margin).fold(size.margin, Margin::least);
            failures.extend(rows.iter().filter_map(|row| self.aim_failure(row, holder)));
            failures.extend(rows.iter().filter_map(|row| self.load_path_failure(row)));
            fit.extend(rows);
        }
        if failures.is_empty() { Ok(fit) } else { Err(NoDesign(failures)) }
    }

    /// Returns a failure if the tool's aimed point is farther off than allowed, with all contributions added.
    fn aim_failure(&self, row: &FitRow, holder: &HolderPlan) -> Option<Failure> {
        let limit_mm = row.figures.aim_limit_mm.filter(|limit| row.figures.aim_mm > *limit)?;
        let (tip, mount_seat_mm) = (holder.web.tip, self.fit_context.mount_seat_mm);
        Some(Failure::OffAim(Box::new(OffAim { row: row.clone(), limit_mm, tip, mount_seat_mm })))
    }

    /// Returns a failure if a tool gives way by the load path, where that is a limit.
    fn load_path_failure(&self, row: &FitRow) -> Option<Failure> {
        let limited = self.clip_limits.limits_load_path();
        let margin = row.figures.load_path.all().filter(|_| limited).reduce(Margin::least)?;
        (!margin.is_kept()).then_some(Failure::GivesWay { tool: row.tool, letter: row.letter, margin })
    }

    /// Records the limits that prevent a better design of each size.
    fn name_active_limits(&self, sizes: &mut [Size], thin_walls: &[ThinWallEffect], fit: &[FitRow]) {
        let context = self.fit_context.context;
        let served: Vec<_> = self.groups.iter().zip(thin_walls).zip(sizes.iter().map(|s| s.letter)).collect();
        let active_limits = served.par_iter().map(|((group, thin_walls), letter)| {
            let figures: Vec<_> = fit.iter().filter(|r| r.letter == *letter).map(|r| &r.figures).collect();
            active_clip_limits(group, **thin_walls, &figures, context.with_limits(&group.limits(self.clip_limits)))
        });
        for (size, limits) in sizes.iter_mut().zip(active_limits.collect::<Vec<_>>()) {
            size.active_limits = limits;
        }
    }
}

/// Letter of no size: its strokes, which do not touch so that no island breaks out, read as two letters I.
const LEFT_OUT: char = 'H';

/// Letters that name the sizes, in order. The mount's letter is left out.
pub(crate) fn size_letters() -> impl Iterator<Item = char> {
    ('A'..='Z').filter(|letter| ![MOUNT_LETTER, LEFT_OUT].contains(letter))
}

/// Returns the sizes of all groups, or `None` if there are more groups than letters.
pub(crate) fn sizes(groups: &[ClipGroup], pad_half_width_mm: f64) -> Option<Vec<Size>> {
    let mut letters = size_letters();
    groups
        .iter()
        .map(|group| {
            Some(Size {
                letter: letters.next()?,
                clip: group.clip.shape.clip(pad_half_width_mm),
                seat_radius_mm: group.clip.shape.seat_radius_mm,
                length_mm: group.clip.length_mm,
                tools: group.tools.iter().map(|t| t.index).collect(),
                least_mm: group.tools.iter().map(|t| t.least().widest_mm()).fold(f64::INFINITY, f64::min),
                greatest_mm: group.tools.iter().map(ToolDemand::widest_mm).fold(0.0, f64::max),
                margin: group.clip.margin,
                active_limits: Vec::new(),
                drawn_wider_mm: 0.0,
            })
        })
        .collect()
}

/// Returns the mount of a search task. `drawn_wider_mm` is the correction of its gap for the printing process.
pub(crate) fn mount_design(
    task: &MountTask<'_>,
    shape: &MountShape,
    margin: Margin,
    drawn_wider_mm: f64,
) -> MountDesign {
    MountDesign {
        mount: shape.mount(task.body_section, task.context.pad_half_width_mm),
        length_mm: task.length_mm,
        margin,
        active_limits: Vec::new(),
        drawn_wider_mm,
        taper: task.body_section.taper,
        uneven: task.body_section.uneven.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_size_has_the_letter_of_the_mount_or_one_that_reads_as_two() {
        let letters: String = size_letters().collect();
        assert_eq!(letters, "ABCDEFGIJKLNOPQRSTUVWXYZ");
    }
}
