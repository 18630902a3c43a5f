//! Output files of one run as bytes, with their entries in the design document.

use std::fmt::Display;

use gripwright_export::{ShadedPart, StepHeader, StepPart, View, picture, step, stl};
use gripwright_input::Spec;
use gripwright_solid::Mesh;
use serde_json::{Value, json};

use crate::{
    design_document,
    solids::{CHORD_TOLERANCE_MM, Part, PartError},
    version::MADE_BY,
};

/// One file to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutputFile {
    /// Name within the output folder.
    pub name: String,
    /// Contents.
    pub bytes: Vec<u8>,
}

/// Reason why the files of a design could not be made: a defect of the program, as the design was found sound.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum OutputError {
    /// A part failed its checks.
    #[error(transparent)]
    Part(#[from] PartError),
    /// A file could not be encoded.
    #[error("{file}: {reason}")]
    Encoding {
        /// Name of the file, or the start of its name.
        file: String,
        /// Reason given by the encoder.
        reason: String,
    },
}

impl OutputError {
    pub(crate) fn encoding(file: &str, reason: &dyn Display) -> Self {
        Self::Encoding { file: file.to_owned(), reason: reason.to_string() }
    }
}

/// Files of a run, and what the design document says of each of them.
#[derive(Clone, Debug, Default)]
pub struct OutputSet {
    /// The files.
    pub files: Vec<OutputFile>,
    /// Entries of the design document's `files`, in the same order.
    pub entries: Vec<Value>,
}

impl OutputSet {
    /// Adds one file.
    pub fn add(&mut self, name: String, bytes: Vec<u8>, entry: Value) {
        self.files.push(OutputFile { name, bytes });
        self.entries.push(entry);
    }

    pub(crate) fn append(&mut self, other: Self) {
        self.files.extend(other.files);
        self.entries.extend(other.entries);
    }

    /// Adds a STEP file with the exact boundaries of `parts` and an STL file with their triangles.
    pub(crate) fn add_shapes(
        &mut self,
        stem: &str,
        parts: &[Part],
        about: &ShapesAbout<'_>,
    ) -> Result<(), OutputError> {
        let failed = |e: &dyn Display| OutputError::encoding(stem, e);
        let described: Vec<Value> = parts.iter().map(|p| design_document::part(about.spec, p)).collect();
        let name = format!("{stem}.step");
        let header = StepHeader {
            file_name: name.clone(),
            description: format!("{}: {}", about.spec.name, about.description),
            time_stamp: time_stamp(about.unix_seconds),
            originating_system: MADE_BY.to_owned(),
        };
        let step_parts: Vec<StepPart<'_>> =
            parts.iter().map(|p| StepPart { name: p.solid.name(), brep: p.solid.brep() }).collect();
        let text = step(&step_parts, &header).map_err(|e| failed(&e))?;
        let entry = json!({ "path": name, "kind": "step", "parts": described });
        self.add(name, text.into_bytes(), entry);

        let meshes: Vec<&Mesh> = parts.iter().map(|p| &p.mesh).collect();
        let bytes = stl(&meshes).map_err(|e| failed(&e))?;
        let name = format!("{stem}.stl");
        let entry =
            json!({ "path": name, "kind": "stl", "chord_tolerance_mm": CHORD_TOLERANCE_MM, "parts": described });
        self.add(name, bytes, entry);
        Ok(())
    }

    /// Adds a picture of parts, seen along `direction`.
    pub(crate) fn add_picture(
        &mut self,
        stem: &str,
        shown: &[ShadedPart<'_>],
        direction: [f64; 3],
    ) -> Result<(), OutputError> {
        let view = View { width_px: 960, height_px: 640, direction, up: [0.0, 1.0, 0.0] };
        let bytes = picture(shown, &view).map_err(|e| OutputError::encoding(stem, &e))?;
        let name = format!("{stem}.png");
        let entry = json!({ "path": name, "kind": "png" });
        self.add(name, bytes, entry);
        Ok(())
    }
}

/// Header data of files with the shapes of parts.
pub(crate) struct ShapesAbout<'a> {
    /// The spec that the parts are made for.
    pub spec: &'a Spec,
    /// Kind of the parts in words.
    pub description: &'a str,
    /// Time stamp, seconds since 1970.
    pub unix_seconds: u32,
}

/// Returns a time as STEP headers write it (ISO 8601, UTC).
fn time_stamp(unix_seconds: u32) -> String {
    let (days, rest) = (unix_seconds / 86_400, unix_seconds % 86_400);
    // Civil date from a day count: years begin in March here, so that the leap day is the last of its year.
    let shifted = days + 719_468;
    let (era, of_era) = (shifted / 146_097, shifted % 146_097);
    let year_of_era = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let march_month = (5 * of_year + 2) / 153;
    let day = of_year - (153 * march_month + 2) / 5 + 1;
    let month = if march_month < 10 { march_month + 3 } else { march_month - 9 };
    let year = 400 * era + year_of_era + u32::from(month <= 2);
    let (hour, minute, second) = (rest / 3_600, rest / 60 % 60, rest % 60);
    format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}")
}
