//! Report of a mould: the page `mould-report.html` beside its files.

use gripwright_input::Spec;
use gripwright_report::{BenchSheet, MouldPage, SceneGroup, SourceText, mould_page};
use serde_json::Value;

use crate::{
    cautions::{CautionStep, PRECEDENCE},
    design_report::{page_cautions, part_mesh, revision, solid_mesh},
    mould::mould_plan::MouldPlan,
    seal::sealed,
    version::MADE_BY,
};

/// Name of the file with the report of a mould. The report of a design has another: both may lie in one folder.
pub(crate) const MOULD_REPORT: &str = "mould-report.html";

/// Returns the page with its seal.
pub(crate) fn mould_report(
    spec: &Spec,
    plan: &MouldPlan,
    sheet: &BenchSheet,
    document: &Value,
    sources: Vec<SourceText>,
) -> String {
    let page = MouldPage {
        title: format!("{}: mould", spec.name),
        subtitle: format!("Report of a run of {MADE_BY}. Lengths in mm, masses in g."),
        revision: revision(&sources),
        facts: sheet.facts.clone(),
        steps: sheet.steps.iter().map(|step| step.name.clone()).collect(),
        sheet: "bench-sheet.html".to_owned(),
        scene: scene(plan),
        cautions: page_cautions(spec, &CautionStep::OF_MOULD),
        precedence: PRECEDENCE.to_owned(),
        sources,
    };
    sealed(&mould_page(&page, document), "<!-- ", " -->\n")
}

/// Masters, and every printed part of the mould once.
fn scene(plan: &MouldPlan) -> Vec<SceneGroup> {
    let masters = plan.masters.iter().zip(&plan.printed).enumerate().map(|(index, (master, printed))| SceneGroup {
        letter: format!("{}", index + 1),
        words: format!("{}, {} in the mould", master.name, master.count),
        meshes: vec![part_mesh(printed)],
    });
    let parts = plan.parts.iter().enumerate().map(|(index, part)| SceneGroup {
        letter: format!("{}", plan.masters.len() + index + 1),
        words: part.solid.name().to_owned(),
        meshes: solid_mesh(part.solid.brep()).into_iter().collect(),
    });
    masters.chain(parts).collect()
}
