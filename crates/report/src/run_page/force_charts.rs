//! Charts of force over travel, and of strain along the arm.

use std::fmt::Write;

use crate::{
    chart::{AxisWords, Chart},
    figures::{FigureForm, Figures},
    markup::escaped,
};

/// Most rows of the fit of which every one is drawn; beyond, the tightest of each size are.
pub(super) const MOST_ROWS: usize = 48;

/// Charts of the rows of a fit at `rows` and of the mount, as HTML.
pub(super) fn force_charts(figures: Figures<'_>, rows: &[usize]) -> String {
    let mut out = String::from("<div class=\"charts\">\n");
    for row in rows {
        let at = format!("/fit/{row}");
        let end = if figures.words(&format!("{at}/at")) == "greatest" { "greatest" } else { "least" };
        let title = format!(
            "{}, {end} diameter, size {}",
            figures.words(&format!("{at}/tool")),
            figures.words(&format!("{at}/size"))
        );
        out.push_str(&force_chart(figures, &at, &title));
    }
    out.push_str(&force_chart(figures, "/mount/fit", "Mount on the body"));
    out.push_str("</div>\n");
    out
}

/// Points of one curve of the document: height of the axis, force.
fn curve(figures: Figures<'_>, at: &str, corner: usize, way: &str) -> Vec<[f64; 2]> {
    let points = figures.value(&format!("{at}/curves/{corner}/{way}")).as_array();
    let point = |p: &serde_json::Value| Some([p.get(0)?.as_f64()?, p.get(1)?.as_f64()?]);
    points.into_iter().flatten().filter_map(point).collect()
}

fn times(points: &[[f64; 2]], factor: f64) -> Vec<[f64; 2]> {
    points.iter().map(|[x, y]| [*x, factor * y]).collect()
}

fn force_chart(figures: Figures<'_>, at: &str, title: &str) -> String {
    let [soft, stiff] = [0, 1].map(|end| figures.number(&format!("{at}/curves_times/{end}")).unwrap_or(1.0));
    let [push_low, push_high] = [0, 1].map(|corner| curve(figures, at, corner, "axis_mm_and_push_n"));
    // A pull is drawn downward.
    let [pull_low, pull_high] = [0, 1].map(|corner| times(&curve(figures, at, corner, "axis_mm_and_pull_n"), -1.0));
    let most = figures.number(&format!("{at}/snap_in_limit_n"));
    let needed = figures.number(&format!("{at}/across_needed_n"));
    let low = times(&push_low, soft).into_iter().chain(times(&pull_low, soft));
    let high = times(&push_high, stiff).into_iter().chain(times(&pull_high, stiff));
    let greatest = times(&push_high, stiff).iter().map(|p| p[1]).fold(0.0, f64::max);
    let middle = push_low.first().map_or(0.0, |p| p[0]);
    // A limit far above all forces would flatten them.
    let shown_limit = most.filter(|most| *most < 2.5 * greatest);
    let levels = shown_limit.into_iter().chain(needed.map(|needed| -needed)).map(|y| [middle, y]);
    let words = AxisWords { x: "axis above its seat, mm", y: "push in \u{2191}  pull out \u{2193}, N" };
    let mut chart = Chart::holding(title, &words, low.chain(high).chain(levels));
    chart.band("band", &times(&push_low, soft), &times(&push_high, stiff));
    chart.band("band pull", &times(&pull_low, soft), &times(&pull_high, stiff));
    for (class, points) in
        [("curve low", &push_low), ("curve high", &push_high), ("curve low", &pull_low), ("curve high", &pull_high)]
    {
        chart.curve(class, points);
    }
    if let Some(most) = shown_limit {
        chart.level("limit", most);
        let text = format!("at most {}", figures.tspan(&format!("{at}/snap_in_limit_n"), FigureForm::TwoDigits));
        chart.level_words(most, true, &text);
    }
    if let Some(needed) = needed {
        chart.level("limit", -needed);
        let text = format!("needed {}", figures.tspan(&format!("{at}/across_needed_n"), FigureForm::TwoDigits));
        chart.level_words(-needed, false, &text);
    }
    let mut caption = format!(
        "<b>{}</b> push {} N, pull {} N",
        escaped(title),
        figures.range_html(&format!("{at}/snap_in_n"), FigureForm::TwoDigits),
        figures.range_html(&format!("{at}/pull_out_n"), FigureForm::TwoDigits)
    );
    if most.is_some() && shown_limit.is_none() {
        let most = figures.html(&format!("{at}/snap_in_limit_n"), FigureForm::TwoDigits);
        let _ = write!(caption, "; the push may reach {most} N, above this chart");
    }
    format!("<figure>\n<figcaption>{caption}</figcaption>\n{}</figure>\n", chart.sketch.svg())
}

/// Charts of the strain along the arm, as HTML; empty without any.
pub(super) fn strain_charts(figures: Figures<'_>) -> String {
    let mut out = String::new();
    for index in 0..figures.count("/arm_strains").min(MOST_ROWS) {
        out.push_str(&strain_chart(figures, &format!("/arm_strains/{index}")));
    }
    if out.is_empty() { out } else { format!("<div class=\"charts\">\n{out}</div>\n") }
}

fn strain_chart(figures: Figures<'_>, at: &str) -> String {
    let points = figures.value(&format!("{at}/along")).as_array();
    let face = |face: usize| -> Vec<[f64; 2]> {
        let point = |p: &serde_json::Value| Some([p.get(0)?.as_f64()?, 100.0 * p.get(face)?.as_f64()?]);
        points.into_iter().flatten().filter_map(point).collect()
    };
    let (inner, outer) = (face(1), face(2));
    let limit = 100.0 * figures.number(&format!("{at}/strain_limit")).unwrap_or(0.0);
    let tool = figures.words(&format!("{at}/tool"));
    let title = if tool.is_empty() {
        "Mount".to_owned()
    } else {
        format!("{tool}, size {}", figures.words(&format!("{at}/size")))
    };
    let words = AxisWords { x: "along the arm from its clamp, mm", y: "strain, %" };
    let start = inner.first().map_or(0.0, |p| p[0]);
    let levels = [[0.0, limit], [start, -limit]];
    let mut chart = Chart::holding(&title, &words, inner.iter().chain(&outer).copied().chain(levels));
    chart.level("limit", limit);
    chart.level("limit", -limit);
    chart.level_words(
        limit,
        true,
        &format!("\u{b1} {}", figures.tspan(&format!("{at}/strain_limit"), FigureForm::Percent(1))),
    );
    chart.curve("curve high", &inner);
    chart.curve("curve low", &outer);
    let way = if figures.value(&format!("{at}/on_the_way_in")).as_bool() == Some(true) { "in" } else { "out" };
    format!(
        "<figure>\n<figcaption><b>{}</b> worst on the way {way}, with the axis {} mm above its seat</figcaption>\n{}</figure>\n",
        escaped(&title),
        figures.html(&format!("{at}/axis_mm"), FigureForm::Decimals(1)),
        chart.sketch.svg()
    )
}
