//! Share of load, push and length of each clip of a holder.

use gripwright_input::Spec;
use gripwright_section::LEAST_PAD_GAP_MM;

use crate::limits::design_limits::{DesignLimits, ToolDemand};

/// Shortest clip that is worth its place, mm: common practice, no source.
pub(crate) const SHORTEST_CLIP_MM: f64 = 4.0;

/// The rules of one of the clips that share a tool, and what each has to hold.
///
/// The clips are pressed on together, which is the worst case of the push; a load is shared in proportion to length.
pub(crate) fn share_among_clips(
    spec: &Spec,
    limits: &DesignLimits,
    demands: &[ToolDemand],
) -> (DesignLimits, Vec<ToolDemand>) {
    let clips = clip_count(spec);
    let limits = DesignLimits {
        snap_on_n: limits.snap_on_n / clips,
        clips,
        length_range_mm: length_range_mm(spec),
        ..limits.clone()
    };
    let share = |d: &ToolDemand| ToolDemand { across_n: d.across_n / clips, along_n: d.along_n / clips, ..*d };
    (limits, demands.iter().map(share).collect())
}

/// How many clips grip a tool.
pub(crate) fn clip_count(spec: &Spec) -> f64 {
    spec.layout.stations_mm.iter().map(|_| 1.0).sum()
}

/// Shortest and longest clip: the middle of the lengths that are given, or what the neighbours leave.
fn length_range_mm(spec: &Spec) -> [f64; 2] {
    let layout = &spec.layout;
    if let Some(lengths) = &layout.lengths_mm {
        let middle = lengths.iter().sum::<f64>() / clip_count(spec);
        return [middle, middle];
    }
    let between = layout.stations_mm.windows(2).map(|pair| pair[1] - pair[0] - LEAST_PAD_GAP_MM);
    let to_stop = layout.stop_at_mm.into_iter().map(|at| {
        let nearest = layout.stations_mm.iter().map(|s| (s - at).abs()).fold(f64::INFINITY, f64::min);
        2.0 * (nearest - LEAST_PAD_GAP_MM)
    });
    [0.0, between.chain(to_stop).chain(on_barrels_mm(spec)).fold(f64::INFINITY, f64::min)]
}

/// Longest clips that still grip all of their length on the shortest barrel, mm.
fn on_barrels_mm(spec: &Spec) -> Option<f64> {
    let layout = &spec.layout;
    let shortest = spec.tools.iter().filter_map(|t| t.length_mm).fold(f64::INFINITY, f64::min);
    let (low, high) = (*layout.stations_mm.first()?, *layout.stations_mm.last()?);
    let room = match layout.stop_at_mm {
        Some(at) if at < low => 2.0 * (at + shortest - high),
        Some(at) => 2.0 * (low - at + shortest),
        None => shortest - (high - low),
    };
    shortest.is_finite().then_some(room)
}
