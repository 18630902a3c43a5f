//! Report of a run that made a design: one page with everything that a designer looks at first.
//!
//! The page carries the document of the run, and takes every figure from it; each figure says from where.

mod force_charts;
mod limit_tables;
mod seat_views;
mod side_view;
mod tables;
mod viewer;

use std::fmt::Write;

use serde_json::Value;

pub use seat_views::SeatView;
pub use side_view::{SideView, turned_rectangle};
pub use viewer::StillPicture;
pub(crate) use viewer::view_section;

use crate::{
    bench_sheet::Fact,
    figures::{FigureForm, Figures},
    markup::escaped,
    page_parts::{
        PageCaution, PageHeading, PageSection, SourceText, cautions_section, list, marked_code, page_of_sections,
        source_section,
    },
    page_table::file_table,
    scene::{SceneGroup, packed},
};

/// Facts of a mould, and where to read on.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MouldFactSheet {
    /// Facts in short.
    pub facts: Vec<Fact>,
    /// Names of the steps at the bench.
    pub steps: Vec<String>,
    /// Name of the file with the bench sheet.
    pub sheet: String,
}

/// Content of the page besides the document of the run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RunPage {
    /// Title.
    pub title: String,
    /// Sentence below the title.
    pub subtitle: String,
    /// Line that says which version of the spec and of what it names the page belongs to.
    pub revision: String,
    /// What to do next, in order.
    pub next_steps: Vec<String>,
    /// Warnings about the spec.
    pub warnings: Vec<String>,
    /// Cautions, in the order of the work.
    pub cautions: Vec<PageCaution>,
    /// Sentence on what takes precedence over the cautions.
    pub precedence: String,
    /// The parts in a view that turns, with tool, body and keep-outs; empty without parts.
    pub scene: Vec<SceneGroup>,
    /// Picture of all parts, for paper and for browsers that do not turn the view.
    pub still: Option<StillPicture>,
    /// Places of the slider through the family.
    pub seats: Vec<SeatView>,
    /// Side views of the holders.
    pub sides: Vec<SideView>,
    /// Facts of the mould; absent without one.
    pub mould: Option<MouldFactSheet>,
    /// Texts that the run was made from, the spec first.
    pub sources: Vec<SourceText>,
}

/// Returns the page. `document` is the document of the run as `--json` prints it.
pub fn run_page(page: &RunPage, document: &Value) -> String {
    let figures = Figures::new(document);
    let rows = shown_rows(figures);
    let section = PageSection::new;
    let sections = [
        section("view", "The part", view_section(&page.scene, page.still.as_ref())),
        section("limits", "Share of each limit", limits_section(figures, &rows)),
        section("seats-of-the-family", "Section and seats", seats_section(figures, &page.seats)),
        section("forces", "Force over travel", forces_section(figures, &rows)),
        section("strain", "Strain along the arm", strain_section(figures)),
        section("odds", "Odds", odds_section(figures, &rows)),
        section("layout", "Layout, loads and reactions", side_view::side_views(figures, &page.sides)),
        section("sizes", "Sizes", tables::size_table(figures) + &tables::sleeve_table(figures)),
        section("coupons", "Coupons", coupons_section(figures)),
        section("mould", "Mould", page.mould.as_ref().map_or(String::new(), mould_section)),
        section("notes", "Notes", list(&figures.texts("/notes"))),
        section("cautions", "Cautions", cautions_section(&page.cautions, &page.precedence)),
        section("files", "Files", file_table(figures)),
        section("source", "Made from", source_section(&page.sources)),
    ];
    let heading = PageHeading {
        title: &page.title,
        subtitle: &page.subtitle,
        revision: &page.revision,
        verdict: verdict_section(page, figures),
    };
    let scene = packed(&page.scene);
    let documents = [("design", document), ("scene", &scene)];
    let shown = if page.scene.is_empty() { &documents[..1] } else { &documents[..] };
    page_of_sections(&heading, &sections, shown)
}

/// Rows of the fit that are drawn: all of them, or the tightest of each size in a large family, in their order.
fn shown_rows(figures: Figures<'_>) -> Vec<usize> {
    let count = figures.count("/fit");
    if count <= force_charts::MOST_ROWS {
        return (0..count).collect();
    }
    let margin = |row: usize| figures.number(&format!("/fit/{row}/margin/ratio")).unwrap_or(f64::INFINITY);
    // Both rows of a tool stay together.
    let mut tools: Vec<usize> = (0..count / 2).collect();
    tools.sort_by(|a, b| {
        let tightest = |tool: usize| margin(2 * tool).min(margin(2 * tool + 1));
        tightest(*a).total_cmp(&tightest(*b)).then(a.cmp(b))
    });
    tools.truncate(force_charts::MOST_ROWS / 2);
    tools.sort_unstable();
    tools.into_iter().flat_map(|tool| [2 * tool, 2 * tool + 1]).collect()
}

/// Verdict in a sentence, what binds, what to do next, warnings.
fn verdict_section(page: &RunPage, figures: Figures<'_>) -> String {
    let serves = figures.value("/verdict/serves").as_bool() == Some(true);
    let text = |at: &str| figures.html(at, FigureForm::Text);
    let with = match figures.words("/verdict/tool") {
        "" => String::new(),
        _ => format!(" with {}", text("/verdict/tool")),
    };
    let count = tool_count(figures);
    let mut out = format!(
        "<div class=\"verdict{}\">\n<p class=\"sentence\"><b>{}</b> {count}. Tightest: {}, {}{with}; it is kept {} times.</p>\n",
        if serves { "" } else { " fails" },
        if serves { "Serves" } else { "Does not serve" },
        text("/verdict/tightest/limit"),
        text("/verdict/part"),
        figures.html("/verdict/tightest/ratio", FigureForm::Decimals(2)),
    );
    let bound: Vec<String> =
        (0..figures.count("/verdict/bound_by")).map(|k| text(&format!("/verdict/bound_by/{k}"))).collect();
    if !bound.is_empty() {
        let _ = writeln!(
            out,
            "<p><b>What binds.</b> These limits keep the part from being better: {}.</p>",
            bound.join(", ")
        );
    }
    if !page.next_steps.is_empty() {
        let _ = writeln!(
            out,
            "<p><b>Next.</b> {}</p>",
            page.next_steps.iter().map(|s| marked_code(s)).collect::<Vec<_>>().join(" ")
        );
    }
    out.push_str("</div>\n");
    for warning in &page.warnings {
        let _ = writeln!(out, "<p class=\"warning\"><b>Warning.</b> {}</p>", marked_code(warning));
    }
    out
}

fn tool_count(figures: Figures<'_>) -> String {
    // Every tool has two rows.
    match figures.count("/fit") / 2 {
        1 => "the tool".to_owned(),
        2 => "both tools".to_owned(),
        count => format!("all {count} tools"),
    }
}

fn limits_section(figures: Figures<'_>, rows: &[usize]) -> String {
    format!(
        "<p>How much of each limit is used, at the worst over the material: the stroke across each bar is the limit. The last figure \
         is how many times the limit is kept.</p>\n{}{}",
        left_out(figures, rows),
        limit_tables::limit_tables(figures, rows)
    )
}

/// Sentence on the rows of a large family that are not drawn.
fn left_out(figures: Figures<'_>, rows: &[usize]) -> String {
    let missing = (figures.count("/fit") - rows.len().min(figures.count("/fit"))) / 2;
    if missing == 0 {
        String::new()
    } else {
        format!("<p>The tightest tools are shown; {missing} more are in the document.</p>\n")
    }
}

fn seats_section(figures: Figures<'_>, views: &[SeatView]) -> String {
    if views.is_empty() {
        return String::new();
    }
    format!(
        "<p>Mount, web and clip in section, as drawn: the arms have not given way yet, so that the overlap is the interference. \
         Falling hatch is the body, rising hatch the tool.</p>\n{}",
        seat_views::seat_slider(figures, views)
    )
}

fn forces_section(figures: Figures<'_>, rows: &[usize]) -> String {
    format!(
        "<p>Solid: greatest friction; dashed: least; both at the middle modulus. The shaded band adds the range of the modulus. \
         Pushing in counts up, pulling out down.</p>\n{}",
        force_charts::force_charts(figures, rows)
    )
}

fn strain_section(figures: Figures<'_>) -> String {
    let charts = force_charts::strain_charts(figures);
    if charts.is_empty() {
        return charts;
    }
    format!(
        "<p>At the moment of the greatest strain. Solid: inner face; dashed: outer face; tension counts up. Dotted: what the \
         material bears.</p>\n{charts}"
    )
}

fn odds_section(figures: Figures<'_>, rows: &[usize]) -> String {
    let mm = |at: &str| figures.html(at, FigureForm::Decimals(3));
    let range = |at: &str| figures.range_html(at, FigureForm::Decimals(2));
    format!(
        "<p>Sampled over what the process and the measurements leave open. From part to part (standard deviation): seat {} mm, wall \
         {} mm, body {} mm; each tool over its own diameters. Friction {} on tools, {} on the body; modulus over its range.</p>\n{}",
        mm("/odds_over/seat_spread_mm"),
        mm("/odds_over/wall_spread_mm"),
        mm("/odds_over/body_spread_mm"),
        range("/odds_over/friction"),
        range("/odds_over/mount_friction"),
        tables::odds_table(figures, rows)
    ) + unsampled(figures, rows)
}

/// Sentence on odds that are missing.
fn unsampled(figures: Figures<'_>, rows: &[usize]) -> &'static str {
    let missing = |at: &str| figures.value(at).is_null();
    if missing("/mount/odds") || rows.iter().any(|row| missing(&format!("/fit/{row}/odds"))) {
        "<p>A dash: could not be sampled, because somewhere in the spread of the process the part does not go in.</p>\n"
    } else {
        ""
    }
}

fn coupons_section(figures: Figures<'_>) -> String {
    let table = tables::coupon_table(figures);
    if table.is_empty() {
        return table;
    }
    format!(
        "<p>Short slices to print and try first; <a href=\"coupons-card.html\">the card</a> says how, and has room for results. \
         Expected is what the print gives over the ranges of its modulus and friction. The seat of M coupons is the clearance over both \
         sides.</p>\n{table}"
    )
}

fn mould_section(mould: &MouldFactSheet) -> String {
    let sheet = escaped(&mould.sheet);
    let mut out = format!(
        "<p>Step by step, with drawings at true size: <a href=\"{sheet}\">{sheet}</a>.</p>\n<dl class=\"facts\">\n"
    );
    for fact in &mould.facts {
        let _ = writeln!(out, "<dt>{}</dt><dd>{}</dd>", escaped(&fact.name), escaped(&fact.value));
    }
    let steps: Vec<String> = mould.steps.iter().map(|step| escaped(step)).collect();
    let _ = writeln!(out, "</dl>\n<p><b>Steps.</b> {}.</p>", steps.join(", "));
    out
}
