//! Tighter limits that a search aims at before a spec is refused. What it finds is judged by the limits of the spec.
//!
//! Mount, clips and web depend on each other by the aim, by what moves under load, by the order of letting go and by the
//! room between them. The best mount and the best clips by their own limits may not go together where others do. The tighter
//! limits are steps that do not depend on those of the spec, so that what serves at a limit is met again at every looser one.

use gripwright_input::{Spec, Tool};

use crate::{
    design::clearance::KeepOutPart,
    limits::margin::{Limit, Margin},
    limits::tool_load::weight_n,
    parts::holder_fault::HolderFault,
    parts::keep_out::clearance::KeepOutBlock,
    pipeline::failure::{Failure, NoDesign},
    rounding::round_to,
};

/// Factor between steps.
const STEP: f64 = std::f64::consts::SQRT_2;
/// Nearest step to a limit, in steps.
const NEAREST: f64 = 0.1;
/// Steps of the loads, the allowed push and the tolerance of the aim.
const SAFETIES: i32 = 4;
const PUSHES: i32 = 6;
const AIMS: i32 = 3;
/// Wider pads, over the usual ones: their web bends less.
const WIDER_PADS: [f64; 2] = [1.5, 2.2];
/// Shares of the missing room that the mount gives; the clip gives the rest. Factors on the room that both give.
const SHARES_OF_ROOM: [f64; 3] = [0.5, 0.8, 0.2];
const LESS_THAN_MISSING: [f64; 2] = [1.0, 1.4];
/// Step of walls, mm.
const WALL_STEP_MM: f64 = 0.05;
/// Of the others, so many are combined with every other step of the push.
const PUSHED_TOO: usize = 4;
/// Margin below which no other share of the aim serves a part.
const LEAST_HOPE: f64 = 0.6;

/// Limits that are tighter than those of a spec.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ambition {
    /// Safety factor on the loads.
    safety: Option<f64>,
    /// Allowed push, N.
    snap_on_n: Option<f64>,
    /// Tolerance of the aim, mm.
    aim_within_mm: Option<f64>,
    /// Thickest walls of mount and clips, mm.
    walls_at_most_mm: Option<[f64; 2]>,
    /// Factor on the width of the pads, and with it on that of the web.
    pub(crate) wider_pads: f64,
}

impl Ambition {
    /// The limits of the spec.
    pub(crate) const NONE: Self =
        Self { safety: None, snap_on_n: None, aim_within_mm: None, walls_at_most_mm: None, wider_pads: 1.0 };

    /// Those that may serve where a spec is refused, from the least to the greatest step of each; none where no other parts
    /// may hope to go together.
    pub(crate) fn after(refusal: &NoDesign, spec: &Spec) -> Vec<Self> {
        if is_for_room(refusal) {
            refusal.0.iter().flat_map(|failure| Self::of_room(spec, failure)).collect()
        } else if refusal.0.iter().all(|failure| others_may_go_together(spec, failure)) {
            Self::of_limits(spec)
        } else {
            Vec::new()
        }
    }

    /// Thinner parts or wider webs that may have the room which the parts of a failure lack.
    fn of_room(spec: &Spec, failure: &Failure) -> Vec<Self> {
        let thinner = |mount_mm: f64, clip_mm: f64| Self { walls_at_most_mm: Some([mount_mm, clip_mm]), ..Self::NONE };
        match failure {
            Failure::WeakWeb { .. } => WIDER_PADS.map(|wider_pads| Self { wider_pads, ..Self::NONE }).into(),
            Failure::Holder(HolderFault::TooClose { mount_wall_mm, clip_wall_mm, least_mm, .. }) => {
                let missing_mm = least_mm - spec.layout.offset_mm;
                let spare_mm = mount_wall_mm + clip_wall_mm - 2.0 * spec.printer.least_wall_mm;
                if missing_mm >= spare_mm {
                    return Vec::new();
                }
                // Seats change with walls, so that thinner ones may give less room than they lose.
                let walls = LESS_THAN_MISSING.into_iter().flat_map(|factor| {
                    SHARES_OF_ROOM.map(|share| {
                        let mount_mm = mount_wall_mm - factor * share * missing_mm;
                        thinner(round_to(mount_mm, WALL_STEP_MM), clip_wall_mm - factor * (1.0 - share) * missing_mm)
                    })
                });
                let pushes = steps_below(spec.fit.snap_on_at_most_n, PUSHES);
                let softer = pushes.map(|push_n| Self { snap_on_n: Some(push_n), ..Self::NONE });
                walls.chain(softer).collect()
            }
            Failure::KeepOut(blocked) => {
                let KeepOutBlock::Part(found) = &blocked.block else { return Vec::new() };
                let asked_mm = spec.keep_outs.get(blocked.index).map_or(0.0, |keep_out| keep_out.clearance_mm);
                let missing_mm = asked_mm - found.distance_mm;
                let (mount_mm, clip_mm) = (blocked.mount.mount.wall_mm, blocked.size.clip.root_wall_mm());
                let (mount_mm, clip_mm) = match found.part {
                    KeepOutPart::Mount => (mount_mm - missing_mm, f64::INFINITY),
                    KeepOutPart::Clip(_) => (f64::INFINITY, clip_mm - missing_mm),
                    _ => return Vec::new(),
                };
                let is_sound = mount_mm.min(clip_mm) >= spec.printer.least_wall_mm;
                is_sound.then(|| thinner(mount_mm, clip_mm)).into_iter().collect()
            }
            _ => Vec::new(),
        }
    }

    fn of_limits(spec: &Spec) -> Vec<Self> {
        let heaviest_n =
            spec.tools.iter().map(|tool| greatest_load_n(spec, tool)).fold(spec.fit.hold_at_least_n, f64::max);
        let safeties = steps_above(spec.fit.hold_safety * heaviest_n, SAFETIES).map(|load_n| load_n / heaviest_n);
        let aims = spec.layout.aim.iter().flat_map(|aim| steps_below(aim.within_mm, AIMS));
        let none = Self::NONE;
        let safe: Vec<Self> = safeties.map(|safety| Self { safety: Some(safety), ..none }).collect();
        let mut all = safe.clone();
        if spec.layout.aim.is_some() {
            for wider_pads in WIDER_PADS {
                all.push(Self { wider_pads, ..none });
                all.extend(safe.iter().skip(1).step_by(2).map(|other| Self { wider_pads, ..*other }));
            }
        }
        for within_mm in aims {
            let aimed = |other: &Self| Self { aim_within_mm: Some(within_mm), ..*other };
            all.push(aimed(&none));
            all.extend(safe.iter().map(aimed));
        }
        // Thinner parts; with the others, longer ones for the same push.
        let few: Vec<Self> = all.iter().skip(1).step_by(2).take(PUSHED_TOO).copied().collect();
        for (step, push_n) in steps_below(spec.fit.snap_on_at_most_n, PUSHES).enumerate() {
            let pushed = |other: &Self| Self { snap_on_n: Some(push_n), ..*other };
            all.push(pushed(&none));
            all.extend(few.iter().filter(|_| step % 2 == 1).map(pushed));
        }
        all
    }

    /// Thickest walls that mount and clips may have, mm.
    pub(crate) fn greatest_walls_mm(&self) -> [f64; 2] {
        self.walls_at_most_mm.unwrap_or([f64::INFINITY; 2])
    }

    /// The spec with these limits.
    pub(crate) fn applied(&self, spec: &Spec) -> Spec {
        let mut aimed = spec.clone();
        aimed.fit.hold_safety = self.safety.unwrap_or(spec.fit.hold_safety);
        aimed.fit.snap_on_at_most_n = self.snap_on_n.unwrap_or(spec.fit.snap_on_at_most_n);
        if let Some((aim, within_mm)) = aimed.layout.aim.as_mut().zip(self.aim_within_mm) {
            aim.within_mm = within_mm;
        }
        aimed
    }
}

/// Steps below a limit, the nearest first.
fn steps_below(limit: f64, count: i32) -> impl Iterator<Item = f64> {
    let nearest = (limit.log(STEP) - NEAREST).floor();
    (0..count).map(move |step| STEP.powf(nearest - f64::from(step)))
}

/// Steps above a limit, the nearest first.
fn steps_above(limit: f64, count: i32) -> impl Iterator<Item = f64> {
    let nearest = (limit.log(STEP) + NEAREST).ceil();
    (0..count).map(move |step| STEP.powf(nearest + f64::from(step)))
}

/// Greatest load on a tool, N.
fn greatest_load_n(spec: &Spec, tool: &Tool) -> f64 {
    tool.load_across_n.max(tool.load_along_n) + weight_n(spec, tool)
}

/// True if other mounts and clips might go together by their limits where these do not.
fn others_may_go_together(spec: &Spec, failure: &Failure) -> bool {
    // Mount and clip share the aim, and the order of letting go.
    let may_share = |margin: Option<Margin>| {
        let is_shared = |margin: Margin| spec.layout.aim.is_some() || margin.limit == Limit::Outlasts;
        margin.is_some_and(|margin| is_shared(margin) && margin.ratio > LEAST_HOPE)
    };
    match failure {
        Failure::NoClip(no) => may_share(no.unserved.best.map(|clip| clip.margin)),
        Failure::NoMount(no) => may_share(no.nearest.map(|mount| mount.margin)),
        Failure::SticksInClip { .. } | Failure::GivesWay { .. } | Failure::OffAim(_) | Failure::SoftWeb(_) => true,
        _ => false,
    }
}

/// True if it is room alone that is missing.
fn is_for_room(refusal: &NoDesign) -> bool {
    let lacks_room = |failure: &Failure| {
        let too_close = matches!(failure, Failure::Holder(HolderFault::TooClose { .. }));
        too_close || matches!(failure, Failure::KeepOut(_) | Failure::WeakWeb { .. })
    };
    refusal.0.iter().all(lacks_room)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_do_not_depend_on_the_limit() {
        let below = |limit| steps_below(limit, 3).map(|step| (1e6 * step).round()).collect::<Vec<_>>();
        assert_eq!(below(60.0), [45_254_834.0, 32e6, 22_627_417.0]);
        // A step just below a limit would be the limit again.
        assert_eq!(below(32.01), [22_627_417.0, 16e6, 11_313_708.0]);
        assert_eq!(below(60.0), below(50.0));
        let above: Vec<f64> = steps_above(3.0, 2).map(|step| (1e6 * step).round()).collect();
        assert_eq!(above, [4e6, 5_656_854.0]);
    }
}
