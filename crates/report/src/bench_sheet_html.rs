//! Bench sheet as a page of HTML.

use std::fmt::Write;

use crate::{
    bench_sheet::{BenchSheet, BenchStep, Quantity},
    drawing::Drawing,
    drawing_layout::DrawingLayout,
    drawing_tiles::DrawingTile,
    markup::escaped,
    page_frame::PageFrame,
    scale_bar::ScaleBar,
};

/// Rules besides the common ones.
const STYLE: &str = include_str!("bench_sheet.css");

/// Returns the page.
pub fn bench_sheet_html(sheet: &BenchSheet) -> String {
    let mut body = String::new();
    if !sheet.precedence.is_empty() {
        let _ = writeln!(body, "<p class=\"warning\">{}</p>", escaped(&sheet.precedence));
    }
    if !sheet.facts.is_empty() {
        body.push_str("<h2>In short</h2>\n<dl class=\"facts\">\n");
        for fact in &sheet.facts {
            let _ = writeln!(body, "<dt>{}</dt><dd>{}</dd>", escaped(&fact.name), escaped(&fact.value));
        }
        body.push_str("</dl>\n");
    }
    body.push_str("<h2>Steps</h2>\n");
    for (index, step) in sheet.steps.iter().enumerate() {
        write_step(&mut body, index + 1, step);
    }
    if !sheet.notes.is_empty() {
        body.push_str("<h2>Notes</h2>\n");
        write_list(&mut body, "<ul>", &sheet.notes, "</ul>", |text| text);
    }
    if let Some((first, others)) = sheet.drawings.split_first() {
        // The bar stays on the page of the first drawing.
        let _ = write!(body, "<div class=\"together\">\n<h2>Drawings</h2>\n{}", ScaleBar.html());
        draw(&mut body, first);
        body.push_str("</div>\n");
        for drawing in others {
            draw(&mut body, drawing);
        }
    }
    let footer = [sheet.title.as_str(), sheet.revision.as_str()].into_iter().filter(|t| !t.is_empty());
    let frame = PageFrame {
        title: sheet.title.clone(),
        subtitle: sheet.subtitle.clone(),
        revision: Some(sheet.revision.clone()).filter(|revision| !revision.is_empty()),
        footer: footer.collect::<Vec<_>>().join(" · "),
    };
    frame.page(STYLE, &body)
}

fn draw(out: &mut String, drawing: &Drawing) {
    let layout = drawing.layout();
    let _ = write!(
        out,
        "<figure class=\"drawing\"><figcaption><b>{}</b> ({}, mm). {}{}</figcaption>\n{}",
        escaped(&drawing.title),
        layout.scale,
        escaped(&drawing.caption),
        left_out(drawing, &layout),
        layout.svg
    );
    let legend: Vec<String> = drawing
        .legend()
        .into_iter()
        .map(|(letter, meaning)| {
            format!("<span class=\"key\"><b>{}</b>\u{a0}{}</span>", escaped(letter), escaped(meaning))
        })
        .collect();
    if !legend.is_empty() {
        let _ = writeln!(out, "<p class=\"legend\">{}</p>", legend.join("; "));
    }
    out.push_str("</figure>\n");
    let tiles = drawing.tiles();
    for tile in &tiles {
        draw_tile(out, drawing, tile, tiles.len());
    }
}

/// Sentence on the letters that a reduced drawing leaves out.
fn left_out(drawing: &Drawing, layout: &DrawingLayout) -> String {
    let is_left_out = |letter: &str| drawing.labels.iter().any(|label| label.letter == letter && label.is_detail);
    let letters: Vec<&str> =
        drawing.legend().into_iter().map(|row| row.0).filter(|letter| is_left_out(letter)).collect();
    if layout.scale.is_true_size() || letters.is_empty() {
        return String::new();
    }
    format!(" The letters {} stand at true size alone.", escaped(&letters.join(", ")))
}

/// Writes a tile on a page of its own, with the scale bar.
fn draw_tile(out: &mut String, drawing: &Drawing, tile: &DrawingTile, count: usize) {
    let sheet = if count == 1 { "at true size".to_owned() } else { format!("tile {} of {count}", tile.name) };
    let turned = if tile.is_turned { ", turned to the left" } else { "" };
    let beside: Vec<String> = tile.neighbours.iter().map(|(name, side)| format!("{name} {side}")).collect();
    let join = if beside.is_empty() {
        String::new()
    } else {
        format!(
            " Joins {}: cut one of the two sheets along the dashed line, lay it on the other so that line and crosses meet, and \
             tape them.",
            beside.join(", ")
        )
    };
    let _ = write!(
        out,
        "<figure class=\"drawing tile\">\n{}<figcaption><b>{}, {sheet}</b> (1:1{turned}). Lay a ruler on both bars first.{join}</figcaption>\n{}</figure>\n",
        ScaleBar.svg(),
        escaped(&drawing.title),
        tile.svg
    );
}

fn write_step(out: &mut String, number: usize, step: &BenchStep) {
    let name = escaped(&step.name);
    let _ =
        writeln!(out, "<section class=\"step\">\n<h3><label><input type=\"checkbox\"/> {number}. {name}</label></h3>");
    for caution in &step.cautions {
        let _ = writeln!(out, "<p class=\"caution\"><b>Caution.</b> {}</p>", escaped(caution));
    }
    write_quantities(out, &step.quantities);
    if let Some(latest) = &step.latest {
        let _ = writeln!(out, "<p class=\"latest\"><b>Clock.</b> {}</p>", escaped(latest));
    }
    write_list(out, "<ol>", &step.doing, "</ol>", |text| text);
    write_list(out, "<ul class=\"checks\">", &step.checks, "</ul>", |text| {
        format!("<label><input type=\"checkbox\"/> <span>{text}</span></label>")
    });
    out.push_str("</section>\n");
}

/// Writes a list, or nothing for no texts.
fn write_list(out: &mut String, open: &str, texts: &[String], close: &str, item: impl Fn(String) -> String) {
    if texts.is_empty() {
        return;
    }
    let _ = writeln!(out, "{open}");
    for text in texts {
        let _ = writeln!(out, "<li>{}</li>", item(escaped(text)));
    }
    let _ = writeln!(out, "{close}");
}

fn write_quantities(out: &mut String, quantities: &[Quantity]) {
    if quantities.is_empty() {
        return;
    }
    out.push_str("<table class=\"quantities\"><tbody>\n");
    for Quantity { name, value, unit, noted } in quantities {
        let room = if *noted { "<td class=\"noted\">noted</td><td class=\"fill\"></td>" } else { "<td></td><td></td>" };
        let _ = writeln!(
            out,
            "<tr><td>{}</td><td class=\"n\"><b>{}</b></td><td>{}</td>{room}</tr>",
            escaped(name),
            escaped(value),
            escaped(unit)
        );
    }
    out.push_str("</tbody></table>\n");
}

#[cfg(test)]
mod tests {
    use gripwright_section::{Point, circle};

    use super::*;
    use crate::{
        bench_sheet::Fact,
        drawing::{Dimension, DimensionDirection, DrawnFill, DrawnLabel, DrawnShape},
    };

    fn sheet() -> BenchSheet {
        let nasty = || "a < b & \"c\"".to_owned();
        let step = BenchStep {
            name: "Mix <slowly>".into(),
            doing: vec!["Stir & scrape.".into(), "Pour.".into()],
            quantities: vec![Quantity { name: "part A".into(), value: "85.0".into(), unit: "g".into(), noted: true }],
            latest: Some("poured by 4 min".into()),
            checks: vec!["No streaks".into()],
            cautions: vec!["Wear gloves.".into()],
        };
        let label =
            |x: f64| DrawnLabel { letter: "V".into(), at: Point::new(x, 0.0), meaning: "vent".into(), is_detail: true };
        BenchSheet {
            title: nasty(),
            subtitle: nasty(),
            revision: "revision 3".into(),
            precedence: "Data sheets first.".into(),
            facts: vec![Fact { name: "Parting".into(), value: nasty() }],
            drawings: vec![Drawing {
                title: "Plan".into(),
                caption: nasty(),
                shapes: vec![DrawnShape::Region { outlines: vec![circle(30.0).unwrap()], fill: DrawnFill::Rubber }],
                dimensions: vec![Dimension {
                    from: Point::new(-15.0, 0.0),
                    to: Point::new(15.0, 0.0),
                    direction: DimensionDirection::Horizontal,
                    name: "Ø".into(),
                }],
                labels: vec![label(-5.0), label(5.0)],
            }],
            steps: vec![step.clone(), BenchStep { name: "Wait".into(), ..step }],
            notes: vec![nasty()],
        }
    }

    #[test]
    fn the_page_is_well_formed_and_needs_nothing_else() {
        let page = bench_sheet_html(&sheet());
        let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
        let document = roxmltree::Document::parse_with_options(&page, options).unwrap();
        for forbidden in ["<script", "src=", "href=", "url(", "@import", "https:"] {
            assert!(!page.contains(forbidden), "{forbidden}");
        }
        let without_namespace = page.replace("http://www.w3.org/2000/svg", "");
        assert!(!without_namespace.contains("http"), "the namespace of SVG is the only address");
        let count = |class: &str| document.descendants().filter(|n| n.attribute("class") == Some(class)).count();
        assert_eq!([count("step"), count("scale-bar"), count("legend"), count("latest")], [2, 1, 1, 2]);
        assert_eq!(count("fill"), 2, "room to note each mass");
        // One box for each check, and one for each step.
        assert_eq!(document.descendants().filter(|n| n.has_tag_name("input")).count(), 4);
        // Letters that mean the same have one row.
        assert_eq!(page.matches("\u{a0}vent").count(), 1);
        assert_eq!(page.matches("Ø 30.0").count(), 1);
        assert!(!page.contains("size: A4") && page.contains("break-inside: avoid"));
    }

    #[test]
    fn the_sheet_is_its_own_document() {
        let document = serde_json::to_value(sheet()).unwrap();
        assert_eq!(document["steps"][0]["quantities"][0]["value"], "85.0");
        assert_eq!(document["drawings"][0]["dimensions"][0]["length_mm"], 30.0);
        assert_eq!(document["drawings"][0]["labels"][0]["meaning"], "vent");
        assert_eq!(document["drawings"][0].get("shapes"), None);
    }
}
