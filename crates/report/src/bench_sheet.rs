//! Content of a bench sheet: a work instruction, step by step.

use serde::Serialize;

use crate::drawing::Drawing;

/// A work instruction for the bench. [`bench_sheet_html`](crate::bench_sheet_html()) prints it; serialised, it is the
/// same sheet as JSON.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct BenchSheet {
    /// Title.
    pub title: String,
    /// Sentence or two below the title.
    pub subtitle: String,
    /// Line that says which version of what the sheet belongs to.
    pub revision: String,
    /// Sentence on what takes precedence over the sheet; it stands first.
    pub precedence: String,
    /// Facts in short, before the steps.
    pub facts: Vec<Fact>,
    /// Steps in the order of the work.
    pub steps: Vec<BenchStep>,
    /// Notes after the steps.
    pub notes: Vec<String>,
    /// Drawings on the last pages, to be laid beside the steps.
    pub drawings: Vec<Drawing>,
}

/// A fact in one row.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Fact {
    /// Name.
    pub name: String,
    /// Value, with its unit.
    pub value: String,
}

/// A step of the work.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct BenchStep {
    /// Name.
    pub name: String,
    /// Imperative sentences, in order.
    pub doing: Vec<String>,
    /// Quantities that the hand needs.
    pub quantities: Vec<Quantity>,
    /// Latest moment, as the clock shows it.
    pub latest: Option<String>,
    /// Conditions to check before the next step.
    pub checks: Vec<String>,
    /// Cautions that matter at this step; they stand before what is to be done.
    pub cautions: Vec<String>,
}

/// A quantity that the hand needs.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Quantity {
    /// Name.
    pub name: String,
    /// Value as it is to be read, without unit.
    pub value: String,
    /// Unit; may be empty.
    pub unit: String,
    /// True if what was weighed or measured is written beside it.
    pub noted: bool,
}
