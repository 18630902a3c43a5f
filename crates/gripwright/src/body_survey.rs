//! Outlines of measured bodies: calliper readings, traced drawings and scans become sections of lines and arcs.

use gripwright_input::{
    Body, BodyProfile, Diagnostic, LoadedSpec, MeasuredCalliper, MeasuredProfile, MeasuredScan, MeasuredTrace,
    OutlineRequirements, ScanAxis, Source, SurveyedProfile,
};
use gripwright_section::{Curve, Outline, Point};
use gripwright_survey::{
    CalliperReading, CutAxis, DistanceCheck, DrawingOptions, OutlineOptions, ReadingKind, SectionCut, SurveyError,
    SurveyedOutline, outline_from_dxf, outline_from_readings, outline_from_stl, outline_from_svg,
    read_limits::MOST_BYTES, reading_spread_mm,
};
use serde_json::{Value, json};

use crate::spec_files::{SpecFileError, SpecFiles};

/// Key path of the body's section.
const PROFILE: &str = "body.profile";
/// Key path of the section at the far end of a body that tapers.
const FAR_PROFILE: &str = "body.far.profile";
/// Key path of the body's spread.
const SPREAD: &str = "body.spread";

/// Replaces the measured sections of the spec's body by their outlines.
pub(crate) fn draw_measured_sections(loaded: &mut LoadedSpec, files: &dyn SpecFiles) -> Result<(), Box<Diagnostic>> {
    let body = &mut loaded.spec.body;
    // Repeated readings know the spread better than its default does.
    if let BodyProfile::Measured(MeasuredProfile::Calliper(readings)) = &body.profile
        && let Some(found) = reading_spread_mm(&calliper_rows(readings)).filter(|_| !loaded.source.is_written(SPREAD))
    {
        body.spread_mm = found;
    }
    let spread_mm = body.spread_mm;
    let sections = [(PROFILE, Some(&mut body.profile)), (FAR_PROFILE, body.far.as_mut().map(|far| &mut far.profile))];
    for (key, profile) in sections {
        let Some(profile) = profile else { continue };
        let BodyProfile::Measured(measured) = &*profile else { continue };
        let section = MeasuredSection { key, source: &loaded.source, files };
        *profile = BodyProfile::Surveyed(surveyed(measured, spread_mm, &section)?);
    }
    Ok(())
}

/// One measured section of the body: its key path, the spec's text and the files that the spec names.
struct MeasuredSection<'a> {
    key: &'static str,
    source: &'a Source,
    files: &'a dyn SpecFiles,
}

fn surveyed(
    measured: &MeasuredProfile,
    spread_mm: f64,
    section: &MeasuredSection<'_>,
) -> Result<SurveyedProfile, Box<Diagnostic>> {
    let (survey, from) = match measured {
        MeasuredProfile::Calliper(readings) => {
            let rows = calliper_rows(readings);
            (calliper_survey(readings, &rows, spread_mm, section)?, "readings of a calliper".to_owned())
        }
        MeasuredProfile::Traced(trace) => {
            let bytes = file_bytes(section, &trace.file)?;
            (
                drawing_survey(trace, &bytes).map_err(|error| file_diagnostic(&error, &trace.file, section))?,
                format!("`{}`", trace.file),
            )
        }
        MeasuredProfile::Scan(cut) => {
            let bytes = file_bytes(section, &cut.file)?;
            (
                scan_survey(cut, &bytes).map_err(|error| file_diagnostic(&error, &cut.file, section))?,
                format!("`{}`", cut.file),
            )
        }
    };
    let SurveyedOutline { outline, largest_mm, rms_mm, points, spanned_mm, .. } = survey;
    Ok(SurveyedProfile { outline, from, points, largest_mm, rms_mm, spanned_mm })
}

/// Reads a drawing or scan that the section names.
fn file_bytes(section: &MeasuredSection<'_>, name: &str) -> Result<Vec<u8>, Box<Diagnostic>> {
    let key = format!("{}.file", section.key);
    let refused = |code, message: String, allowed: Option<String>, hint: &str| {
        let problem = section.source.diagnostic(&key, code, message).with_hint(hint);
        Box::new(Diagnostic { allowed, ..problem })
    };
    let bytes = section.files.read(name, MOST_BYTES).map_err(|error| match error {
        SpecFileError::IsFolder => {
            refused("unreadable", format!("`{name}` is a folder"), None, "name the file inside it")
        }
        SpecFileError::NotRegular => {
            refused("unreadable", format!("`{name}`: {error}"), None, "save the drawing or scan as a file of its own")
        }
        SpecFileError::Unreadable(cause) => {
            let message = format!("`{name}` cannot be read: {cause}");
            refused("unreadable", message, None, "its name is relative to the folder of the spec")
        }
    })?;
    if bytes.len() > MOST_BYTES {
        let allowed = Some(format!("at most {MOST_BYTES} bytes"));
        let hint = "keep the section of the body alone in it, or thin it out";
        return Err(refused("too-large", format!("`{name}` is too large"), allowed, hint));
    }
    Ok(bytes)
}

fn file_diagnostic(error: &SurveyError, name: &str, section: &MeasuredSection<'_>) -> Box<Diagnostic> {
    let key = error.key().map(|key| format!("{}.{key}", section.key)).filter(|key| section.source.is_written(key));
    let key = key.unwrap_or_else(|| format!("{}.file", section.key));
    let message = format!("`{name}`: {error}");
    let problem = section.source.diagnostic(&key, error.code(), message).with_hint(error.hint());
    Box::new(Diagnostic { allowed: error.allowed(), ..problem })
}

fn outline_options(requirements: &OutlineRequirements) -> OutlineOptions {
    let centre = requirements.centre.map(point);
    OutlineOptions {
        tolerance_mm: requirements.tolerance_mm,
        corner_mm: requirements.corner_mm,
        hull: requirements.hull,
        centre,
    }
}

fn point([x, y]: [f64; 2]) -> Point {
    Point::new(x, y)
}

fn drawing_survey(trace: &MeasuredTrace, bytes: &[u8]) -> Result<SurveyedOutline, SurveyError> {
    let drawing = DrawingOptions {
        unit_mm: trace.unit_mm,
        scale: trace.scale,
        gap_mm: trace.gap_mm,
        check: trace.check.map(|c| DistanceCheck { from: point(c.from), to: point(c.to), distance_mm: c.distance_mm }),
        outline_options: outline_options(&trace.requirements),
    };
    // The spec lets no other names pass.
    if trace.file.to_ascii_lowercase().ends_with(".svg") {
        outline_from_svg(bytes, &drawing)
    } else {
        outline_from_dxf(bytes, &drawing)
    }
}

fn scan_survey(cut: &MeasuredScan, bytes: &[u8]) -> Result<SurveyedOutline, SurveyError> {
    let axis = match cut.axis {
        ScanAxis::X => CutAxis::X,
        ScanAxis::Y => CutAxis::Y,
        ScanAxis::Z => CutAxis::Z,
    };
    let (height_mm, gap_mm) = (cut.height_mm, cut.gap_mm);
    outline_from_stl(
        bytes,
        &SectionCut {
            unit_mm: cut.unit_mm,
            axis,
            height_mm,
            gap_mm,
            outline_options: outline_options(&cut.requirements),
        },
    )
}

fn calliper_rows(readings: &MeasuredCalliper) -> Vec<CalliperReading> {
    readings
        .rows
        .iter()
        .map(|row| CalliperReading { angle_rad: row.angle_rad, values_mm: row.values_mm.clone() })
        .collect()
}

fn calliper_survey(
    readings: &MeasuredCalliper,
    rows: &[CalliperReading],
    spread_mm: f64,
    section: &MeasuredSection<'_>,
) -> Result<SurveyedOutline, Box<Diagnostic>> {
    let (key, kind) = if readings.widths { ("widths", ReadingKind::Widths) } else { ("radii", ReadingKind::Radii) };
    outline_from_readings(rows, kind, spread_mm, &outline_options(&readings.requirements)).map_err(|error| {
        let (profile, source) = (section.key, section.source);
        let mut at = format!("{profile}.{key}");
        if let SurveyError::StrayReading { angle_deg, .. } = error {
            let period = if readings.widths { 180.0 } else { 360.0 };
            let distance_deg = |r: &CalliperReading| {
                let turn = (r.angle_rad.to_degrees() - angle_deg).rem_euclid(period);
                turn.min(period - turn)
            };
            if let Some(row) = rows.iter().position(|r| distance_deg(r) < 1e-3) {
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

/// Returns a note on how well the outline of a measured body fits its points; `None` for other bodies.
pub(crate) fn survey_note(body: &Body) -> Option<String> {
    let BodyProfile::Surveyed(surveyed) = &body.profile else { return None };
    let size = surveyed.outline.bounds().size();
    let spanned = if surveyed.spanned_mm > 0.0 {
        format!(
            " It spans hollows up to {:.2} mm deep as straight lines (`hull = true`); there the mount touches nothing, which \
             forces and hold leave out. Points in hollows are not counted.",
            surveyed.spanned_mm
        )
    } else {
        String::new()
    };
    Some(format!(
        "The body's outline, {:.2} mm wide and {:.2} mm high, is drawn with {} lines and arcs through {} points from {}; \
         they lie at most {:.3} mm off it, {:.4} mm as root mean square.{spanned}",
        size.x,
        size.y,
        surveyed.outline.segments().len(),
        surveyed.points,
        surveyed.from,
        surveyed.largest_mm,
        surveyed.rms_mm
    ))
}

/// Returns the entry of a measured body in the design document; `None` for other bodies.
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
        "spanned_hollow_mm": surveyed.spanned_mm,
        "outline": segments,
    }))
}

/// Returns the lines and arcs of an outline for the design document.
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
