//! The report of a run: its figures are those of the document, it is sealed off, and names cannot break out of it.

use std::fs;

use roxmltree::{Document, Node, ParsingOptions};
use serde_json::Value;

use crate::program::{WorkFolder, demo};

/// Demos with a mould, an aimed point, a hexagon, keep-outs; quick ones.
const DEMOS: [&str; 4] = ["dispensing-arm", "inspection-arm", "bench-lamp-arm", "layout-compass"];
/// Greatest size of a report, bytes.
const MOST_BYTES: usize = 1_500_000;

/// Parses a page as strict XML.
fn parsed(page: &str) -> Document<'_> {
    let options = ParsingOptions { allow_dtd: true, nodes_limit: u32::MAX, ..ParsingOptions::default() };
    Document::parse_with_options(page, options).unwrap()
}

fn element<'a>(page: &'a Document<'_>, id: &str) -> Node<'a, 'a> {
    page.descendants().find(|n| n.attribute("id") == Some(id)).unwrap_or_else(|| panic!("no element {id}"))
}

/// Text of a figure as the page says it writes it.
fn expected_text(value: &Value, form: &str) -> String {
    let Some(number) = value.as_f64() else { return value.as_str().unwrap().to_owned() };
    let (kind, decimals) = form.split_once(' ').unwrap_or((form, "0"));
    let decimals: usize = decimals.parse().unwrap();
    let (shown, decimals) = match kind {
        "decimals" => (number, decimals),
        "percent" => (100.0 * number, decimals),
        "degrees" => (number.to_degrees(), decimals),
        "used-share" => (100.0 / number, 0),
        "two-digits" => (number, usize::from(number.abs() < 9.95)),
        _ => panic!("unknown form {form}"),
    };
    format!("{shown:.decimals$}")
}

/// Compares every figure of a page with a document; returns their number.
fn compare_figures(page: &Document<'_>, document: &Value) -> usize {
    let mut compared = 0;
    for node in page.descendants() {
        let Some(at) = node.attribute("data-at") else { continue };
        let value = document.pointer(at).unwrap_or_else(|| panic!("{at} is not in the document"));
        let written = node.attribute("value").unwrap();
        // The reader of JSON rounds the last bit.
        let is_near = |a: f64, b: f64| (a - b).abs() <= 1e-14 * b.abs();
        let same = match value.as_f64() {
            Some(number) => is_near(written.parse().unwrap(), number),
            None => Some(written) == value.as_str(),
        };
        assert!(same, "{at}: {written} for {value}");
        let text = node.text().unwrap_or("").replace('\u{2212}', "-");
        let expected = expected_text(value, node.attribute("data-as").unwrap());
        let is_zero = |t: &str| t.parse::<f64>().is_ok_and(|n| n.abs() <= 0.0);
        assert!(text == expected || (is_zero(&text) && is_zero(&expected)), "{at}: {text} for {expected}");
        compared += 1;
    }
    compared
}

#[test]
fn every_figure_of_a_report_is_that_of_the_document() {
    for name in DEMOS {
        let work = WorkFolder::new();
        assert_eq!(work.run(&["make", &demo(name), "--out", "o", "--quiet"]).code, 0);
        let page = fs::read_to_string(work.path("o/report.html")).unwrap();
        assert!(page.len() <= MOST_BYTES, "{name}: {} bytes", page.len());
        let mut document: Value = serde_json::from_slice(&fs::read(work.path("o/design.json")).unwrap()).unwrap();
        let page = parsed(&page);
        let carried: Value = serde_json::from_str(element(&page, "design").text().unwrap()).unwrap();
        // The page is listed, and the document sealed, after the page was made.
        document.as_object_mut().unwrap().remove("sealed");
        let listed = document["files"].as_array_mut().unwrap().pop().unwrap();
        assert_eq!(listed["path"], "report.html");
        assert_eq!(carried, document, "{name}");
        let compared = compare_figures(&page, &document);
        assert!(compared > 200, "{name}: {compared} figures");
        for id in ["limits", "seats-of-the-family", "forces", "strain", "odds", "layout", "sizes", "coupons", "source"]
        {
            element(&page, id);
        }
        let spec = fs::read_to_string(demo(name)).unwrap();
        let source = element(&page, "source").descendants().find(|n| n.has_tag_name("pre")).unwrap();
        assert_eq!(source.text().unwrap().trim_end(), spec.trim_end(), "{name}: the page repeats the spec");
    }
}

#[test]
fn a_report_needs_and_asks_for_nothing_outside() {
    let work = WorkFolder::new();
    assert_eq!(work.run(&["make", &demo("dispensing-arm"), "--out", "o", "--quiet"]).code, 0);
    let page = fs::read_to_string(work.path("o/report.html")).unwrap();
    let policy = "http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src 'sha256-";
    assert!(page.contains(policy));
    for address in page.replace("http://www.w3.org/2000/svg", "").match_indices("http") {
        // The text of the spec and the notes may name addresses; nothing that loads does.
        let around = &page[address.0.saturating_sub(12)..(address.0 + 12).min(page.len())];
        assert!(!around.contains("src=") && !around.contains("url("), "{around}");
    }
    let document = parsed(&page);
    for node in document.descendants() {
        for attribute in ["src", "href", "action", "poster", "data"] {
            let Some(target) = node.attribute(attribute) else { continue };
            let is_inside = target.starts_with('#') || target.starts_with("data:image/png;base64,");
            assert!(is_inside || work.path("o").join(target).is_file(), "{attribute}={target}");
        }
    }
}

/// Texts that would end an element, an attribute or a script, or run one.
const HOSTILE: [&str; 6] = [
    "</script><script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "\\\" onload=\\\"alert(1)",
    "' onfocus='alert(1)' autofocus='",
    "]]></text></svg><svg onload=alert(1)>",
    "<!--<script>&lt;b&gt;${alert(1)}",
];

#[test]
fn names_and_notes_cannot_break_out_of_a_report() {
    let spec = fs::read_to_string(demo("wire-cutter")).unwrap();
    let name_of = |key: &str| spec.lines().find(|line| line.starts_with(key)).unwrap().to_owned();
    let work = WorkFolder::new();
    for hostile in HOSTILE {
        // Names of the holder, of every tool and keep-out, and a comment of the spec.
        let mut count = 0;
        let lines: Vec<String> = spec
            .lines()
            .map(|line| {
                count += 1;
                if line.starts_with("name = ") {
                    format!("name = \"{hostile} {count}\" # {hostile}")
                } else {
                    line.to_owned()
                }
            })
            .collect();
        assert!(!name_of("name = ").is_empty());
        work.write("spec.toml", lines.join("\n"));
        let run = work.run(&["make", "spec.toml", "--out", "o", "--quiet"]);
        assert_eq!(run.code, 0, "{hostile}: {}", run.err);
        let page = fs::read_to_string(work.path("o/report.html")).unwrap();
        // The document, the scene, and the page's own script.
        assert_eq!(page.matches("<script").count(), 3, "{hostile}");
        assert_eq!(page.matches("</script").count(), 3, "{hostile}");
        let document = parsed(&page);
        for node in document.descendants().filter(Node::is_element) {
            let name = node.tag_name().name();
            assert!(!["iframe", "object", "embed", "base", "form"].contains(&name), "{hostile}: {name}");
            for attribute in node.attributes() {
                assert!(!attribute.name().starts_with("on"), "{hostile}: {} of {name}", attribute.name());
                assert!(!attribute.value().trim_start().starts_with("javascript:"), "{hostile}");
            }
            if name == "img" {
                assert!(node.attribute("src").unwrap().starts_with("data:image/png;base64,"), "{hostile}");
            }
        }
        // It is all there, as text.
        let shown = hostile.replace("\\\"", "\"");
        assert!(
            document.root_element().descendants().any(|n| n.text().is_some_and(|t| t.contains(&shown))),
            "{hostile}"
        );
        compare_figures(&document, &serde_json::from_str(element(&document, "design").text().unwrap()).unwrap());
    }
}
