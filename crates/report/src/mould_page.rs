//! Report of a mould: masters and printed parts to look at, sizes on their way to the casting, release, batches.

use std::fmt::Write;

use serde_json::Value;

use crate::{
    bench_sheet::Fact,
    figures::{
        FigureForm::{Decimals, Percent, Text},
        Figures,
    },
    markup::escaped,
    page_parts::{
        PageCaution, PageHeading, PageSection, SourceText, cautions_section, page_of_sections, source_section,
    },
    page_table::{Cell, Table, file_table},
    run_page::view_section,
    scene::{SceneGroup, packed},
};

/// Content of the page besides the document of the mould.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MouldPage {
    /// Title.
    pub title: String,
    /// Sentence below the title.
    pub subtitle: String,
    /// Line that says which version of the spec and of what it names the page belongs to.
    pub revision: String,
    /// Facts in short.
    pub facts: Vec<Fact>,
    /// Names of the steps at the bench.
    pub steps: Vec<String>,
    /// Name of the file with the bench sheet.
    pub sheet: String,
    /// Masters and parts of the mould.
    pub scene: Vec<SceneGroup>,
    /// Cautions, in the order of the work.
    pub cautions: Vec<PageCaution>,
    /// Sentence on what takes precedence over the cautions.
    pub precedence: String,
    /// Texts that the run was made from, the spec first.
    pub sources: Vec<SourceText>,
}

/// Returns the page. `document` is the document of the mould as `--json` prints it.
pub fn mould_page(page: &MouldPage, document: &Value) -> String {
    let figures = Figures::new(document);
    let sections = [
        PageSection::new("view", "Masters and parts of the mould", view_section(&page.scene, None)),
        PageSection::new("sizes", "Sizes on their way", chain_table(figures)),
        PageSection::new("release", "Masters and release", master_table(figures)),
        PageSection::new("batches", "Batches", batch_table(figures)),
        PageSection::new("cautions", "Cautions", cautions_section(&page.cautions, &page.precedence)),
        PageSection::new("files", "Files", file_table(figures)),
        PageSection::new("source", "Made from", source_section(&page.sources)),
    ];
    let heading = PageHeading {
        title: &page.title,
        subtitle: &page.subtitle,
        revision: &page.revision,
        verdict: facts(page, figures),
    };
    let scene = packed(&page.scene);
    page_of_sections(&heading, &sections, &[("mould", document), ("scene", &scene)])
}

/// Facts in short, and where the work is told step by step.
fn facts(page: &MouldPage, figures: Figures<'_>) -> String {
    let held: Vec<String> = (0..figures.count("/masters"))
        .filter(|k| figures.count(&format!("/masters/{k}/release/concerns")) > 0)
        .map(|k| figures.html(&format!("/masters/{k}/name"), Text))
        .collect();
    let release = if held.is_empty() {
        "Every casting leaves its mould without a concern.".to_owned()
    } else {
        format!("Mind the release of {}.", held.join(", "))
    };
    let sheet = escaped(&page.sheet);
    let mut out = format!(
        "<div class=\"verdict\">\n<p class=\"sentence\"><b>The mould is planned.</b> {release}</p>\n<p><b>Next.</b> Print masters and \
         parts of the mould, then work through <a href=\"{sheet}\">{sheet}</a>, which has quantities, clock and drawings at true \
         size.</p>\n</div>\n<dl class=\"facts\">\n"
    );
    for fact in &page.facts {
        let _ = writeln!(out, "<dt>{}</dt><dd>{}</dd>", escaped(&fact.name), escaped(&fact.value));
    }
    let steps: Vec<String> = page.steps.iter().map(|step| escaped(step)).collect();
    let _ = writeln!(out, "</dl>\n<p><b>Steps.</b> {}.</p>", steps.join(", "));
    out
}

fn chain_table(figures: Figures<'_>) -> String {
    let mut table = Table::new(
        "From the master as drawn to the casting",
        &[
            ("size", None),
            ("wanted", Some("mm")),
            ("master drawn", Some("mm")),
            ("casting", Some("mm")),
            ("spread \u{b1}", Some("mm")),
            ("by", None),
        ],
    );
    for row in 0..figures.count("/chain") {
        let at = |key: &str| format!("/chain/{row}/{key}");
        let steps = 0..figures.count(&at("steps"));
        let steps: Vec<String> = steps
            .map(|k| {
                let step = |key: &str| at(&format!("steps/{k}/{key}"));
                format!("{} {}", figures.html(&step("name"), Text), figures.html(&step("after_mm"), Decimals(3)))
            })
            .collect();
        table.row(&[
            Cell::Words(figures.html(&at("size"), Text)),
            Cell::Figure(figures.html(&at("wanted_mm"), Decimals(3))),
            Cell::Figure(figures.html(&at("drawn_mm"), Decimals(3))),
            Cell::Figure(figures.html(&at("cast_mm"), Decimals(3))),
            Cell::Figure(figures.html(&at("cast_sd_mm"), Decimals(3))),
            Cell::Words(steps.join(", ")),
        ]);
    }
    table.finish()
}

fn master_table(figures: Figures<'_>) -> String {
    let mut table = Table::new(
        "Masters",
        &[
            ("master", None),
            ("pieces", Some("")),
            ("vents", Some("")),
            ("release", None),
            ("pulled out, strain of limit", Some("%")),
        ],
    );
    for row in 0..figures.count("/masters") {
        let at = |key: &str| format!("/masters/{row}/{key}");
        let concerns = 0..figures.count(&at("release/concerns"));
        let concerns: Vec<String> =
            concerns.map(|k| figures.html(&at(&format!("release/concerns/{k}")), Text)).collect();
        let release = [figures.html(&at("release/verdict"), Text)].into_iter().chain(concerns);
        let strains: Vec<String> = (0..figures.count(&at("pull_strains")))
            .map(|k| {
                let strain = |key: &str| at(&format!("pull_strains/{k}/{key}"));
                format!(
                    "{} {} of {}",
                    figures.html(&strain("part"), Text),
                    figures.html(&strain("over_rigid_core"), Percent(1)),
                    figures.html(&strain("limit"), Percent(1))
                )
            })
            .collect();
        table.row(&[
            Cell::Words(figures.html(&at("name"), Text)),
            Cell::Figure(figures.html(&at("count"), Decimals(0))),
            Cell::Figure(figures.count(&at("vents")).to_string()),
            Cell::Words(release.collect::<Vec<_>>().join("; ")),
            Cell::Figure(strains.join(", ")),
        ]);
    }
    table.finish()
}

fn batch_table(figures: Figures<'_>) -> String {
    let mut table = Table::new("Batches to weigh", &[("batch", None), ("part A", Some("g")), ("part B", Some("g"))]);
    let mut row = |words: String, at: &str| {
        table.row(&[
            Cell::Words(words),
            Cell::Figure(figures.html(&format!("{at}/parts_g/0"), Decimals(1))),
            Cell::Figure(figures.html(&format!("{at}/parts_g/1"), Decimals(1))),
        ]);
    };
    for index in 0..figures.count("/quantities/rubber") {
        row(format!("silicone, pour {}", index + 1), &format!("/quantities/rubber/{index}"));
    }
    row("resin, each batch".to_owned(), "/quantities/resin");
    table.finish()
}
