//! Dimension lines below and to the right of a drawing, in tiers, so that no two overlap.

use std::fmt::Write;

use gripwright_section::{Bounds, Point};

use crate::{
    drawing::{Dimension, DimensionDirection},
    lettering::{FONT_MM, text_width_mm},
    markup::escaped,
    svg_frame::SvgFrame,
};

/// Distance of the first tier from the drawing, and between tiers, mm on paper.
const TIER_MM: f64 = 6.0;
/// Free space between neighbours in a tier, mm on paper.
const GAP_MM: f64 = 3.0;

/// A dimension with its place on paper.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PlacedDimension {
    direction: DimensionDirection,
    text: String,
    /// Ends on paper, in the order of the measured axis.
    ends: [Point; 2],
    /// Height of its tier: y of a horizontal dimension, x of a vertical one.
    tier: f64,
    /// Stretch of the measured axis that line and text take.
    stretch: [f64; 2],
    text_at: f64,
}

impl PlacedDimension {
    fn new(dimension: &Dimension, frame: SvgFrame) -> Self {
        let direction = dimension.direction;
        let mut ends = [frame.place(dimension.from), frame.place(dimension.to)];
        if along(direction, ends[1]) < along(direction, ends[0]) {
            ends.reverse();
        }
        let [low, high] = ends.map(|p| along(direction, p));
        let text = dimension.text();
        let width = text_width_mm(&text);
        // A text wider than its line stands beside it: on the right, or above.
        let (text_at, stretch) = if width + 1.0 <= high - low {
            (0.5 * (low + high), [low, high])
        } else if direction == DimensionDirection::Horizontal {
            (high + 1.5 + 0.5 * width, [low, high + 1.5 + width])
        } else {
            (low - 1.5 - 0.5 * width, [low - 1.5 - width, high])
        };
        Self { direction, text, ends, tier: 0.0, stretch, text_at }
    }

    /// Box of line and text.
    pub(crate) fn bounds(&self) -> Bounds {
        let [low, high] = self.stretch;
        match self.direction {
            DimensionDirection::Horizontal => {
                Bounds::containing(Point::new(low, self.tier - 1.2 * FONT_MM), Point::new(high, self.tier + 1.5))
            }
            DimensionDirection::Vertical => {
                Bounds::containing(Point::new(self.tier - 1.2 * FONT_MM, low), Point::new(self.tier + 1.5, high))
            }
        }
    }

    /// Lines and text as SVG.
    pub(crate) fn svg(&self, out: &mut String) {
        let [low, high] = self.ends.map(|p| along(self.direction, p));
        let at = |along: f64, across: f64| match self.direction {
            DimensionDirection::Horizontal => Point::new(along, across),
            DimensionDirection::Vertical => Point::new(across, along),
        };
        let mut lines = vec![[at(low, self.tier), at(high, self.tier)]];
        for (end, place) in self.ends.iter().zip([low, high]) {
            let across = match self.direction {
                DimensionDirection::Horizontal => end.y,
                DimensionDirection::Vertical => end.x,
            };
            lines.push([at(place, across + 0.8), at(place, self.tier + 1.2)]);
            let stroke = Point::new(0.9, -0.9);
            lines.push([at(place, self.tier) - stroke, at(place, self.tier) + stroke]);
        }
        for [a, b] in lines {
            let _ = writeln!(
                out,
                "<line x1=\"{:.2}\" y1=\"{:.2}\" x2=\"{:.2}\" y2=\"{:.2}\" stroke=\"#111\" stroke-width=\"0.15\"/>",
                a.x, a.y, b.x, b.y
            );
        }
        let place = at(self.text_at, self.tier - 0.8);
        let turn = match self.direction {
            DimensionDirection::Horizontal => String::new(),
            DimensionDirection::Vertical => format!(" transform=\"rotate(-90 {:.2} {:.2})\"", place.x, place.y),
        };
        let width = text_width_mm(&self.text);
        // Extension lines of longer dimensions pass behind the text.
        let _ = writeln!(
            out,
            "<rect x=\"{:.2}\" y=\"{:.2}\"{turn} width=\"{width:.2}\" height=\"{FONT_MM}\" fill=\"#fff\"/>",
            place.x - 0.5 * width,
            place.y - 0.85 * FONT_MM
        );
        let _ = writeln!(
            out,
            "<text class=\"dimension\" x=\"{:.2}\" y=\"{:.2}\"{turn} font-size=\"{FONT_MM}\" text-anchor=\"middle\" \
             fill=\"#111\">{}</text>",
            place.x,
            place.y,
            escaped(&self.text)
        );
    }
}

fn along(direction: DimensionDirection, p: Point) -> f64 {
    match direction {
        DimensionDirection::Horizontal => p.x,
        DimensionDirection::Vertical => p.y,
    }
}

/// Places dimensions outside a box of the paper, short ones nearest.
pub(crate) fn place_dimensions(dimensions: &[Dimension], frame: SvgFrame, content: Bounds) -> Vec<PlacedDimension> {
    let mut placed = Vec::new();
    for (direction, edge) in
        [(DimensionDirection::Horizontal, content.max.y), (DimensionDirection::Vertical, content.max.x)]
    {
        let mut row: Vec<PlacedDimension> = dimensions
            .iter()
            .filter(|dimension| dimension.direction == direction)
            .map(|dimension| PlacedDimension::new(dimension, frame))
            .collect();
        let length = |d: &PlacedDimension| along(direction, d.ends[1]) - along(direction, d.ends[0]);
        row.sort_by(|a, b| length(a).total_cmp(&length(b)));
        let mut tiers: Vec<Vec<[f64; 2]>> = Vec::new();
        for mut dimension in row {
            let [low, high] = dimension.stretch;
            let is_free = |tier: &Vec<[f64; 2]>| tier.iter().all(|[l, h]| high + GAP_MM < *l || low > h + GAP_MM);
            let index = tiers.iter().position(is_free).unwrap_or(tiers.len());
            if index == tiers.len() {
                tiers.push(Vec::new());
            }
            tiers[index].push(dimension.stretch);
            dimension.tier = edge + TIER_MM * (index as f64 + 1.0);
            placed.push(dimension);
        }
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dimensions_take_tiers_without_overlap() {
        let frame = SvgFrame { upper_left: Point::ORIGIN, scale: 1.0 };
        let content = Bounds::containing(Point::ORIGIN, Point::new(100.0, 60.0));
        let dimension = |direction, from: f64, to: f64| Dimension {
            from: Point::new(from, -from),
            to: Point::new(to, -to),
            direction,
            name: "rubber".into(),
        };
        let mut dimensions = Vec::new();
        for direction in [DimensionDirection::Horizontal, DimensionDirection::Vertical] {
            for (from, to) in [(0.0, 50.0), (12.0, 0.0), (12.0, 14.0), (38.0, 50.0), (0.0, 50.0), (20.0, 30.0)] {
                dimensions.push(dimension(direction, from, to));
            }
        }
        let placed = place_dimensions(&dimensions, frame, content);
        assert_eq!(placed.len(), dimensions.len());
        for (index, new) in placed.iter().enumerate() {
            assert!(!new.bounds().near(content, 0.0), "{new:?}");
            assert!(placed[..index].iter().all(|old| !new.bounds().near(old.bounds(), 0.0)), "{new:?}");
        }
        assert!(placed.iter().any(|d| d.text == "rubber 12.0"));
    }
}
