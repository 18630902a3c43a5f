//! Sections through mount and clip with what they grip: interference to scale and magnified, one picture for each place of
//! a slider.

use std::fmt::Write;

use gripwright_section::{Bounds, Curve, Outline, Point, Role};

use crate::{
    figures::{FigureForm, Figures},
    hatching::{HatchDirection, hatching},
    markup::escaped,
    sketch::{Anchor, Sketch},
    svg_frame::SvgFrame,
};

/// One place of the slider: a holder in section with a barrel in its clip, or the mount with the body in it.
///
/// Outlines lie in the holder's section: the body's axis is the origin, x runs across, y toward the tools.
#[derive(Clone, Debug, PartialEq)]
pub struct SeatView {
    /// What is gripped, such as a tool and its diameter.
    pub words: String,
    /// Place of its fit in the document, such as `/fit/0`.
    pub at: String,
    /// Section of the body.
    pub body: Outline,
    /// Section of the mount.
    pub mount: Outline,
    /// Lowest and highest y and half the width of the web, mm.
    pub web_mm: [f64; 3],
    /// Section of the clip.
    pub clip: Outline,
    /// Section of what the clip grips, its axis where that of the seat is; absent where the body is what the view is about.
    pub barrel: Option<Outline>,
}

/// Width and height of a picture, px.
const PICTURE_PX: [f64; 2] = [334.0, 340.0];
/// Room of the section itself, px.
const SECTION_PX: [f64; 2] = [176.0, 324.0];
/// Side of the magnified detail, px.
const DETAIL_PX: f64 = 138.0;
/// Wanted length of the interference in the detail, px.
const WANTED_PX: f64 = 30.0;
/// Least and greatest magnification of the detail over the section.
const MAGNIFICATIONS: [f64; 9] = [2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0];
/// Number of points at which what is gripped is compared with the seat.
const LOOKS: u32 = 720;
/// Share of the greatest depth up to which places count as equally deep.
const SAME_DEPTH: f64 = 0.03;

impl SeatView {
    /// What is gripped and what grips it.
    fn pair(&self) -> (&Outline, &Outline) {
        match &self.barrel {
            Some(barrel) => (barrel, &self.clip),
            None => (&self.body, &self.mount),
        }
    }

    /// Place where what is gripped reaches deepest into its seat, or comes nearest to it, and the depth there, mm.
    fn deepest(&self) -> (Point, f64) {
        let (gripped, seat) = self.pair();
        let faces: Vec<Curve> = seat.segments().iter().filter(|s| s.role == Role::Seat).map(|s| s.curve).collect();
        let looks = || {
            gripped.segments().iter().flat_map(|s| {
                let per_segment = LOOKS / u32::try_from(gripped.segments().len()).unwrap_or(1).max(1);
                (0..per_segment).map(move |k| s.curve.at((f64::from(k) + 0.5) / f64::from(per_segment)))
            })
        };
        // Counted from the seat: the back of a thin wall may be nearer. Beyond the ends of the seat nothing is gripped.
        let depth = |p: Point| {
            let nearest = faces.iter().map(|face| face.nearest(p));
            let distances = nearest.filter(|at| at.t > 0.0 && at.t < 1.0).map(|at| at.point.distance(p));
            let distance = distances.fold(f64::INFINITY, f64::min);
            if seat.encloses(p) && distance.is_finite() { distance } else { -distance }
        };
        let greatest = looks().map(depth).fold(f64::NEG_INFINITY, f64::max);
        let centre = gripped.bounds().centre();
        let near = looks().filter(|p| greatest - depth(*p) <= SAME_DEPTH * greatest.abs() + 1e-6);
        // Of equals, the one farthest to the right and nearest to the level of the axis.
        let rank = |p: Point| (p - centre).x - (p.y - centre.y).abs();
        let place = near.max_by(|a, b| rank(*a).total_cmp(&rank(*b)));
        (place.unwrap_or(centre), greatest)
    }

    fn bounds(&self) -> Bounds {
        let outlines = [Some(&self.body), Some(&self.mount), Some(&self.clip), self.barrel.as_ref()];
        outlines.into_iter().flatten().map(Outline::bounds).reduce(Bounds::joined).unwrap_or(self.body.bounds())
    }

    /// The picture as SVG.
    fn svg(&self, figures: Figures<'_>) -> String {
        let bounds = self.bounds();
        let size = bounds.size();
        let scale = (SECTION_PX[0] / size.x).min(SECTION_PX[1] / size.y);
        let mut sketch =
            Sketch::new(PICTURE_PX[0], PICTURE_PX[1], &format!("Section of the holder with {}", self.words));
        let room = Point::new(SECTION_PX[0] / scale, PICTURE_PX[1] / scale);
        let upper_left = bounds.centre() + Point::new(-0.5 * room.x, 0.5 * room.y);
        let frame = SvgFrame { upper_left, scale };
        self.draw(&mut sketch, frame, true);
        let (place, depth) = self.deepest();
        let wanted = WANTED_PX / (scale * depth.abs().max(1e-3));
        let times = MAGNIFICATIONS.into_iter().rev().find(|m| *m <= wanted).unwrap_or(MAGNIFICATIONS[0]);
        let mut detail = Sketch::new(DETAIL_PX, DETAIL_PX, "");
        let half = 0.5 * DETAIL_PX / (scale * times);
        let detail_frame = SvgFrame { upper_left: place + Point::new(-half, half), scale: scale * times };
        self.draw(&mut detail, detail_frame, false);
        let at = Point::new(PICTURE_PX[0] - DETAIL_PX - 2.0, 30.0);
        sketch.circle("lens", frame.place(place), 7.0);
        sketch.line("lens", frame.place(place) + Point::new(6.0, -4.0), at + Point::new(0.0, 0.5 * DETAIL_PX));
        sketch.inset(at, Point::new(DETAIL_PX, DETAIL_PX), &detail);
        sketch.rect("lens", at, Point::new(DETAIL_PX, DETAIL_PX));
        sketch.text("small", at + Point::new(0.0, -6.0), Anchor::Start, &format!("magnified {times:.0}\u{d7}"));
        self.detail_words(&mut sketch, figures, at + Point::new(0.0, DETAIL_PX + 18.0));
        sketch.svg()
    }

    fn draw(&self, sketch: &mut Sketch, frame: SvgFrame, has_hatching: bool) {
        let [low, high, half_width] = self.web_mm;
        if has_hatching && high > low {
            let corner = frame.place(Point::new(-half_width, high));
            sketch.rect("part web", corner, Point::new(2.0 * half_width, high - low) * frame.scale);
        }
        sketch.path("part", &frame.path(&self.mount));
        sketch.path("part", &frame.path(&self.clip));
        for (class, outline, direction) in [
            ("body", Some(&self.body), HatchDirection::Falling),
            ("tool", self.barrel.as_ref(), HatchDirection::Rising),
        ] {
            let Some(outline) = outline else { continue };
            sketch.path(class, &frame.path(outline));
            if has_hatching {
                let mut lines = String::new();
                for line in hatching(std::slice::from_ref(outline), 7.0 / frame.scale, direction) {
                    let [a, b] = line.map(|p| frame.place(p));
                    let _ = write!(lines, "M{:.1} {:.1}L{:.1} {:.1}", a.x, a.y, b.x, b.y);
                }
                sketch.path("hatch", &lines);
            }
        }
        // The part's edge stays visible where it is covered.
        for outline in [&self.mount, &self.clip] {
            sketch.path("edge", &frame.path(outline));
        }
    }

    fn detail_words(&self, sketch: &mut Sketch, figures: Figures<'_>, at: Point) {
        let interference = figures.number(&format!("{}/interference_mm", self.at)).unwrap_or(0.0);
        let word = if interference < 0.0 { "clearance" } else { "interference" };
        let form = FigureForm::Decimals(2);
        let line = |sketch: &mut Sketch, row: f64, markup: &str| {
            sketch.marked_text("small", at + Point::new(0.0, 15.0 * row), Anchor::Start, markup);
        };
        line(sketch, 0.0, &format!("{word} {} mm", figures.tspan(&format!("{}/interference_mm", self.at), form)));
        line(sketch, 1.6, "at rest higher by");
        line(sketch, 2.6, &format!("{} mm", figures.range_tspan(&format!("{}/seat_mm", self.at), form)));
        line(sketch, 4.2, "each lip opens up to");
        line(sketch, 5.2, &format!("{} mm", figures.tspan(&format!("{}/opening_mm", self.at), form)));
    }
}

/// Slider and pictures as HTML. Without a script all pictures are shown one below the other.
pub(super) fn seat_slider(figures: Figures<'_>, views: &[SeatView]) -> String {
    if views.is_empty() {
        return String::new();
    }
    let mut out = String::from("<div class=\"slider\" id=\"seats\">\n<p class=\"control\" hidden=\"hidden\">");
    let _ = write!(
        out,
        "<label for=\"seat\">Through the family</label> <input id=\"seat\" type=\"range\" min=\"0\" max=\"{}\" value=\"0\" step=\"1\"/> \
         <output for=\"seat\" id=\"seat-words\">{}</output></p>\n<div class=\"charts\">\n",
        views.len() - 1,
        escaped(&views[0].words)
    );
    for view in views {
        let words = escaped(&view.words);
        let _ = write!(
            out,
            "<figure class=\"frame\" data-words=\"{words}\">\n<figcaption><b>{words}</b></figcaption>\n{}</figure>\n",
            view.svg(figures)
        );
    }
    out.push_str("</div>\n</div>\n");
    out
}

#[cfg(test)]
mod tests {
    use gripwright_section::{ClipBack, RoundClip, circle};
    use serde_json::json;

    use super::*;

    fn clip(seat_mm: f64) -> Outline {
        let back = ClipBack::Pad { half_width_mm: 2.0, depth_mm: 1.0, fillet_mm: 1.0 };
        let clip = RoundClip {
            seat_radius_mm: 0.5 * seat_mm,
            root_wall_mm: 1.2,
            lip_wall_mm: 1.2,
            half_wrap_rad: 2.0,
            lead_in: None,
            back,
        };
        clip.outline().unwrap()
    }

    fn view(barrel_mm: f64) -> SeatView {
        SeatView {
            words: "rod <1>".into(),
            at: "/fit/0".into(),
            body: circle(19.8).unwrap(),
            mount: clip(20.0).moved(std::f64::consts::PI, Point::ORIGIN),
            web_mm: [12.2, 17.8, 2.0],
            clip: clip(10.0).moved(0.0, Point::new(0.0, 25.0)),
            barrel: Some(circle(barrel_mm).unwrap().moved(0.0, Point::new(0.0, 25.0))),
        }
    }

    #[test]
    fn the_detail_is_where_the_barrel_is_deepest() {
        let (place, depth) = view(10.4).deepest();
        assert!((depth - 0.2).abs() < 1e-6, "{depth}");
        // On the right, where the arm reaches up to the level of the axis.
        assert!(place.x > 4.8 && (place.y - 25.0).abs() < 2.5, "{place:?}");
        let (_, depth) = view(9.0).deepest();
        assert!((depth + 0.5).abs() < 1e-6, "clearance is a negative depth: {depth}");
        let on_body = SeatView { barrel: None, ..view(10.4) };
        assert!((on_body.deepest().1 + 0.1).abs() < 1e-6);
    }

    #[test]
    fn every_picture_has_its_figures_and_escapes_its_words() {
        let document = json!({ "fit": [{ "interference_mm": 0.2, "seat_mm": [0.01, 0.03], "opening_mm": 0.4 }] });
        let html = seat_slider(Figures::new(&document), &[view(10.4), view(9.0)]);
        roxmltree::Document::parse(&format!("<div>{html}</div>")).unwrap();
        assert!(html.contains("rod &lt;1&gt;") && html.contains(">0.20</tspan> mm") && html.contains("max=\"1\""));
        assert!(html.contains("magnified"));
        assert_eq!(seat_slider(Figures::new(&document), &[]), "");
    }
}
