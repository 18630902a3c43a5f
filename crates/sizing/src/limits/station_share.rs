//! Share of load, push and length of each clip of a holder.

use gripwright_input::{Layout, Tool};
use gripwright_mechanics::Interval;
use gripwright_section::LEAST_PAD_GAP_MM;

use crate::limits::design_limits::{DesignLimits, ToolDemand};

/// Shortest useful clip, mm: common practice, no source.
pub(crate) const SHORTEST_CLIP_MM: f64 = 4.0;

/// Limits of one of the clips that share a tool, and the hold that each must give.
///
/// The clips are pressed on together, which is the worst case of the push; a load is shared in proportion to length.
pub(crate) fn share_among_clips(
    layout: &Layout,
    tools: &[Tool],
    limits: &DesignLimits,
    demands: &[ToolDemand],
) -> (DesignLimits, Vec<ToolDemand>) {
    let clips = clip_count(layout);
    let limits = DesignLimits {
        snap_on_n: limits.snap_on_n / clips,
        take_off_n: limits.take_off_n / clips,
        clips,
        length_range_mm: length_range_mm(layout, tools),
        ..limits.clone()
    };
    let share = |d: &ToolDemand| ToolDemand { across_n: d.across_n / clips, along_n: d.along_n / clips, ..*d };
    (limits, demands.iter().map(share).collect())
}

/// Number of clips that grip a tool.
pub(crate) fn clip_count(layout: &Layout) -> f64 {
    layout.stations_mm.iter().map(|_| 1.0).sum()
}

/// Shortest and longest clip, mm: the mean of the given lengths, or the room between neighbours.
fn length_range_mm(layout: &Layout, tools: &[Tool]) -> Interval {
    if let Some(lengths) = &layout.lengths_mm {
        return Interval::exactly(lengths.iter().sum::<f64>() / clip_count(layout));
    }
    let between = layout.stations_mm.windows(2).map(|pair| pair[1] - pair[0] - LEAST_PAD_GAP_MM);
    let to_stop = layout.stop_at_mm.into_iter().map(|at| {
        let nearest = layout.stations_mm.iter().map(|s| (s - at).abs()).fold(f64::INFINITY, f64::min);
        2.0 * (nearest - LEAST_PAD_GAP_MM)
    });
    let greatest = between.chain(to_stop).chain(on_barrels_mm(layout, tools)).fold(f64::INFINITY, f64::min);
    Interval { least: 0.0, greatest }
}

/// Longest clips that still grip all of their length on the shortest barrel, mm.
fn on_barrels_mm(layout: &Layout, tools: &[Tool]) -> Option<f64> {
    let shortest = tools.iter().filter_map(|t| t.length_mm).fold(f64::INFINITY, f64::min);
    let (low, high) = (*layout.stations_mm.first()?, *layout.stations_mm.last()?);
    let room = match layout.stop_at_mm {
        Some(at) if at < low => 2.0 * (at + shortest - high),
        Some(at) => 2.0 * (low - at + shortest),
        None => shortest - (high - low),
    };
    shortest.is_finite().then_some(room)
}

/// Stations without room for a clip between them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum StationCollision {
    /// The station of this index is too near to the one before it; the least place that is not, mm.
    Stations { index: usize, least_mm: f64 },
    /// The stop is too near to a station; the least distance, mm.
    Stop { at_mm: f64, least_mm: f64 },
}

/// The first stations, or station and stop, that leave no room for a clip.
pub(crate) fn station_collision(layout: &Layout) -> Option<StationCollision> {
    if layout.lengths_mm.is_some() {
        return None;
    }
    let least = SHORTEST_CLIP_MM + LEAST_PAD_GAP_MM;
    let close = layout.stations_mm.windows(2).position(|pair| pair[1] - pair[0] < least - 1e-9);
    if let Some(index) = close {
        return Some(StationCollision::Stations { index: index + 1, least_mm: layout.stations_mm[index] + least });
    }
    let at_mm = layout.stop_at_mm?;
    let least_mm = 0.5 * SHORTEST_CLIP_MM + LEAST_PAD_GAP_MM;
    let nearest = layout.stations_mm.iter().map(|s| (s - at_mm).abs()).fold(f64::INFINITY, f64::min);
    (nearest < least_mm - 1e-9).then_some(StationCollision::Stop { at_mm, least_mm })
}
