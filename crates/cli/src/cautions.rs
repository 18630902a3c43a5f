//! Cautions as text for the terminal.

use gripwright::{
    Outputs,
    cautions::{Caution, CautionStep, PRECEDENCE, cautions_of},
    input::Spec,
};

use crate::text_report::TextReport;

/// Returns the cautions for what was made, step by step.
pub(crate) fn text(spec: &Spec, outputs: Outputs) -> String {
    let steps: &[CautionStep] = match outputs {
        Outputs::CouponsOnly => &CautionStep::OF_COUPONS,
        Outputs::Everything => &CautionStep::ALL,
    };
    let cautions = cautions_of(spec, steps);
    let mut out = TextReport::default();
    out.line("Cautions");
    let mut last = None;
    for Caution { step, subject, text } in &cautions {
        if last != Some(*step) {
            out.line(&format!("  {}", step.word()));
        }
        last = Some(*step);
        out.paragraph(&format!("{subject}: {text}"), "    ");
    }
    out.paragraph(PRECEDENCE, "  ");
    out.into_text()
}
