//! Writer of 3MF files (core specification 1.3): named objects on the bed, in millimetres, as a ZIP package of XML.
//!
//! The XML is written directly, for speed: a plate has a hundred thousand numbers. Coordinates are rounded to millionths of
//! a millimetre and printed from integers, which needs no search for the shortest decimal.

use std::{
    fmt::Write as _,
    io::{Cursor, Write as _},
};

use gripwright_report::escaped;
use gripwright_solid::Mesh;
use zip::{CompressionMethod, ZipWriter, write::SimpleFileOptions};

/// Grid steps per millimetre. The grid is finer than the single precision in which readers store coordinates, and its
/// numbers are short.
const STEPS_PER_MM: i64 = 1_000_000;
/// Compression level, 0 to 9. The usual 6 takes four times as long for files that are 6 % smaller.
const DEFLATE_LEVEL: i64 = 3;

/// Content types of the package by file extension (Open Packaging Conventions, ISO/IEC 29500-2).
const CONTENT_TYPES: &str = concat!(
    r#"<?xml version="1.0" encoding="UTF-8"?>"#,
    r#"<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">"#,
    r#"<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>"#,
    r#"<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>"#,
    "</Types>"
);
/// Relationship that points to the model.
const RELATIONSHIPS: &str = concat!(
    r#"<?xml version="1.0" encoding="UTF-8"?>"#,
    r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">"#,
    r#"<Relationship Id="rel0" Target="/3D/3Dmodel.model" "#,
    r#"Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>"#
);

/// One object of the file; it is also one item of the build.
#[derive(Clone, Copy, Debug)]
pub struct ThreeMfPart<'a> {
    /// Name shown by slicers.
    pub name: &'a str,
    /// Part number, which distinguishes parts of the same kind.
    pub part_number: &'a str,
    /// Triangles at their position on the bed, mm; no vertex below z = 0.
    pub mesh: &'a Mesh,
}

/// Metadata of the file.
#[derive(Clone, Copy, Debug)]
pub struct ThreeMfHeader<'a> {
    /// Title.
    pub title: &'a str,
    /// Description of the content.
    pub description: &'a str,
    /// Program that wrote the file.
    pub application: &'a str,
}

/// Reason why parts cannot be written as 3MF.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ThreeMfError {
    /// No part was given, or a part has no triangle.
    #[error("a 3MF file needs at least one part with triangles")]
    NoTriangles,
    /// A triangle refers to a vertex that does not exist.
    #[error("triangle {triangle} of part {part} names vertex {vertex}, which does not exist")]
    NoSuchVertex {
        /// Index of the part.
        part: usize,
        /// Index of the triangle.
        triangle: usize,
        /// Index of the missing vertex.
        vertex: u32,
    },
    /// A vertex lies below the bed or beyond the range of the grid, or a coordinate is NaN.
    #[error("vertex {vertex} of part {part} is not on or above the bed, or no number")]
    OffTheBed {
        /// Index of the part.
        part: usize,
        /// Index of the vertex.
        vertex: usize,
    },
    /// Two vertices coincide after rounding to the grid, which would pinch the surface.
    #[error("vertices {first} and {second} of part {part} fall together when rounded")]
    Merged {
        /// Index of the part.
        part: usize,
        /// Index of the first vertex.
        first: usize,
        /// Index of the second vertex.
        second: usize,
    },
    /// The ZIP archive cannot be written.
    #[error("the package cannot be written: {0}")]
    Package(String),
}

/// Writes one object and one build item for each part; returns the bytes of the file.
pub fn three_mf(parts: &[ThreeMfPart<'_>], header: &ThreeMfHeader<'_>) -> Result<Vec<u8>, ThreeMfError> {
    if parts.is_empty() || parts.iter().any(|part| part.mesh.triangles.is_empty()) {
        return Err(ThreeMfError::NoTriangles);
    }
    let model = model_xml(parts, header)?;
    let files =
        [("[Content_Types].xml", CONTENT_TYPES), ("_rels/.rels", RELATIONSHIPS), ("3D/3Dmodel.model", model.as_str())];
    zip_package(&files).map_err(|error| ThreeMfError::Package(error.to_string()))
}

/// Packs files into a ZIP archive. Entries carry the format's first date, 1980-01-01, so that the same parts give the same
/// bytes.
fn zip_package(files: &[(&str, &str)]) -> Result<Vec<u8>, zip::result::ZipError> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .compression_level(Some(DEFLATE_LEVEL))
        .last_modified_time(zip::DateTime::default());
    for (name, text) in files {
        archive.start_file(*name, options)?;
        archive.write_all(text.as_bytes())?;
    }
    Ok(archive.finish()?.into_inner())
}

/// The model part of the package.
fn model_xml(parts: &[ThreeMfPart<'_>], header: &ThreeMfHeader<'_>) -> Result<String, ThreeMfError> {
    let bytes = |part: &ThreeMfPart<'_>| 60 * part.mesh.vertices.len() + 45 * part.mesh.triangles.len();
    let mut xml = String::with_capacity(4096 + parts.iter().map(bytes).sum::<usize>());
    xml.push_str(concat!(
        r#"<?xml version="1.0" encoding="UTF-8"?>"#,
        r#"<model unit="millimeter" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">"#
    ));
    for (name, text) in
        [("Title", header.title), ("Description", header.description), ("Application", header.application)]
    {
        // Writing into a string cannot fail, here and below.
        let _ = write!(xml, r#"<metadata name="{name}">{}</metadata>"#, escaped(text));
    }
    xml.push_str("<resources>");
    for (index, part) in parts.iter().enumerate() {
        let (id, number, name) = (index + 1, escaped(part.part_number), escaped(part.name));
        let _ = write!(xml, r#"<object id="{id}" type="model" partnumber="{number}" name="{name}"><mesh><vertices>"#);
        for [x, y, z] in to_grid(index, part.mesh)? {
            push_element(&mut xml, [r#"<vertex x=""#, r#"" y=""#, r#"" z=""#], [x, y, z], push_decimal);
        }
        xml.push_str("</vertices><triangles>");
        for triangle in checked_triangles(index, part.mesh)? {
            push_element(&mut xml, [r#"<triangle v1=""#, r#"" v2=""#, r#"" v3=""#], triangle, push_integer);
        }
        xml.push_str("</triangles></mesh></object>");
    }
    xml.push_str("</resources><build>");
    for (index, part) in parts.iter().enumerate() {
        let (id, number) = (index + 1, escaped(part.part_number));
        let _ = write!(xml, r#"<item objectid="{id}" partnumber="{number}"/>"#);
    }
    xml.push_str("</build></model>");
    Ok(xml)
}

/// Appends an element with three attributes; each word is the text before a value.
fn push_element<T>(xml: &mut String, words: [&str; 3], values: [T; 3], push: impl Fn(&mut String, T)) {
    for (word, value) in words.into_iter().zip(values) {
        xml.push_str(word);
        push(xml, value);
    }
    xml.push_str(r#""/>"#);
}

/// Appends a coordinate as a decimal in millimetres, without trailing zeros.
fn push_decimal(xml: &mut String, steps: i64) {
    let (whole, mut rest) =
        (steps.unsigned_abs() / STEPS_PER_MM.unsigned_abs(), steps.unsigned_abs() % STEPS_PER_MM.unsigned_abs());
    if steps < 0 {
        xml.push('-');
    }
    push_integer(xml, whole);
    if rest == 0 {
        return;
    }
    xml.push('.');
    let mut place = STEPS_PER_MM.unsigned_abs() / 10;
    while rest > 0 {
        push_digit(xml, rest / place);
        rest %= place;
        place /= 10;
    }
}

fn push_integer(xml: &mut String, value: u64) {
    let mut digits = [0; 20];
    let mut first = digits.len();
    let mut rest = value;
    loop {
        first -= 1;
        digits[first] = rest % 10;
        rest /= 10;
        if rest == 0 {
            break;
        }
    }
    digits[first..].iter().for_each(|&digit| push_digit(xml, digit));
}

fn push_digit(xml: &mut String, digit: u64) {
    xml.push(char::from(b"0123456789"[usize::try_from(digit % 10).unwrap_or_default()]));
}

/// Vertices in grid steps; an error if two of them coincide, one lies below the bed, or a coordinate is out of range.
fn to_grid(part: usize, mesh: &Mesh) -> Result<Vec<[i64; 3]>, ThreeMfError> {
    // Beyond this distance, mm, an `f64` is coarser than the grid.
    const GREATEST_MM: f64 = 1e9;
    let is_outside =
        |v: &[f64; 3]| v[2] * STEPS_PER_MM as f64 <= -0.5 || v.iter().any(|c| c.is_nan() || c.abs() > GREATEST_MM);
    if let Some(vertex) = mesh.vertices.iter().position(is_outside) {
        return Err(ThreeMfError::OffTheBed { part, vertex });
    }
    #[expect(clippy::cast_possible_truncation, reason = "the range is checked above")]
    let steps: Vec<[i64; 3]> =
        mesh.vertices.iter().map(|v| v.map(|c| (c * STEPS_PER_MM as f64).round() as i64)).collect();
    let mut order: Vec<([i64; 3], usize)> = steps.iter().copied().zip(0..).collect();
    order.sort_unstable();
    match order.windows(2).find(|pair| pair[0].0 == pair[1].0) {
        Some(pair) => Err(ThreeMfError::Merged { part, first: pair[0].1, second: pair[1].1 }),
        None => Ok(steps),
    }
}

/// Triangles whose vertices all exist.
fn checked_triangles(part: usize, mesh: &Mesh) -> Result<Vec<[u64; 3]>, ThreeMfError> {
    let checked = |(triangle, corners): (usize, &[u32; 3])| match corners
        .iter()
        .find(|&&vertex| vertex as usize >= mesh.vertices.len())
    {
        Some(&vertex) => Err(ThreeMfError::NoSuchVertex { part, triangle, vertex }),
        None => Ok(corners.map(u64::from)),
    };
    mesh.triangles.iter().enumerate().map(checked).collect()
}

#[cfg(test)]
mod tests {
    use proptest::{prelude::*, test_runner::RngSeed};

    use super::*;

    #[test]
    fn coordinates_are_written_to_the_grid() {
        let mesh =
            Mesh { vertices: vec![[1.0 / 3.0, 0.1 + 0.2, -0.0], [-12.345_678_9, -4e-7, 1.0]], triangles: vec![] };
        let written = |steps| {
            let mut text = String::new();
            push_decimal(&mut text, steps);
            text
        };
        let texts: Vec<[String; 3]> = to_grid(0, &mesh).unwrap().into_iter().map(|v| v.map(written)).collect();
        assert_eq!(texts, [["0.333333", "0.3", "0"], ["-12.345679", "0", "1"]]);
        assert_eq!(written(i64::MIN), "-9223372036854.775808");
    }

    proptest! {
        #![proptest_config(ProptestConfig { rng_seed: RngSeed::Fixed(2), failure_persistence: None, ..ProptestConfig::default() })]
        #[test]
        fn decimals_are_those_of_the_standard_library(steps in -1_000_000_000_000_000_i64..1_000_000_000_000_000) {
            let mut text = String::new();
            push_decimal(&mut text, steps);
            prop_assert_eq!(text, (steps as f64 / STEPS_PER_MM as f64).to_string());
        }
    }
}
