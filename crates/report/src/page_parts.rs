//! Parts that several pages share: navigation, sections, cautions, texts that a run was made from.

use std::fmt::Write;

use serde_json::Value;

use crate::{markup::escaped, page_frame::PageFrame, script_page::script_page};

/// Rules besides the common ones.
const STYLE: &str = include_str!("run_page/run_page.css");
/// Script of the pages: it switches pictures and turns the view, and computes no figure.
const SCRIPT: &str = concat!(
    "(function () {\n  \"use strict\";\n",
    include_str!("run_page/slider.js"),
    include_str!("run_page/viewer.js"),
    "}());\n"
);

/// A caution at a step of the work.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PageCaution {
    /// Step of the work, in words.
    pub step: String,
    /// Subject in a word or two.
    pub subject: String,
    /// Text.
    pub text: String,
}

/// A text that the run was made from, so that the page alone repeats the run.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SourceText {
    /// Name as the spec writes it, or the spec's own.
    pub name: String,
    /// SHA-256 of the file.
    pub sha256: String,
    /// Text; absent for a file that is no text or too long.
    pub text: Option<String>,
}

/// A section of a page; one without HTML is left out.
pub(crate) struct PageSection {
    pub(crate) id: &'static str,
    pub(crate) heading: &'static str,
    pub(crate) html: String,
}

impl PageSection {
    pub(crate) fn new(id: &'static str, heading: &'static str, html: String) -> Self {
        Self { id, heading, html }
    }
}

/// Heading of a page of sections.
pub(crate) struct PageHeading<'a> {
    pub(crate) title: &'a str,
    pub(crate) subtitle: &'a str,
    pub(crate) revision: &'a str,
    /// What stands before all sections, as HTML.
    pub(crate) verdict: String,
}

/// Returns a page of sections that carries JSON documents, by the ids of their elements.
pub(crate) fn page_of_sections(
    heading: &PageHeading<'_>,
    sections: &[PageSection],
    documents: &[(&str, &Value)],
) -> String {
    let shown: Vec<&PageSection> = sections.iter().filter(|section| !section.html.is_empty()).collect();
    let mut body = String::from("<nav aria-label=\"Sections\"><ol>\n");
    for PageSection { id, heading, .. } in &shown {
        let _ = writeln!(body, "<li><a href=\"#{id}\">{heading}</a></li>");
    }
    let _ = write!(body, "</ol></nav>\n<main>\n{}", heading.verdict);
    for PageSection { id, heading, html } in shown {
        let _ = write!(body, "<section id=\"{id}\">\n<h2>{heading}</h2>\n{html}</section>\n");
    }
    body.push_str("</main>\n");
    let frame = PageFrame {
        title: heading.title.to_owned(),
        subtitle: heading.subtitle.to_owned(),
        revision: Some(heading.revision.to_owned()),
        footer: format!("{} · {}", heading.title, heading.revision),
    };
    script_page(&frame, STYLE, SCRIPT, &body, documents)
}

/// Cautions by the step of the work, and what takes precedence over them.
pub(crate) fn cautions_section(cautions: &[PageCaution], precedence: &str) -> String {
    let mut out = String::new();
    let mut last = "";
    for PageCaution { step, subject, text } in cautions {
        if last != step {
            out.push_str(if last.is_empty() { "" } else { "</dl>\n" });
            let _ = writeln!(out, "<h3>{}</h3>\n<dl class=\"cautions\">", capital(&escaped(step)));
        }
        last = step;
        let _ = writeln!(out, "<dt>{}</dt><dd>{}</dd>", escaped(subject), marked_code(text));
    }
    if !out.is_empty() {
        let _ = writeln!(out, "</dl>\n<p>{}</p>", escaped(precedence));
    }
    out
}

/// Texts that a run was made from.
pub(crate) fn source_section(sources: &[SourceText]) -> String {
    let mut out = String::new();
    for SourceText { name, sha256, text } in sources {
        let _ = writeln!(
            out,
            "<h3>{}</h3>\n<p class=\"soft\">SHA-256 <code class=\"digest\">{sha256}</code></p>",
            escaped(name)
        );
        match text {
            Some(text) => {
                let _ =
                    writeln!(out, "<pre tabindex=\"0\" aria-label=\"{}\">{}</pre>", escaped(name), escaped_lines(text));
            }
            None => out.push_str("<p>Not shown here: it is no text, or a long one.</p>\n"),
        }
    }
    out
}

/// Text with its line ends and tabs.
fn escaped_lines(text: &str) -> String {
    text.lines().map(|line| line.split('\t').map(escaped).collect::<Vec<_>>().join("\t")).collect::<Vec<_>>().join("\n")
}

/// A list of texts; nothing for none.
pub(crate) fn list(texts: &[&str]) -> String {
    if texts.is_empty() {
        return String::new();
    }
    let items: Vec<String> = texts.iter().map(|text| format!("<li>{}</li>\n", marked_code(text))).collect();
    format!("<ul>\n{}</ul>\n", items.concat())
}

/// Text whose parts between backticks are code.
pub(crate) fn marked_code(text: &str) -> String {
    let parts: Vec<&str> = text.split('`').collect();
    // An odd number of ticks is no pair.
    if parts.len().is_multiple_of(2) {
        return escaped(text);
    }
    let mark = |(index, part): (usize, &&str)| {
        if index % 2 == 1 { format!("<code>{}</code>", escaped(part)) } else { escaped(part) }
    };
    parts.iter().enumerate().map(mark).collect()
}

/// Text with a capital.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}
