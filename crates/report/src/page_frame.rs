//! Frame of a page: head, style sheet, heading, and a line at the foot of every printed page.

use std::fmt::Write;

use crate::markup::{css_string, escaped};

/// Style sheet that all pages share. It names no paper: A4 and Letter both have 190 mm between the margins.
const STYLE: &str = include_str!("page.css");

/// Heading and identity of a page.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PageFrame {
    /// Title.
    pub title: String,
    /// Sentence or two below the title.
    pub subtitle: String,
    /// Line that says which version of what the page belongs to.
    pub revision: Option<String>,
    /// Identity of the page, repeated with the page number at the foot of every sheet of paper.
    pub footer: String,
}

impl PageFrame {
    /// Returns the document round a body of HTML. `style` adds rules to the common ones.
    pub fn page(&self, style: &str, body: &str) -> String {
        self.page_with_policy(style, body, None)
    }

    /// Returns the document with a content security policy.
    pub(crate) fn page_with_policy(&self, style: &str, body: &str, policy: Option<&str>) -> String {
        let title = escaped(&self.title);
        let mut out = String::from("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n");
        if let Some(policy) = policy {
            let _ = writeln!(out, "<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\"/>");
        }
        out.push_str("<meta name=\"viewport\" content=\"width=device-width\"/>\n");
        let _ = write!(out, "<title>{title}</title>\n<style>\n{STYLE}{style}{}</style>\n</head>\n", self.foot_style());
        let _ = write!(out, "<body>\n<header>\n<h1>{title}</h1>\n<p class=\"about\">{}</p>\n", escaped(&self.subtitle));
        if let Some(revision) = &self.revision {
            let _ = writeln!(out, "<p class=\"about\">{}</p>", escaped(revision));
        }
        out.push_str("</header>\n");
        out.push_str(body);
        out.push_str("</body>\n</html>\n");
        out
    }

    fn foot_style(&self) -> String {
        format!(
            "@page {{ @bottom-left {{ content: {}; }} @bottom-right {{ content: \"page \" counter(page) \" of \" \
             counter(pages); }} }}\n",
            css_string(&self.footer)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_frame_is_read_by_a_strict_reader_whatever_its_texts_are() {
        let nasty = "5 < 6 & </style> \"x\"";
        let frame = PageFrame {
            title: nasty.into(),
            subtitle: nasty.into(),
            revision: Some(nasty.into()),
            footer: nasty.into(),
        };
        let page = frame.page("p { color: #111; }\n", "<p>body</p>\n");
        let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
        let document = roxmltree::Document::parse_with_options(&page, options).unwrap();
        let text = |name: &str| document.descendants().find(|n| n.has_tag_name(name)).and_then(|n| n.text());
        assert_eq!(text("title"), Some(nasty));
        assert_eq!(text("h1"), Some(nasty));
        assert!(text("style").unwrap().contains("@bottom-left { content: \"5 \\3c  6 "), "{page}");
        assert_eq!(document.descendants().filter(|n| n.attribute("class") == Some("about")).count(), 2);
    }
}
