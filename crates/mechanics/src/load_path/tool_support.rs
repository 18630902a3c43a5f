//! Shares of the stations in the loads on a tool: a rigid bar on distributed springs.

use crate::load_path::wrench::{PointLoad, Wrench, dot};

/// One clip as a support of the tool.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StationSupport {
    /// Middle of the clip, along the tool's axis from the point over the mount's middle, mm.
    pub at_mm: f64,
    /// Length of the clip, mm.
    pub length_mm: f64,
    /// Stiffness across the mouth, out of the mouth, and along the tool, N/mm; greater than zero.
    pub stiffness_n_per_mm: [f64; 3],
}

/// A tool on its stations. The tool's axis runs through (0, offset, 0) and leans by the pitch, away from the body toward
/// +z. The clips hold it stiffly against their own arms, so that the tool and each clip tilt as rigid parts.
#[derive(Clone, Debug, PartialEq)]
pub struct ToolSupport {
    /// Distance of the tool's axis from the body's, mm.
    pub offset_mm: f64,
    /// Angle between both axes, rad.
    pub pitch_rad: f64,
    /// The stations; at least one.
    pub stations: Vec<StationSupport>,
}

/// Sums over the stations of a stiffness and its moments, and from them the tool's motion in one plane.
struct PlaneSprings {
    total: f64,
    first: f64,
    second: f64,
}

impl PlaneSprings {
    fn new(stations: &[StationSupport], direction: usize) -> Self {
        let sum = |of: &dyn Fn(&StationSupport) -> f64| {
            stations.iter().map(|s| s.stiffness_n_per_mm[direction] * of(s)).sum::<f64>()
        };
        Self { total: sum(&|_| 1.0), first: sum(&|s| s.at_mm), second: sum(&|s| s.at_mm * s.at_mm + tilting_share(s)) }
    }

    /// Displacement at the origin and tilt, from a force and its moment (the sum of place times force).
    fn motion(&self, force: f64, moment: f64) -> Motion {
        let determinant = self.total * self.second - self.first * self.first;
        Motion {
            shift: (force * self.second - moment * self.first) / determinant,
            tilt: (moment * self.total - force * self.first) / determinant,
        }
    }
}

/// Displacement of the tool's axis in one plane.
struct Motion {
    shift: f64,
    tilt: f64,
}

impl Motion {
    /// Force on a station, and the moment about its own middle.
    fn on(&self, station: &StationSupport, direction: usize) -> (f64, f64) {
        let stiffness = station.stiffness_n_per_mm[direction];
        (stiffness * (self.shift + self.tilt * station.at_mm), stiffness * tilting_share(station) * self.tilt)
    }
}

/// Stiffness against tilting over that against a shift, mm², of springs spread evenly over the length.
fn tilting_share(station: &StationSupport) -> f64 {
    station.length_mm * station.length_mm / 12.0
}

impl ToolSupport {
    /// Point of the tool's axis, mm.
    pub fn point_at(&self, along_mm: f64) -> [f64; 3] {
        let (sin, cos) = self.pitch_rad.sin_cos();
        [0.0, self.offset_mm + along_mm * sin, along_mm * cos]
    }

    /// Directions across the mouth, out of it, and along the tool, in the holder's axes.
    pub fn directions(&self) -> [[f64; 3]; 3] {
        let (sin, cos) = self.pitch_rad.sin_cos();
        [[1.0, 0.0, 0.0], [0.0, cos, -sin], [0.0, sin, cos]]
    }

    /// Returns the wrench that each station takes of the loads, about its own middle and in the holder's axes.
    ///
    /// The wrenches are in equilibrium with the loads. Force and torque along the tool are shared by the stiffness along
    /// it.
    pub fn station_wrenches(&self, loads: &[PointLoad]) -> Vec<Wrench> {
        let whole = Wrench::of_loads(loads, self.point_at(0.0));
        let axes = self.directions();
        let force = axes.map(|axis| dot(whole.force_n, axis));
        let moment = axes.map(|axis| dot(whole.moment_nmm, axis));
        // A force out of the mouth turns about −x when it acts ahead, a force across it about +n.
        let across = PlaneSprings::new(&self.stations, 0).motion(force[0], moment[1]);
        let out = PlaneSprings::new(&self.stations, 1).motion(force[1], -moment[0]);
        let along: f64 = self.stations.iter().map(|s| s.stiffness_n_per_mm[2]).sum();
        let wrench = |station: &StationSupport| {
            let (force_across, turn_out) = across.on(station, 0);
            let (force_out, turn_across) = out.on(station, 1);
            let share = station.stiffness_n_per_mm[2] / along;
            let in_holder =
                |local: [f64; 3]| std::array::from_fn(|i| (0..3).map(|k| local[k] * axes[k][i]).sum::<f64>());
            Wrench {
                force_n: in_holder([force_across, force_out, share * force[2]]),
                moment_nmm: in_holder([-turn_across, turn_out, share * moment[2]]),
            }
        };
        self.stations.iter().map(wrench).collect()
    }

    /// Returns the wrench on the mount about its middle, the origin, from those on the stations.
    pub fn mount_wrench(&self, on_stations: &[Wrench]) -> Wrench {
        self.stations.iter().zip(on_stations).fold(Wrench::default(), |sum, (station, wrench)| {
            sum.plus(wrench.moved(self.point_at(station.at_mm), [0.0; 3]))
        })
    }
}
