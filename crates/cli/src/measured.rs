//! Bodies that were measured: reads their files and has their outlines made.

use std::{fs::File, io::Read, path::Path};

use gripwright_input::{
    Body, BodyProfile, Diagnostic, Fitting, Loaded, Measured, MeasuredCalliper, MeasuredScan, MeasuredTrace, ScanAxis,
    Source, Surveyed,
};
use gripwright_section::{Curve, Outline, Point};
use gripwright_survey::{
    CalliperReading, CutAxis, DistanceCheck, DrawingOptions, OutlineOptions, ReadingKind, SectionCut, SurveyError,
    SurveyedOutline, outline_from_dxf, outline_from_readings, outline_from_stl, outline_from_svg, reading_spread_mm,
};
use serde_json::{Value, json};

/// Largest drawing or scan that is read, bytes: a scan of 400,000 triangles.
const MOST_BYTES: u64 = 20_000_000;
/// Key paths of the sections.
const PROFILE: &str = "body.profile";
const FAR_PROFILE: &str = "body.far.profile";
/// Key path of the body's spread.
const SPREAD: &str = "body.spread";

/// Puts outlines in the place of what was measured.
pub(crate) fn survey(loaded: &mut Loaded, spec: &Path) -> Result<(), Box<Diagnostic>> {
    let body = &mut loaded.spec.body;
    let beside = spec.parent().unwrap_or(Path::new(""));
    // Repeated readings know the spread better than its default does.
    if let BodyProfile::Measured(Measured::Calliper(readings)) = &body.profile
        && let Some(found) = reading_spread_mm(&readings_of(readings)).filter(|_| !loaded.source.is_written(SPREAD))
    {
        body.spread_mm = found;
    }
    let spread_mm = body.spread_mm;
    let sections = [(PROFILE, Some(&mut body.profile)), (FAR_PROFILE, body.far.as_mut().map(|far| &mut far.profile))];
    for (key, profile) in sections {
        let Some(profile) = profile else { continue };
        let BodyProfile::Measured(measured) = &*profile else { continue };
        let place = Place { key, source: &loaded.source, beside };
        *profile = BodyProfile::Surveyed(surveyed(measured, spread_mm, &place)?);
    }
    Ok(())
}

/// Which section is read, and where its files are.
struct Place<'a> {
    key: &'static str,
    source: &'a Source,
    beside: &'a Path,
}

fn surveyed(measured: &Measured, spread_mm: f64, place: &Place<'_>) -> Result<Surveyed, Box<Diagnostic>> {
    let (survey, from) = match measured {
        Measured::Calliper(readings) => {
            let rows = readings_of(readings);
            (with_readings(readings, &rows, spread_mm, place)?, "readings of a calliper".to_owned())
        }
        Measured::Traced(trace) => {
            let bytes = file(place, &trace.file)?;
            (traced(trace, &bytes).map_err(|error| in_file(&error, &trace.file, place))?, format!("`{}`", trace.file))
        }
        Measured::Scan(cut) => {
            let bytes = file(place, &cut.file)?;
            (scanned(cut, &bytes).map_err(|error| in_file(&error, &cut.file, place))?, format!("`{}`", cut.file))
        }
    };
    let SurveyedOutline { outline, largest_mm, rms_mm, points } = survey;
    Ok(Surveyed { outline, from, points, largest_mm, rms_mm })
}

/// The file beside the spec, as bytes.
fn file(place: &Place<'_>, name: &str) -> Result<Vec<u8>, Box<Diagnostic>> {
    let key = format!("{}.file", place.key);
    let refused = |code, message: String, allowed: Option<String>, hint: &str| {
        let problem = place.source.diagnostic(&key, code, message).with_hint(hint);
        Box::new(Diagnostic { allowed, ..problem })
    };
    let path = place.beside.join(name);
    if path.is_dir() {
        return Err(refused("unreadable", format!("`{name}` is a folder"), None, "name the file inside it"));
    }
    let mut bytes = Vec::new();
    File::open(&path).and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes)).map_err(|e| {
        let message = format!("`{name}` cannot be read: {e}");
        refused("unreadable", message, None, "its name is relative to the folder of the spec")
    })?;
    if bytes.len() as u64 > MOST_BYTES {
        let allowed = Some(format!("at most {MOST_BYTES} bytes"));
        let hint = "keep the section of the body alone in it, or thin it out";
        return Err(refused("too-large", format!("`{name}` is too large"), allowed, hint));
    }
    Ok(bytes)
}

fn in_file(error: &SurveyError, name: &str, place: &Place<'_>) -> Box<Diagnostic> {
    let key = error.key().map(|key| format!("{}.{key}", place.key)).filter(|key| place.source.is_written(key));
    let key = key.unwrap_or_else(|| format!("{}.file", place.key));
    let message = format!("`{name}`: {error}");
    let problem = place.source.diagnostic(&key, error.code(), message).with_hint(error.hint());
    Box::new(Diagnostic { allowed: error.allowed(), ..problem })
}

fn outline_options(fitting: &Fitting) -> OutlineOptions {
    let centre = fitting.centre.map(point);
    OutlineOptions { tolerance_mm: fitting.tolerance_mm, corner_mm: fitting.corner_mm, centre }
}

fn point([x, y]: [f64; 2]) -> Point {
    Point::new(x, y)
}

fn traced(trace: &MeasuredTrace, bytes: &[u8]) -> Result<SurveyedOutline, SurveyError> {
    let drawing = DrawingOptions {
        unit_mm: trace.unit_mm,
        scale: trace.scale,
        gap_mm: trace.gap_mm,
        check: trace.check.map(|c| DistanceCheck { from: point(c.from), to: point(c.to), distance_mm: c.distance_mm }),
        outline_options: outline_options(&trace.fitting),
    };
    // The spec lets no other names pass.
    if trace.file.to_ascii_lowercase().ends_with(".svg") {
        outline_from_svg(bytes, &drawing)
    } else {
        outline_from_dxf(bytes, &drawing)
    }
}

fn scanned(cut: &MeasuredScan, bytes: &[u8]) -> Result<SurveyedOutline, SurveyError> {
    let axis = match cut.axis {
        ScanAxis::X => CutAxis::X,
        ScanAxis::Y => CutAxis::Y,
        ScanAxis::Z => CutAxis::Z,
    };
    let (height_mm, gap_mm) = (cut.height_mm, cut.gap_mm);
    outline_from_stl(
        bytes,
        &SectionCut { unit_mm: cut.unit_mm, axis, height_mm, gap_mm, outline_options: outline_options(&cut.fitting) },
    )
}

fn readings_of(readings: &MeasuredCalliper) -> Vec<CalliperReading> {
    readings
        .rows
        .iter()
        .map(|(angle_rad, mm)| CalliperReading { angle_rad: *angle_rad, values_mm: mm.clone() })
        .collect()
}

fn with_readings(
    readings: &MeasuredCalliper,
    rows: &[CalliperReading],
    spread_mm: f64,
    place: &Place<'_>,
) -> Result<SurveyedOutline, Box<Diagnostic>> {
    let (key, measure) = if readings.widths { ("widths", ReadingKind::Widths) } else { ("radii", ReadingKind::Radii) };
    outline_from_readings(rows, measure, spread_mm, &outline_options(&readings.fitting)).map_err(|error| {
        let (profile, source) = (place.key, place.source);
        let mut at = format!("{profile}.{key}");
        if let SurveyError::StrayReading { angle_deg, .. } = error {
            let period = if readings.widths { 180.0 } else { 360.0 };
            let off = |r: &CalliperReading| {
                let turn = (r.angle_rad.to_degrees() - angle_deg).rem_euclid(period);
                turn.min(period - turn)
            };
            if let Some(row) = rows.iter().position(|r| off(r) < 1e-3) {
                at = format!("{at}[{row}]");
            }
        } else if let Some(own) = error.key().map(|key| format!("{profile}.{key}")).filter(|k| source.is_written(k)) {
            at = own;
        }
        let message = format!("`{profile}.{key}`: {error}");
        let problem = source.diagnostic(&at, error.code(), message).with_hint(error.hint());
        Box::new(Diagnostic { allowed: error.allowed(), ..problem })
    })
}

/// What the reader of a fit table should know of a body that was measured.
pub(crate) fn note(body: &Body) -> Option<String> {
    let BodyProfile::Surveyed(surveyed) = &body.profile else { return None };
    let size = surveyed.outline.bounds().size();
    Some(format!(
        "The body's outline, {:.2} mm wide and {:.2} mm high, is drawn with {} lines and arcs through {} points from {}; \
         they lie at most {:.3} mm off it, {:.4} mm as root mean square.",
        size.x,
        size.y,
        surveyed.outline.segments().len(),
        surveyed.points,
        surveyed.from,
        surveyed.largest_mm,
        surveyed.rms_mm
    ))
}

/// What the document says of a body that was measured.
pub(crate) fn document(body: &Body) -> Option<Value> {
    let BodyProfile::Surveyed(surveyed) = &body.profile else { return None };
    let size = surveyed.outline.bounds().size();
    let segments = segments(&surveyed.outline);
    Some(json!({
        "from": surveyed.from,
        "points": surveyed.points,
        "width_mm": size.x,
        "height_mm": size.y,
        "area_mm2": surveyed.outline.area_mm2(),
        "spread_mm": body.spread_mm,
        "largest_error_mm": surveyed.largest_mm,
        "rms_error_mm": surveyed.rms_mm,
        "outline": segments,
    }))
}

/// The lines and arcs of an outline.
pub(crate) fn segments(outline: &Outline) -> Vec<Value> {
    let pair = |p: Point| [p.x, p.y];
    let segments = outline.segments().iter().map(|segment| match segment.curve {
        Curve::Line { start, end } => json!({ "kind": "line", "start": pair(start), "end": pair(end) }),
        Curve::Arc { centre, radius, start_angle, sweep } => json!({
            "kind": "arc",
            "centre": pair(centre),
            "radius": radius,
            "start_angle": start_angle,
            "sweep": sweep,
        }),
    });
    segments.collect()
}
