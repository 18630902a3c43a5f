//! Parts of a spec that fit tables need.

use gripwright_input::{Spec, Tool};
use gripwright_mechanics::Interval;

use crate::limits::design_limits::ProcessSpreads;

/// Tools, tolerances and limits of a fit table.
#[derive(Clone, Debug)]
pub(crate) struct FitBrief<'a> {
    /// In the order of the spec.
    pub(crate) tools: &'a [Tool],
    pub(crate) spreads: ProcessSpreads,
    /// Standard uncertainty of the body's width, mm.
    pub(crate) body_spread_mm: f64,
    /// The whole allowance of the aim, mm; no limit when absent.
    pub(crate) aim_within_mm: Option<f64>,
    /// Share of the grip that is left after 1,000 h.
    pub(crate) grip_after_1000_h: Interval,
}

impl<'a> FitBrief<'a> {
    pub(crate) fn new(spec: &'a Spec) -> Self {
        let left = spec.used_material().grip_after_1000_h;
        Self {
            tools: &spec.tools,
            spreads: ProcessSpreads::from_spec(spec),
            body_spread_mm: spec.body.spread_mm,
            aim_within_mm: spec.layout.aim.map(|aim| aim.within_mm),
            grip_after_1000_h: Interval { least: left.least, greatest: left.greatest },
        }
    }
}
