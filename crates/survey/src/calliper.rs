//! Outlines from calliper readings: radii or widths at angles around a body.

use std::f64::consts::{PI, TAU};

use gripwright_section::{Curve, Outline, Point};

use crate::{
    error::SurveyError,
    outline_fit::distances,
    polygon::{depths_below, hull},
    smoothing,
    surveyed_outline::{OutlineOptions, SurveyedOutline, centred, check_size, outline_of_polygon},
};

/// Readings taken in one direction.
#[derive(Clone, Debug, PartialEq)]
pub struct CalliperReading {
    /// Direction, counter-clockwise from +x, rad.
    pub angle_rad: f64,
    /// The readings there, mm.
    pub values_mm: Vec<f64>,
}

/// Kind of the readings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadingKind {
    /// Distances from a centre to the surface.
    Radii,
    /// Distances between parallel jaws that close in this direction. They cannot reveal that a body is not alike on
    /// both sides.
    Widths,
}

/// Least number of directions that determine a shape, and the widest sector without one, rad: common practice, no
/// source.
const FEWEST_RADII: usize = 8;
const FEWEST_WIDTHS: usize = 4;
const WIDEST_SECTOR_RAD: f64 = PI / 3.0;
/// Greatest error of a reading, in standard uncertainties, that does not count as stray.
const STRAY: f64 = 4.0;
/// Directions closer than this count as one, rad.
const SAME_DIRECTION_RAD: f64 = 1e-6;
/// Least spread of repeated readings, mm. A digital calliper is accurate to ±0.02 mm (common practice, no source); as a
/// uniform distribution this has the standard uncertainty 0.02/√3 (from memory).
const LEAST_SPREAD_MM: f64 = 0.012;

/// Returns the standard uncertainty of repeated readings, mm, at least 0.012.
///
/// It is the standard deviation pooled over all directions with more than one reading. Returns `None` if no direction
/// was measured twice.
pub fn reading_spread_mm(readings: &[CalliperReading]) -> Option<f64> {
    let (mut squares, mut freedom) = (0.0, 0.0);
    for Direction { values, .. } in directions(readings, TAU) {
        let mean = mean(&values);
        squares += values.iter().map(|v| (v - mean).powi(2)).sum::<f64>();
        freedom += values.len() as f64 - 1.0;
    }
    (freedom > 0.5).then(|| (squares / freedom).sqrt().max(LEAST_SPREAD_MM))
}

/// Returns the outline of the measured body; each reading has the standard uncertainty `spread_mm`.
pub fn outline_from_readings(
    readings: &[CalliperReading],
    measure: ReadingKind,
    spread_mm: f64,
    options: &OutlineOptions,
) -> Result<SurveyedOutline, SurveyError> {
    let spread = spread_mm.max(LEAST_SPREAD_MM);
    match measure {
        ReadingKind::Radii => outline_from_radii(readings, spread, options),
        ReadingKind::Widths => outline_from_widths(readings, spread, options),
    }
}

fn outline_from_radii(
    readings: &[CalliperReading],
    spread: f64,
    options: &OutlineOptions,
) -> Result<SurveyedOutline, SurveyError> {
    let mut taken = directions(readings, TAU);
    let surface = |d: &Direction| Point::unit(d.angle) * mean(&d.values);
    let mut spanned_mm = 0.0;
    if options.hull {
        let all: Vec<Point> = taken.iter().map(surface).collect();
        let depths = depths_below(&all, &hull(&all));
        let is_hollow = |depth: &f64| *depth > STRAY * spread + options.tolerance_mm;
        spanned_mm = depths.iter().copied().filter(|depth| is_hollow(depth)).fold(0.0, f64::max);
        let mut depths = depths.iter();
        taken.retain(|_| !depths.next().is_some_and(is_hollow));
    }
    check_directions(&taken, FEWEST_RADII, TAU)?;
    let points: Vec<Point> = taken.iter().map(surface).collect();
    check_size(&points)?;
    let polygon = smoothing::smooth_points(&points, spread).ok_or_else(no_fit_error)?;
    let outline = outline_of_polygon(&polygon, options)?;
    let off: Vec<f64> = points.iter().map(|p| distances(&outline, std::slice::from_ref(p)).0).collect();
    Ok(SurveyedOutline { spanned_mm, ..check_and_centre(&outline, &taken, &off, spread, options)? })
}

fn outline_from_widths(
    readings: &[CalliperReading],
    spread: f64,
    options: &OutlineOptions,
) -> Result<SurveyedOutline, SurveyError> {
    let taken = directions(readings, PI);
    check_directions(&taken, FEWEST_WIDTHS, PI)?;
    let pairs: Vec<(f64, f64)> = taken.iter().map(|d| (d.angle, mean(&d.values))).collect();
    let ends: Vec<Point> =
        pairs.iter().flat_map(|(angle, width)| [0.5, -0.5].map(|side| Point::unit(*angle) * (side * width))).collect();
    check_size(&ends)?;
    let polygon = smoothing::smooth_widths(&pairs, spread).ok_or_else(no_fit_error)?;
    let outline = outline_of_polygon(&polygon, options)?;
    // Half of a width's error on either side.
    let off: Vec<f64> = pairs.iter().map(|(angle, width)| 0.5 * (width_of(&outline, *angle) - width).abs()).collect();
    check_and_centre(&outline, &taken, &off, spread, options)
}

fn no_fit_error() -> SurveyError {
    SurveyError::NoFit { reason: "no smooth outline passes them".to_owned() }
}

fn check_and_centre(
    outline: &Outline,
    taken: &[Direction],
    off: &[f64],
    spread: f64,
    options: &OutlineOptions,
) -> Result<SurveyedOutline, SurveyError> {
    let allowed_mm = STRAY * spread + options.tolerance_mm;
    let worst = taken.iter().zip(off).max_by(|a, b| a.1.total_cmp(b.1));
    let largest_mm = worst.map_or(0.0, |(_, off)| *off);
    if let Some((direction, off_mm)) = worst
        && (largest_mm > allowed_mm || largest_mm.is_nan())
    {
        return Err(SurveyError::StrayReading { angle_deg: degrees(direction.angle), off_mm: *off_mm, allowed_mm });
    }
    let rms_mm = (off.iter().map(|o| o * o).sum::<f64>() / off.len().max(1) as f64).sqrt();
    let points = taken.iter().map(|d| d.values.len()).sum();
    Ok(SurveyedOutline { outline: centred(outline, options)?, largest_mm, rms_mm, points, spanned_mm: 0.0 })
}

/// Width of an outline between parallel tangents in a direction, mm.
fn width_of(outline: &Outline, angle: f64) -> f64 {
    let reach = |angle: f64| {
        let along = Point::unit(angle);
        let curves = outline.segments().iter().map(|s| match s.curve {
            Curve::Arc { centre, radius, start_angle, sweep } if (angle - start_angle).rem_euclid(TAU) <= sweep => {
                centre.dot(along) + radius
            }
            curve => curve.start().dot(along).max(curve.end().dot(along)),
        });
        curves.fold(f64::NEG_INFINITY, f64::max)
    };
    reach(angle) + reach(angle + PI)
}

/// All readings of one direction.
#[derive(Clone, Debug)]
struct Direction {
    /// Counter-clockwise from +x, rad.
    angle: f64,
    values: Vec<f64>,
}

/// Readings grouped by direction within one period, ascending.
fn directions(readings: &[CalliperReading], period: f64) -> Vec<Direction> {
    let mut sorted: Vec<(f64, &Vec<f64>)> = readings
        .iter()
        .map(|r| ((r.angle_rad + SAME_DIRECTION_RAD).rem_euclid(period) - SAME_DIRECTION_RAD, &r.values_mm))
        .collect();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out: Vec<Direction> = Vec::new();
    for (angle, values) in sorted {
        match out.last_mut() {
            Some(last) if angle - last.angle <= 2.0 * SAME_DIRECTION_RAD => last.values.extend(values),
            _ => out.push(Direction { angle, values: values.clone() }),
        }
    }
    out.retain(|d| !d.values.is_empty());
    out
}

fn check_directions(taken: &[Direction], fewest: usize, period: f64) -> Result<(), SurveyError> {
    if taken.len() < fewest {
        return Err(SurveyError::TooFewDirections { found: taken.len(), fewest });
    }
    for (i, Direction { angle: from, .. }) in taken.iter().enumerate() {
        let to = taken.get(i + 1).map_or(taken[0].angle + period, |next| next.angle);
        if to - from > WIDEST_SECTOR_RAD + SAME_DIRECTION_RAD {
            return Err(SurveyError::UnmeasuredSector {
                from_deg: degrees(*from),
                to_deg: degrees(to),
                allowed_deg: degrees(WIDEST_SECTOR_RAD),
            });
        }
    }
    Ok(())
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

fn degrees(rad: f64) -> f64 {
    (1e4 * rad.to_degrees()).round() / 1e4
}
