//! Share of every limit that is used, as bars with figures: a table for each tool, and one for the mount.

use std::fmt::Write;

use crate::{
    figures::{FigureForm, Figures},
    markup::escaped,
};

/// Entries of the load path: key in the document and words.
const LOAD_PATH: [(&str, &str); 5] = [
    ("mouth", "loads with moments, at the mouth"),
    ("friction", "loads with moments, by friction"),
    ("after_1000_h", "what is left on, after 1,000 h"),
    ("after_largest", "after 1,000 h on the largest tool"),
    ("letting_go", "tool lets go before the mount"),
];

/// One limit of a row of the fit.
struct LimitRow {
    words: String,
    /// Place of the margin in the document.
    at: String,
    ratio: f64,
    /// False if it is only told of.
    counts: bool,
}

/// Rows of one fit, the tightest first.
fn limit_rows(figures: Figures<'_>, at: &str) -> Vec<LimitRow> {
    let margin = |at: String| {
        let ratio = figures.number(&format!("{at}/ratio"))?;
        Some((figures.words(&format!("{at}/limit")).to_owned(), at, ratio))
    };
    let listed: Vec<_> =
        (0..figures.count(&format!("{at}/margins"))).filter_map(|k| margin(format!("{at}/margins/{k}"))).collect();
    let is_same = |a: &(String, String, f64), b: &(String, String, f64)| a.0 == b.0 && (a.2 - b.2).abs() <= 0.0;
    let path: Vec<_> = LOAD_PATH
        .into_iter()
        .filter_map(|(key, words)| Some((words, margin(format!("{at}/load_path/{key}"))?)))
        .collect();
    let plain = listed.iter().filter(|entry| !path.iter().any(|(_, found)| is_same(found, entry)));
    let mut rows: Vec<LimitRow> = plain
        .map(|(words, at, ratio)| LimitRow { words: words.clone(), at: at.clone(), ratio: *ratio, counts: true })
        .collect();
    rows.extend(path.iter().map(|(words, found)| {
        let (limit, at, ratio) = found;
        let detail = if *limit == "order of letting go" { String::new() } else { format!(" ({limit})") };
        let counts = listed.iter().any(|entry| is_same(found, entry));
        LimitRow { words: format!("{words}{detail}"), at: at.clone(), ratio: *ratio, counts }
    }));
    rows.sort_by(|a, b| a.ratio.total_cmp(&b.ratio));
    rows
}

/// Tables of the rows of a fit, in pairs of least and greatest diameter, and of the mount, as HTML.
pub(super) fn limit_tables(figures: Figures<'_>, rows: &[usize]) -> String {
    let mut out = String::from("<div class=\"limits\">\n");
    out.push_str(&limit_table(figures, "/mount/fit", "Mount on the body"));
    for row in rows {
        let at = format!("/fit/{row}");
        let sleeve = figures.words(&format!("{at}/sleeve"));
        let size = if sleeve.is_empty() {
            format!("size {}", figures.words(&format!("{at}/size")))
        } else {
            format!("sleeve {sleeve}")
        };
        let title = format!(
            "{}, {} {} mm, {size}",
            escaped(figures.words(&format!("{at}/tool"))),
            figures.words(&format!("{at}/at")),
            figures.html(&format!("{at}/diameter_mm"), FigureForm::Decimals(2))
        );
        out.push_str(&limit_table(figures, &at, &title));
    }
    out.push_str("</div>\n");
    out
}

fn limit_table(figures: Figures<'_>, at: &str, title: &str) -> String {
    let mut out = format!("<table class=\"bars\">\n<caption>{title}</caption>\n<tbody>\n");
    for LimitRow { words, at, ratio, counts } in limit_rows(figures, at) {
        let told = if counts { "" } else { " <small>told, no limit</small>" };
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\">{}{told}</th><td class=\"bar\">{}</td><td class=\"n\">{} %</td><td class=\"n\">{}\u{d7}</td></tr>",
            escaped(&words),
            used_bar(1.0 / ratio),
            figures.html(&format!("{at}/ratio"), FigureForm::UsedShare),
            figures.html(&format!("{at}/ratio"), FigureForm::Decimals(2))
        );
    }
    out.push_str("</tbody></table>\n");
    out
}

/// Bar of a share of a limit; the limit stands at four fifths of its length, so that a broken one reaches beyond.
pub(super) fn used_bar(share: f64) -> String {
    const LIMIT: f64 = 80.0;
    let width = (LIMIT * share).clamp(0.0, 100.0);
    let class = if share > 1.0 {
        "over"
    } else if share > 0.9 {
        "near"
    } else {
        "used"
    };
    format!(
        "<svg class=\"bar\" viewBox=\"0 0 100 8\" preserveAspectRatio=\"none\" aria-hidden=\"true\"><rect class=\"track\" width=\"100\" \
         height=\"8\"/><rect class=\"{class}\" width=\"{width:.1}\" height=\"8\"/><line class=\"stop\" x1=\"{LIMIT}\" y1=\"0\" \
         x2=\"{LIMIT}\" y2=\"8\"/></svg>"
    )
}

/// Bar of a probability.
pub(super) fn share_bar(share: f64) -> String {
    format!(
        "<svg class=\"bar\" viewBox=\"0 0 100 8\" preserveAspectRatio=\"none\" aria-hidden=\"true\"><rect class=\"track\" width=\"100\" \
         height=\"8\"/><rect class=\"used\" width=\"{:.1}\" height=\"8\"/></svg>",
        (100.0 * share).clamp(0.0, 100.0)
    )
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn moments_are_told_apart_from_plain_loads() {
        let across = json!({ "limit": "hold across the axis", "ratio": 1.2 });
        let document = json!({ "fit": [{
            "margins": [{ "limit": "strain", "ratio": 1.5 }, { "limit": "hold across the axis", "ratio": 5.0 }, across],
            "load_path": { "mouth": across, "friction": { "limit": "roll", "ratio": 0.9 }, "letting_go": null },
        }] });
        let rows = limit_rows(Figures::new(&document), "/fit/0");
        let told: Vec<(&str, &str, bool)> = rows.iter().map(|r| (r.words.as_str(), r.at.as_str(), r.counts)).collect();
        assert_eq!(
            told,
            [
                ("loads with moments, by friction (roll)", "/fit/0/load_path/friction", false),
                ("loads with moments, at the mouth (hold across the axis)", "/fit/0/load_path/mouth", true),
                ("strain", "/fit/0/margins/0", true),
                ("hold across the axis", "/fit/0/margins/1", true),
            ]
        );
        assert!(used_bar(1.3).contains("class=\"over\"") && used_bar(0.5).contains("width=\"40.0\""));
    }
}
