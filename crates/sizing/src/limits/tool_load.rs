//! Loads on a tool: forces at points of its axis, in the cases that clips and mount must hold.

use gripwright_input::{Parting, Spec, Tool};
use gripwright_mechanics::{PointLoad, STANDARD_GRAVITY_M_PER_S2, StationSupport, ToolSupport, Wrench};

/// Directions across the tool in which loads are tried.
const DIRECTIONS: u32 = 8;

/// Loads on one tool, safety included, N, and the points of its axis at which they act, mm from over the mount's middle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ToolLoad {
    /// Working load across the axis.
    work_n: f64,
    work_at: AxisPoint,
    /// Weight, or what is missing to the least hold.
    weight_n: f64,
    weight_at: AxisPoint,
    /// Weight and working load along the axis.
    along_n: f64,
}

/// Point of a tool's axis at which a load acts, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
enum AxisPoint {
    /// From over the mount's middle.
    FromMount(f64),
    /// From the middle of the only clip, whose place follows from its length.
    FromClip(f64),
}

impl AxisPoint {
    /// Place from over the mount's middle, mm.
    fn place_mm(self, on: &ToolSupport) -> f64 {
        match self {
            Self::FromMount(at_mm) => at_mm,
            Self::FromClip(at_mm) => on.stations.first().map_or(0.0, |station| station.at_mm) + at_mm,
        }
    }

    fn is_near(self, other: Self) -> bool {
        match (self, other) {
            (Self::FromMount(a), Self::FromMount(b)) | (Self::FromClip(a), Self::FromClip(b)) => (a - b).abs() < 1e-9,
            _ => false,
        }
    }
}

/// Places of the clips of a holder.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct StationLayout {
    offset_mm: f64,
    pitch_rad: f64,
    /// Middles of the clips, along the tool's axis from over the mount's middle, mm.
    places_mm: Vec<f64>,
    /// Lengths of the clips, mm; absent when they are sized.
    lengths_mm: Option<Vec<f64>>,
    stop_at_mm: Option<f64>,
    /// Length of the mount with which the only clip is flush at the lower end, mm; absent if the clips have places of their
    /// own.
    flush_mount_mm: Option<f64>,
}

impl StationLayout {
    pub(crate) fn new(spec: &Spec) -> Self {
        let layout = &spec.layout;
        Self {
            offset_mm: layout.offset_mm,
            pitch_rad: layout.pitch_rad,
            places_mm: layout.stations_mm.clone(),
            lengths_mm: layout.lengths_mm.clone(),
            stop_at_mm: layout.stop_at_mm,
            flush_mount_mm: (spec.finish.parting == Parting::End).then_some(spec.body.mount_length_mm),
        }
    }

    /// True if the place of the only clip follows from its length.
    pub(crate) fn is_flush(&self) -> bool {
        self.flush_mount_mm.is_some()
    }

    /// Middle and length of each clip when they are sized to `sized_mm`, mm: the middles along the tool's axis from over the
    /// mount's middle.
    pub(crate) fn clips_mm(&self, sized_mm: f64) -> Vec<[f64; 2]> {
        let lengths = self.lengths_mm.clone().unwrap_or_else(|| self.places_mm.iter().map(|_| sized_mm).collect());
        let place = |(at_mm, length_mm): (&f64, f64)| {
            let flush_mm = self.flush_mount_mm.map(|mount_mm| flush_middle_mm(length_mm, mount_mm));
            [flush_mm.unwrap_or(*at_mm), length_mm]
        };
        self.places_mm.iter().zip(lengths).map(place).collect()
    }

    /// The same places at another offset, mm.
    pub(crate) fn at_offset(&self, offset_mm: f64) -> Self {
        Self { offset_mm, ..self.clone() }
    }

    pub(crate) fn offset_mm(&self) -> f64 {
        self.offset_mm
    }

    /// A single clip over the mount's middle.
    #[cfg(test)]
    pub(crate) fn single(offset_mm: f64) -> Self {
        Self {
            offset_mm,
            pitch_rad: 0.0,
            places_mm: vec![0.0],
            lengths_mm: None,
            stop_at_mm: None,
            flush_mount_mm: None,
        }
    }

    /// A single clip that is flush with a mount at the lower end.
    #[cfg(test)]
    pub(crate) fn flush(offset_mm: f64, mount_mm: f64) -> Self {
        Self { flush_mount_mm: Some(mount_mm), ..Self::single(offset_mm) }
    }
}

/// Middle of a clip that is flush with the mount at the lower end, from over the mount's middle, mm.
pub(crate) fn flush_middle_mm(clip_length_mm: f64, mount_length_mm: f64) -> f64 {
    0.5 * (clip_length_mm - mount_length_mm)
}

/// Loads in several cases, each the forces that act at once.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct LoadCases<T> {
    /// Working load and weight across the axis.
    pub(crate) across: Vec<T>,
    /// Working load and weight along the axis.
    pub(crate) along: Vec<T>,
}

impl<T> LoadCases<T> {
    /// The cases across the axis, then those along it.
    pub(crate) fn all(&self) -> impl Iterator<Item = &T> {
        self.across.iter().chain(&self.along)
    }
}

impl ToolLoad {
    pub(crate) fn new(spec: &Spec, tool: &Tool) -> Self {
        let (stations, safety) = (&StationLayout::new(spec), spec.fit.hold_safety);
        let weight = weight_n(spec, tool);
        let total = |work: f64| (work + weight).max(spec.fit.hold_at_least_n);
        let aimed = spec.layout.aim.map(|aim| aim.ahead_mm);
        let work_at = tool.load_at_mm.or(aimed).map(AxisPoint::FromMount);
        Self {
            work_n: safety * tool.load_across_n,
            work_at: work_at.unwrap_or_else(|| from_middle(stations, 0.0)),
            weight_n: safety * (total(tool.load_across_n) - tool.load_across_n),
            weight_at: centre_of_mass(stations, tool.centre_mm),
            along_n: safety * total(tool.load_along_n),
        }
    }

    /// Loads of equal size across and along the axis, over the mount's middle, N.
    #[cfg(test)]
    pub(crate) const fn in_the_middle(load_n: f64) -> Self {
        Self {
            work_n: load_n,
            work_at: AxisPoint::FromMount(0.0),
            weight_n: 0.0,
            weight_at: AxisPoint::FromMount(0.0),
            along_n: load_n,
        }
    }

    /// A load across over the middle of a flush clip, N.
    #[cfg(test)]
    pub(crate) const fn over_the_clip(load_n: f64) -> Self {
        let at = AxisPoint::FromClip(0.0);
        Self { work_n: load_n, work_at: at, weight_n: 0.0, weight_at: at, along_n: load_n }
    }

    /// True if these loads are at least as great, each at the same point.
    pub(crate) fn covers(&self, other: &Self) -> bool {
        let covers =
            |own_n: f64, n: f64, own_at: AxisPoint, at: AxisPoint| n <= 0.0 || (own_n >= n && own_at.is_near(at));
        covers(self.work_n, other.work_n, self.work_at, other.work_at)
            && covers(self.weight_n, other.weight_n, self.weight_at, other.weight_at)
            && self.along_n >= other.along_n
    }

    /// The same loads multiplied by a factor.
    #[must_use]
    pub(crate) fn scaled(self, factor: f64) -> Self {
        Self { work_n: factor * self.work_n, weight_n: factor * self.weight_n, along_n: factor * self.along_n, ..self }
    }

    /// Working load and weight, both out of the mouths, with their causes.
    pub(crate) fn out_of_the_mouth(&self, on: &ToolSupport) -> [(&'static str, PointLoad); 2] {
        let [_, out, _] = on.directions();
        let load = |force_n: f64, at: AxisPoint| PointLoad {
            force_n: out.map(|d| force_n * d),
            at_mm: on.point_at(at.place_mm(on)),
        };
        [("work", load(self.work_n, self.work_at)), ("weight", load(self.weight_n, self.weight_at))]
    }

    /// All cases. The loads act on the tool; in one case across, the weight may act with the working load or against it.
    pub(crate) fn cases(&self, on: &ToolSupport) -> LoadCases<Vec<PointLoad>> {
        let [_, _, along] = on.directions();
        let load = |direction: [f64; 3], force_n: f64, at_mm: f64| PointLoad {
            force_n: direction.map(|d| force_n * d),
            at_mm: on.point_at(at_mm),
        };
        let [work_at_mm, weight_at_mm] = [self.work_at, self.weight_at].map(|at| at.place_mm(on));
        let mut across = Vec::new();
        for direction in across_directions(on) {
            for sense in [1.0, -1.0] {
                let work = load(direction, self.work_n, work_at_mm);
                across.push(vec![work, load(direction, sense * self.weight_n, weight_at_mm)]);
            }
        }
        let along = [1.0, -1.0].map(|sense| vec![load(along, sense * self.along_n, weight_at_mm)]);
        LoadCases { across, along: along.to_vec() }
    }

    /// True if no case turns a clip: a single one that all loads act over.
    pub(crate) fn is_centred(&self, stations: &StationLayout) -> bool {
        let middle = from_middle(stations, 0.0);
        let at_middle = |force_n: f64, at: AxisPoint| force_n <= 0.0 || at.is_near(middle);
        stations.places_mm.len() == 1
            && at_middle(self.work_n, self.work_at)
            && at_middle(self.weight_n, self.weight_at)
    }
}

/// Weight of a tool with the factor for use in motion, N.
pub(crate) fn weight_n(spec: &Spec, tool: &Tool) -> f64 {
    spec.fit.shock * tool.mass_kg * STANDARD_GRAVITY_M_PER_S2
}

/// Directions across the tool in which loads are tried, in the holder's axes.
pub(crate) fn across_directions(on: &ToolSupport) -> impl Iterator<Item = [f64; 3]> {
    let [x, out, _] = on.directions();
    (0..DIRECTIONS).map(move |k| {
        let (sin, cos) = (std::f64::consts::TAU * f64::from(k) / f64::from(DIRECTIONS)).sin_cos();
        std::array::from_fn(|i| cos * x[i] + sin * out[i])
    })
}

/// The tool on its clips; `sized_mm` is the length of those that the layout gives no length.
///
/// All clips of a holder have the same section, so that their stiffness goes with their length.
pub(crate) fn tool_support(stations: &StationLayout, sized_mm: f64) -> ToolSupport {
    let station =
        |[at_mm, length_mm]: [f64; 2]| StationSupport { at_mm, length_mm, stiffness_n_per_mm: [length_mm; 3] };
    ToolSupport {
        offset_mm: stations.offset_mm,
        pitch_rad: stations.pitch_rad,
        stations: stations.clips_mm(sized_mm).into_iter().map(station).collect(),
    }
}

/// Wrenches on the clips about their own middles: across the mouth, out of it, along the tool; each with the clip's length.
pub(crate) fn clip_wrenches(load: &ToolLoad, stations: &StationLayout, sized_mm: f64) -> LoadCases<StationWrench> {
    let support = tool_support(stations, sized_mm);
    let axes = support.directions();
    let local = |v: [f64; 3]| axes.map(|axis| (0..3).map(|i| v[i] * axis[i]).sum::<f64>());
    let on_clips = |cases: &[Vec<PointLoad>]| {
        let of_case = |case: &Vec<PointLoad>| support.station_wrenches(case);
        let wrenches =
            cases.iter().flat_map(|case| of_case(case).into_iter().zip(&support.stations).collect::<Vec<_>>());
        let on_clip = |(wrench, station): (Wrench, &StationSupport)| StationWrench {
            length_mm: station.length_mm,
            wrench: Wrench { force_n: local(wrench.force_n), moment_nmm: local(wrench.moment_nmm) },
        };
        let loads = wrenches.map(on_clip).collect();
        // Clips of other lengths bear other loads.
        if stations.lengths_mm.is_none() { undominated(loads, |load: &StationWrench| load.wrench) } else { loads }
    };
    let cases = load.cases(&support);
    LoadCases { across: on_clips(&cases.across), along: on_clips(&cases.along) }
}

/// Load on one clip of a holder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct StationWrench {
    /// Length of the clip, mm.
    pub(crate) length_mm: f64,
    pub(crate) wrench: Wrench,
}

/// Middle of the clips along the tool's axis when they are sized to `sized_mm`, weighted by their lengths where these are
/// given, mm.
pub(crate) fn clips_middle_mm(stations: &StationLayout, sized_mm: f64) -> f64 {
    // Without given lengths all weigh the same.
    let weight = |length_mm: f64| if stations.lengths_mm.is_some() { length_mm } else { 1.0 };
    let clips = stations.clips_mm(sized_mm);
    let length: f64 = clips.iter().map(|[_, length_mm]| weight(*length_mm)).sum();
    clips.iter().map(|[at_mm, length_mm]| at_mm * weight(*length_mm)).sum::<f64>() / length
}

/// Point at a distance from the middle of the clips, mm.
fn from_middle(stations: &StationLayout, at_mm: f64) -> AxisPoint {
    if stations.is_flush() {
        return AxisPoint::FromClip(at_mm);
    }
    // Clips that are not flush stand where they stand, whatever their length.
    AxisPoint::FromMount(clips_middle_mm(stations, 1.0) + at_mm)
}

/// Place of a centre of mass that is given from the stop toward the clips, or without a stop from the middle of the clips.
fn centre_of_mass(stations: &StationLayout, centre_mm: Option<f64>) -> AxisPoint {
    match (centre_mm, stations.stop_at_mm) {
        (Some(centre), Some(at)) if at > clips_middle_mm(stations, 1.0) => AxisPoint::FromMount(at - centre),
        (Some(centre), Some(at)) => AxisPoint::FromMount(at + centre),
        (centre, None) => from_middle(stations, centre.unwrap_or(0.0)),
        (None, Some(_)) => from_middle(stations, 0.0),
    }
}

/// Loads whose wrench no other exceeds in every component of the same sign.
pub(crate) fn undominated<T>(loads: Vec<T>, wrench: impl Fn(&T) -> Wrench) -> Vec<T> {
    let components = |load: &T| {
        let Wrench { force_n, moment_nmm } = wrench(load);
        [force_n, moment_nmm].concat()
    };
    let exceeds = |a: &T, b: &T| {
        let pairs = components(a).into_iter().zip(components(b));
        pairs.into_iter().all(|(a, b)| b.abs() < 1e-9 || (a * b > 0.0 && a.abs() >= b.abs() - 1e-9))
    };
    let mut kept: Vec<T> = Vec::new();
    for load in loads {
        if !kept.iter().any(|other| exceeds(other, &load)) {
            kept.retain(|other| !exceeds(&load, other));
            kept.push(load);
        }
    }
    kept
}
