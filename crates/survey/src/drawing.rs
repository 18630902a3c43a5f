//! Common steps of DXF and SVG drawings: unit, closing of the outline, distance check.

use gripwright_section::Point;

use crate::{
    closed_loops::closed_loops,
    error::{CHECK_SHARE, SurveyError},
    polylines::Polylines,
    surveyed_outline::{OutlineOptions, SurveyedOutline, check_size, outline_of_loop},
};

/// Options for reading a drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawingOptions {
    /// Unit of the drawing, mm.
    pub unit_mm: f64,
    /// Additional scale factor.
    pub scale: f64,
    /// Greatest gap between the ends of two lines that is closed, mm.
    pub gap_mm: f64,
    /// Optional check of the scale by a measured distance.
    pub check: Option<DistanceCheck>,
    /// Options for the outline; its centre is in the drawing's own coordinates.
    pub outline_options: OutlineOptions,
}

/// Check of a drawing's scale: two points on the outline, in the drawing's own coordinates, and their distance on the
/// body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DistanceCheck {
    /// First point.
    pub from: Point,
    /// Second point.
    pub to: Point,
    /// Their distance on the body, mm.
    pub distance_mm: f64,
}

/// Chord error of curves as a share of the fit tolerance.
const CHORD_SHARE: f64 = 0.1;
/// Greatest distance of a check point from the outline, as a share of the distance between the check points.
const CHECK_POINT_SHARE: f64 = 0.02;

impl DrawingOptions {
    /// One unit of the drawing, mm.
    pub(crate) fn mm(&self) -> f64 {
        self.unit_mm * self.scale
    }

    /// Returns an empty set of polylines with the chord error that the tolerance requires.
    pub(crate) fn new_polylines(&self, format: &'static str) -> Polylines {
        Polylines::new(format, CHORD_SHARE * self.outline_options.tolerance_mm)
    }

    /// Returns the outline of the polylines. `to_mm` maps the drawing's own coordinates to mm, `to_own` maps mm back.
    pub(crate) fn outline(
        &self,
        polylines: Polylines,
        format: &'static str,
        to_mm: impl Fn(Point) -> Point,
        to_own: impl Fn(Point) -> Point,
    ) -> Result<SurveyedOutline, SurveyError> {
        if polylines.lines.is_empty() {
            return Err(SurveyError::Empty { format, what: "line or curve" });
        }
        self.outline_mm(polylines, format, to_mm).map_err(|error| error.placed(to_own))
    }

    fn outline_mm(
        &self,
        polylines: Polylines,
        format: &'static str,
        to_mm: impl Fn(Point) -> Point,
    ) -> Result<SurveyedOutline, SurveyError> {
        let all: Vec<Point> = polylines.lines.iter().flatten().copied().collect();
        let open = closed_loops(polylines.lines, self.gap_mm);
        // If the drawing has another unit, no other error is worth reporting.
        check_size(&all)?;
        let mut found = open?;
        found.sort_by(|a, b| perimeter(b).total_cmp(&perimeter(a)));
        if let [first, second, ..] = found.as_slice() {
            return Err(SurveyError::SeveralOutlines { first: first[0], second: second[0] });
        }
        let points = found.pop().ok_or(SurveyError::Empty { format, what: "closed line" })?;
        if let Some(check) = &self.check {
            check_distance(check, &points, &to_mm)?;
        }
        outline_of_loop(
            &points,
            &OutlineOptions { centre: self.outline_options.centre.map(to_mm), ..self.outline_options },
        )
    }
}

fn check_distance(check: &DistanceCheck, points: &[Point], to_mm: &impl Fn(Point) -> Point) -> Result<(), SurveyError> {
    let (from, to) = (to_mm(check.from), to_mm(check.to));
    for place in [from, to] {
        let off_mm =
            crate::polygon::edges(points).map(|(a, b)| distance_to_segment(place, a, b)).fold(f64::INFINITY, f64::min);
        if off_mm > CHECK_POINT_SHARE * from.distance(to) || off_mm.is_nan() {
            return Err(SurveyError::CheckPoint { place, off_mm });
        }
    }
    let (drawn_mm, measured_mm) = (from.distance(to), check.distance_mm);
    if (drawn_mm / measured_mm - 1.0).abs() > CHECK_SHARE {
        return Err(SurveyError::CheckDistance { from, to, drawn_mm, measured_mm });
    }
    Ok(())
}

fn perimeter(points: &[Point]) -> f64 {
    crate::polygon::edges(points).map(|(a, b)| a.distance(b)).sum()
}

/// Distance of the point p from the line segment between a and b, mm.
fn distance_to_segment(p: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    let t = ((p - a).dot(along) / along.dot(along)).clamp(0.0, 1.0);
    if t.is_nan() { p.distance(a) } else { p.distance(a.towards(b, t)) }
}

/// Returns an error if the unit that the file states is neither the given one nor the given one times the scale.
///
/// A scale says that the drawing is not at true size, or that its unit has no name.
pub(crate) fn check_unit(stated_mm: Option<f64>, drawing: &DrawingOptions) -> Result<(), SurveyError> {
    // Many programs write a millimetre as 3.78 px, with few digits.
    let agrees = |stated_mm: f64, mm: f64| (stated_mm / mm - 1.0).abs() <= 0.005;
    match stated_mm {
        Some(stated_mm) if !agrees(stated_mm, drawing.unit_mm) && !agrees(stated_mm, drawing.mm()) => {
            Err(SurveyError::WrongUnit { stated_mm, given_mm: drawing.unit_mm })
        }
        _ => Ok(()),
    }
}
