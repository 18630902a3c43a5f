//! Content of a drawing: shapes, dimensions and labels in the model's mm, y up.

use std::f64::consts::FRAC_PI_2;

use gripwright_section::{Bounds, Outline, Point};
use serde::{Serialize, Serializer, ser::SerializeStruct};

/// A drawing as it is asked for. [`Drawing::layout`] puts it on paper.
///
/// Serialised, it is title, caption and legend: shapes go into files of geometry.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Drawing {
    /// Title.
    pub title: String,
    /// Sentence or two on what is seen, from where.
    pub caption: String,
    /// Shapes from back to front.
    #[serde(skip)]
    pub shapes: Vec<DrawnShape>,
    /// Dimensions, drawn below and to the right of the shapes.
    pub dimensions: Vec<Dimension>,
    /// Letters at places of the drawing; the same letter may stand at several.
    pub labels: Vec<DrawnLabel>,
}

/// A shape.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum DrawnShape {
    /// Area between outlines: holes are further outlines inside, whichever way they turn.
    Region {
        /// Outlines.
        outlines: Vec<Outline>,
        /// Look.
        fill: DrawnFill,
    },
    /// Circle.
    Circle {
        /// Centre, mm.
        centre: Point,
        /// Diameter, mm.
        diameter_mm: f64,
        /// Look.
        fill: DrawnFill,
    },
    /// Straight line.
    Line {
        /// First point, mm.
        start: Point,
        /// Last point, mm.
        end: Point,
        /// Look.
        line: DrawnLine,
    },
}

/// Look of an area.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub enum DrawnFill {
    /// Outline alone.
    #[default]
    Empty,
    /// White, which covers what is behind.
    Cavity,
    /// Rubber: hatched to the right.
    Rubber,
    /// Rubber of the second half: hatched to the left.
    SecondRubber,
    /// Master or part: light grey.
    Part,
    /// Board or box wall: darker grey.
    Board,
}

/// Look of a line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub enum DrawnLine {
    /// Visible edge.
    #[default]
    Edge,
    /// Parting or cut: thick and dashed.
    Cut,
    /// Hidden edge: thin and dashed.
    Hidden,
    /// Centre line: dash and dot.
    Centre,
}

/// Direction in which a dimension measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum DimensionDirection {
    /// Along x, drawn below.
    Horizontal,
    /// Along y, drawn to the right.
    Vertical,
}

/// A dimension. Its figure is measured from its points, so that it cannot contradict the drawing.
///
/// Serialised, it is name, direction and length.
#[derive(Clone, Debug, PartialEq)]
pub struct Dimension {
    /// First point, mm.
    pub from: Point,
    /// Second point, mm.
    pub to: Point,
    /// Direction.
    pub direction: DimensionDirection,
    /// Words before the figure; may be empty.
    pub name: String,
}

impl Dimension {
    /// Length that is measured, mm.
    pub fn length_mm(&self) -> f64 {
        match self.direction {
            DimensionDirection::Horizontal => (self.to.x - self.from.x).abs(),
            DimensionDirection::Vertical => (self.to.y - self.from.y).abs(),
        }
    }

    /// Name and length.
    pub fn text(&self) -> String {
        format!("{} {:.1}", self.name, self.length_mm()).trim_start().to_owned()
    }
}

impl Serialize for Dimension {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut out = serializer.serialize_struct("Dimension", 3)?;
        out.serialize_field("name", &self.name)?;
        out.serialize_field("direction", &self.direction)?;
        out.serialize_field("length_mm", &self.length_mm())?;
        out.end()
    }
}

/// A letter at a place of the drawing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DrawnLabel {
    /// One to three letters.
    pub letter: String,
    /// Place that the letter points at, mm.
    #[serde(skip)]
    pub at: Point,
    /// Meaning, for the legend.
    pub meaning: String,
    /// True for one of many details: a reduced drawing leaves its letter out, which would cover the shapes.
    #[serde(skip)]
    pub is_detail: bool,
}

impl Drawing {
    /// Smallest box of all shapes, or `None` if there is none.
    pub(crate) fn bounds(&self) -> Option<Bounds> {
        self.shapes.iter().filter_map(DrawnShape::bounds).reduce(Bounds::joined)
    }

    /// Letters with their meanings, each once, in the order of the labels.
    pub fn legend(&self) -> Vec<(&str, &str)> {
        let mut rows: Vec<(&str, &str)> = Vec::new();
        for label in &self.labels {
            let row = (label.letter.as_str(), label.meaning.as_str());
            if !rows.contains(&row) {
                rows.push(row);
            }
        }
        rows
    }
}

impl Drawing {
    /// The drawing turned by a quarter, for a page that is higher than wide. It has no dimensions.
    pub(crate) fn turned(&self) -> Self {
        let turn = |p: Point| Point::new(-p.y, p.x);
        let shape = |shape: &DrawnShape| match shape {
            DrawnShape::Region { outlines, fill } => DrawnShape::Region {
                outlines: outlines.iter().map(|outline| outline.moved(FRAC_PI_2, Point::ORIGIN)).collect(),
                fill: *fill,
            },
            DrawnShape::Circle { centre, diameter_mm, fill } => {
                DrawnShape::Circle { centre: turn(*centre), diameter_mm: *diameter_mm, fill: *fill }
            }
            DrawnShape::Line { start, end, line } => {
                DrawnShape::Line { start: turn(*start), end: turn(*end), line: *line }
            }
        };
        Self {
            shapes: self.shapes.iter().map(shape).collect(),
            dimensions: Vec::new(),
            labels: self.labels.iter().map(|label| DrawnLabel { at: turn(label.at), ..label.clone() }).collect(),
            ..self.clone()
        }
    }
}

impl DrawnShape {
    /// Smallest box of the shape; a region without outlines has none.
    pub(crate) fn bounds(&self) -> Option<Bounds> {
        match self {
            Self::Region { outlines, .. } => outlines.iter().map(Outline::bounds).reduce(Bounds::joined),
            Self::Circle { centre, diameter_mm, .. } => {
                let reach = Point::new(0.5 * diameter_mm, 0.5 * diameter_mm);
                Some(Bounds::containing(*centre - reach, *centre + reach))
            }
            Self::Line { start, end, .. } => Some(Bounds::containing(*start, *end)),
        }
    }
}
