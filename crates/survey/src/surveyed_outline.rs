//! The outline of a closed line around a body.

use gripwright_section::{Outline, Point};

use crate::{
    error::{GREATEST_MM, LEAST_MM, PointNoise, SurveyError},
    outline_fit::{FitError, distances, fit_outline},
    polygon::{bounds, crossing, deepest_hollow, hull, mean_corner, twice_area, winding_number},
    smoothing,
};

/// Options for the outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutlineOptions {
    /// Greatest distance of lines and arcs from the measured points, mm.
    pub tolerance_mm: f64,
    /// Least radius of a corner, mm; sharper corners are rounded to it.
    pub corner_mm: f64,
    /// True if hollows deeper than the tolerance are spanned: the outline is the convex hull.
    pub hull: bool,
    /// Point that becomes the origin, in the drawing's own coordinates; by default the middle of the outline's bounding
    /// box.
    pub centre: Option<Point>,
}

/// The outline of a measured body, with its accuracy.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct SurveyedOutline {
    /// Lines and arcs, convex, tangent, counter-clockwise; its centre is the origin.
    pub outline: Outline,
    /// Largest distance of a measured point from the outline, mm.
    pub largest_mm: f64,
    /// Root mean square of the distances, mm.
    pub rms_mm: f64,
    /// Number of readings or points.
    pub points: usize,
    /// Depth of the deepest hollow that is spanned, mm; zero unless the hull is taken. Points in hollows do not count for
    /// the distances.
    pub spanned_mm: f64,
}

/// A hollow up to this share of the tolerance counts as rounding of the drawing and is spanned. A deeper one within the
/// tolerance counts as noise, and the outline goes through its middle.
const ROUNDING_SHARE: f64 = 0.1;
/// Standard deviation of the noise as a share of the tolerance: the tolerance is three standard deviations.
const NOISE_SHARE: f64 = 1.0 / 3.0;
/// Depth of the deepest hollow of noise, in standard deviations: from the farthest points outside to the farthest inside.
const DEEPEST_NOISE: f64 = 8.0;
/// Least number of points from which noise is estimated.
const FEWEST_FOR_NOISE: usize = 60;
/// Greatest tolerance that a spec may give, mm.
const GREATEST_TOLERANCE_MM: f64 = 1.0;
/// Greatest number of points that are smoothed; more are thinned out evenly.
const MOST_SMOOTHED: usize = 3000;
/// Least distance of the centre from the outline, mm.
const CENTRE_MARGIN_MM: f64 = 0.5;

/// Returns the outline of a closed line, mm. Centre and places of errors are in the coordinates of the points.
pub(crate) fn outline_of_loop(points: &[Point], options: &OutlineOptions) -> Result<SurveyedOutline, SurveyError> {
    check_size(points)?;
    let around = hull(points);
    let (place, depth_mm) = deepest_hollow(points, &around);
    if depth_mm > options.tolerance_mm {
        if let Some(place) = crossing(points) {
            return Err(SurveyError::SelfCrossing { place });
        }
        if options.hull {
            let hull = outline_of_loop(&around, &OutlineOptions { hull: false, ..*options })?;
            return Ok(SurveyedOutline { points: points.len(), spanned_mm: depth_mm, ..hull });
        }
        let noise = noise_as_deep(points, depth_mm, options);
        return Err(SurveyError::TurnsInward { place, depth_mm, allowed_mm: options.tolerance_mm, noise });
    }
    let turns = winding_number(points, mean_corner(&around)).abs();
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
    // The noise has already used up most of the tolerance.
    let share = if rough { NOISE_SHARE } else { 1.0 };
    let outline =
        outline_of_polygon(&polygon, &OutlineOptions { tolerance_mm: share * options.tolerance_mm, ..*options })?;
    let (largest_mm, rms_mm) = distances(&outline, points);
    let outline = centred(&outline, options)?;
    Ok(SurveyedOutline { outline, largest_mm, rms_mm, points: points.len(), spanned_mm: 0.0 })
}

/// Returns the noise of the points if it makes a hollow of this depth, and if the outline is found with a tolerance for it.
fn noise_as_deep(points: &[Point], depth_mm: f64, options: &OutlineOptions) -> Option<PointNoise> {
    let spread_mm = scatter_mm(points)?;
    if depth_mm > DEEPEST_NOISE * spread_mm {
        return None;
    }
    // Rounded up, so that it works as it is written.
    let tolerance_mm = (100.0 * depth_mm.max(spread_mm / NOISE_SHARE)).ceil() / 100.0;
    let wider = OutlineOptions { tolerance_mm, ..*options };
    let found = tolerance_mm <= GREATEST_TOLERANCE_MM && outline_of_loop(points, &wider).is_ok();
    found.then_some(PointNoise { spread_mm, tolerance_mm })
}

/// Standard deviation of the points across the line, mm: from the differences between neighbours of their distances from
/// the chord over them, in which a smooth line cancels. `None` for few points, where a corner looks like noise.
fn scatter_mm(points: &[Point]) -> Option<f64> {
    let count = points.len();
    if count < FEWEST_FOR_NOISE {
        return None;
    }
    // The points of a section share corners of triangles with their neighbours, and half of their noise.
    let stride = count / FEWEST_FOR_NOISE;
    let count = count / stride;
    let sagitta = |i: usize| {
        let [before, at, after] = [0, 1, 2].map(|k| points[(i + k) % count * stride]);
        let chord = after - before;
        chord.cross(at - before) / chord.length().max(f64::MIN_POSITIVE)
    };
    let mut changes: Vec<f64> = (0..count).map(|i| (sagitta(i + 1) - sagitta(i)).abs()).collect();
    let (_, median, _) = changes.select_nth_unstable_by(count / 2, f64::total_cmp);
    // Of normal noise, the median is 0.6745 standard deviations; that of ½, −1½, 1½, −½ times four points is √5 times
    // as wide as that of one.
    Some(*median / (0.6745 * 5.0_f64.sqrt()))
}

/// Returns an error if the size is not that of a body, with the factor between inch and millimetre if it explains it.
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

/// Returns the chain of lines and arcs that fits a convex polygon.
pub(crate) fn outline_of_polygon(polygon: &[Point], options: &OutlineOptions) -> Result<Outline, SurveyError> {
    let polygon: Vec<Point> =
        if twice_area(polygon) < 0.0 { polygon.iter().rev().copied().collect() } else { polygon.to_vec() };
    fit_outline(&polygon, options.tolerance_mm, options.corner_mm).map_err(|fault| match fault {
        FitError::Corner => SurveyError::CornerTooLarge { corner_mm: options.corner_mm },
        FitError::Thin => SurveyError::NoFit { reason: "they enclose too little".to_owned() },
        FitError::Chain(error) => SurveyError::NoFit { reason: error.to_string() },
    })
}

/// Returns the outline with its centre at the origin.
pub(crate) fn centred(outline: &Outline, options: &OutlineOptions) -> Result<Outline, SurveyError> {
    let centre = options.centre.unwrap_or_else(|| outline.bounds().centre());
    if outline.nearest(centre).distance_mm > -CENTRE_MARGIN_MM {
        return Err(SurveyError::CentreOutside { place: centre });
    }
    Ok(outline.moved(0.0, -centre))
}
