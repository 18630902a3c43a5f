//! Report of a calibration: what the trials taught, in figures and sentences, and what to try next.

use std::fmt::Write;

use base64::{Engine, engine::general_purpose::STANDARD};
use serde_json::Value;

use crate::{
    figures::{
        FigureForm::{Decimals, Text},
        Figures,
    },
    markup::escaped,
    page_parts::{
        PageCaution, PageHeading, PageSection, SourceText, capital, cautions_section, list, marked_code,
        page_of_sections, source_section,
    },
    page_table::{Cell, Table},
};

/// A figure of a calibration, as an SVG file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CalibrationFigure {
    /// What it shows.
    pub words: String,
    /// Text of the file.
    pub svg: String,
}

/// Content of the page besides the document of the calibration.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CalibrationPage {
    /// Title.
    pub title: String,
    /// Sentence below the title.
    pub subtitle: String,
    /// Line that says which version of spec and trials the page belongs to.
    pub revision: String,
    /// Why the spec has no design with this calibration; absent if it has one.
    pub refusal: Option<String>,
    /// Coupons that are worth printing next, in a sentence.
    pub next: String,
    /// Measurement that would teach most, in a sentence; absent when enough is known.
    pub measure: Option<String>,
    /// Sentences on the person who tried the coupons.
    pub person: Vec<String>,
    /// Figures.
    pub figures: Vec<CalibrationFigure>,
    /// Cautions, in the order of the work.
    pub cautions: Vec<PageCaution>,
    /// Sentence on what takes precedence over the cautions.
    pub precedence: String,
    /// Texts that the run was made from, the spec first, and the calibration.
    pub sources: Vec<SourceText>,
}

/// Returns the page. `document` is the document of the calibration as `--json` prints it.
pub fn calibration_page(page: &CalibrationPage, document: &Value) -> String {
    let figures = Figures::new(document);
    let sections = [
        PageSection::new("learnt", "What the trials taught", change_table(figures) + &size_table(figures)),
        PageSection::new("figures", "Figures", pictures(&page.figures)),
        PageSection::new("person", "What you call good", list(&texts(&page.person))),
        PageSection::new("contradictions", "Contradictions", list(&figures.texts("/contradictions"))),
        PageSection::new("cautions", "Cautions", cautions_section(&page.cautions, &page.precedence)),
        PageSection::new("source", "Made from", source_section(&page.sources)),
    ];
    let heading = PageHeading {
        title: &page.title,
        subtitle: &page.subtitle,
        revision: &page.revision,
        verdict: verdict(page, figures),
    };
    page_of_sections(&heading, &sections, &[("calibration", document)])
}

fn texts(all: &[String]) -> Vec<&str> {
    all.iter().map(String::as_str).collect()
}

fn verdict(page: &CalibrationPage, figures: Figures<'_>) -> String {
    let estimate = |key: &str| {
        format!(
            "{} mm (middle 90 %: {})",
            figures.html(&format!("{key}/after/median"), Decimals(2)),
            figures.range_html(&format!("{key}/after/middle_90"), Decimals(2))
        )
    };
    let rows = figures.html("/rows", Decimals(0));
    let class = if page.refusal.is_some() { " fails" } else { "" };
    let mut out = format!(
        "<div class=\"verdict{class}\">\n<p class=\"sentence\"><b>Learnt from {rows} rows.</b> This printer makes bores off by {}.</p>\n",
        estimate("/bore_error_mm")
    );
    if let Some(refusal) = &page.refusal {
        let _ = writeln!(out, "<p><b>No design:</b> {}</p>", marked_code(refusal));
    }
    let contradictions = figures.count("/contradictions");
    if contradictions > 0 {
        let _ = writeln!(out, "<p><b>Contradictions.</b> Some rows do not go together: see below.</p>");
    }
    let _ = writeln!(out, "<p><b>Next.</b> {}</p>", capital(&marked_code(&page.next)));
    if let Some(measure) = &page.measure {
        let _ = writeln!(out, "<p><b>Measure.</b> {}</p>", capital(&marked_code(measure)));
    }
    out.push_str("</div>\n");
    out
}

/// Estimates before and after the trials.
fn change_table(figures: Figures<'_>) -> String {
    let mut table = Table::new(
        "Estimates: median, and the middle 90 %",
        &[
            ("estimate", None),
            ("before", Some("")),
            ("middle 90 %", Some("")),
            ("after", Some("")),
            ("middle 90 %", Some("")),
        ],
    );
    for (words, key, digits) in [
        ("bore error, mm", "/bore_error_mm", 3),
        ("stiffness, times the middle", "/stiffness", 2),
        ("friction", "/friction", 2),
        ("print to print, mm", "/scatter_mm", 3),
    ] {
        let at = |when: &str| {
            [
                figures.html(&format!("{key}/{when}/median"), Decimals(digits)),
                figures.range_html(&format!("{key}/{when}/middle_90"), Decimals(digits)),
            ]
        };
        let cells = [at("before"), at("after")].concat();
        let cells = cells.into_iter().map(Cell::Figure);
        table.row(&std::iter::once(Cell::Words(words.to_owned())).chain(cells).collect::<Vec<_>>());
    }
    table.finish()
}

/// Seats of the sizes and the mount.
fn size_table(figures: Figures<'_>) -> String {
    let mut table = Table::new(
        "Seats",
        &[
            ("size", None),
            ("error of the seat", Some("mm")),
            ("middle 90 %", Some("mm")),
            ("drawn wider by", Some("mm")),
            ("middle 90 %", Some("mm")),
        ],
    );
    for index in 0..figures.count("/sizes") {
        let at = |key: &str| format!("/sizes/{index}/{key}");
        table.row(&[
            Cell::Words(figures.html(&at("size"), Text)),
            Cell::Figure(figures.html(&at("error_mm/after/median"), Decimals(3))),
            Cell::Figure(figures.range_html(&at("error_mm/after/middle_90"), Decimals(3))),
            Cell::Figure(figures.html(&at("draw_mm"), Decimals(2))),
            Cell::Figure(figures.range_html(&at("draw_90_mm"), Decimals(2))),
        ]);
    }
    table.finish()
}

/// Figures as pictures of their own, light as on paper.
fn pictures(all: &[CalibrationFigure]) -> String {
    let picture = |figure: &CalibrationFigure| {
        let (words, bytes) = (escaped(&figure.words), STANDARD.encode(&figure.svg));
        format!(
            "<figure>\n<figcaption><b>{words}</b></figcaption>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"{words}\"><img \
             class=\"still\" alt=\"{words}\" src=\"data:image/svg+xml;base64,{bytes}\"/></div>\n</figure>\n"
        )
    };
    all.iter().map(picture).collect()
}
