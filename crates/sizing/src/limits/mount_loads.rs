//! Loads on the mount of a family of holders.

use gripwright_mechanics::{Interval, PointLoad, Wrench};

use crate::limits::{
    design_limits::ToolDemand,
    tool_load::{LoadCases, StationLayout, ToolLoad, clips_middle_mm, tool_support, undominated},
};

/// Loads on a mount.
#[derive(Clone, Debug)]
pub(crate) struct MountLoads {
    /// Loads of all tools, safety included.
    tools: Vec<ToolLoad>,
    pub(crate) stations: StationLayout,
    /// Shortest and longest clip that may carry each tool, mm.
    lengths_mm: Vec<Interval>,
    /// Greatest load across and along the tool's axis, safety included, N.
    pub(crate) across_n: f64,
    pub(crate) along_n: f64,
    /// Wrenches about the mount's middle: across its mouth, out of it, along the body.
    pub(crate) wrenches: LoadCases<Wrench>,
    /// Wrenches of a pull of 1 N that takes a tool out of its clips, at their middle: one, or those of the shortest and the
    /// longest clip.
    pub(crate) unit_pulls: Vec<Wrench>,
    /// Least ratio of the pull that takes the mount off to that which takes a tool out; absent if a hand holds the holder.
    pub(crate) outlasts: Option<f64>,
}

impl MountLoads {
    /// Loads of a family of tools, each on clips of these lengths, mm. The lengths matter only where they place the clip.
    pub(crate) fn new(
        demands: &[ToolDemand],
        lengths_mm: Vec<Interval>,
        stations: &StationLayout,
        outlasts: Option<f64>,
    ) -> Self {
        let tools: Vec<ToolLoad> = demands.iter().map(|demand| demand.load).collect();
        Self {
            across_n: demands.iter().map(|t| t.across_n).fold(0.0, f64::max),
            along_n: demands.iter().map(|t| t.along_n).fold(0.0, f64::max),
            wrenches: mount_wrenches(&tools, &lengths_mm, stations),
            unit_pulls: unit_pulls_on_mount(&lengths_mm, stations),
            stations: stations.clone(),
            tools,
            lengths_mm,
            outlasts,
        }
    }

    /// The same loads multiplied by a factor.
    pub(crate) fn scaled(&self, factor: f64) -> Self {
        let tools: Vec<ToolLoad> = self.tools.iter().map(|load| load.scaled(factor)).collect();
        Self {
            across_n: factor * self.across_n,
            along_n: factor * self.along_n,
            wrenches: mount_wrenches(&tools, &self.lengths_mm, &self.stations),
            tools,
            ..self.clone()
        }
    }

    /// The same loads with the tools nearer to the body or farther off, mm.
    pub(crate) fn at_offset(&self, offset_mm: f64) -> Self {
        let stations = self.stations.at_offset(offset_mm);
        Self {
            wrenches: mount_wrenches(&self.tools, &self.lengths_mm, &stations),
            unit_pulls: unit_pulls_on_mount(&self.lengths_mm, &stations),
            stations,
            ..self.clone()
        }
    }
}

/// A load toward the tools pulls the mount off the body, through its mouth.
fn mount_wrenches(loads: &[ToolLoad], lengths_mm: &[Interval], stations: &StationLayout) -> LoadCases<Wrench> {
    let mut wrenches = LoadCases::default();
    for (load, lengths_mm) in loads.iter().zip(lengths_mm) {
        // The place of a clip, and with it every moment, is linear in its length.
        for support in ends_of(*lengths_mm, stations).map(|length_mm| tool_support(stations, length_mm)) {
            let cases = load.cases(&support);
            let on_mount = |case: &Vec<PointLoad>| Wrench::of_loads(case, [0.0; 3]);
            wrenches.across.extend(cases.across.iter().map(on_mount));
            wrenches.along.extend(cases.along.iter().map(on_mount));
        }
    }
    LoadCases { across: undominated(wrenches.across, |w| *w), along: undominated(wrenches.along, |w| *w) }
}

fn unit_pulls_on_mount(lengths_mm: &[Interval], stations: &StationLayout) -> Vec<Wrench> {
    let all = lengths_mm.iter().copied().reduce(Interval::hull).unwrap_or(Interval::exactly(1.0));
    let pull = |length_mm: f64| {
        let support = tool_support(stations, length_mm);
        let [_, out, _] = support.directions();
        let at_mm = support.point_at(clips_middle_mm(stations, length_mm));
        Wrench::of_loads(&[PointLoad { force_n: out, at_mm }], [0.0; 3])
    };
    ends_of(all, stations).map(pull).collect()
}

/// The shortest and the longest clip, mm; one of them where both stand in the same place.
fn ends_of(lengths_mm: Interval, stations: &StationLayout) -> impl Iterator<Item = f64> {
    let one = !stations.is_flush() || lengths_mm.least.total_cmp(&lengths_mm.greatest).is_eq();
    let longest_mm = (!one).then_some(lengths_mm.greatest);
    [lengths_mm.least].into_iter().chain(longest_mm)
}

#[cfg(test)]
mod tests {
    use super::*;

    const OFFSET_MM: f64 = 30.0;
    const LOAD_N: f64 = 2.0;

    /// Greatest moment about x, N mm, of a load over the middle of clips of these lengths on a mount of 24 mm.
    fn tilting_nmm(lengths_mm: Interval, stations: &StationLayout) -> f64 {
        let wrenches = mount_wrenches(&[ToolLoad::over_the_clip(LOAD_N)], &[lengths_mm], stations);
        wrenches.across.iter().map(|wrench| wrench.moment_nmm[0].abs()).fold(0.0, f64::max)
    }

    /// A clip of 10 mm that is flush with a mount of 24 mm stands 7 mm from its middle: that is the lever of its load.
    #[test]
    fn a_flush_clip_tilts_the_mount_by_its_distance_from_the_middle() {
        let flush = StationLayout::flush(OFFSET_MM, 24.0);
        let near = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-9, "{found} {wanted}");
        near(tilting_nmm(Interval::exactly(10.0), &flush), 7.0 * LOAD_N);
        near(tilting_nmm(Interval::exactly(24.0), &flush), 0.0);
        near(tilting_nmm(Interval::between(10.0, 20.0), &flush), 7.0 * LOAD_N);
        near(tilting_nmm(Interval::exactly(10.0), &StationLayout::single(OFFSET_MM)), 0.0);
        let pulls = unit_pulls_on_mount(&[Interval::between(10.0, 30.0)], &flush);
        let levers: Vec<f64> = pulls.iter().map(|pull| pull.moment_nmm[0]).collect();
        assert_eq!(levers, [7.0, -3.0]);
    }
}
