//! A drawing on paper: scale, dimensions, labels, and the whole as SVG.

use std::fmt::{self, Write};

use gripwright_section::{Bounds, Outline, Point};

use crate::{
    drawing::{Drawing, DrawnFill, DrawnLabel, DrawnLine, DrawnShape},
    drawn_dimensions::{PlacedDimension, place_dimensions},
    drawn_labels::{PlacedLabel, place_labels},
    hatching::{HatchDirection, hatching},
    svg_frame::SvgFrame,
};

/// Greatest width and height of a drawing, mm: A4 and Letter both have them between the margins, with title, scale bar and
/// legend.
pub const ROOM_MM: [f64; 2] = [189.0, 190.0];
/// Free space round a drawing, mm.
const MARGIN_MM: f64 = 1.0;
/// Distance of hatching lines, mm on paper.
const HATCH_MM: f64 = 2.0;
/// Letters do not cover circles up to this diameter, mm on paper.
const DETAIL_MM: f64 = 12.0;
/// Scales as 1 : n, in the order in which they are tried; beyond the last, the next tenfold ones.
const SCALES: [u32; 3] = [1, 2, 5];

/// Scale of a drawing: 1 to this number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DrawingScale(u32);

impl DrawingScale {
    pub(crate) const TRUE_SIZE: Self = Self(1);

    /// Length on paper for one mm of the model, mm.
    pub fn ratio(self) -> f64 {
        1.0 / f64::from(self.0)
    }

    /// True if lengths on paper are those of the model.
    pub fn is_true_size(self) -> bool {
        self.0 == 1
    }
}

impl fmt::Display for DrawingScale {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_true_size() {
            write!(f, "true size, 1:1")
        } else {
            write!(f, "reduced, 1:{}; figures are true sizes", self.0)
        }
    }
}

/// A drawing on paper.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct DrawingLayout {
    /// The drawing as an SVG element with lengths in mm.
    pub svg: String,
    /// Scale.
    pub scale: DrawingScale,
    /// Width and height on paper, mm.
    pub size_mm: [f64; 2],
}

impl Drawing {
    /// Draws at true size, or at the largest of the scales 1:2, 1:5, 1:10 … at which the drawing fits into
    /// [`ROOM_MM`]. A drawing without shapes is empty.
    pub fn layout(&self) -> DrawingLayout {
        let nothing = Bounds::containing(Point::ORIGIN, Point::ORIGIN);
        let bounds = self.bounds().unwrap_or(nothing);
        let mut paper = self.on_paper(bounds, DrawingScale(SCALES[0]));
        let mut tenfold = 1;
        // Twelve steps reach 1:5000 and end the search for drawings that never fit.
        for step in 1..12 {
            if paper.fits() {
                break;
            }
            tenfold *= if step % SCALES.len() == 0 { 10 } else { 1 };
            paper = self.on_paper(bounds, DrawingScale(tenfold * SCALES[step % SCALES.len()]));
        }
        let size = paper.bounds.size();
        DrawingLayout { svg: paper.svg(self, ""), scale: paper.scale, size_mm: [size.x, size.y] }
    }

    fn on_paper(&self, bounds: Bounds, scale: DrawingScale) -> Paper {
        let frame = SvgFrame { upper_left: Point::new(bounds.min.x, bounds.max.y), scale: scale.ratio() };
        let size = bounds.size() * scale.ratio();
        let shapes = Bounds::containing(Point::ORIGIN, size);
        let is_shown = |label: &&DrawnLabel| scale.is_true_size() || !label.is_detail;
        let labels: Vec<DrawnLabel> = self.labels.iter().filter(is_shown).cloned().collect();
        let labels = place_labels(&labels, frame, &self.details(frame));
        let content = labels.iter().map(PlacedLabel::bounds).fold(shapes, Bounds::joined);
        let dimensions = place_dimensions(&self.dimensions, frame, content);
        let all = dimensions.iter().map(PlacedDimension::bounds).fold(content, Bounds::joined);
        let margin = Point::new(MARGIN_MM, MARGIN_MM);
        let bounds = Bounds { min: all.min - margin, max: all.max + margin };
        Paper { scale, frame, labels, dimensions, bounds }
    }

    /// Boxes on paper that no letter may cover.
    pub(crate) fn details(&self, frame: SvgFrame) -> Vec<Bounds> {
        let circles = self.shapes.iter().filter(|shape| matches!(shape, DrawnShape::Circle { .. }));
        circles
            .filter_map(DrawnShape::bounds)
            .map(|b| Bounds::containing(frame.place(b.min), frame.place(b.max)))
            .filter(|b| b.size().x <= DETAIL_MM)
            .collect()
    }
}

/// Everything with its place on paper.
pub(crate) struct Paper {
    pub(crate) scale: DrawingScale,
    pub(crate) frame: SvgFrame,
    pub(crate) labels: Vec<PlacedLabel>,
    pub(crate) dimensions: Vec<PlacedDimension>,
    pub(crate) bounds: Bounds,
}

impl Paper {
    fn fits(&self) -> bool {
        let size = self.bounds.size();
        size.x <= ROOM_MM[0] && size.y <= ROOM_MM[1]
    }

    /// The paper as SVG, with `marks` over the shapes.
    pub(crate) fn svg(&self, drawing: &Drawing, marks: &str) -> String {
        let (min, size) = (self.bounds.min, self.bounds.size());
        let mut out = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{:.2}mm\" height=\"{:.2}mm\" viewBox=\"{:.2} {:.2} {:.2} \
             {:.2}\" overflow=\"hidden\" role=\"img\" aria-label=\"{}\">\n",
            size.x,
            size.y,
            min.x,
            min.y,
            size.x,
            size.y,
            crate::markup::escaped(&drawing.title)
        );
        for shape in &drawing.shapes {
            self.shape(&mut out, shape);
        }
        out.push_str(marks);
        for dimension in &self.dimensions {
            dimension.svg(&mut out);
        }
        for label in &self.labels {
            label.svg(&mut out);
        }
        out.push_str("</svg>\n");
        out
    }

    fn shape(&self, out: &mut String, shape: &DrawnShape) {
        match shape {
            DrawnShape::Region { outlines, fill } => {
                let paths: Vec<String> = outlines.iter().map(|outline| self.frame.path(outline)).collect();
                let path = paths.join(" ");
                let _ = writeln!(out, "<path d=\"{path}\" fill-rule=\"evenodd\" fill=\"{}\"/>", colour(*fill));
                self.hatch(out, outlines, *fill);
                let _ = writeln!(out, "<path d=\"{path}\" fill=\"none\" stroke=\"#111\" stroke-width=\"0.3\"/>");
            }
            DrawnShape::Circle { centre, diameter_mm, fill } => {
                let place = self.frame.place(*centre);
                let _ = writeln!(
                    out,
                    "<circle cx=\"{:.3}\" cy=\"{:.3}\" r=\"{:.3}\" fill=\"{}\" stroke=\"#111\" stroke-width=\"0.3\"/>",
                    place.x,
                    place.y,
                    0.5 * diameter_mm * self.frame.scale,
                    colour(*fill)
                );
            }
            DrawnShape::Line { start, end, line } => {
                let [a, b] = [self.frame.place(*start), self.frame.place(*end)];
                let (width, dashes) = match line {
                    DrawnLine::Edge => (0.3, "none"),
                    DrawnLine::Cut => (0.7, "3 1.2"),
                    DrawnLine::Hidden => (0.2, "1.5 1"),
                    DrawnLine::Centre => (0.15, "6 1 1 1"),
                };
                let _ = writeln!(
                    out,
                    "<line x1=\"{:.3}\" y1=\"{:.3}\" x2=\"{:.3}\" y2=\"{:.3}\" stroke=\"#111\" stroke-width=\"{width}\" \
                     stroke-dasharray=\"{dashes}\"/>",
                    a.x, a.y, b.x, b.y
                );
            }
        }
    }

    /// Hatches rubber; one path holds all lines.
    fn hatch(&self, out: &mut String, outlines: &[Outline], fill: DrawnFill) {
        let direction = match fill {
            DrawnFill::Rubber => HatchDirection::Rising,
            DrawnFill::SecondRubber => HatchDirection::Falling,
            DrawnFill::Empty | DrawnFill::Cavity | DrawnFill::Part | DrawnFill::Board => return,
        };
        let mut path = String::new();
        for line in hatching(outlines, HATCH_MM / self.frame.scale, direction) {
            let [a, b] = line.map(|p| self.frame.place(p));
            let _ = write!(path, "M{:.2} {:.2}L{:.2} {:.2}", a.x, a.y, b.x, b.y);
        }
        let _ =
            writeln!(out, "<path class=\"hatch\" d=\"{path}\" fill=\"none\" stroke=\"#555\" stroke-width=\"0.13\"/>");
    }
}

fn colour(fill: DrawnFill) -> &'static str {
    match fill {
        DrawnFill::Empty => "none",
        DrawnFill::Cavity | DrawnFill::Rubber | DrawnFill::SecondRubber => "#fff",
        DrawnFill::Part => "#ddd",
        DrawnFill::Board => "#bbb",
    }
}

#[cfg(test)]
mod tests {
    use gripwright_section::{circle, rounded_rectangle};

    use super::*;
    use crate::drawing::{Dimension, DimensionDirection};

    fn block(width: f64, height: f64) -> Drawing {
        let outer = rounded_rectangle(width, height, 2.0).unwrap();
        Drawing {
            title: "Block".into(),
            shapes: vec![DrawnShape::Region { outlines: vec![outer, circle(20.0).unwrap()], fill: DrawnFill::Rubber }],
            dimensions: vec![Dimension {
                from: Point::new(-0.5 * width, 0.0),
                to: Point::new(0.5 * width, 0.0),
                direction: DimensionDirection::Horizontal,
                name: "box".into(),
            }],
            labels: vec![DrawnLabel {
                letter: "A".into(),
                at: Point::ORIGIN,
                meaning: "master".into(),
                is_detail: false,
            }],
            ..Drawing::default()
        }
    }

    #[test]
    fn paper_and_view_box_have_the_same_mm() {
        for (width, scale, words) in [
            (120.0, 1.0, "true size, 1:1"),
            (187.0, 1.0, "true size, 1:1"),
            (188.0, 0.5, "reduced, 1:2; figures are true sizes"),
            (900.0, 0.2, "reduced, 1:5; figures are true sizes"),
            (1100.0, 0.1, "reduced, 1:10; figures are true sizes"),
            (2500.0, 0.05, "reduced, 1:20; figures are true sizes"),
        ] {
            let layout = block(width, 60.0).layout();
            assert!((layout.scale.ratio() - scale).abs() < 1e-12, "{width}: {}", layout.scale);
            assert_eq!(layout.scale.to_string(), words);
            let document = roxmltree::Document::parse(&layout.svg).unwrap();
            let svg = document.root_element();
            let view: Vec<f64> = svg.attribute("viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
            assert_eq!(svg.attribute("width").unwrap(), format!("{:.2}mm", view[2]));
            assert_eq!(svg.attribute("height").unwrap(), format!("{:.2}mm", view[3]));
            assert!(view[2] <= ROOM_MM[0] && (view[2] - (width * scale + 2.0)).abs() < 0.02, "{width}: {view:?}");
            // The figure is the true size whatever the scale.
            let text = document.descendants().find(|n| n.attribute("class") == Some("dimension")).unwrap();
            assert_eq!(text.text().unwrap(), format!("box {width:.1}"));
        }
    }

    #[test]
    fn tall_drawings_are_reduced_and_empty_ones_are_drawn() {
        assert!(!block(60.0, 200.0).layout().scale.is_true_size());
        let empty = Drawing::default().layout();
        assert!(empty.scale.is_true_size());
        roxmltree::Document::parse(&empty.svg).unwrap();
    }

    #[test]
    fn a_reduced_drawing_leaves_letters_of_details_out() {
        for (width, count) in [(120.0, 2), (250.0, 1)] {
            let mut drawing = block(width, 60.0);
            let at = Point::new(30.0, 10.0);
            drawing.labels.push(DrawnLabel { letter: "V".into(), at, meaning: "vent".into(), is_detail: true });
            assert_eq!(drawing.layout().svg.matches("class=\"ring\"").count(), count, "{width}");
            let on_tiles: usize = drawing.tiles().iter().map(|tile| tile.svg.matches(">V</text>").count()).sum();
            assert_eq!(on_tiles > 0, count == 1, "tiles of a reduced drawing show it");
        }
    }

    #[test]
    fn rubber_is_hatched_and_letters_keep_off_small_circles() {
        let mut drawing = block(120.0, 60.0);
        let centre = Point::new(30.0, 10.0);
        drawing.shapes.push(DrawnShape::Circle { centre, diameter_mm: 8.0, fill: DrawnFill::Cavity });
        drawing.labels.push(DrawnLabel { letter: "K".into(), at: centre, meaning: "key".into(), is_detail: false });
        let paper = drawing.on_paper(drawing.bounds().unwrap(), DrawingScale(1));
        let key = paper.frame.place(centre);
        let circle = Bounds::containing(key - Point::new(4.0, 4.0), key + Point::new(4.0, 4.0));
        assert!(paper.labels.iter().all(|label| !label.bounds().near(circle, 0.0)), "{:?}", paper.labels);
        let svg = paper.svg(&drawing, "");
        assert!(svg.contains("class=\"hatch\" d=\"M"), "{svg}");
        assert!(!svg.contains("url(") && !svg.contains("id="), "{svg}");
    }
}
