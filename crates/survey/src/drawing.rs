//! What DXF and SVG drawings have in common: unit, closing, checking.

use gripwright_section::Point;

use crate::{
    closed_loops::closed_loops,
    error::{CHECK_SHARE, SurveyError},
    polylines::Polylines,
    surveyed_outline::{OutlineOptions, SurveyedOutline, check_size, outline_of_loop},
};

/// How a drawing is to be read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrawingOptions {
    /// One unit of the drawing by its own scale, mm.
    pub unit_mm: f64,
    /// What the drawing is multiplied by besides.
    pub scale: f64,
    /// Greatest gap between the ends of two lines that is closed, mm.
    pub gap_mm: f64,
    /// Two points of the drawing whose distance was measured.
    pub check: Option<DistanceCheck>,
    /// How the outline is wanted; its centre is in the drawing's own coordinates.
    pub outline_options: OutlineOptions,
}

/// Two points on the outline, in the drawing's own coordinates, and the distance measured between them on the body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DistanceCheck {
    /// One point.
    pub from: Point,
    /// The other.
    pub to: Point,
    /// Their distance on the body, mm.
    pub distance_mm: f64,
}

/// Chord error of curves as a share of the tolerance.
const CHORD_SHARE: f64 = 0.1;
/// How far from the outline a point of the check may lie, as a share of the measured distance.
const CHECK_POINT_SHARE: f64 = 0.02;

impl DrawingOptions {
    /// One unit of the drawing, mm.
    pub(crate) fn mm(&self) -> f64 {
        self.unit_mm * self.scale
    }

    /// Room for pieces with the chord error that the tolerance asks for.
    pub(crate) fn pieces(&self, format: &'static str) -> Polylines {
        Polylines::new(format, CHORD_SHARE * self.outline_options.tolerance_mm)
    }

    /// The outline of the pieces. `own` moves a point in mm into the drawing's own coordinates.
    pub(crate) fn outline(
        &self,
        pieces: Polylines,
        format: &'static str,
        to_mm: impl Fn(Point) -> Point,
        own: impl Fn(Point) -> Point,
    ) -> Result<SurveyedOutline, SurveyError> {
        if pieces.lines.is_empty() {
            return Err(SurveyError::Empty { format, what: "line or curve" });
        }
        self.outline_mm(pieces, format, to_mm).map_err(|error| error.placed(own))
    }

    fn outline_mm(
        &self,
        pieces: Polylines,
        format: &'static str,
        to_mm: impl Fn(Point) -> Point,
    ) -> Result<SurveyedOutline, SurveyError> {
        let all: Vec<Point> = pieces.lines.iter().flatten().copied().collect();
        let open = closed_loops(pieces.lines, self.gap_mm);
        // Of a drawing in another unit nothing else that is wrong is worth telling.
        check_size(&all)?;
        let mut found = open?;
        found.sort_by(|a, b| length(b).total_cmp(&length(a)));
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
        let off_mm = crate::polygon::edges(points).map(|(a, b)| beside(place, a, b)).fold(f64::INFINITY, f64::min);
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

fn length(points: &[Point]) -> f64 {
    crate::polygon::edges(points).map(|(a, b)| a.distance(b)).sum()
}

/// Distance of a point from a line between two.
fn beside(p: Point, a: Point, b: Point) -> f64 {
    let along = b - a;
    let t = ((p - a).dot(along) / along.dot(along)).clamp(0.0, 1.0);
    if t.is_nan() { p.distance(a) } else { p.distance(a.towards(b, t)) }
}

/// Refuses a file whose own word for its unit is not the one of the spec.
pub(crate) fn check_unit(said_mm: Option<f64>, given_mm: f64) -> Result<(), SurveyError> {
    match said_mm {
        // A millimetre of 3.78 px is written with few digits by many programs.
        Some(said_mm) if (said_mm / given_mm - 1.0).abs() > 0.005 => Err(SurveyError::WrongUnit { said_mm, given_mm }),
        _ => Ok(()),
    }
}
