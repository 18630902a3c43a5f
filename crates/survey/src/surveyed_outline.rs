//! A closed line around a body becomes its outline.

use gripwright_section::{Outline, Point};

use crate::{
    error::{GREATEST_MM, LEAST_MM, SurveyError},
    outline_fit::{FitError, distances, fit_outline},
    polygon::{bounds, crossing, deepest_hollow, hull, middle, twice_area, winding_number},
    smoothing,
};

/// How an outline is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutlineOptions {
    /// How far lines and arcs may lie from what was measured, mm.
    pub tolerance_mm: f64,
    /// Least radius of a corner, mm; sharper ones are rounded to it.
    pub corner_mm: f64,
    /// What becomes the origin, in the drawing's own coordinates; the middle of the outline's box when absent.
    pub centre: Option<Point>,
}

/// A surveyed outline.
#[derive(Clone, Debug, PartialEq)]
pub struct SurveyedOutline {
    /// Lines and arcs, convex, tangent, counter-clockwise; its centre is the origin.
    pub outline: Outline,
    /// Largest distance of what was measured from the outline, mm.
    pub largest_mm: f64,
    /// Root mean square of the distances, mm.
    pub rms_mm: f64,
    /// How many numbers or points were measured or drawn.
    pub points: usize,
}

/// A hollow up to this share of the tolerance is rounding of the drawing and is spanned; a deeper one within the
/// tolerance is noise, through the middle of which the outline must go.
const ROUNDING_SHARE: f64 = 0.1;
/// Noise is taken as this share of the tolerance: a tolerance of three standard deviations.
const NOISE_SHARE: f64 = 1.0 / 3.0;
/// Most points that are smoothed; more are thinned out evenly.
const MOST_SMOOTHED: usize = 3000;
/// Least distance of the centre from the outline, mm.
const CENTRE_MARGIN_MM: f64 = 0.5;

/// The outline of a closed line, mm. Centre and the places of errors are in the coordinates of the points.
pub(crate) fn outline_of_loop(points: &[Point], options: &OutlineOptions) -> Result<SurveyedOutline, SurveyError> {
    check_size(points)?;
    let around = hull(points);
    let (place, depth_mm) = deepest_hollow(points, &around);
    if depth_mm > options.tolerance_mm {
        if let Some(place) = crossing(points) {
            return Err(SurveyError::SelfCrossing { place });
        }
        return Err(SurveyError::TurnsInward { place, depth_mm, allowed_mm: options.tolerance_mm });
    }
    let turns = winding_number(points, middle(&around)).abs();
    if turns > 1.5 {
        return Err(SurveyError::SeveralTurns { place: points.first().copied().unwrap_or_default(), turns });
    }
    let rough = depth_mm > ROUNDING_SHARE * options.tolerance_mm;
    let polygon = if rough {
        let stride = points.len().div_ceil(MOST_SMOOTHED).max(1);
        let thinned: Vec<Point> = points.iter().copied().step_by(stride).collect();
        smoothing::smooth_points(&thinned, NOISE_SHARE * options.tolerance_mm).unwrap_or(around)
    } else {
        around
    };
    // The noise has used up most of the tolerance already.
    let share = if rough { NOISE_SHARE } else { 1.0 };
    let outline =
        outline_of_polygon(&polygon, &OutlineOptions { tolerance_mm: share * options.tolerance_mm, ..*options })?;
    let (largest_mm, rms_mm) = distances(&outline, points);
    let outline = centred(&outline, options)?;
    Ok(SurveyedOutline { outline, largest_mm, rms_mm, points: points.len() })
}

/// Refuses what is no body's size, with the factor between inch and millimetre where that explains it.
pub(crate) fn check_size(points: &[Point]) -> Result<(), SurveyError> {
    let (low, high) = bounds(points);
    let (width_mm, height_mm) = (high.x - low.x, high.y - low.y);
    let fits = |f: f64| {
        let range = LEAST_MM..=GREATEST_MM;
        range.contains(&(f * width_mm)) && range.contains(&(f * height_mm))
    };
    if fits(1.0) {
        return Ok(());
    }
    let factor = [25.4, 1.0 / 25.4].into_iter().find(|f| fits(*f));
    Err(SurveyError::WrongSize { width_mm, height_mm, factor })
}

/// The line/arc chain of a convex polygon.
pub(crate) fn outline_of_polygon(polygon: &[Point], options: &OutlineOptions) -> Result<Outline, SurveyError> {
    let polygon: Vec<Point> =
        if twice_area(polygon) < 0.0 { polygon.iter().rev().copied().collect() } else { polygon.to_vec() };
    fit_outline(&polygon, options.tolerance_mm, options.corner_mm).map_err(|fault| match fault {
        FitError::Corner => SurveyError::CornerTooLarge { corner_mm: options.corner_mm },
        FitError::Thin => SurveyError::NoFit { reason: "they enclose too little".to_owned() },
        FitError::Chain(error) => SurveyError::NoFit { reason: error.to_string() },
    })
}

/// Moves the wished centre to the origin.
pub(crate) fn centred(outline: &Outline, options: &OutlineOptions) -> Result<Outline, SurveyError> {
    let centre = options.centre.unwrap_or_else(|| outline.bounds().centre());
    if outline.nearest(centre).distance_mm > -CENTRE_MARGIN_MM {
        return Err(SurveyError::CentreOutside { place: centre });
    }
    Ok(outline.moved(0.0, -centre))
}
