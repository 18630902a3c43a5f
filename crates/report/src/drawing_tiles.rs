//! Tiles of a drawing that is larger than a page: windows at true size, which overlap and are joined by their crosses.
//!
//! ```text
//!  ┌────────┬─┬────────┐
//!  │   A1   ┼ ┼   A2   │   both tiles show the overlap, and in its middle
//!  │        │ │        │   the line along which one of them is cut
//!  └────────┴─┴────────┘
//! ```

use std::fmt::Write;

use gripwright_section::{Bounds, Point};

use crate::{
    drawing::{Drawing, DrawnLabel},
    drawing_layout::{DrawingScale, Paper},
    drawn_labels::place_labels,
    svg_frame::SvgFrame,
};

/// Greatest width and height of a tile, mm: A4 and Letter both have them between the margins, with caption and scale bar.
const TILE_MM: [f64; 2] = [188.0, 205.0];
/// Overlap of neighbours, mm.
const OVERLAP_MM: f64 = 10.0;
/// Free space round the shapes, mm: what letters like, and the least, where more would take a further tile.
const SPACE_MM: [f64; 2] = [12.0, 1.0];
/// Most tiles of a drawing; a larger one has none.
const MOST_TILES: u32 = 24;
/// Half of the length of a cross, mm.
const CROSS_MM: f64 = 4.0;
/// Width of the barrier that keeps letters inside a tile, mm.
const BARRIER_MM: f64 = 2000.0;

/// Part of a drawing at true size, on a page of its own.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct DrawingTile {
    /// Letter of its row and number of its column, as "A2".
    pub name: String,
    /// True if it shows the drawing turned by a quarter to the left.
    pub is_turned: bool,
    /// Tiles beside it, each with its side in words, as "on the right".
    pub neighbours: Vec<(String, &'static str)>,
    /// The tile as an SVG element with lengths in mm.
    pub svg: String,
}

impl Drawing {
    /// Tiles of a drawing whose [layout](Drawing::layout) is reduced, row by row from the upper left; none for a drawing at
    /// true size. They show no dimensions: those stand on the reduced drawing.
    pub fn tiles(&self) -> Vec<DrawingTile> {
        if self.layout().scale.is_true_size() {
            return Vec::new();
        }
        let upright = self.tiles_upright(false);
        // A turned drawing must earn its turn.
        let turned = if upright.len() > 1 { self.turned().tiles_upright(true) } else { Vec::new() };
        let is_fewer = !turned.is_empty() && turned.len() < upright.len();
        if is_fewer { turned } else { upright }
    }

    /// Tiles of the drawing as it stands.
    fn tiles_upright(&self, is_turned: bool) -> Vec<DrawingTile> {
        let Some(bounds) = self.bounds() else { return Vec::new() };
        let frame = SvgFrame { upper_left: Point::new(bounds.min.x, bounds.max.y), scale: 1.0 };
        let columns = windows(bounds.size().x, TILE_MM[0]);
        let rows = windows(bounds.size().y, TILE_MM[1]);
        if columns.len() * rows.len() > MOST_TILES as usize {
            return Vec::new();
        }
        let marks = marks(&columns, &rows);
        let mut tiles = Vec::new();
        for (row, [top, bottom]) in rows.iter().enumerate() {
            for (column, [left, right]) in columns.iter().enumerate() {
                let window = Bounds { min: Point::new(*left, *top), max: Point::new(*right, *bottom) };
                let beside = [
                    (row.checked_sub(1).map(|above| name(above, column)), "above"),
                    ((row + 1 < rows.len()).then(|| name(row + 1, column)), "below"),
                    (column.checked_sub(1).map(|before| name(row, before)), "on the left"),
                    ((column + 1 < columns.len()).then(|| name(row, column + 1)), "on the right"),
                ];
                let neighbours = beside.into_iter().filter_map(|(name, side)| Some((name?, side))).collect();
                let svg = self.tile(frame, window, &marks);
                tiles.push(DrawingTile { name: name(row, column), is_turned, neighbours, svg });
            }
        }
        tiles
    }

    fn tile(&self, frame: SvgFrame, window: Bounds, marks: &str) -> String {
        let inside =
            |label: &&DrawnLabel| window.near(Bounds::containing(frame.place(label.at), frame.place(label.at)), 0.0);
        let labels: Vec<DrawnLabel> = self.labels.iter().filter(inside).cloned().collect();
        let barrier = |x: [f64; 2], y: [f64; 2]| Bounds { min: Point::new(x[0], y[0]), max: Point::new(x[1], y[1]) };
        let Bounds { min, max } = window;
        let (wide, tall) = ([min.x - BARRIER_MM, max.x + BARRIER_MM], [min.y - BARRIER_MM, max.y + BARRIER_MM]);
        let mut taken = self.details(frame);
        taken.extend([
            barrier(wide, [min.y - BARRIER_MM, min.y]),
            barrier(wide, [max.y, max.y + BARRIER_MM]),
            barrier([min.x - BARRIER_MM, min.x], tall),
            barrier([max.x, max.x + BARRIER_MM], tall),
        ]);
        let labels = place_labels(&labels, frame, &taken);
        Paper { scale: DrawingScale::TRUE_SIZE, frame, labels, dimensions: Vec::new(), bounds: window }.svg(self, marks)
    }
}

fn name(row: usize, column: usize) -> String {
    let letter = char::from(b'A' + u8::try_from(row).unwrap_or(25).min(25));
    format!("{letter}{}", column + 1)
}

/// Windows along one axis on paper, over shapes from 0 to `size_mm`: all as long as each other, overlapping.
fn windows(size_mm: f64, room_mm: f64) -> Vec<[f64; 2]> {
    // One more than is drawn stands for all that are too many.
    let count = |length: f64| {
        let is_enough = |n: &u32| length - OVERLAP_MM <= f64::from(*n) * (room_mm - OVERLAP_MM);
        (1..=MOST_TILES).find(is_enough).unwrap_or(MOST_TILES + 1)
    };
    let [wanted, least] = SPACE_MM.map(|space| size_mm + 2.0 * space);
    let number = count(least);
    let most = f64::from(number) * (room_mm - OVERLAP_MM) + OVERLAP_MM;
    let length = wanted.min(most);
    let step = (length - OVERLAP_MM) / f64::from(number);
    let start = |k: u32| 0.5 * (size_mm - length) + f64::from(k) * step;
    (0..number).map(|k| [start(k), start(k) + step + OVERLAP_MM]).collect()
}

/// Crosses and lines of the cut in the middle of every overlap, as SVG.
fn marks(columns: &[[f64; 2]], rows: &[[f64; 2]]) -> String {
    let seams =
        |windows: &[[f64; 2]]| -> Vec<f64> { windows.windows(2).map(|pair| 0.5 * (pair[0][1] + pair[1][0])).collect() };
    let mut out = String::new();
    let mut line = |a: Point, b: Point, look: &str| {
        let _ = writeln!(
            out,
            "<line class=\"{look}\" x1=\"{:.2}\" y1=\"{:.2}\" x2=\"{:.2}\" y2=\"{:.2}\" stroke=\"#111\" stroke-width=\"0.2\"{}/>",
            a.x,
            a.y,
            b.x,
            b.y,
            if look == "seam" { " stroke-dasharray=\"2 2\"" } else { "" }
        );
    };
    let mut seams_along = |seams: &[f64], across: &[[f64; 2]], place: fn(f64, f64) -> Point| {
        for &seam in seams {
            for [low, high] in across {
                line(place(seam, *low), place(seam, *high), "seam");
                for share in [0.2, 0.8] {
                    let (at, reach) = (low + share * (high - low), CROSS_MM);
                    line(place(seam - reach, at), place(seam + reach, at), "cross");
                    line(place(seam, at - reach), place(seam, at + reach), "cross");
                }
            }
        }
    };
    seams_along(&seams(columns), rows, Point::new);
    seams_along(&seams(rows), columns, |seam, along| Point::new(along, seam));
    out
}

#[cfg(test)]
mod tests {
    use gripwright_section::rounded_rectangle;

    use super::*;
    use crate::drawing::{DrawnFill, DrawnShape};

    fn board(width: f64, height: f64) -> Drawing {
        let outlines = vec![rounded_rectangle(width, height, 1.0).unwrap()];
        let labels = (0..6).map(|k| DrawnLabel {
            letter: format!("M{k}"),
            at: Point::new(width * (f64::from(k) / 5.0 - 0.5), 0.0),
            meaning: "master".into(),
            is_detail: false,
        });
        let shapes = vec![DrawnShape::Region { outlines, fill: DrawnFill::Part }];
        Drawing { title: "Board".into(), shapes, labels: labels.collect(), ..Drawing::default() }
    }

    fn figures(text: &str) -> Vec<f64> {
        text.split(' ').map(|n| n.parse().unwrap()).collect()
    }

    #[test]
    fn tiles_are_at_true_size_and_cover_the_drawing() {
        for (width, height, count) in
            [(150.0, 100.0, 0), (186.0, 100.0, 1), (187.0, 188.0, 2), (300.0, 204.0, 4), (560.0, 80.0, 3)]
        {
            let drawing = board(width, height);
            let tiles = drawing.tiles();
            assert_eq!(tiles.len(), count, "{width} × {height}");
            let mut shown = [[f64::INFINITY, f64::NEG_INFINITY]; 2];
            for tile in &tiles {
                let document = roxmltree::Document::parse(&tile.svg).unwrap();
                let svg = document.root_element();
                let view = figures(svg.attribute("viewBox").unwrap());
                assert_eq!(svg.attribute("width").unwrap(), format!("{:.2}mm", view[2]), "{}", tile.name);
                assert!(view[2] <= TILE_MM[0] + 0.01 && view[3] <= TILE_MM[1] + 0.01, "{view:?}");
                for axis in [0, 1] {
                    let [low, high] = [view[axis], view[axis] + view[axis + 2]];
                    shown[axis] = [shown[axis][0].min(low), shown[axis][1].max(high)];
                }
                // Letters stay inside.
                for ring in document.descendants().filter(|n| n.attribute("class") == Some("ring")) {
                    let at = |name: &str| ring.attribute(name).unwrap().parse::<f64>().unwrap();
                    assert!(at("x") >= view[0] && at("x") + at("width") <= view[0] + view[2], "{}", tile.name);
                    assert!(at("y") >= view[1] && at("y") + at("height") <= view[1] + view[3], "{}", tile.name);
                }
            }
            let covers = |axis: usize, size: f64| shown[axis][0] <= -0.99 && shown[axis][1] >= size + 0.99;
            let is_turned = tiles.first().is_some_and(|tile| tile.is_turned);
            let [across, down] = if is_turned { [height, width] } else { [width, height] };
            assert!(count == 0 || covers(0, across) && covers(1, down), "{width} × {height}: {shown:?}");
        }
    }

    /// A long board needs one page less when it is turned; a tile shows it turned by a quarter to the left.
    #[test]
    fn a_drawing_is_turned_where_it_then_takes_fewer_tiles() {
        for (width, height, is_turned, count) in
            [(200.0, 55.0, true, 1), (300.0, 120.0, false, 2), (390.0, 80.0, true, 2)]
        {
            let tiles = board(width, height).tiles();
            assert_eq!(tiles.len(), count, "{width} × {height}");
            assert!(tiles.iter().all(|tile| tile.is_turned == is_turned), "{width} × {height}");
        }
        let mut drawing = board(200.0, 55.0);
        let centre = Point::new(80.0, 20.0);
        drawing.shapes.push(DrawnShape::Circle { centre, diameter_mm: 6.0, fill: DrawnFill::Cavity });
        let tiles = drawing.tiles();
        let document = roxmltree::Document::parse(&tiles[0].svg).unwrap();
        let circle = document.descendants().find(|n| n.attribute("r") == Some("3.000")).unwrap();
        let at = ["cx", "cy"].map(|key| circle.attribute(key).unwrap().parse::<f64>().unwrap());
        // To the right of the middle becomes above it, above becomes to the left. The page counts down.
        assert!((at[0] - (27.5 - 20.0)).abs() < 1e-9 && (at[1] - (100.0 - 80.0)).abs() < 1e-9, "{at:?}");
    }

    /// Neighbours show the same crosses at the same places of the drawing, all of each inside both.
    #[test]
    fn neighbours_share_two_crosses() {
        let tiles = board(300.0, 120.0).tiles();
        let names: Vec<&str> = tiles.iter().map(|tile| tile.name.as_str()).collect();
        assert_eq!(names, ["A1", "A2"]);
        assert_eq!(tiles[0].neighbours, [("A2".to_owned(), "on the right")]);
        let seen = |tile: &DrawingTile| -> Vec<[f64; 4]> {
            let document = roxmltree::Document::parse(&tile.svg).unwrap();
            let view = figures(document.root_element().attribute("viewBox").unwrap());
            let crosses = document.descendants().filter(|n| n.attribute("class") == Some("cross"));
            let ends = crosses.map(|n| ["x1", "y1", "x2", "y2"].map(|key| n.attribute(key).unwrap().parse().unwrap()));
            ends.filter(|[x1, y1, x2, y2]: &[f64; 4]| {
                *x1 >= view[0] && *x2 <= view[0] + view[2] && *y1 >= view[1] && *y2 <= view[1] + view[3]
            })
            .collect()
        };
        let [one, other] = [seen(&tiles[0]), seen(&tiles[1])];
        assert_eq!(one.len(), 4, "two crosses of two lines: {one:?}");
        assert_eq!(one, other);
    }
}
