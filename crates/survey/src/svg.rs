//! Outlines from SVG drawings.

use std::{f64::consts::TAU, str::FromStr};

use gripwright_section::Point;
use roxmltree::{Document, Node, ParsingOptions};
use svgtypes::{Length, LengthUnit, PointsParser, Transform};

use crate::{
    affine_map::AffineMap,
    drawing::{DrawingOptions, check_unit},
    error::SurveyError,
    polylines::{EllipseArc, Polylines},
    read_limits::{DEEPEST_GROUP, MOST_ATTRIBUTES, MOST_SVG_NODES},
    surveyed_outline::SurveyedOutline,
    svg_path::add_path,
};

pub(crate) const FORMAT: &str = "SVG";
/// Elements that are ignored: they draw nothing, or nothing that could be an outline.
const IGNORED: [&str; 14] = [
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

/// Returns the outline of the body in an SVG.
///
/// It reads paths, circles, ellipses, rectangles, lines and polygons, with transforms. Upward in the drawing is upward
/// in the outline. The unit of the drawing is that of the coordinates in the outermost element.
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
    if most_attributes(text) > MOST_ATTRIBUTES {
        return Err(SurveyError::TooMany { format: FORMAT, most: MOST_ATTRIBUTES, what: "attributes of one element" });
    }
    let options = ParsingOptions { allow_dtd: true, nodes_limit: MOST_SVG_NODES, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, options).map_err(|error| broken(error.to_string()))?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err(broken(format!("its outermost element is <{}>", root.tag_name().name())));
    }
    check_unit(stated_unit_mm(root), drawing)?;
    let mm = drawing.mm();
    let map = AffineMap { x: Point::new(mm, 0.0), y: Point::new(0.0, -mm), shift: Point::ORIGIN };
    let mut polylines = drawing.new_polylines(FORMAT);
    for child in root.children().filter(Node::is_element) {
        add_element(child, &map, &mut polylines, 0)?;
    }
    drawing.outline(polylines, FORMAT, |p| map.apply(p), |p| Point::new(p.x / mm, -p.y / mm))
}

/// Returns at least the number of attributes of the element that has most: the greatest number of quoted texts from one
/// `<`, which no attribute can contain, to the next.
fn most_attributes(text: &str) -> usize {
    text.split('<').map(|tag| tag.bytes().filter(|byte| matches!(byte, b'"' | b'\'')).count() / 2).max().unwrap_or(0)
}

/// Returns one unit of the outermost coordinates as the file states it, mm; `None` if its size has no unit of length.
fn stated_unit_mm(root: Node<'_, '_>) -> Option<f64> {
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

/// An element that draws something, with the map from its coordinates to mm.
struct DrawnElement<'a, 'input> {
    node: Node<'a, 'input>,
    map: AffineMap,
}

/// Adds the curves of an element and its children; `depth` counts the groups around it.
fn add_element(
    node: Node<'_, '_>,
    map: &AffineMap,
    polylines: &mut Polylines,
    depth: usize,
) -> Result<(), SurveyError> {
    let name = node.tag_name().name();
    let foreign = node.tag_name().namespace().is_some_and(|n| n != "http://www.w3.org/2000/svg");
    let hidden = node.attribute("display") == Some("none")
        || node.attribute("style").is_some_and(|s| s.replace(' ', "").contains("display:none"));
    if IGNORED.contains(&name) || foreign || hidden {
        return Ok(());
    }
    let map = match node.attribute("transform") {
        Some(text) => {
            let t = Transform::from_str(text).map_err(|_| unknown_entity(node, " with an unreadable transform"))?;
            map.after(&AffineMap { x: Point::new(t.a, t.b), y: Point::new(t.c, t.d), shift: Point::new(t.e, t.f) })
        }
        None => *map,
    };
    let element = DrawnElement { node, map };
    match name {
        "g" | "a" => {
            if depth >= DEEPEST_GROUP {
                return Err(SurveyError::TooMany { format: FORMAT, most: DEEPEST_GROUP, what: "groups in each other" });
            }
            node.children()
                .filter(Node::is_element)
                .try_for_each(|child| add_element(child, &element.map, polylines, depth + 1))
        }
        "path" => add_path(node.attribute("d").unwrap_or(""), &element.map, polylines)
            .map_err(|error| error.unwrap_or_else(|| unknown_entity(node, " with unreadable data"))),
        "circle" | "ellipse" => element.add_ellipse(polylines),
        "rect" => element.add_rectangle(polylines),
        "line" => element.add_line(polylines),
        "polygon" | "polyline" => element.add_polyline(polylines),
        _ => Err(unknown_entity(node, "")),
    }
}

fn unknown_entity(node: Node<'_, '_>, reason: &str) -> SurveyError {
    let row = node.document().text_pos_at(node.range().start).row;
    SurveyError::UnknownEntity { what: format!("<{}>{reason} in line {row}", node.tag_name().name()), place: None }
}

impl DrawnElement<'_, '_> {
    fn name(&self) -> &str {
        self.node.tag_name().name()
    }

    /// Returns a length attribute in the element's coordinates; zero if it is absent.
    fn number(&self, key: &str) -> Result<f64, SurveyError> {
        let Some(text) = self.node.attribute(key) else { return Ok(0.0) };
        let length = Length::from_str(text.trim()).ok().and_then(pixels);
        length.ok_or_else(|| unknown_entity(self.node, &format!(" with an unreadable {key}")))
    }

    fn add_ellipse(&self, polylines: &mut Polylines) -> Result<(), SurveyError> {
        let (x, y) = match self.name() {
            "circle" => (self.number("r")?, self.number("r")?),
            _ => (self.number("rx")?, self.number("ry")?),
        };
        let map = &self.map;
        let centre = map.apply(Point::new(self.number("cx")?, self.number("cy")?));
        let arc = EllipseArc { centre, x: map.x * x, y: map.y * y, from: 0.0, sweep: TAU };
        polylines.add(self.name(), polylines.ellipse(&arc))
    }

    fn add_rectangle(&self, polylines: &mut Polylines) -> Result<(), SurveyError> {
        let corner = Point::new(self.number("x")?, self.number("y")?);
        let size = Point::new(self.number("width")?, self.number("height")?);
        let radius = |key: &str| self.node.attribute(key).map(|_| self.number(key));
        // One radius alone counts for both axes.
        let (rx, ry) = (radius("rx"), radius("ry"));
        let rx = rx.clone().or(ry.clone()).unwrap_or(Ok(0.0))?.clamp(0.0, (0.5 * size.x).max(0.0));
        let ry = ry.or(Some(Ok(rx))).unwrap_or(Ok(0.0))?.clamp(0.0, (0.5 * size.y).max(0.0));
        let points = self.rectangle(corner, size, Point::new(rx, ry), polylines);
        polylines.add(self.name(), points)
    }

    /// Returns the points of a rectangle with elliptical corners. They run clockwise on the screen from the right end
    /// of the upper side, as in the standard (from memory).
    fn rectangle(&self, corner: Point, size: Point, radii: Point, polylines: &Polylines) -> Vec<Point> {
        let (left, top, right, bottom) = (corner.x, corner.y, corner.x + size.x, corner.y + size.y);
        let Point { x: rx, y: ry } = radii;
        let centres =
            [(right - rx, top + ry), (right - rx, bottom - ry), (left + rx, bottom - ry), (left + rx, top + ry)];
        let mut points = Vec::new();
        let mut from = -0.25 * TAU;
        for (x, y) in centres {
            let map = &self.map;
            let centre = map.apply(Point::new(x, y));
            if rx > 0.0 && ry > 0.0 {
                let arc = EllipseArc { centre, x: map.x * rx, y: map.y * ry, from, sweep: 0.25 * TAU };
                points.extend(polylines.ellipse(&arc));
            } else {
                points.push(centre);
            }
            from += 0.25 * TAU;
        }
        points.extend(points.first().copied());
        points
    }

    fn add_line(&self, polylines: &mut Polylines) -> Result<(), SurveyError> {
        let end = |x: &str, y: &str| Ok(self.map.apply(Point::new(self.number(x)?, self.number(y)?)));
        let (from, to) = (end("x1", "y1"), end("x2", "y2"));
        polylines.add(self.name(), vec![from?, to?])
    }

    fn add_polyline(&self, polylines: &mut Polylines) -> Result<(), SurveyError> {
        let parsed = PointsParser::from(self.node.attribute("points").unwrap_or(""));
        let mut points: Vec<Point> = parsed.map(|(x, y)| self.map.apply(Point::new(x, y))).collect();
        if self.name() == "polygon" {
            points.extend(points.first().copied());
        }
        polylines.add(self.name(), points)
    }
}
