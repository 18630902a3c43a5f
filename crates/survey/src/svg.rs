//! Outlines out of SVG drawings.

use std::{f64::consts::TAU, str::FromStr};

use gripwright_section::Point;
use roxmltree::{Document, Node, ParsingOptions};
use svgtypes::{Length, LengthUnit, PointsParser, Transform};

use crate::{
    drawing::{DrawingOptions, check_unit},
    error::SurveyError,
    polylines::{AffineMap, Polylines},
    surveyed_outline::SurveyedOutline,
    svg_path::add_path,
};

pub(crate) const FORMAT: &str = "SVG";
/// Most elements and attributes that are read, and how deep groups may lie in groups.
const MOST_NODES: u32 = 500_000;
const DEEPEST: usize = 200;
/// Elements that draw nothing, or nothing that could be an outline.
const SILENT: [&str; 14] = [
    "defs",
    "title",
    "desc",
    "metadata",
    "style",
    "script",
    "symbol",
    "clipPath",
    "mask",
    "pattern",
    "marker",
    "linearGradient",
    "radialGradient",
    "text",
];
/// CSS pixels to the inch (CSS Values and Units, from memory).
const PIXELS: f64 = 96.0;

/// The outline in an SVG: paths, circles, ellipses, rectangles, lines and polygons, with transforms. Upward in the
/// drawing is upward in the outline; the unit of the drawing is that of the coordinates in the outermost element.
pub fn outline_from_svg(bytes: &[u8], drawing: &DrawingOptions) -> Result<SurveyedOutline, SurveyError> {
    let broken = |reason: String| SurveyError::Unreadable { format: FORMAT, reason };
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(broken("it is empty".to_owned()));
    }
    if bytes.starts_with(&[0x1f, 0x8b]) {
        return Err(broken("it is compressed".to_owned()));
    }
    let text = std::str::from_utf8(bytes)
        .map_err(|error| broken(format!("byte {} is not UTF-8 text", error.valid_up_to())))?;
    if text.contains("<!ENTITY") {
        return Err(broken("it declares entities".to_owned()));
    }
    let options = ParsingOptions { allow_dtd: true, nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, options).map_err(|error| broken(error.to_string()))?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err(broken(format!("its outermost element is <{}>", root.tag_name().name())));
    }
    check_unit(said_mm(root), drawing.unit_mm)?;
    let mm = drawing.mm();
    let map = AffineMap { x: Point::new(mm, 0.0), y: Point::new(0.0, -mm), shift: Point::ORIGIN };
    let mut pieces = drawing.pieces(FORMAT);
    for child in root.children().filter(Node::is_element) {
        element(child, &map, &mut pieces, 0)?;
    }
    drawing.outline(pieces, FORMAT, |p| map.of(p), |p| Point::new(p.x / mm, -p.y / mm))
}

/// One unit of the outermost coordinates by the file's own word, mm; `None` when it gives its size in no unit of length.
fn said_mm(root: Node<'_, '_>) -> Option<f64> {
    let width = Length::from_str(root.attribute("width")?).ok()?;
    let absolute = ![LengthUnit::None, LengthUnit::Px].contains(&width.unit);
    let mm = pixels(width)? * 25.4 / PIXELS;
    let units = match root.attribute("viewBox") {
        Some(text) => text.split([' ', ',', '\t', '\n']).filter(|t| !t.is_empty()).nth(2)?.parse::<f64>().ok()?,
        None => return absolute.then_some(25.4 / PIXELS),
    };
    (absolute && units > 0.0 && mm > 0.0).then_some(mm / units)
}

/// A length in CSS pixels.
fn pixels(length: Length) -> Option<f64> {
    let factor = match length.unit {
        LengthUnit::None | LengthUnit::Px => 1.0,
        LengthUnit::In => PIXELS,
        LengthUnit::Cm => PIXELS / 2.54,
        LengthUnit::Mm => PIXELS / 25.4,
        LengthUnit::Pt => PIXELS / 72.0,
        LengthUnit::Pc => PIXELS / 6.0,
        LengthUnit::Em | LengthUnit::Ex | LengthUnit::Percent => return None,
    };
    Some(length.number * factor)
}

fn element(node: Node<'_, '_>, map: &AffineMap, pieces: &mut Polylines, depth: usize) -> Result<(), SurveyError> {
    let name = node.tag_name().name();
    let foreign = node.tag_name().namespace().is_some_and(|n| n != "http://www.w3.org/2000/svg");
    let hidden = node.attribute("display") == Some("none")
        || node.attribute("style").is_some_and(|s| s.replace(' ', "").contains("display:none"));
    if SILENT.contains(&name) || foreign || hidden {
        return Ok(());
    }
    let unknown = |reason: &str| SurveyError::UnknownEntity {
        what: format!("<{name}>{reason} in line {}", node.document().text_pos_at(node.range().start).row),
        place: None,
    };
    let map = match node.attribute("transform") {
        Some(text) => {
            let t = Transform::from_str(text).map_err(|_| unknown(" with an unreadable transform"))?;
            map.after(&AffineMap { x: Point::new(t.a, t.b), y: Point::new(t.c, t.d), shift: Point::new(t.e, t.f) })
        }
        None => *map,
    };
    let number = |key: &str| match node.attribute(key) {
        None => Ok(0.0),
        Some(text) => {
            let length = Length::from_str(text.trim()).ok().and_then(pixels);
            length.ok_or_else(|| unknown(&format!(" with an unreadable {key}")))
        }
    };
    match name {
        "g" | "a" => {
            if depth >= DEEPEST {
                return Err(SurveyError::TooMany { format: FORMAT, most: DEEPEST, what: "groups in each other" });
            }
            node.children().filter(Node::is_element).try_for_each(|child| element(child, &map, pieces, depth + 1))
        }
        "path" => {
            let data = node.attribute("d").unwrap_or("");
            add_path(data, &map, pieces).map_err(|error| error.unwrap_or_else(|| unknown(" with unreadable data")))
        }
        "circle" | "ellipse" => {
            let (x, y) = match name {
                "circle" => (number("r")?, number("r")?),
                _ => (number("rx")?, number("ry")?),
            };
            let centre = map.of(Point::new(number("cx")?, number("cy")?));
            let points = pieces.ellipse(centre, map.x * x, map.y * y, 0.0, TAU);
            pieces.add(name, points)
        }
        "rect" => {
            let corner = Point::new(number("x")?, number("y")?);
            let size = Point::new(number("width")?, number("height")?);
            let (rx, ry) = (node.attribute("rx").map(|_| number("rx")), node.attribute("ry").map(|_| number("ry")));
            let rx = rx.clone().or(ry.clone()).unwrap_or(Ok(0.0))?.clamp(0.0, (0.5 * size.x).max(0.0));
            let ry = ry.or(Some(Ok(rx))).unwrap_or(Ok(0.0))?.clamp(0.0, (0.5 * size.y).max(0.0));
            let points = rectangle(corner, size, rx, ry, &map, pieces);
            pieces.add(name, points)
        }
        "line" => {
            let ends = [("x1", "y1"), ("x2", "y2")].map(|(x, y)| Ok(map.of(Point::new(number(x)?, number(y)?))));
            let [from, to] = ends;
            pieces.add(name, vec![from?, to?])
        }
        "polygon" | "polyline" => {
            let parsed = PointsParser::from(node.attribute("points").unwrap_or(""));
            let mut points: Vec<Point> = parsed.map(|(x, y)| map.of(Point::new(x, y))).collect();
            if name == "polygon" {
                points.extend(points.first().copied());
            }
            pieces.add(name, points)
        }
        _ => Err(unknown("")),
    }
}

/// Clockwise on the screen from the upper left corner's right end, as the standard has it (from memory).
fn rectangle(corner: Point, size: Point, rx: f64, ry: f64, map: &AffineMap, pieces: &Polylines) -> Vec<Point> {
    let (left, top, right, bottom) = (corner.x, corner.y, corner.x + size.x, corner.y + size.y);
    let centres = [(right - rx, top + ry), (right - rx, bottom - ry), (left + rx, bottom - ry), (left + rx, top + ry)];
    let mut points = Vec::new();
    let mut from = -0.25 * TAU;
    for (x, y) in centres {
        let centre = map.of(Point::new(x, y));
        if rx > 0.0 && ry > 0.0 {
            points.extend(pieces.ellipse(centre, map.x * rx, map.y * ry, from, 0.25 * TAU));
        } else {
            points.push(centre);
        }
        from += 0.25 * TAU;
    }
    points.extend(points.first().copied());
    points
}
