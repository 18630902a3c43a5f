//! Surveys a drawing or scan and prints its outline as JSON.
//!
//!     survey_dump FILE UNIT_MM [AXIS HEIGHT]
//!
//! Axis and height are those of the section of a scan.

use std::{env, fs, path::Path, process::ExitCode};

use gripwright_section::{Curve, Point};
use gripwright_survey::{
    CutAxis, DrawingOptions, OutlineOptions, SectionCut, outline_from_dxf, outline_from_stl, outline_from_svg,
};

#[expect(clippy::print_stdout, clippy::print_stderr, reason = "this program prints an outline")]
fn main() -> ExitCode {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let [file, unit, rest @ ..] = arguments.as_slice() else { return ExitCode::from(2) };
    let (Ok(bytes), Ok(unit_mm)) = (fs::read(file), unit.parse::<f64>()) else { return ExitCode::from(2) };
    let outline_options =
        OutlineOptions { tolerance_mm: 0.001, corner_mm: 0.1, hull: false, centre: Some(Point::ORIGIN) };
    let survey = if let [axis, height] = rest {
        let axis = match axis.as_str() {
            "x" => CutAxis::X,
            "y" => CutAxis::Y,
            _ => CutAxis::Z,
        };
        let height_mm = height.parse().unwrap_or(0.0);
        let outline_options = OutlineOptions { tolerance_mm: 0.02, centre: None, ..outline_options };
        outline_from_stl(&bytes, &SectionCut { unit_mm, axis, height_mm, gap_mm: 0.01, outline_options })
    } else {
        let drawing = DrawingOptions { unit_mm, scale: 1.0, gap_mm: 0.01, check: None, outline_options };
        let is_svg = Path::new(file).extension().is_some_and(|e| e.eq_ignore_ascii_case("svg"));
        if is_svg { outline_from_svg(&bytes, &drawing) } else { outline_from_dxf(&bytes, &drawing) }
    };
    match survey {
        Ok(survey) => {
            let segments: Vec<String> = survey.outline.segments().iter().map(|s| segment(&s.curve)).collect();
            let (area, largest) = (survey.outline.area_mm2(), survey.largest_mm);
            let segments = segments.join(",");
            println!("{{\"area_mm2\":{area},\"largest_mm\":{largest},\"segments\":[{segments}]}}");
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("{file}: {error}");
            ExitCode::FAILURE
        }
    }
}

fn segment(curve: &Curve) -> String {
    match *curve {
        Curve::Line { start, end } => {
            format!("{{\"kind\":\"line\",\"start\":[{},{}],\"end\":[{},{}]}}", start.x, start.y, end.x, end.y)
        }
        Curve::Arc { centre, radius, start_angle, sweep } => format!(
            "{{\"kind\":\"arc\",\"centre\":[{},{}],\"radius\":{radius},\"start_angle\":{start_angle},\"sweep\":{sweep}}}",
            centre.x, centre.y
        ),
    }
}
