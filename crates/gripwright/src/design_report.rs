//! Report of a design: the page `report.html` that comes with every run.

mod scene;
mod seat_views;
mod side_views;

use gripwright_input::Spec;
use gripwright_report::{MouldFactSheet, PageCaution, RunPage, SourceText, StillPicture, run_page};
use gripwright_sizing::Design;
use serde_json::Value;

pub(crate) use scene::{part_mesh, solid_mesh};

use crate::{
    cautions::{CautionStep, PRECEDENCE, cautions_of},
    mould::bench_facts_of_plan::bench_sheet,
    mould::mould_plan::MouldPlan,
    recorded_files::NamedFiles,
    seal::{sealed, sha256},
    solids::{Outputs, Parts},
    version::MADE_BY,
};

/// Name of the file with the report of a design.
pub(crate) const REPORT: &str = "report.html";
/// Name of the spec among the texts of a report.
const SPEC: &str = "the spec";
/// Longest text that a report carries, bytes.
const LONGEST_TEXT: usize = 120_000;
/// Digits of the digest that a revision has.
const REVISION_DIGITS: usize = 12;

/// What a report tells besides the design and its document.
#[derive(Clone, Copy)]
pub(crate) struct ReportContext<'a> {
    /// Parts that were made.
    pub(crate) parts: &'a Parts,
    /// Text of the spec.
    pub(crate) spec_text: &'a str,
    /// Files that the spec names.
    pub(crate) named_files: &'a NamedFiles,
    /// Warnings about the spec.
    pub(crate) warnings: &'a [String],
    /// Mould of the holders; absent if none is planned with them.
    pub(crate) mould: Option<&'a MouldPlan>,
}

/// Returns the page with its seal: another command may write a file of its name into the same folder.
pub(crate) fn design_report(
    spec: &Spec,
    design: &Design,
    document: &Value,
    still: Option<&[u8]>,
    context: &ReportContext<'_>,
) -> String {
    let sources = source_texts(context.spec_text, context.named_files);
    let outputs = if context.parts.holders.is_empty() { Outputs::CouponsOnly } else { Outputs::Everything };
    let page = RunPage {
        title: spec.name.clone(),
        subtitle: format!("Report of a run of {MADE_BY}. Lengths in mm, forces in N."),
        revision: revision(&sources),
        next_steps: next_steps(spec),
        warnings: context.warnings.to_vec(),
        cautions: page_cautions(
            spec,
            if outputs == Outputs::Everything { &CautionStep::ALL } else { &CautionStep::OF_COUPONS },
        ),
        precedence: PRECEDENCE.to_owned(),
        still: still
            .map(|png| StillPicture { words: "All holders and sleeves, side by side".to_owned(), png: png.to_vec() }),
        scene: scene::scene(spec, design, context.parts),
        seats: seat_views::seat_views(spec, design),
        sides: side_views::side_views(spec, design),
        mould: context.mould.map(|plan| mould_facts(spec, design, plan)),
        sources,
    };
    sealed(&run_page(&page, document), "<!-- ", " -->\n")
}

/// Texts that a run was made from, the spec first.
pub(crate) fn source_texts(spec_text: &str, named: &NamedFiles) -> Vec<SourceText> {
    let source = |name: &str, bytes: &[u8]| SourceText {
        name: name.to_owned(),
        sha256: sha256(bytes),
        text: std::str::from_utf8(bytes).ok().filter(|text| text.len() <= LONGEST_TEXT).map(str::to_owned),
    };
    let spec = source(SPEC, spec_text.as_bytes());
    std::iter::once(spec).chain(named.iter().map(|(name, bytes)| source(name, bytes))).collect()
}

/// Line with digits that change with the spec and with every file that it names.
pub(crate) fn revision(sources: &[SourceText]) -> String {
    let digests: Vec<&str> = sources.iter().map(|source| source.sha256.as_str()).collect();
    format!("Revision {}", &sha256(digests.concat().as_bytes())[..REVISION_DIGITS])
}

fn next_steps(spec: &Spec) -> Vec<String> {
    let steps: &[&str] = if spec.calibration.is_none() {
        &[
            "Print the coupons and try them, as `coupons-card.html` says.",
            "Write down in `trials.csv` what happened; `gripwright calibrate SPEC trials.csv` then corrects the bores for your printer.",
        ]
    } else {
        &[
            "This design uses a calibration. Print the part, and mind the cautions at the first snap.",
            "`gripwright coupons SPEC --next` makes the coupons that would teach most, if you want to know more.",
        ]
    };
    steps.iter().map(|step| (*step).to_owned()).collect()
}

/// Cautions of some steps as a page holds them.
pub(crate) fn page_cautions(spec: &Spec, steps: &[CautionStep]) -> Vec<PageCaution> {
    let caution = |caution: crate::cautions::Caution| PageCaution {
        step: caution.step.word().to_owned(),
        subject: caution.subject.to_owned(),
        text: caution.text.into_owned(),
    };
    cautions_of(spec, steps).into_iter().map(caution).collect()
}

fn mould_facts(spec: &Spec, design: &Design, plan: &MouldPlan) -> MouldFactSheet {
    let sheet = bench_sheet(spec, design, plan);
    MouldFactSheet {
        facts: sheet.facts,
        steps: sheet.steps.into_iter().map(|step| step.name).collect(),
        sheet: "bench-sheet.html".to_owned(),
    }
}
