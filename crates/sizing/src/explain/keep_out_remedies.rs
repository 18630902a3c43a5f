//! Explains a blocked keep-out: the distance that is missing, and the single changes that free it, each proved by trial.

use gripwright_input::{KeepOutShape, MouthDirection, Parting, Spec};
use gripwright_section::{ConvexVolume, VolumeProfile};

use crate::{
    design::clearance::{Approach, KeepOutPart},
    explain::remedies::remedy_hint,
    limits::station_share::SHORTEST_CLIP_MM,
    parts::keep_out::clearance::KeepOutBlock,
    parts::keep_out::holder_solids::volume,
    parts::keep_out::relief::{POCKET_CORNER_MM, ReliefRefusal},
    parts::layout::lengths_mm,
    pipeline::failure::BlockedHolder,
    problem::Problem,
};

/// Steps in which a change is tried, mm: its double each time, until it works, and then by halving.
const FIRST_STEP_MM: f64 = 0.2;
/// Farthest change of an offset, a station or a length, mm.
const FARTHEST_MM: f64 = 60.0;
/// Least length of a mount that is tried, mm.
const SHORTEST_MOUNT_MM: f64 = 4.0;
/// Values that messages name have this grain, mm.
const GRAIN_MM: f64 = 0.1;

/// The part in the way, and the distance that is missing.
fn keep_out_problem(spec: &Spec, letter: char, index: usize, block: &KeepOutBlock) -> Problem {
    let Some(keep_out) = spec.keep_outs.get(index) else {
        return Problem::no_design("keep_out", "keep-out", "a keep-out is in the way".to_owned());
    };
    let (at, name, asked) = (format!("keep_out[{index}]"), &keep_out.name, keep_out.clearance_mm);
    match block {
        KeepOutBlock::Swallowed => {
            let message = format!("`{at}` \"{name}\" swallows the mount: all of it lies inside");
            Problem::bad_spec(at, "keep-out-swallows-mount", message)
                .with_allowed("no part of the mount inside".to_owned())
                .with_hint("the axis of the body is z through the origin, and the middle of the mount at z = 0: measure from there")
        }
        KeepOutBlock::Part(found) => {
            let message = format!(
                "`{at}` \"{name}\": {} of size {letter} {}",
                part_words(found.part),
                approach_words(found, asked)
            );
            Problem::no_design(at, "keep-out-blocked", message)
        }
        KeepOutBlock::Drafted(found) => {
            let message = format!(
                "`{at}` \"{name}\": the web of size {letter} {}, and a web with draft cannot be relieved",
                approach_words(found, asked)
            );
            Problem::no_design(at, "keep-out-draft", message)
        }
        KeepOutBlock::Flush(found) => {
            let message = format!(
                "`{at}` \"{name}\": the web of size {letter} {}, and a mould that parts at the end would not let go of a \
                 relief",
                approach_words(found, asked)
            );
            Problem::no_design(at, "keep-out-parting", message)
        }
        KeepOutBlock::Web(found, refused) => {
            let why = match refused {
                ReliefRefusal::NotDrawable(reason) => format!("it cannot be relieved: {reason}"),
                ReliefRefusal::Pocket(reason) => {
                    format!("no pocket with corners of at least {POCKET_CORNER_MM} mm frees it: {reason}")
                }
                ReliefRefusal::StillTooNear => "what a pocket leaves of it is still too near".to_owned(),
            };
            let message = format!(
                "`{at}` \"{name}\": {} of size {letter} {}; {why}",
                part_words(found.part),
                approach_words(found, asked)
            );
            Problem::no_design(at, "keep-out-web", message)
        }
    }
}

fn part_words(part: KeepOutPart) -> String {
    match part {
        KeepOutPart::Mount => "the mount".to_owned(),
        KeepOutPart::Clip(index) => format!("the clip at station {}", index + 1),
        KeepOutPart::Web => "the web".to_owned(),
        KeepOutPart::Stop => "the stop".to_owned(),
        KeepOutPart::Tool => "the thickest tool".to_owned(),
    }
}

fn approach_words(found: &Approach, asked_mm: f64) -> String {
    let [x, y, z] = found.at_mm;
    let missing = round_up(asked_mm - found.distance_mm, 0.01);
    let place = format!("near x {x:.1}, y {y:.1}, z {z:.1} mm");
    if found.distance_mm > 0.0 {
        format!(
            "comes within {:.2} mm {place}, where {asked_mm} mm is asked: {missing:.2} mm is missing",
            found.distance_mm
        )
    } else {
        format!("reaches {:.2} mm into it {place}: with the clearance {missing:.2} mm is missing", -found.distance_mm)
    }
}

fn round_up(value: f64, grain: f64) -> f64 {
    (value / grain - 1e-6).ceil() * grain
}

/// Tests whether a changed spec frees a keep-out: quickly on the parts as they are sized, then by a whole design.
struct Trial<'a> {
    spec: &'a Spec,
    clears: &'a dyn Fn(&Spec) -> bool,
    has_design: &'a dyn Fn(&Spec) -> bool,
}

impl Trial<'_> {
    fn works(&self, changed: &Spec) -> bool {
        (self.clears)(changed) && (self.has_design)(changed)
    }

    /// The least amount up to `most` by which `change` frees the keep-out, as a changed spec.
    fn least_working(&self, most: f64, change: impl Fn(f64) -> Spec) -> Option<Spec> {
        least_change(most, |by| (self.clears)(&change(by))).map(change).filter(|changed| (self.has_design)(changed))
    }
}

/// Explains a blocked keep-out, with the single changes that free it.
///
/// `clears` tests the parts as they are sized on a changed spec, `has_design` sizes the changed spec.
pub(crate) fn blocked_holder(
    spec: &Spec,
    blocked: &BlockedHolder,
    clears: &dyn Fn(&Spec) -> bool,
    has_design: &dyn Fn(&Spec) -> bool,
) -> Problem {
    let problem = keep_out_problem(spec, blocked.letter, blocked.index, &blocked.block);
    if blocked.block == KeepOutBlock::Swallowed {
        return problem;
    }
    let trial = Trial { spec, clears, has_design };
    let remedies = remedies(&trial, blocked);
    problem.with_hint(remedy_hint(
        &remedies,
        "no single change of stations, lengths, offset, side or clearance frees it: move or shrink the keep-out",
    ))
}

fn remedies(trial: &Trial<'_>, blocked: &BlockedHolder) -> Vec<String> {
    let spec = trial.spec;
    let mut found: Vec<String> = Vec::new();
    match blocked.block {
        KeepOutBlock::Drafted(_) => {
            let mut changed = spec.clone();
            changed.finish.draft_rad = 0.0;
            found.extend(trial.works(&changed).then(|| "`draft = 0` in [finish]".to_owned()));
        }
        KeepOutBlock::Flush(_) => {
            let mut changed = spec.clone();
            (changed.finish.draft_rad, changed.finish.parting) = (0.0, Parting::Cut);
            let words = if spec.finish.draft_rad > 0.0 { " together with `draft = 0` in [finish]" } else { "" };
            found.extend(trial.works(&changed).then(|| format!("`parting = \"cut\"` in [casting]{words}")));
        }
        // A clip that is flush with the mount has no place of its own.
        KeepOutBlock::Part(Approach { part: KeepOutPart::Clip(station), .. })
            if spec.finish.parting == Parting::End =>
        {
            found.extend(shortened_clip(trial, station, blocked.size.length_mm));
        }
        KeepOutBlock::Part(Approach { part: KeepOutPart::Clip(station), .. }) => {
            found.extend(shifted_station(trial, station));
            found.extend(shortened_clip(trial, station, blocked.size.length_mm));
        }
        KeepOutBlock::Part(Approach { part: KeepOutPart::Stop, .. }) => found.extend(moved_stop(trial)),
        KeepOutBlock::Part(Approach { part: KeepOutPart::Mount, .. }) => found.extend(shortened_mount(trial)),
        _ => {}
    }
    let raised = |by: f64| {
        let mut changed = spec.clone();
        changed.layout.offset_mm = rounded_to_grain(spec.layout.offset_mm + by);
        changed
    };
    let offset = trial.least_working(FARTHEST_MM, raised);
    found.extend(offset.map(|s| format!("`offset = \"{:.1} mm\"` in [layout]", s.layout.offset_mm)));
    let turned = other_side(spec);
    if trial.works(&turned) {
        let word = direction_word(turned.body.opens);
        found
            .push(format!("the tools on the other side (`opens = \"{word}\"` in [body], and every keep-out turned by half a turn about the body)"));
    }
    found.extend(smaller_clearance(trial, blocked.index));
    found
}

fn moved_stop(trial: &Trial<'_>) -> Option<String> {
    let at = trial.spec.layout.stop_at_mm?;
    let moved = |by: f64| {
        let mut changed = trial.spec.clone();
        changed.layout.stop_at_mm = Some(rounded_to_grain(at + by.copysign(at)));
        changed
    };
    let changed = trial.least_working(FARTHEST_MM, moved)?;
    changed.layout.stop_at_mm.map(|at| format!("`stop = {{ at = \"{at:.1} mm\" }}` in [layout]"))
}

fn shortened_mount(trial: &Trial<'_>) -> Option<String> {
    let spec = trial.spec;
    let cut = |by: f64| {
        let mut changed = spec.clone();
        changed.body.mount_length_mm = rounded_to_grain(spec.body.mount_length_mm - by);
        changed
    };
    let least = SHORTEST_MOUNT_MM.max(spec.coupons.length_mm);
    let changed = trial.least_working(spec.body.mount_length_mm - least, cut)?;
    Some(format!("`mount_length = \"{:.1} mm\"` in [body]", changed.body.mount_length_mm))
}

fn rounded_to_grain(mm: f64) -> f64 {
    (mm / GRAIN_MM).round() * GRAIN_MM
}

/// The least change up to the greatest, in steps that double, that works; then halved toward the last that did not.
fn least_change(most: f64, works: impl Fn(f64) -> bool) -> Option<f64> {
    let (mut fails, mut step) = (0.0, FIRST_STEP_MM.min(most));
    while step > fails {
        if works(step) {
            let mut good = step;
            while good - fails > GRAIN_MM {
                let middle = rounded_to_grain(0.5 * (good + fails)).max(fails + 0.5 * GRAIN_MM);
                if middle >= good - 1e-9 {
                    break;
                }
                if works(middle) { good = middle } else { fails = middle }
            }
            return Some(good);
        }
        (fails, step) = (step, (2.0 * step).min(most));
    }
    None
}

/// Lengths (mm) as a list to write into a spec, whatever its units.
fn listed(lengths_mm: &[f64]) -> String {
    lengths_mm.iter().map(|mm| format!("\"{mm:.1} mm\"")).collect::<Vec<_>>().join(", ")
}

/// The nearest place of a station, to either side, at which its clip is out of the way.
fn shifted_station(trial: &Trial<'_>, station: usize) -> Option<String> {
    let spec = trial.spec;
    let at = *spec.layout.stations_mm.get(station)?;
    let moved = |by: f64| {
        let mut changed = spec.clone();
        changed.layout.stations_mm[station] = rounded_to_grain(at + by);
        changed
    };
    let ordered = |s: &Spec| s.layout.stations_mm.windows(2).all(|pair| pair[0] < pair[1]);
    let along = |sense: f64| {
        let found = least_change(FARTHEST_MM, |by| {
            Some(moved(sense * by)).filter(ordered).is_some_and(|s| (trial.clears)(&s))
        })?;
        Some((found, moved(sense * found))).filter(|(_, s)| (trial.has_design)(s))
    };
    let (_, changed) = [along(1.0), along(-1.0)].into_iter().flatten().reduce(|a, b| if b.0 < a.0 { b } else { a })?;
    Some(format!("`stations = [{}]` in [layout]", listed(&changed.layout.stations_mm)))
}

/// The greatest length of a clip, about its middle, that is out of the way.
fn shortened_clip(trial: &Trial<'_>, station: usize, sized_mm: f64) -> Option<String> {
    let spec = trial.spec;
    let lengths = lengths_mm(&spec.layout, sized_mm);
    let own = *lengths.get(station)?;
    let cut = |by: f64| {
        let mut changed = spec.clone();
        let mut lengths: Vec<f64> = lengths.iter().map(|l| rounded_to_grain(*l)).collect();
        lengths[station] = rounded_to_grain(own - by);
        changed.layout.lengths_mm = Some(lengths);
        changed
    };
    let changed = trial.least_working(own - SHORTEST_CLIP_MM, cut)?;
    Some(format!("`lengths = [{}]` in [layout]", listed(changed.layout.lengths_mm.as_deref()?)))
}

/// The greatest clearance that things as they are leave.
fn smaller_clearance(trial: &Trial<'_>, index: usize) -> Option<String> {
    let spec = trial.spec;
    let asked = spec.keep_outs.get(index)?.clearance_mm;
    let less = |by: f64| {
        let mut changed = spec.clone();
        changed.keep_outs[index].clearance_mm = rounded_to_grain(asked - by).max(0.0);
        changed
    };
    let changed = trial.least_working(asked, less)?;
    let keep_out = &changed.keep_outs[index];
    Some(format!("`clearance = \"{:.1} mm\"` of `{}`", keep_out.clearance_mm, keep_out.name))
}

/// The holder on the opposite side of the body: the keep-outs stay with the body.
fn other_side(spec: &Spec) -> Spec {
    let mut changed = spec.clone();
    changed.body.opens = match spec.body.opens {
        MouthDirection::Up => MouthDirection::Down,
        MouthDirection::Down => MouthDirection::Up,
        MouthDirection::Left => MouthDirection::Right,
        MouthDirection::Right => MouthDirection::Left,
    };
    for keep_out in &mut changed.keep_outs {
        keep_out.shape = turned(&keep_out.shape);
    }
    changed
}

/// A shape turned by half a turn about the body's axis.
fn turned(shape: &KeepOutShape) -> KeepOutShape {
    let ConvexVolume { profile, from_mm, to_mm, .. } = volume(shape).half_turned();
    match (shape, profile) {
        (KeepOutShape::Box { .. }, VolumeProfile::Rectangle { min, max }) => {
            KeepOutShape::Box { from_mm: [from_mm, min.x, min.y], to_mm: [to_mm, max.x, max.y] }
        }
        (KeepOutShape::Cylinder { along, through_mm: [x, y, z], diameter_mm, .. }, _) => KeepOutShape::Cylinder {
            along: *along,
            through_mm: [-x, -y, *z],
            diameter_mm: *diameter_mm,
            from_mm,
            to_mm,
        },
        (KeepOutShape::Sweep { reach_mm, thickness_mm, width_mm, across_mm, from_rad, to_rad, pivot_mm }, _) => {
            KeepOutShape::Sweep {
                pivot_mm: [-pivot_mm[0], pivot_mm[1]],
                reach_mm: *reach_mm,
                thickness_mm: *thickness_mm,
                width_mm: *width_mm,
                across_mm: -across_mm,
                // What was turned toward the tools is now turned away from them.
                from_rad: -to_rad,
                to_rad: -from_rad,
            }
        }
        (KeepOutShape::Box { .. }, _) => shape.clone(),
    }
}

fn direction_word(facing: MouthDirection) -> &'static str {
    match facing {
        MouthDirection::Up => "up",
        MouthDirection::Down => "down",
        MouthDirection::Left => "left",
        MouthDirection::Right => "right",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_least_change_is_found_up_to_the_greatest_and_no_farther() {
        let found = |least: f64, most: f64| least_change(most, |by| by >= least);
        assert!(found(0.93, 1.0).is_some_and(|by| (0.93..1.04).contains(&by)));
        assert!(found(7.25, 60.0).is_some_and(|by| (7.25..7.36).contains(&by)));
        assert!(found(0.05, 60.0).is_some_and(|by| by <= 0.2));
        assert_eq!(found(1.05, 1.0), None);
        assert_eq!(found(0.0, 0.0), None);
        assert_eq!(found(0.0, -3.0), None);
    }

    #[test]
    fn shapes_turn_with_the_body() {
        let shapes = [
            KeepOutShape::Box { from_mm: [-1.0, 5.0, 2.0], to_mm: [3.0, 9.0, 8.0] },
            KeepOutShape::Cylinder {
                along: gripwright_input::HolderAxis::Y,
                through_mm: [2.0, 0.0, 3.0],
                diameter_mm: 4.0,
                from_mm: 6.0,
                to_mm: 20.0,
            },
            KeepOutShape::Sweep {
                pivot_mm: [8.0, -20.0],
                reach_mm: 15.0,
                thickness_mm: 3.0,
                width_mm: 5.0,
                across_mm: 1.0,
                from_rad: -0.2,
                to_rad: 0.9,
            },
        ];
        for shape in shapes {
            let (here, there) = (volume(&shape), volume(&turned(&shape)));
            for p in [[0.0, 7.0, 3.0], [2.0, 12.0, -9.0], [-4.0, 3.0, 6.0], [1.0, 15.0, 3.0]] {
                let off = here.distance_mm(p) - there.distance_mm([-p[0], -p[1], p[2]]);
                assert!(off.abs() < 1e-9, "{shape:?} {off}");
            }
        }
    }
}
