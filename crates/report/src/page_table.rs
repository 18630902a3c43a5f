//! Tables of a page.

use std::fmt::Write;

use crate::{
    figures::{FigureForm, Figures},
    markup::escaped,
};

/// A table as HTML. Heads and cells are markup already; a cell that begins with `>` is text, others are figures.
pub(crate) struct Table {
    html: String,
}

impl Table {
    /// A table with its caption and heads; heads of figures have a unit, which may be empty, others have none.
    pub(crate) fn new(caption: &str, heads: &[(&str, Option<&str>)]) -> Self {
        let mut html = format!(
            "<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"{caption}\"><table>\n<caption>{caption}</caption>\n<thead><tr>"
        );
        for (words, unit) in heads {
            let class = if unit.is_some() { " class=\"n\"" } else { "" };
            let unit = unit.filter(|u| !u.is_empty()).map_or(String::new(), |unit| format!("<small>{unit}</small>"));
            let _ = write!(html, "<th scope=\"col\"{class}>{words}{unit}</th>");
        }
        html.push_str("</tr></thead>\n<tbody>\n");
        Self { html }
    }

    /// Adds a row: the first cell is its head.
    pub(crate) fn row(&mut self, cells: &[Cell]) {
        self.html.push_str("<tr>");
        for (index, cell) in cells.iter().enumerate() {
            let (class, markup) = match cell {
                Cell::Words(markup) => ("", markup),
                Cell::Figure(markup) => (" class=\"n\"", markup),
            };
            let tag = if index == 0 { "th" } else { "td" };
            let scope = if index == 0 { " scope=\"row\"" } else { "" };
            let _ = write!(self.html, "<{tag}{scope}{class}>{markup}</{tag}>");
        }
        self.html.push_str("</tr>\n");
    }

    pub(crate) fn finish(mut self) -> String {
        self.html.push_str("</tbody></table></div>\n");
        self.html
    }
}

/// Cell of a table, as markup.
pub(crate) enum Cell {
    Words(String),
    Figure(String),
}

/// Files of the run, with links and digests.
pub(crate) fn file_table(figures: Figures<'_>) -> String {
    let mut table = Table::new("Files of this run", &[("file", None), ("SHA-256", None)]);
    for index in 0..figures.count("/files") {
        let path = figures.words(&format!("/files/{index}/path"));
        let link = format!(
            "<a href=\"{}\">{}</a>",
            escaped(path),
            figures.html(&format!("/files/{index}/path"), FigureForm::Text)
        );
        let digest = figures.html(&format!("/files/{index}/sha256"), FigureForm::Text);
        table.row(&[Cell::Words(link), Cell::Words(format!("<code class=\"digest\">{digest}</code>"))]);
    }
    table.finish()
}
