//! Figure of a page as SVG: its look comes from classes of the page's style sheet, so that it follows light and dark.

use std::fmt::Write;

use gripwright_section::Point;

use crate::markup::escaped;

/// A figure in px, y down.
#[derive(Clone, Debug)]
pub(crate) struct Sketch {
    width: f64,
    height: f64,
    title: String,
    body: String,
}

/// Side of a point at which a text ends or begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

impl Anchor {
    fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

impl Sketch {
    /// An empty figure. The title is what screen readers say.
    pub(crate) fn new(width: f64, height: f64, title: &str) -> Self {
        Self { width, height, title: title.to_owned(), body: String::new() }
    }

    pub(crate) fn line(&mut self, class: &str, a: Point, b: Point) {
        let _ = writeln!(
            self.body,
            "<line class=\"{class}\" x1=\"{:.1}\" y1=\"{:.1}\" x2=\"{:.1}\" y2=\"{:.1}\"/>",
            a.x, a.y, b.x, b.y
        );
    }

    pub(crate) fn rect(&mut self, class: &str, min: Point, size: Point) {
        let _ = writeln!(
            self.body,
            "<rect class=\"{class}\" x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\"/>",
            min.x,
            min.y,
            size.x.max(0.0),
            size.y.max(0.0)
        );
    }

    pub(crate) fn circle(&mut self, class: &str, centre: Point, radius: f64) {
        let _ = writeln!(
            self.body,
            "<circle class=\"{class}\" cx=\"{:.1}\" cy=\"{:.1}\" r=\"{:.1}\"/>",
            centre.x, centre.y, radius
        );
    }

    /// A path of finished data.
    pub(crate) fn path(&mut self, class: &str, data: &str) {
        let _ = writeln!(self.body, "<path class=\"{class}\" d=\"{data}\"/>");
    }

    /// A chain of straight lines.
    pub(crate) fn polyline(&mut self, class: &str, points: &[Point]) {
        self.path(class, &chain(points));
    }

    /// A closed area between straight lines.
    pub(crate) fn polygon(&mut self, class: &str, points: &[Point]) {
        self.path(class, &(chain(points) + "Z"));
    }

    /// Text, escaped here.
    pub(crate) fn text(&mut self, class: &str, at: Point, anchor: Anchor, text: &str) {
        self.marked_text(class, at, anchor, &escaped(text));
    }

    /// Text that is markup already, as figures of a document are.
    pub(crate) fn marked_text(&mut self, class: &str, at: Point, anchor: Anchor, markup: &str) {
        let _ = writeln!(
            self.body,
            "<text class=\"{class}\" x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"{}\">{markup}</text>",
            at.x,
            at.y,
            anchor.word()
        );
    }

    /// An arrow from its tail to its point.
    pub(crate) fn arrow(&mut self, class: &str, tail: Point, tip: Point) {
        self.line(class, tail, tip);
        let length = tail.distance(tip);
        if length > 0.0 {
            let back = (tail - tip) * (7.0 / length);
            let aside = back.turned_left() * 0.38;
            self.polygon(&format!("{class} head"), &[tip, tip + back + aside, tip + back - aside]);
        }
    }

    /// Adds a figure inside a frame that cuts it off.
    pub(crate) fn inset(&mut self, min: Point, size: Point, inner: &Sketch) {
        let _ = writeln!(
            self.body,
            "<svg x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" viewBox=\"0 0 {:.1} {:.1}\">\n{}</svg>",
            min.x, min.y, size.x, size.y, inner.width, inner.height, inner.body
        );
    }

    /// The figure as an SVG element.
    pub(crate) fn svg(&self) -> String {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"sketch\" width=\"{:.0}\" height=\"{:.0}\" viewBox=\"0 0 {:.0} {:.0}\" \
             role=\"img\" aria-label=\"{}\">\n{}</svg>\n",
            self.width,
            self.height,
            self.width,
            self.height,
            escaped(&self.title),
            self.body
        )
    }
}

fn chain(points: &[Point]) -> String {
    let mut out = String::new();
    for (index, p) in points.iter().enumerate() {
        let _ = write!(out, "{}{:.1} {:.1}", if index == 0 { 'M' } else { 'L' }, p.x, p.y);
    }
    out
}
