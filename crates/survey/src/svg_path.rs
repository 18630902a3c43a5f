//! Path data of SVG drawings as polylines.
//!
//! Commands are followed here, because the simplifying parser of `svgtypes` turns arcs into cubics that miss the circle by
//! 0.00027 of its radius: by 5 µm at 20 mm, where the default tolerance allows chords 1 µm.

use std::f64::consts::{PI, TAU};

use gripwright_section::Point;
use svgtypes::{PathParser, PathSegment};

use crate::{
    affine_map::AffineMap,
    error::SurveyError,
    polylines::{EllipseArc, Polylines},
};

/// State of the reader of a path, in the path's own coordinates.
struct Pen<'a> {
    map: &'a AffineMap,
    polylines: &'a mut Polylines,
    /// Start of the subpath, and the current point.
    start: Point,
    at: Point,
    /// Last control point of a cubic and of a quadratic curve, for the smooth curves that may follow.
    cubic: Option<Point>,
    quadratic: Option<Point>,
    points: Vec<Point>,
}

/// Adds the polylines of a path. The error is `None` if the data cannot be read.
pub(crate) fn add_path(data: &str, map: &AffineMap, polylines: &mut Polylines) -> Result<(), Option<SurveyError>> {
    let mut pen = Pen {
        map,
        polylines,
        start: Point::ORIGIN,
        at: Point::ORIGIN,
        cubic: None,
        quadratic: None,
        points: Vec::new(),
    };
    for segment in PathParser::from(data) {
        pen.segment(segment.map_err(|_| None)?).map_err(Some)?;
        pen.polylines.check_room(pen.points.len()).map_err(Some)?;
    }
    pen.lift().map_err(Some)
}

impl Pen<'_> {
    /// Ends the current polyline.
    fn lift(&mut self) -> Result<(), SurveyError> {
        let points = std::mem::take(&mut self.points);
        self.polylines.add("path", points)
    }

    fn line(&mut self, to: Point) {
        if self.points.is_empty() {
            self.points.push(self.map.apply(self.at));
        }
        self.points.push(self.map.apply(to));
        self.at = to;
        (self.cubic, self.quadratic) = (None, None);
    }

    fn curve(&mut self, one: Point, two: Point, end: Point) {
        let map = self.map;
        let start = map.apply(self.at);
        if self.points.is_empty() {
            self.points.push(start);
        }
        self.points.extend(self.polylines.cubic(start, map.apply(one), map.apply(two), map.apply(end)));
        (self.at, self.cubic, self.quadratic) = (end, Some(two), None);
    }

    fn parabola(&mut self, control: Point, end: Point) {
        let (one, two) = (self.at.towards(control, 2.0 / 3.0), end.towards(control, 2.0 / 3.0));
        self.curve(one, two, end);
        (self.cubic, self.quadratic) = (None, Some(control));
    }

    fn segment(&mut self, segment: PathSegment) -> Result<(), SurveyError> {
        let at = self.at;
        let place = |abs: bool, x: f64, y: f64| if abs { Point::new(x, y) } else { at + Point::new(x, y) };
        match segment {
            PathSegment::MoveTo { abs, x, y } => {
                self.lift()?;
                self.at = place(abs, x, y);
                self.start = self.at;
                (self.cubic, self.quadratic) = (None, None);
            }
            PathSegment::LineTo { abs, x, y } => self.line(place(abs, x, y)),
            PathSegment::HorizontalLineTo { abs, x } => self.line(Point::new(if abs { x } else { at.x + x }, at.y)),
            PathSegment::VerticalLineTo { abs, y } => self.line(Point::new(at.x, if abs { y } else { at.y + y })),
            PathSegment::CurveTo { abs, x1, y1, x2, y2, x, y } => {
                self.curve(place(abs, x1, y1), place(abs, x2, y2), place(abs, x, y));
            }
            PathSegment::SmoothCurveTo { abs, x2, y2, x, y } => {
                let one = self.cubic.map_or(at, |control| at * 2.0 - control);
                self.curve(one, place(abs, x2, y2), place(abs, x, y));
            }
            PathSegment::Quadratic { abs, x1, y1, x, y } => self.parabola(place(abs, x1, y1), place(abs, x, y)),
            PathSegment::SmoothQuadratic { abs, x, y } => {
                let control = self.quadratic.map_or(at, |control| at * 2.0 - control);
                self.parabola(control, place(abs, x, y));
            }
            PathSegment::EllipticalArc { abs, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                let end = place(abs, x, y);
                let flags = ArcFlags { large: large_arc, sweep };
                if let Some(arc) = elliptical_arc(at, end, [rx, ry], x_axis_rotation.to_radians(), flags) {
                    let points = self.polylines.ellipse(&EllipseArc {
                        centre: self.map.apply(arc.centre),
                        x: self.map.apply_to_vector(arc.x),
                        y: self.map.apply_to_vector(arc.y),
                        ..arc
                    });
                    if self.points.is_empty() {
                        self.points.push(self.map.apply(at));
                    }
                    let inner = points.len().saturating_sub(2);
                    self.points.extend(points.into_iter().skip(1).take(inner));
                }
                self.line(end);
            }
            PathSegment::ClosePath { .. } => {
                let start = self.start;
                if !self.points.is_empty() {
                    self.line(start);
                    self.lift()?;
                }
                self.at = start;
                (self.cubic, self.quadratic) = (None, None);
            }
        }
        Ok(())
    }
}

/// Flags that select one of the four arcs between two points.
#[derive(Clone, Copy)]
struct ArcFlags {
    large: bool,
    sweep: bool,
}

/// Returns the elliptical arc given by its ends (SVG 1.1, F.6.5, from memory), or `None` for a straight line.
fn elliptical_arc(from: Point, to: Point, radii: [f64; 2], rotation: f64, flags: ArcFlags) -> Option<EllipseArc> {
    let ArcFlags { large, sweep } = flags;
    let [rx, ry] = radii.map(f64::abs);
    let half = ((from - to) * 0.5).rotated(-rotation);
    if !(rx > 0.0 && ry > 0.0) || half.length() <= 0.0 {
        return None;
    }
    // Radii that are too small to reach both ends are enlarged until they do.
    let reach = (half.x / rx).hypot(half.y / ry);
    let (rx, ry) = if reach > 1.0 { (rx * reach, ry * reach) } else { (rx, ry) };
    let (u, v) = (half.x / rx, half.y / ry);
    let square = u * u + v * v;
    let rise = (1.0 / square - 1.0).max(0.0).sqrt() * if large == sweep { -1.0 } else { 1.0 };
    let local = Point::new(rise * v, -rise * u);
    let centre = Point::new(local.x * rx, local.y * ry).rotated(rotation) + from.towards(to, 0.5);
    let first = (v - local.y).atan2(u - local.x);
    let last = (-v - local.y).atan2(-u - local.x);
    let mut turn = (last - first).rem_euclid(TAU);
    if !sweep {
        turn -= TAU;
    }
    if turn.abs() > TAU - 1e-12 {
        turn = PI * turn.signum();
    }
    let (x, y) = (Point::unit(rotation) * rx, Point::unit(rotation).turned_left() * ry);
    (centre.x.is_finite() && centre.y.is_finite()).then_some(EllipseArc { centre, x, y, from: first, sweep: turn })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(data: &str) -> Vec<Vec<Point>> {
        let mut polylines = Polylines::new("test", 1e-4);
        add_path(data, &AffineMap::IDENTITY, &mut polylines).unwrap();
        polylines.lines
    }

    #[test]
    fn arcs_of_all_four_kinds_lie_on_their_circles() {
        for (flags, centre) in [("0 1", (0.0, 0.0)), ("1 0", (0.0, 0.0)), ("0 0", (5.0, 5.0)), ("1 1", (5.0, 5.0))] {
            let found = points(&format!("M 5 0 A 5 5 0 {flags} 0 5"));
            let centre = Point::new(centre.0, centre.1);
            let middle = found[0][found[0].len() / 2];
            assert!(found[0].iter().all(|p| (p.distance(centre) - 5.0).abs() < 1e-9), "{flags}: {middle:?}");
            let long = flags.starts_with('1');
            assert_eq!(middle.distance(Point::new(2.5, 2.5)) > 5.0, long, "{flags}: {middle:?}");
        }
    }

    #[test]
    fn every_command_moves_the_pen() {
        let found = points("m1 1 h2 v2 l-1 1 c0 1 -1 1 -1 0 s-1 -1 -1 -2 q-1 -1 0 -2 t0 0 z m10 0 H12 V3 L10 1 Z");
        assert_eq!(found.len(), 2);
        assert_eq!(found[0][0], Point::new(1.0, 1.0));
        assert_eq!(found[0].last(), found[0].first());
        assert_eq!(found[1].first(), Some(&Point::new(11.0, 1.0)));
    }
}
