//! Outlines from sections through scanned bodies (STL).

use std::io::Cursor;

use gripwright_section::Point;

use crate::{
    closed_loops::closed_loops,
    error::SurveyError,
    polygon::{bounds, edges},
    read_limits::MOST_POINTS,
    surveyed_outline::{OutlineOptions, SurveyedOutline, check_size, outline_of_loop},
};

/// Axis at a right angle to the section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CutAxis {
    /// The section shows y to the right and z up.
    X,
    /// The section shows z to the right and x up.
    Y,
    /// The section shows x to the right and y up.
    Z,
}

/// Options for the section of a scan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionCut {
    /// Unit of the file, mm.
    pub unit_mm: f64,
    /// Axis at a right angle to the section.
    pub axis: CutAxis,
    /// Height of the section along the axis, mm.
    pub height_mm: f64,
    /// Greatest gap in the section that is closed, mm.
    pub gap_mm: f64,
    /// Options for the outline; its centre is in the file's own unit, in the plane of the section.
    pub outline_options: OutlineOptions,
}

const FORMAT: &str = "STL";
/// Bytes of the header with the count in a binary file, and of one triangle.
const HEADER: usize = 84;
const RECORD: usize = 50;

/// Returns the outline of a section of an STL, binary or ASCII.
///
/// Loops inside the outer one, such as those of a tube, are ignored.
pub fn outline_from_stl(bytes: &[u8], cut: &SectionCut) -> Result<SurveyedOutline, SurveyError> {
    let mm = cut.unit_mm;
    section(bytes, cut).map_err(|error| error.placed(|p| p * (1.0 / mm)))
}

fn section(bytes: &[u8], cut: &SectionCut) -> Result<SurveyedOutline, SurveyError> {
    let mut lines = Vec::new();
    let (mut least_mm, mut greatest_mm) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut finite = true;
    each_triangle(bytes, |corners| {
        let corners = corners.map(|c| section_corner(c, cut));
        for SectionCorner { height_mm: height, .. } in corners {
            finite &= height.is_finite();
            least_mm = least_mm.min(height);
            greatest_mm = greatest_mm.max(height);
        }
        lines.extend(crossing_line(corners, cut.height_mm));
        lines.len() <= MOST_POINTS
    })?;
    if !finite || lines.iter().flatten().any(|p| !(p.x.abs() < 1e7 && p.y.abs() < 1e7)) {
        return Err(SurveyError::BadNumber { what: "a triangle".to_owned() });
    }
    if least_mm > greatest_mm {
        return Err(SurveyError::Empty { format: FORMAT, what: "triangle" });
    }
    if lines.is_empty() {
        return Err(SurveyError::NoSection { height_mm: cut.height_mm, least_mm, greatest_mm });
    }
    let all: Vec<Point> = lines.iter().flatten().copied().collect();
    let closed = closed_loops(lines, cut.gap_mm);
    check_size(&all)?;
    let mut closed = closed?;
    let length = |l: &[Point]| -> f64 { edges(l).map(|(a, b)| a.distance(b)).sum() };
    closed.sort_by(|a, b| length(b).total_cmp(&length(a)));
    let outer = closed.first().ok_or(SurveyError::Empty { format: FORMAT, what: "closed section" })?;
    let (low, high) = bounds(outer);
    for other in &closed[1..] {
        let (l, h) = bounds(other);
        if l.x < low.x || l.y < low.y || h.x > high.x || h.y > high.y {
            return Err(SurveyError::SeveralOutlines { first: outer[0], second: other[0] });
        }
    }
    outline_of_loop(
        outer,
        &OutlineOptions { centre: cut.outline_options.centre.map(|c| c * cut.unit_mm), ..cut.outline_options },
    )
}

/// Calls `visit` with every triangle. Returns an error once `visit` returns false.
fn each_triangle(bytes: &[u8], mut visit: impl FnMut([[f64; 3]; 3]) -> bool) -> Result<(), SurveyError> {
    let broken = |reason: String| SurveyError::Unreadable { format: FORMAT, reason };
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(broken("it is empty".to_owned()));
    }
    let count = bytes.get(80..HEADER).and_then(|c| c.try_into().ok()).map(u32::from_le_bytes);
    let claimed = count.and_then(|c| usize::try_from(c).ok()).and_then(|c| c.checked_mul(RECORD)?.checked_add(HEADER));
    let mut copy;
    let data = if claimed == Some(bytes.len()) {
        // Some programs begin the header of a binary file with the word that marks an ASCII file.
        copy = bytes.to_vec();
        copy[..80].fill(0);
        &copy[..]
    } else if bytes.trim_ascii_start().starts_with(b"solid") {
        // The reader expects this word first, in lower case.
        bytes.trim_ascii_start()
    } else {
        return Err(broken(match (count, claimed) {
            (Some(count), _) => format!("it claims {count} triangles, which its {} bytes do not hold", bytes.len()),
            (None, _) => "it is shorter than the header".to_owned(),
        }));
    };
    let mut cursor = Cursor::new(data);
    let triangles = stl_io::create_stl_reader(&mut cursor).map_err(|error| broken(error.to_string()))?;
    for triangle in triangles {
        let triangle = triangle.map_err(|error| broken(error.to_string()))?;
        let corners = triangle.vertices.map(|v| [v[0], v[1], v[2]].map(f64::from));
        if !visit(corners) {
            return Err(SurveyError::TooMany { format: FORMAT, most: MOST_POINTS, what: "triangles in the section" });
        }
    }
    Ok(())
}

/// A corner of a triangle: its place in the section, and its height, mm.
#[derive(Clone, Copy, Debug)]
struct SectionCorner {
    place: Point,
    height_mm: f64,
}

/// Returns a corner in the coordinates of the section.
fn section_corner(corner: [f64; 3], cut: &SectionCut) -> SectionCorner {
    let [x, y, z] = corner;
    let (right, up, along) = match cut.axis {
        CutAxis::X => (y, z, x),
        CutAxis::Y => (z, x, y),
        CutAxis::Z => (x, y, z),
    };
    SectionCorner { place: Point::new(right, up) * cut.unit_mm, height_mm: along * cut.unit_mm }
}

/// Returns the line in which a triangle crosses the height, or `None`.
///
/// A corner on the height counts as above it, so every triangle crosses twice or not at all. An edge gives the same
/// point for both of its triangles.
fn crossing_line(corners: [SectionCorner; 3], height: f64) -> Option<Vec<Point>> {
    let above = corners.map(|c| c.height_mm >= height);
    if above[0] == above[1] && above[1] == above[2] {
        return None;
    }
    let mut points = Vec::with_capacity(2);
    for i in 0..3 {
        let j = (i + 1) % 3;
        if above[i] == above[j] {
            continue;
        }
        let (low, high) = if above[i] { (corners[j], corners[i]) } else { (corners[i], corners[j]) };
        points.push(low.place.towards(high.place, (height - low.height_mm) / (high.height_mm - low.height_mm)));
    }
    Some(points)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_triangle_is_cut_where_it_should() {
        let corners = [(0.0, 0.0, 0.0), (4.0, 0.0, 2.0), (0.0, 4.0, 2.0)]
            .map(|(x, y, height_mm)| SectionCorner { place: Point::new(x, y), height_mm });
        assert_eq!(crossing_line(corners, 1.0), Some(vec![Point::new(2.0, 0.0), Point::new(0.0, 2.0)]));
        assert_eq!(crossing_line(corners, 3.0), None);
        assert_eq!(crossing_line(corners, 0.0), None, "a corner on the height counts as above");
        assert_eq!(crossing_line(corners, 2.0).map(|p| p.len()), Some(2));
    }

    #[test]
    fn a_count_that_the_file_does_not_hold_is_not_believed() {
        let mut bytes = vec![0_u8; 84];
        bytes[80..84].copy_from_slice(&u32::MAX.to_le_bytes());
        let error = each_triangle(&bytes, |_| true).unwrap_err();
        assert!(error.to_string().contains("claims 4294967295 triangles"), "{error}");
    }
}
