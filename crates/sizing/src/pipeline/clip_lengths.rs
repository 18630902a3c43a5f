//! Lengths of the clips for which a mount is sized, where their places follow from their lengths.

use gripwright_mechanics::Interval;

use crate::family::split::ClipGroup;

/// Shortest and longest clip that may carry each tool, over the passes of a run.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ClipLengths {
    /// In the order of the tools, mm.
    pub(crate) by_tool_mm: Vec<Interval>,
    passes: u32,
}

impl ClipLengths {
    /// First guess: all clips are as long as the mount, in the middle of which they then stand.
    pub(crate) fn of_mount(tools: usize, mount_length_mm: f64) -> Self {
        Self { by_tool_mm: vec![Interval::exactly(mount_length_mm); tools], passes: 0 }
    }

    /// Lengths for the next pass, or `None` if the clips of these groups are among these lengths.
    ///
    /// The second pass takes the clips of the first one. Later ones add theirs, and twice as much each time, so that they
    /// come to an end.
    pub(crate) fn next(&self, groups: &[ClipGroup]) -> Option<Self> {
        let found: Vec<(usize, f64)> =
            groups.iter().flat_map(|g| g.all_tools().map(|tool| (tool.index, g.clip.length_mm))).collect();
        let is_covered = |(index, length_mm): &(usize, f64)| {
            self.by_tool_mm.get(*index).is_none_or(|range| (range.least..=range.greatest).contains(length_mm))
        };
        if found.iter().all(is_covered) {
            return None;
        }
        let mut by_tool_mm = self.by_tool_mm.clone();
        for (index, length_mm) in found {
            let Some(range) = by_tool_mm.get_mut(index) else { continue };
            let own = Interval::exactly(length_mm);
            *range = if self.passes == 0 { own } else { range.hull(own) };
            let more = f64::from(self.passes.saturating_sub(1).min(16)).exp2();
            *range = Interval { least: range.least / more, greatest: range.greatest * more };
        }
        Some(Self { by_tool_mm, passes: self.passes + 1 })
    }
}
