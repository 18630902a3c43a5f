//! Movement of a tool because mount and clips give way under a load, besides the web.

use gripwright_input::Tool;
use gripwright_mechanics::{BarMotion, ClipSpan, GripCapacity, ToolSupport, Wrench};
use rayon::prelude::*;

use crate::{
    design::holder_plan::PointMovement,
    design::sizes::Size,
    family::split::ClipGroup,
    limits::barrel_section::BarrelSection,
    limits::design_limits::ToolDemand,
    limits::sway_load::SwayLoad,
    limits::tool_load::{clips_middle_mm, tool_support},
    model::clip_context::ClipContext,
    model::clip_model::ClipModel,
    parts::holder_brief::{HolderBrief, HolderLoads},
    parts::web_load::worst_working_load,
};

/// What a holder stands on and what holds its tool.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Supports<'a> {
    pub(crate) holder: &'a HolderBrief<'a>,
    /// Limits of one clip.
    pub(crate) context: ClipContext<'a>,
    pub(crate) mount_length_mm: f64,
}

impl Supports<'_> {
    /// Loads of a size on its holder, with what mount and clips move under them; their capacities are absent where they do
    /// not hold. `across_n` is the load across that the web bears, safety included, N.
    pub(crate) fn loads(
        &self,
        size: &Size,
        across_n: f64,
        mount: Option<&[GripCapacity]>,
        clips: Option<&[GripCapacity]>,
    ) -> HolderLoads {
        let support = tool_support(&self.context.limits.stations, size.length_mm);
        let (tip, at_mm) = (self.tip_load(across_n, size.length_mm), self.load_place_mm(size.length_mm));
        let tools: Vec<&Tool> = size.tools.iter().filter_map(|t| self.holder.tools.get(*t)).collect();
        let work = worst_working_load(&tools, self.holder.shock, at_mm);
        let working = SwayLoad { across_n: work.across_n, across_at_mm: at_mm, along_n: work.along_n, point_mm: at_mm };
        let movement = |load: &SwayLoad| PointMovement {
            web_mm: 0.0,
            mount_mm: mount.and_then(|mount| mount_movement_mm(mount, self.mount_length_mm, load, &support)),
            clips_mm: clips.and_then(|clips| clip_movement_mm(clips, load, &support)),
        };
        HolderLoads { across_n, tip: movement(&tip), working: movement(&working) }
    }

    /// Place of the loads on the web, along the tool's axis: the aimed point, or the middle of the clips if that is farther
    /// out, mm.
    fn load_place_mm(&self, clip_length_mm: f64) -> f64 {
        let middle_mm = clips_middle_mm(&self.context.limits.stations, clip_length_mm);
        let ahead_mm = self.ahead_mm();
        if middle_mm.abs() > ahead_mm { middle_mm } else { ahead_mm }
    }

    fn ahead_mm(&self) -> f64 {
        self.holder.layout.aim.map_or(0.0, |aim| aim.ahead_mm)
    }

    fn tip_load(&self, across_n: f64, clip_length_mm: f64) -> SwayLoad {
        SwayLoad { across_n, across_at_mm: self.load_place_mm(clip_length_mm), along_n: 0.0, point_mm: self.ahead_mm() }
    }

    /// Capacities of the clips at their weakest on the least and the greatest barrels of each section. `None` when they do
    /// not hold one of them.
    pub(crate) fn clip_capacities(&self, group: &ClipGroup, size: &Size) -> Option<Vec<GripCapacity>> {
        // On sleeves the friction is another one.
        let limits = group.limits(self.context.limits);
        let context = self.context.with_limits(&limits);
        let clip = ClipModel::new(&group.clip.shape, size.length_mm, context)?;
        // The load at the aimed point may turn a clip that no other load turns.
        let turning = self.tip_load(1.0, size.length_mm).wrench_at(clips_middle_mm(&limits.stations, size.length_mm));
        let gripped = group.gripped_barrels();
        let on =
            |(section, tool): &(BarrelSection, &ToolDemand)| clip.weakest_capacities(section, tool, turning, context);
        let found: Option<Vec<_>> = end_sections(&gripped).par_iter().map(on).collect();
        Some(found?.concat())
    }
}

/// The least and the greatest section of round barrels and of hexagons.
fn end_sections(gripped: &[ToolDemand]) -> Vec<(BarrelSection, &ToolDemand)> {
    let of_kind = |is_hexagon: bool| {
        let kind = || gripped.iter().filter(move |tool| tool.least().is_hexagon() == is_hexagon);
        let least = kind().min_by(|a, b| a.least_mm.total_cmp(&b.least_mm)).map(|tool| (tool.least(), tool));
        let greatest =
            kind().max_by(|a, b| a.greatest_mm.total_cmp(&b.greatest_mm)).map(|tool| (tool.greatest(), tool));
        least.into_iter().chain(greatest)
    };
    of_kind(false).chain(of_kind(true)).collect()
}

/// Movement of a tool because its holder tilts on the body, mm.
fn mount_movement_mm(mount: &[GripCapacity], length_mm: f64, load: &SwayLoad, support: &ToolSupport) -> Option<f64> {
    let on_body = [ClipSpan { at_mm: 0.0, length_mm }];
    let moved = |capacity: &GripCapacity| {
        load.greatest_movement_mm(support, [0.0; 3], |wrench| capacity.displacement(&on_body, wrench))
    };
    greatest(mount.iter().map(moved))
}

/// Movement of a tool in its clips, mm: a rigid bar on all of them.
fn clip_movement_mm(clips: &[GripCapacity], load: &SwayLoad, support: &ToolSupport) -> Option<f64> {
    let axes = support.directions();
    let spans: Vec<ClipSpan> =
        support.stations.iter().map(|s| ClipSpan { at_mm: s.at_mm, length_mm: s.length_mm }).collect();
    let local = |v: [f64; 3]| axes.map(|axis| (0..3).map(|i| v[i] * axis[i]).sum::<f64>());
    let in_holder = |v: [f64; 3]| std::array::from_fn(|i| (0..3).map(|k| v[k] * axes[k][i]).sum());
    greatest(clips.iter().map(|capacity| {
        load.greatest_movement_mm(support, support.point_at(0.0), |wrench| {
            let wrench = Wrench { force_n: local(wrench.force_n), moment_nmm: local(wrench.moment_nmm) };
            let BarMotion { shift_mm, turn_rad } = capacity.displacement(&spans, &wrench)?;
            Some(BarMotion { shift_mm: in_holder(shift_mm), turn_rad: in_holder(turn_rad) })
        })
    }))
}

/// The greatest movement, mm; the first that is unknown ends the search.
fn greatest(mut movements: impl Iterator<Item = Option<f64>>) -> Option<f64> {
    movements.try_fold(0.0, |most: f64, moved| Some(most.max(moved?)))
}

#[cfg(test)]
mod tests {
    use gripwright_mechanics::{ForceTravel, StationSupport};

    use super::*;

    /// Springs of one stiffness, N/mm per mm (or N mm per mm and rad), in either direction.
    fn springs(stiffness: f64) -> ForceTravel {
        ForceTravel::new(&[[-50.0, -50.0 * stiffness], [0.0; 2], [50.0, 50.0 * stiffness]]).expect("it rises")
    }

    fn capacity([aside, out, roll]: [f64; 3]) -> GripCapacity {
        let aside = [springs(aside), springs(aside)];
        let roll = vec![springs(roll)];
        GripCapacity { length_mm: 10.0, out: springs(out), aside: Some(aside), roll, round_nmm: 1e9, along_n: 1e9 }
    }

    fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
        [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
    }

    /// Solution of a linear system by elimination with pivots.
    fn solved(mut rows: [[f64; 7]; 6]) -> [f64; 6] {
        for column in 0..6 {
            let pivot = (column..6).max_by(|a, b| rows[*a][column].abs().total_cmp(&rows[*b][column].abs()));
            rows.swap(column, pivot.unwrap_or(column));
            let pivot = rows[column].map(|value| value / rows[column][column]);
            for (index, row) in rows.iter_mut().enumerate() {
                let factor = row[column];
                *row = if index == column { pivot } else { std::array::from_fn(|k| row[k] - factor * pivot[k]) };
            }
        }
        rows.map(|row| row[6])
    }

    /// Movement of a point when a rigid part stands on many single springs: six equations of equilibrium. Along its axis and,
    /// beside the given stiffness, about it the part is held stiffly.
    fn by_single_springs(
        on: &ToolSupport,
        [aside, out, roll]: [f64; 3],
        loads: &[([f64; 3], [f64; 3])],
        point: [f64; 3],
    ) -> f64 {
        const SLICES: i32 = 2000;
        let [x, n, along] = on.directions();
        let mut rows = [[0.0; 7]; 6];
        let mut add = |stiffness: f64, force: [f64; 3], moment: [f64; 3]| {
            let acts = [force, moment].concat();
            for (row, a) in rows.iter_mut().zip(&acts) {
                for (value, b) in row.iter_mut().zip(&acts) {
                    *value += stiffness * a * b;
                }
            }
        };
        for station in &on.stations {
            let each = station.length_mm / f64::from(SLICES);
            for slice in 0..SLICES {
                let at = on.point_at(station.at_mm + (f64::from(slice) + 0.5) * each - 0.5 * station.length_mm);
                for (direction, stiffness) in [(x, aside), (n, out), (along, 1e4)] {
                    add(each * stiffness, direction, cross(at, direction));
                }
            }
            add(station.length_mm * roll, [0.0; 3], along);
        }
        for (force, at) in loads {
            for (row, value) in rows.iter_mut().zip([*force, cross(*at, *force)].concat()) {
                row[6] += value;
            }
        }
        let [a, b, c, p, q, r] = solved(rows);
        let turned = cross([p, q, r], point);
        (a + turned[0]).hypot(b + turned[1]).hypot(c + turned[2])
    }

    /// Mount and clips on linear springs move a point as far as six equations of equilibrium over single springs say, over
    /// all directions of the load.
    #[test]
    fn movements_are_those_of_a_small_linear_solve() {
        let station = |at_mm, length_mm| StationSupport { at_mm, length_mm, stiffness_n_per_mm: [1.0; 3] };
        let tool =
            ToolSupport { offset_mm: 32.0, pitch_rad: 0.2, stations: vec![station(-12.0, 8.0), station(9.0, 14.0)] };
        let body = ToolSupport { offset_mm: 0.0, pitch_rad: 0.0, stations: vec![station(0.0, 24.0)] };
        let load = SwayLoad { across_n: 3.0, across_at_mm: 40.0, along_n: 2.0, point_mm: 35.0 };
        let (on_clips, on_mount) = ([2.0, 0.8, 400.0], [3.0, 1.2, 700.0]);
        let worst = |part: &ToolSupport, stiffness: [f64; 3]| {
            let [x, n, along] = tool.directions();
            let cases = (0..8).flat_map(|k| [1.0, -1.0].map(|sense| (f64::from(k), sense)));
            let moved = cases.map(|(k, sense)| {
                let (sin, cos) = (std::f64::consts::TAU * k / 8.0).sin_cos();
                let across = std::array::from_fn(|i| load.across_n * (cos * x[i] + sin * n[i]));
                let at = tool.point_at(load.across_at_mm);
                let loads = [(across, at), (along.map(|a| sense * load.along_n * a), at)];
                by_single_springs(part, stiffness, &loads, tool.point_at(load.point_mm))
            });
            moved.fold(0.0, f64::max)
        };
        let near = |found: Option<f64>, wanted: f64| {
            let found = found.expect("it holds");
            assert!((found / wanted - 1.0).abs() < 2e-3, "{found} against {wanted}");
        };
        near(clip_movement_mm(&[capacity(on_clips)], &load, &tool), worst(&tool, on_clips));
        near(mount_movement_mm(&[capacity(on_mount)], 24.0, &load, &tool), worst(&body, on_mount));
    }
}
