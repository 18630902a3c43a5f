//! A page with a script of its own, sealed off: no address outside of the page can be reached, and no other script runs.

use std::fmt::Write;

use base64::{Engine, engine::general_purpose::STANDARD};
use serde_json::Value;
use sha2::{Digest, Sha256};

use crate::page_frame::PageFrame;

/// Returns a page round a body of HTML. `documents` are JSON values that the page carries, by the id of their element.
pub(crate) fn script_page(
    frame: &PageFrame,
    style: &str,
    script: &str,
    body: &str,
    documents: &[(&str, &Value)],
) -> String {
    let mut body = body.to_owned();
    for (id, document) in documents {
        let text = embedded(document);
        let _ = writeln!(body, "<script type=\"application/json\" id=\"{id}\">{text}</script>");
    }
    // Readers of strict XML take the marks, a browser the comments.
    let script = format!("//<![CDATA[\n{script}//]]>\n");
    let _ = writeln!(body, "<script>{script}</script>");
    frame.page_with_policy(style, &body, Some(&policy(&script)))
}

/// A JSON value as text that ends no element and begins none, in HTML and in XML.
fn embedded(document: &Value) -> String {
    let text = document.to_string();
    text.replace('&', "\\u0026").replace('<', "\\u003c").replace('>', "\\u003e")
}

/// Policy of the page: this one script, styles and pictures of the page itself, and nothing else.
fn policy(script: &str) -> String {
    let digest = STANDARD.encode(Sha256::digest(script.as_bytes()));
    format!(
        "default-src 'none'; script-src 'sha256-{digest}'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
    )
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn a_document_ends_no_element_and_reads_back() {
        let document = json!({ "name": "</script><script>alert(1)</script>&amp;<!--", "n": [1.5, -2e-9] });
        let frame = PageFrame { title: "t".into(), ..PageFrame::default() };
        let page = script_page(&frame, "", "var a = 1 < 2 && true;\n", "<p>x</p>\n", &[("design", &document)]);
        assert_eq!(page.matches("<script").count(), 2);
        assert_eq!(page.matches("</script>").count(), 2);
        let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
        let parsed = roxmltree::Document::parse_with_options(&page, options).unwrap();
        let script = parsed.descendants().find(|n| n.attribute("id") == Some("design")).unwrap();
        assert_eq!(serde_json::from_str::<Value>(script.text().unwrap()).unwrap(), document);
        // The policy names the digest of what stands between the tags.
        let between = page.split("<script>").nth(1).unwrap().split("</script>").next().unwrap();
        assert!(page.contains(&STANDARD.encode(Sha256::digest(between.as_bytes()))));
    }
}
