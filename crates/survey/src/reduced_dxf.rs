//! Reduction of a DXF to the parts that outlines need: its unit, its blocks and its entities.
//!
//! The rest of a DXF (dates, tables, thumbnails, objects of other programs) is most of the file and most of what can be
//! broken in it. Without it the entity reader cannot fail on it.

use std::fmt::Write as _;

use crate::{error::SurveyError, read_limits::MOST_DXF_ENTITIES};

const FORMAT: &str = "DXF";

/// A DXF without the parts that outlines do not need.
#[derive(Debug)]
pub(crate) struct ReducedDxf {
    /// An ASCII DXF with the sections BLOCKS and ENTITIES.
    pub(crate) text: String,
    /// Unit that the drawing states, mm.
    pub(crate) unit_mm: Option<f64>,
}

/// Returns the reduced DXF: reads the pairs of code and value, and keeps two sections.
pub(crate) fn reduce_dxf(bytes: &[u8]) -> Result<ReducedDxf, SurveyError> {
    let broken = |reason: String| SurveyError::Unreadable { format: FORMAT, reason };
    if bytes.starts_with(b"AutoCAD Binary DXF") || bytes.starts_with(b"AutoCAD DXB") {
        return Err(broken("it is binary".to_owned()));
    }
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(broken("it is empty".to_owned()));
    }
    let text = String::from_utf8_lossy(bytes);
    // The version decides how the entities are read; since the version of 2000 nothing about outlines has changed.
    let mut out = String::from("0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n0\nENDSEC\n");
    let mut lines = text.trim_start_matches('\u{feff}').lines().map(str::trim).enumerate();
    let (mut section, mut variable, mut unit_mm, mut ended) = (String::new(), String::new(), None, false);
    let (mut opening, mut entities) = (false, 0);
    while let Some((number, code)) = lines.next() {
        let Ok(code) = code.parse::<i16>() else {
            return Err(broken(format!("line {} is no code of a DXF", number + 1)));
        };
        let Some((_, value)) = lines.next() else {
            return Err(broken("it breaks off".to_owned()));
        };
        match (code, value) {
            (0, "SECTION") => opening = true,
            (2, name) if opening => {
                opening = false;
                name.clone_into(&mut section);
                if is_kept(&section) {
                    out.push_str("0\nSECTION\n");
                }
            }
            (0, "EOF") => {
                ended = true;
                break;
            }
            (9, name) => name.clone_into(&mut variable),
            (70, value) if section == "HEADER" && variable == "$INSUNITS" => unit_mm = self::unit_mm(value),
            _ => {}
        }
        if is_kept(&section) {
            entities += usize::from(code == 0);
            if entities > MOST_DXF_ENTITIES {
                return Err(SurveyError::TooMany { format: FORMAT, most: MOST_DXF_ENTITIES, what: "entities" });
            }
            // Writing into a String cannot fail.
            let _ = writeln!(out, "{code}\n{value}");
        }
        if (code, value) == (0, "ENDSEC") {
            section.clear();
        }
    }
    if !ended {
        return Err(broken("it breaks off".to_owned()));
    }
    out.push_str("0\nEOF\n");
    Ok(ReducedDxf { text: out, unit_mm })
}

fn is_kept(section: &str) -> bool {
    section == "BLOCKS" || section == "ENTITIES"
}

/// Unit of a value of `$INSUNITS`, mm, for the units in which bodies are drawn (published format reference, from
/// memory).
fn unit_mm(value: &str) -> Option<f64> {
    match value {
        "1" => Some(25.4),
        "2" => Some(304.8),
        "4" => Some(1.0),
        "5" => Some(10.0),
        "6" => Some(1000.0),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keeps_the_unit_and_the_entities() {
        let text = "0\nSECTION\n2\nHEADER\n9\n$TDCREATE\n40\n1e300\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n0\nSECTION\n2\nOBJECTS\n0\n\
                    JUNK\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nLINE\n10\n1.5\n0\nENDSEC\n0\nEOF\n";
        let found = reduce_dxf(text.as_bytes()).unwrap();
        assert_eq!(found.unit_mm, Some(25.4));
        assert!(
            found.text.ends_with("0\nSECTION\n2\nENTITIES\n0\nLINE\n10\n1.5\n0\nENDSEC\n0\nEOF\n"),
            "{}",
            found.text
        );
        assert!(!found.text.contains("JUNK") && !found.text.contains("1e300"));
    }

    #[test]
    fn what_is_no_dxf_says_so() {
        let reason = |bytes: &[u8]| reduce_dxf(bytes).unwrap_err().to_string();
        assert_eq!(reason(b""), "the DXF cannot be read: it is empty");
        assert_eq!(reason(b"AutoCAD Binary DXF\r\n\x1a\0"), "the DXF cannot be read: it is binary");
        assert_eq!(reason(b"<svg/>"), "the DXF cannot be read: line 1 is no code of a DXF");
        assert_eq!(reason(b"0\nSECTION\n2\nENTITIES\n0\n"), "the DXF cannot be read: it breaks off");
    }
}
