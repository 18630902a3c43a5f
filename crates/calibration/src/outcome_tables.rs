//! Tables of outcome probabilities and forces of one tool, over the seat and over the bore error.

use gripwright_input::TrialOutcome;

use crate::{grid_axis::GridAxis, measurement_error::FORCE_FLOOR_N, size_model::CouponPrediction};

/// Steps and errors together reach so far, mm; seats farther off count as those at the ends.
const SEAT_REACH_MM: f64 = 1.5;

/// Settings of the tables of a tool.
#[derive(Clone, Copy)]
pub(crate) struct TableSettings {
    /// Share of rows that are outliers.
    pub(crate) lapse_rate: f64,
    /// Step of the axis of bore errors, mm.
    pub(crate) axis_step_mm: f64,
    /// Scatter from print to print, mm.
    pub(crate) scatter_mm: f64,
    /// Standard deviation that stands for a known seat, mm; absent if no row needs that table.
    pub(crate) known_seat_sd_mm: Option<f64>,
    /// True if any row has a force.
    pub(crate) with_forces: bool,
}

/// Tables of one tool over the change of the seat.
pub(crate) struct ToolTables {
    seats: GridAxis,
    /// Probability of each outcome with the scatter, and for a known seat.
    scattered: Vec<Vec<f64>>,
    known_seat: Vec<Vec<f64>>,
    /// Pull and slide.
    forces: Option<[Vec<f64>; 2]>,
}

/// Tables of a coupon of one step with one tool, over the bore error.
pub(crate) struct CouponTables {
    /// Probability of each outcome that occurred, with the scatter, and for a known seat.
    pub(crate) scattered: [Vec<f64>; TrialOutcome::ALL.len()],
    pub(crate) known_seat: [Vec<f64>; TrialOutcome::ALL.len()],
    /// Pull and slide.
    pub(crate) forces: Option<[ExpectedForce; 2]>,
}

/// A force over the bore error.
pub(crate) struct ExpectedForce {
    pub(crate) force_n: Vec<f64>,
    /// One over the standard deviation of its measurement, 1/N.
    pub(crate) inverse_sd: Vec<f64>,
}

impl ToolTables {
    pub(crate) fn new(prediction: &CouponPrediction<'_>, tool_slot: usize, settings: &TableSettings) -> Self {
        let seats = GridAxis::with_step(0.0, SEAT_REACH_MM, settings.axis_step_mm);
        let outcomes = |scatter_mm: f64| -> Vec<Vec<f64>> {
            let mut out = vec![Vec::with_capacity(seats.len()); TrialOutcome::ALL.len()];
            for seat in seats.values() {
                for (list, p) in out.iter_mut().zip(prediction.outcome_probabilities(tool_slot, seat, scatter_mm)) {
                    list.push((1.0 - settings.lapse_rate) * p);
                }
            }
            out
        };
        let forces: Option<Vec<_>> =
            seats.values().map(|seat| prediction.forces(tool_slot, seat).filter(|_| settings.with_forces)).collect();
        Self {
            seats,
            scattered: outcomes(settings.scatter_mm),
            known_seat: settings.known_seat_sd_mm.map_or_else(Vec::new, outcomes),
            forces: forces.map(|all| [all.iter().map(|f| f.pull_n).collect(), all.iter().map(|f| f.slide_n).collect()]),
        }
    }

    /// Tables of a coupon of one step, without any outcome yet.
    pub(crate) fn for_step(&self, step_mm: f64, axis: &GridAxis, force_log_sd: f64) -> CouponTables {
        let expected = |forces: &Vec<f64>| {
            let force_n = self.shifted(forces, step_mm, axis);
            let inverse_sd = force_n.iter().map(|force| 1.0 / (force_log_sd * force).max(FORCE_FLOOR_N)).collect();
            ExpectedForce { force_n, inverse_sd }
        };
        CouponTables {
            scattered: Default::default(),
            known_seat: Default::default(),
            forces: self.forces.as_ref().map(|forces| forces.each_ref().map(expected)),
        }
    }

    /// Adds the tables of one outcome to those of a coupon, unless they are there.
    pub(crate) fn add_outcome(&self, tables: &mut CouponTables, outcome: usize, step_mm: f64, axis: &GridAxis) {
        for (out, table) in [(&mut tables.scattered, &self.scattered), (&mut tables.known_seat, &self.known_seat)] {
            if let (true, Some(table)) = (out[outcome].is_empty(), table.get(outcome)) {
                out[outcome] = self.shifted(table, step_mm, axis);
            }
        }
    }

    /// Values over the seat, interpolated along the axis of bore errors for a coupon of this step.
    fn shifted(&self, values: &[f64], step_mm: f64, axis: &GridAxis) -> Vec<f64> {
        let last = self.seats.len() - 2;
        let at = |x: f64| {
            let position = ((step_mm + x - self.seats.value(0)) / self.seats.step()).clamp(0.0, last as f64 + 1.0);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between the axis' ends")]
            let low = (position as usize).min(last);
            values[low] + (position - low as f64) * (values[low + 1] - values[low])
        };
        axis.values().map(at).collect()
    }
}
