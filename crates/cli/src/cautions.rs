//! Cautions as text for the terminal.

use gripwright::{
    Outputs,
    cautions::{Caution, CautionStep, PRECEDENCE, cautions_of},
    input::Spec,
};

use crate::text_report::TextReport;

/// Returns the cautions for what was made, step by step.
pub(crate) fn text(spec: &Spec, outputs: Outputs) -> String {
    match outputs {
        Outputs::CouponsOnly => text_of_steps(spec, &CautionStep::OF_COUPONS),
        Outputs::Everything => text_of_steps(spec, &CautionStep::ALL),
    }
}

/// Returns the cautions for a mould; its bench sheet has those of each step of the work.
pub(crate) fn of_mould(spec: &Spec) -> String {
    text_of_steps(spec, &CautionStep::OF_MOULD)
}

fn text_of_steps(spec: &Spec, steps: &[CautionStep]) -> String {
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
