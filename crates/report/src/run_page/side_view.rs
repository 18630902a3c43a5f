//! Layout of a holder in side view: dimensions, loads and reactions, clearances, aim.

use std::fmt::Write;

use gripwright_section::{Bounds, Curve, Outline, Point};

use crate::{
    figures::{FigureForm, Figures},
    markup::escaped,
    sketch::{Anchor, Sketch},
    svg_frame::SvgFrame,
};

/// A holder in side view: x runs along the body (z of the holder), y toward the tools.
#[derive(Clone, Debug, PartialEq)]
pub struct SideView {
    /// Name of the holder.
    pub words: String,
    /// Index of the holder in the document.
    pub holder: usize,
    /// Index of its loads in the document; absent without any.
    pub loads: Option<usize>,
    /// Index of the row of the fit whose aim is worst; absent without an aimed point.
    pub aim_row: Option<usize>,
    /// Lowest and highest y of the body's section, mm.
    pub body_mm: [f64; 2],
    /// Mount, web and clips.
    pub parts: Vec<Outline>,
    /// Windows through the web.
    pub windows: Vec<Outline>,
    /// The thickest tool.
    pub tool: Outline,
    /// Volumes that must stay free, with their names and the place of each in the document's list.
    pub keep_outs: Vec<(String, Outline)>,
}

/// Width of a picture, px; narrow screens scroll it.
const WIDTH_PX: f64 = 700.0;
/// Greatest height of the view itself, px.
const MOST_HEIGHT_PX: f64 = 380.0;
/// Room round the view: sides, top, bottom, px.
const ROOM_PX: [f64; 3] = [64.0, 66.0, 18.0];
/// Height of a row of dimensions, px.
const ROW_PX: f64 = 20.0;
/// Radius of the aim's target, px.
const TARGET_PX: f64 = 34.0;
/// Length of the longest arrow, px.
const ARROW_PX: f64 = 52.0;

/// A view being drawn.
struct SideSketch<'a> {
    view: &'a SideView,
    figures: Figures<'a>,
    sketch: Sketch,
    frame: SvgFrame,
    /// Lowest and highest place of the view, px.
    ends_px: [f64; 2],
    /// Length of an arrow for one N, px.
    px_per_n: f64,
}

/// Side views as HTML.
pub(super) fn side_views(figures: Figures<'_>, views: &[SideView]) -> String {
    let mut out = String::new();
    for view in views {
        let words = escaped(&view.words);
        let _ = write!(
            out,
            "<figure>\n<figcaption><b>{words}</b>. {}</figcaption>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Side view \
             of {words}\">\n{}</div>\n</figure>\n{}",
            caption(figures, view),
            SideSketch::new(view, figures).drawn(),
            clearances(figures, view)
        );
    }
    out
}

fn caption(figures: Figures<'_>, view: &SideView) -> String {
    let Some(loads) = view.loads else { return String::new() };
    let at = format!("/side_loads/{loads}");
    format!(
        "Loads with the safety factor, with {}: work and weight both out of the mouths. The body holds the mount with {} N and {} N mm.",
        figures.html(&format!("{at}/tool"), FigureForm::Text),
        figures.html(&format!("{at}/mount/toward_body_n"), FigureForm::TwoDigits),
        figures.html(&format!("{at}/mount/moment_nmm"), FigureForm::Decimals(0)),
    )
}

/// Free space at the keep-outs as a list; empty without any.
fn clearances(figures: Figures<'_>, view: &SideView) -> String {
    let at = format!("/holders/{}/keep_outs", view.holder);
    let mut out = String::new();
    for index in 0..figures.count(&at) {
        let entry = |key: &str| format!("{at}/{index}/{key}");
        let relieved = if figures.value(&entry("web_relieved")).as_bool() == Some(true) {
            "; the web was relieved for it"
        } else {
            ""
        };
        let _ = writeln!(
            out,
            "<li><b>{}</b>: nearest is the {}, {} mm away, {} mm asked{relieved}.</li>",
            figures.html(&entry("name"), FigureForm::Text),
            figures.html(&entry("after/part"), FigureForm::Text),
            figures.html(&entry("after/distance_mm"), FigureForm::Decimals(2)),
            figures.html(&entry("clearance_mm"), FigureForm::Decimals(2))
        );
    }
    if out.is_empty() { out } else { format!("<ul>\n{out}</ul>\n") }
}

impl<'a> SideSketch<'a> {
    fn new(view: &'a SideView, figures: Figures<'a>) -> Self {
        let outlines = view.parts.iter().chain([&view.tool]).chain(view.keep_outs.iter().map(|k| &k.1));
        let bounds = outlines.map(Outline::bounds).reduce(Bounds::joined).unwrap_or(view.tool.bounds());
        let body =
            Bounds::containing(Point::new(bounds.min.x, view.body_mm[0]), Point::new(bounds.max.x, view.body_mm[1]));
        let bounds = bounds.joined(body);
        let size = bounds.size();
        let [side, top, bottom] = ROOM_PX;
        let scale = ((WIDTH_PX - 2.0 * side) / size.x).min(MOST_HEIGHT_PX / size.y);
        let left = 0.5 * (WIDTH_PX / scale - size.x);
        let upper_left = Point::new(bounds.min.x - left, bounds.max.y + top / scale);
        let rows = figures.count(&format!("/holders/{}/stations", view.holder)) as f64 + 1.0;
        let aim_px = if view.aim_row.is_some() { 2.0 * TARGET_PX + 12.0 } else { 0.0 };
        let height = top + size.y * scale + bottom + rows * ROW_PX + aim_px;
        let sketch = Sketch::new(WIDTH_PX, height, &format!("Side view of {}", view.words));
        let mut drawn = Self {
            view,
            figures,
            sketch,
            frame: SvgFrame { upper_left, scale },
            ends_px: [top + size.y * scale, top],
            px_per_n: 0.0,
        };
        drawn.px_per_n = drawn.arrow_scale();
        drawn
    }

    fn drawn(mut self) -> String {
        self.shapes();
        self.dimensions();
        self.loads();
        self.aim();
        self.axes();
        self.sketch.svg()
    }

    fn shapes(&mut self) {
        let [low, high] = self.view.body_mm;
        let [left, right] = [12.0, WIDTH_PX - 12.0];
        let [y_high, y_low] = [high, low].map(|y| self.frame.place(Point::new(0.0, y)).y);
        self.sketch.rect("body", Point::new(left, y_high), Point::new(right - left, y_low - y_high));
        self.sketch.text("small", Point::new(left + 6.0, y_low - 6.0), Anchor::Start, "body");
        for (name, outline) in &self.view.keep_outs {
            self.sketch.path("free", &self.frame.path(outline));
            let bounds = outline.bounds();
            let place = self.frame.place(Point::new(bounds.centre().x, bounds.max.y)) + Point::new(0.0, -5.0);
            self.sketch.text("small", place, Anchor::Middle, name);
        }
        for part in &self.view.parts {
            self.sketch.path("part", &self.frame.path(part));
        }
        for window in &self.view.windows {
            self.sketch.path("window", &self.frame.path(window));
        }
        self.sketch.path("tool clear", &self.frame.path(&self.view.tool));
        for (at, class) in [("/point_mm", "centre"), ("/body", "centre")] {
            let axis = if at == "/body" {
                [Point::new(left, 0.0), Point::new(right, 0.0)]
                    .map(|p| Point::new(p.x, self.frame.place(Point::ORIGIN).y))
            } else {
                let bounds = self.view.tool.bounds();
                [bounds.min.x - 3.0, bounds.max.x + 3.0].map(|z| self.frame.place(self.on_axis_at(z)))
            };
            self.sketch.line(class, axis[0], axis[1]);
        }
        for index in 0..self.figures.count(&self.holder("keep_outs")) {
            let at = |k: u8| self.figures.number(&self.holder(&format!("keep_outs/{index}/after/at_mm/{k}")));
            if let Some((y, z)) = at(1).zip(at(2)) {
                self.sketch.circle("mark", self.frame.place(Point::new(z, y)), 3.5);
            }
        }
    }

    /// Place in the document's entry of the holder.
    fn holder(&self, key: &str) -> String {
        format!("/holders/{}/{key}", self.view.holder)
    }

    fn length(&self, key: &str) -> f64 {
        self.figures.number(&self.holder(key)).unwrap_or(0.0)
    }

    /// Point of the tool's axis at a place along the body, mm.
    fn on_axis_at(&self, z: f64) -> Point {
        let slope = self.length("tool_axis/direction/1") / self.length("tool_axis/direction/2");
        Point::new(z, self.length("offset_mm") + slope * z)
    }

    /// Point of the tool's axis, from over the mount's middle, mm.
    fn along_axis(&self, at_mm: f64) -> Point {
        let [sin, cos] = [1, 2].map(|k| self.length(&format!("tool_axis/direction/{k}")));
        Point::new(at_mm * cos, self.length("offset_mm") + at_mm * sin)
    }

    fn dimensions(&mut self) {
        let form = FigureForm::Decimals(1);
        let (middle, below) = (self.frame.place(Point::ORIGIN), self.ends_px[0]);
        let half = 0.5 * self.length("mount_length_mm") * self.frame.scale;
        let figure = self.figures.tspan(&self.holder("mount_length_mm"), form);
        self.across([middle.x - half, middle.x + half], middle.y, below + 18.0, &format!("mount {figure}"));
        let offset = self.frame.place(Point::new(0.0, self.length("offset_mm")));
        let figure = self.figures.tspan(&self.holder("offset_mm"), form);
        self.upright(WIDTH_PX - 40.0, [middle.y, offset.y], middle.x, &figure);
        let mut row = below + 20.0 + ROW_PX;
        for index in 0..self.figures.count(&self.holder("stations")) {
            let at = self.length(&format!("stations/{index}/at_mm"));
            if at.abs() < 1e-9 {
                continue;
            }
            let place = self.frame.place(self.along_axis(at));
            let figure = self.figures.tspan(&self.holder(&format!("stations/{index}/at_mm")), form);
            let length = self.figures.tspan(&self.holder(&format!("stations/{index}/length_mm")), form);
            self.across([middle.x, place.x], place.y, row, &format!("clip {} at {figure}, long {length}", index + 1));
            row += ROW_PX;
        }
        if self.figures.count(&self.holder("stations")) == 1 && self.length("stations/0/at_mm").abs() < 1e-9 {
            let length = self.figures.tspan(&self.holder("clip_length_mm"), form);
            let half = 0.5 * self.length("clip_length_mm") * self.frame.scale;
            let axis = self.frame.place(self.along_axis(0.0));
            self.across([axis.x - half, axis.x + half], axis.y, below + 20.0 + ROW_PX, &format!("clip {length}"));
        }
    }

    /// A dimension along the body at a height of the picture, from a feature at `from_y`.
    fn across(&mut self, ends: [f64; 2], from_y: f64, at_y: f64, markup: &str) {
        for x in ends {
            self.sketch.line("extension", Point::new(x, from_y), Point::new(x, at_y + 4.0));
        }
        let [a, b] = ends.map(|x| Point::new(x, at_y));
        self.sketch.line("dimension", a, b);
        for (tip, other) in [(a, b), (b, a)] {
            let inward = if other.x > tip.x { 1.0 } else { -1.0 };
            self.sketch.polyline(
                "dimension",
                &[tip + Point::new(5.0 * inward, -2.5), tip, tip + Point::new(5.0 * inward, 2.5)],
            );
        }
        // Short dimensions have their words beside them.
        let right = ends[0].max(ends[1]);
        if (ends[1] - ends[0]).abs() > 150.0 {
            self.sketch.marked_text(
                "small halo",
                Point::new(0.5 * (ends[0] + ends[1]), at_y - 4.0),
                Anchor::Middle,
                markup,
            );
        } else if right > 0.62 * WIDTH_PX {
            self.sketch.marked_text(
                "small halo",
                Point::new(ends[0].min(ends[1]) - 6.0, at_y + 4.0),
                Anchor::End,
                markup,
            );
        } else {
            self.sketch.marked_text("small halo", Point::new(right + 6.0, at_y + 4.0), Anchor::Start, markup);
        }
    }

    /// A dimension across the body.
    fn upright(&mut self, at_x: f64, ends: [f64; 2], from_x: f64, markup: &str) {
        for y in ends {
            self.sketch.line("extension", Point::new(from_x, y), Point::new(at_x + 4.0, y));
        }
        let [a, b] = ends.map(|y| Point::new(at_x, y));
        self.sketch.line("dimension", a, b);
        for (tip, inward) in [(a, (b.y - a.y).signum()), (b, (a.y - b.y).signum())] {
            self.sketch.polyline(
                "dimension",
                &[tip + Point::new(-2.5, 5.0 * inward), tip, tip + Point::new(2.5, 5.0 * inward)],
            );
        }
        self.sketch.marked_text(
            "small halo",
            Point::new(at_x + 6.0, 0.5 * (ends[0] + ends[1]) + 4.0),
            Anchor::Start,
            markup,
        );
    }

    fn side_load(&self, key: &str) -> String {
        format!("/side_loads/{}/{key}", self.view.loads.unwrap_or(0))
    }

    /// Length of an arrow for one N, px.
    fn arrow_scale(&self) -> f64 {
        let forces = |list: &str, key: &str| {
            let count = self.figures.count(&self.side_load(list));
            let force = |k: usize| self.figures.number(&self.side_load(&format!("{list}/{k}/{key}"))).unwrap_or(0.0);
            (0..count).map(|k| force(k).abs()).fold(0.0, f64::max)
        };
        let most = forces("loads", "out_n").max(forces("clips", "toward_body_n"));
        if most > 0.0 { ARROW_PX / most } else { 0.0 }
    }

    fn loads(&mut self) {
        if self.view.loads.is_none() {
            return;
        }
        let [sin, cos] = [1, 2].map(|k| self.length(&format!("tool_axis/direction/{k}")));
        // Away from the body on the picture, across the tool.
        let out = Point::new(-sin, -cos);
        let half = 0.5 * self.view.tool.bounds().size().y.min(30.0) * self.frame.scale;
        let mut last: Option<f64> = None;
        for index in 0..self.figures.count(&self.side_load("loads")) {
            let entry = |key: &str| format!("loads/{index}/{key}");
            let force = self.figures.number(&self.side_load(&entry("out_n"))).unwrap_or(0.0);
            if force <= 0.0 {
                continue;
            }
            let along = self.figures.number(&self.side_load(&entry("at_mm"))).unwrap_or(0.0);
            // Two loads at one place stand side by side.
            let beside = if last.is_some_and(|at| (at - along).abs() * self.frame.scale < 30.0) { 34.0 } else { 0.0 };
            last = Some(along);
            let start = self.frame.place(self.along_axis(along)) + out * half.min(14.0) + Point::new(beside, 0.0);
            let tip = start + out * (force * self.px_per_n).max(12.0);
            self.sketch.arrow("load", start, tip);
            let figure = self.figures.tspan(&self.side_load(&entry("out_n")), FigureForm::TwoDigits);
            let cause = escaped(self.figures.words(&self.side_load(&entry("cause"))));
            let (place, anchor) = if beside > 0.0 {
                (Point::new(8.0, 6.0), Anchor::Start)
            } else {
                (Point::new(0.0, -4.0), Anchor::Middle)
            };
            self.sketch.marked_text("small halo", tip + place, anchor, &format!("{cause} {figure} N"));
        }
        for index in 0..self.figures.count(&self.side_load("clips")) {
            let entry = |key: &str| self.side_load(&format!("clips/{index}/{key}"));
            let force = self.figures.number(&entry("toward_body_n")).unwrap_or(0.0);
            let along = self.figures.number(&entry("at_mm")).unwrap_or(0.0);
            let direction = out * -force.signum();
            let at = self.frame.place(self.along_axis(along));
            let tip = at + direction * (force.abs() * self.px_per_n).max(12.0);
            let figure = self.figures.tspan(&entry("toward_body_n"), FigureForm::TwoDigits);
            self.sketch.arrow("reaction", at, tip);
            // Words of a clip that pushes out stand away from those of the loads, which point the same way.
            let (place, anchor) = if direction.y > 0.0 {
                (Point::new(8.0, 12.0), Anchor::Start)
            } else {
                (Point::new(-8.0, 4.0), Anchor::End)
            };
            self.sketch.marked_text("small halo", tip + place, anchor, &format!("clip {figure} N"));
        }
    }

    /// Target of the aimed point: the tolerance as a ring, the worst deviation as a disc in it, at one magnification.
    fn aim(&mut self) {
        let Some(row) = self.view.aim_row else { return };
        let at = |key: &str| format!("/fit/{row}/{key}");
        let Some((limit, error)) = self.figures.number(&at("aim_limit_mm")).zip(self.figures.number(&at("aim_mm")))
        else {
            return;
        };
        let [y, z] = [1, 2].map(|k| self.length(&format!("tool_axis/tip_mm/{k}")));
        let tip = self.frame.place(Point::new(z, y));
        let left = tip.x > 0.5 * WIDTH_PX;
        let rows = self.figures.count(&self.holder("stations")) as f64 + 1.0;
        let below = self.ends_px[0] + ROOM_PX[2] + rows * ROW_PX + TARGET_PX;
        let target = Point::new(if left { WIDTH_PX - TARGET_PX - 70.0 } else { TARGET_PX + 60.0 }, below);
        self.sketch.line("extension", tip, target);
        self.sketch.circle("mark", tip, 3.5);
        self.sketch.circle("target", target, TARGET_PX);
        self.sketch.circle("error", target, TARGET_PX * error / limit);
        let figure = |key: &str| self.figures.tspan(&at(key), FigureForm::Decimals(2));
        let (error, limit) = (figure("aim_mm"), figure("aim_limit_mm"));
        let (x, anchor) =
            if left { (target.x - TARGET_PX - 8.0, Anchor::End) } else { (target.x + TARGET_PX + 8.0, Anchor::Start) };
        self.sketch.marked_text("small halo", Point::new(x, target.y - 3.0), anchor, &format!("aim off by {error}"));
        self.sketch.marked_text(
            "small halo",
            Point::new(x, target.y + 12.0),
            anchor,
            &format!("of {limit} mm allowed"),
        );
    }

    /// Names of the holder's axes, in the upper left corner.
    fn axes(&mut self) {
        let corner = Point::new(16.0, 46.0);
        self.sketch.arrow("axes", corner, corner + Point::new(26.0, 0.0));
        self.sketch.arrow("axes", corner, corner + Point::new(0.0, -26.0));
        self.sketch.text("small", corner + Point::new(31.0, 4.0), Anchor::Start, "z along the body");
        self.sketch.text("small", corner + Point::new(5.0, -20.0), Anchor::Start, "y");
    }
}

/// Outline of a rectangle between two lengths along an axis and two heights across it, turned by an angle about the point
/// that `origin` names; for parts in side view. `None` if it has no area.
pub fn turned_rectangle(origin: Point, angle_rad: f64, along_mm: [f64; 2], across_mm: [f64; 2]) -> Option<Outline> {
    let corner = |x: f64, y: f64| origin + Point::new(x, y).rotated(angle_rad);
    let [a, b] = along_mm;
    let [low, high] = across_mm;
    let corners = [corner(a, low), corner(b, low), corner(b, high), corner(a, high)];
    let side = |k: usize| {
        gripwright_section::Segment::new(Curve::line(corners[k], corners[(k + 1) % 4]), gripwright_section::Role::Web)
    };
    Outline::new((0..4).map(side).collect()).ok()
}
