//! Figures beside a calibration: estimates before and after the trials, the coupons tried, and the odds of holding.

use gripwright_calibration::{MarginalDensity, Posterior};
use gripwright_export::figure::{
    CouponMapRow, CouponTrial, DensityPanel, FitComparison, TrialMark, coupon_map, density_panels, fit_comparison,
};
use gripwright_input::{Calibration, RecordedUpdate, Spec, TrialOutcome};
use gripwright_sizing::Design;

use crate::calibration_run::CalibrationRun;

/// Returns the figures as SVG files. Their names are to be appended to the name of the calibration.
pub(crate) fn figures(spec: &Spec, design: &Design, run: &CalibrationRun) -> [(&'static str, String); 3] {
    let name = &spec.name;
    let (calibration, before, after) = (&run.calibration, &run.before, &run.after);
    [
        (
            "beliefs.svg",
            density_panels(&format!("What the trials taught: {name}"), &panels(calibration, before, after)),
        ),
        ("coupons.svg", coupon_map(&format!("Coupons that were tried: {name}"), &map_rows(calibration, spec, design))),
        ("fit.svg", fit_comparison(&format!("Fit before and after: {name}"), &fit_rows(spec, before, after))),
    ]
}

fn panels(calibration: &Calibration, before: &Posterior, after: &Posterior) -> Vec<DensityPanel> {
    let panel =
        |title: &str, change: &RecordedUpdate, [before, after]: [&MarginalDensity; 2], unit: &str| DensityPanel {
            title: title.to_owned(),
            before: before.points.clone(),
            after: after.points.clone(),
            interval90: change.after.interval90,
            caption: format!(
                "{:.3}{unit}, 90 % within {:.3} to {:.3}",
                (1000.0 * change.after.median).round() / 1000.0 + 0.0,
                change.after.interval90[0],
                change.after.interval90[1]
            ),
        };
    let mut panels = vec![
        panel(
            "bore error of the printer, mm",
            &calibration.bore_error,
            [&before.common_error_density, &after.common_error_density],
            " mm",
        ),
        panel(
            "stiffness, times the middle",
            &calibration.stiffness,
            [&before.stiffness_density, &after.stiffness_density],
            "",
        ),
        panel("friction", &calibration.friction, [&before.friction_density, &after.friction_density], ""),
    ];
    for ((size, before), after) in calibration.sizes.iter().zip(&before.sizes).zip(&after.sizes) {
        let what = if size.letter == 'M' {
            "error of the mount, mm".to_owned()
        } else {
            format!("bore error of size {}, mm", size.letter)
        };
        panels.push(panel(&what, &size.error, [&before.error_density, &after.error_density], " mm"));
    }
    panels
}

fn map_rows(calibration: &Calibration, spec: &Spec, design: &Design) -> Vec<CouponMapRow> {
    let mut rows = Vec::new();
    for size in &calibration.sizes {
        let of_design = design.sizes.iter().find(|s| s.letter == size.letter);
        let tools: Vec<Option<String>> = match of_design {
            Some(s) => s.tools.iter().filter_map(|t| spec.tools.get(*t)).map(|t| Some(t.name.clone())).collect(),
            None => vec![None],
        };
        for tool in tools {
            let tried = calibration.rounds.iter().flat_map(|round| &round.rows);
            let tried = tried.filter(|row| row.letter == size.letter && row.tool == tool);
            rows.push(CouponMapRow {
                label: format!("{}  {}", size.letter, tool.as_deref().unwrap_or("body")),
                trials: tried.map(|row| CouponTrial { step_mm: row.step_mm, mark: mark(row.outcome) }).collect(),
                draw_mm: size.draw_mm,
                interval90_mm: size.draw_interval90,
            });
        }
    }
    rows
}

fn mark(outcome: TrialOutcome) -> TrialMark {
    match outcome {
        TrialOutcome::FellOut => TrialMark::FellOut,
        TrialOutcome::Loose => TrialMark::Loose,
        TrialOutcome::Good => TrialMark::Good,
        TrialOutcome::Tight => TrialMark::Tight,
        TrialOutcome::WouldNotGo => TrialMark::WouldNotGo,
        TrialOutcome::Cracked => TrialMark::Cracked,
    }
}

fn fit_rows(spec: &Spec, before: &Posterior, after: &Posterior) -> Vec<FitComparison> {
    let mut rows = Vec::new();
    for (before, after) in before.sizes.iter().zip(&after.sizes) {
        for (was, is) in before.hold_odds.iter().zip(&after.hold_odds) {
            let name =
                if after.letter == 'M' { "body" } else { spec.tools.get(was.tool).map_or("", |t| t.name.as_str()) };
            rows.push(FitComparison {
                label: format!("{}  {name}", after.letter),
                before: was.probability,
                after: is.probability,
            });
        }
    }
    rows
}
