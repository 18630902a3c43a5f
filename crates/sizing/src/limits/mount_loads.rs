//! Loads on the mount of a family of holders.

use gripwright_mechanics::{PointLoad, Wrench};

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
    /// Greatest load across and along the tool's axis, safety included, N.
    pub(crate) across_n: f64,
    pub(crate) along_n: f64,
    /// Wrenches about the mount's middle: across its mouth, out of it, along the body.
    pub(crate) wrenches: LoadCases<Wrench>,
    /// Wrench of a pull of 1 N that takes a tool out of its clips, at their middle.
    pub(crate) unit_pull: Wrench,
    /// Least ratio of the pull that takes the mount off to that which takes a tool out; absent if a hand holds the holder.
    pub(crate) outlasts: Option<f64>,
}

impl MountLoads {
    /// Loads of a family of tools.
    pub(crate) fn new(demands: &[ToolDemand], stations: &StationLayout, outlasts: Option<f64>) -> Self {
        let tools: Vec<ToolLoad> = demands.iter().map(|demand| demand.load).collect();
        Self {
            across_n: demands.iter().map(|t| t.across_n).fold(0.0, f64::max),
            along_n: demands.iter().map(|t| t.along_n).fold(0.0, f64::max),
            wrenches: mount_wrenches(&tools, stations),
            unit_pull: unit_pull_on_mount(stations),
            stations: stations.clone(),
            tools,
            outlasts,
        }
    }

    /// The same loads multiplied by a factor.
    pub(crate) fn scaled(&self, factor: f64) -> Self {
        let tools: Vec<ToolLoad> = self.tools.iter().map(|load| load.scaled(factor)).collect();
        Self {
            across_n: factor * self.across_n,
            along_n: factor * self.along_n,
            wrenches: mount_wrenches(&tools, &self.stations),
            tools,
            ..self.clone()
        }
    }

    /// The same loads with the tools nearer to the body or farther off, mm.
    pub(crate) fn at_offset(&self, offset_mm: f64) -> Self {
        let stations = self.stations.at_offset(offset_mm);
        Self {
            wrenches: mount_wrenches(&self.tools, &stations),
            unit_pull: unit_pull_on_mount(&stations),
            stations,
            ..self.clone()
        }
    }
}

/// A load toward the tools pulls the mount off the body, through its mouth.
fn mount_wrenches(loads: &[ToolLoad], stations: &StationLayout) -> LoadCases<Wrench> {
    let support = tool_support(stations, 1.0);
    let mut wrenches = LoadCases::default();
    for load in loads {
        let cases = load.cases(&support);
        let on_mount = |case: &Vec<PointLoad>| Wrench::of_loads(case, [0.0; 3]);
        wrenches.across.extend(cases.across.iter().map(on_mount));
        wrenches.along.extend(cases.along.iter().map(on_mount));
    }
    LoadCases { across: undominated(wrenches.across, |w| *w), along: undominated(wrenches.along, |w| *w) }
}

fn unit_pull_on_mount(stations: &StationLayout) -> Wrench {
    let support = tool_support(stations, 1.0);
    let [_, out, _] = support.directions();
    Wrench::of_loads(&[PointLoad { force_n: out, at_mm: support.point_at(clips_middle_mm(stations)) }], [0.0; 3])
}
