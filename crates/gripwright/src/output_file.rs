//! Output files of one run as bytes, with their entries in the design document.

use gripwright_export::{PictureError, ShadedPart, StepError, StlError, ThreeMfError, View, picture, stl};
use gripwright_input::{GrippingFaces, Spec};
use gripwright_solid::Mesh;
use serde::Serialize;

use crate::{
    seal::sha256,
    solids::{CHORD_TOLERANCE_MM, Part, PartError, step_text},
};

/// One file to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutputFile {
    /// Name within the output folder.
    pub name: String,
    /// Contents.
    pub bytes: Vec<u8>,
}

impl OutputFile {
    pub(crate) fn new(name: String, bytes: Vec<u8>) -> Self {
        Self { name, bytes }
    }
}

/// Reason why the files of a design could not be made: a defect of the program, as the design was found sound.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum OutputError {
    /// A part failed its checks.
    #[error(transparent)]
    Part(#[from] PartError),
    /// A file could not be encoded.
    #[error("{file}: {cause}")]
    Encoding {
        /// Name of the file, or the start of its name.
        file: String,
        /// Reason given by the encoder.
        cause: EncodingError,
    },
}

impl OutputError {
    pub(crate) fn encoding(file: &str, cause: impl Into<EncodingError>) -> Self {
        Self::Encoding { file: file.to_owned(), cause: cause.into() }
    }
}

/// Reason why an encoder refuses parts.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error(transparent)]
#[non_exhaustive]
pub enum EncodingError {
    /// Refused by the STEP writer.
    Step(#[from] StepError),
    /// Refused by the STL writer.
    Stl(#[from] StlError),
    /// Refused by the 3MF writer.
    ThreeMf(#[from] ThreeMfError),
    /// Refused by the picture writer.
    Picture(#[from] PictureError),
}

/// A file with its entry in the design document.
#[derive(Clone, Debug)]
pub(crate) struct DescribedFile {
    pub(crate) bytes: Vec<u8>,
    pub(crate) entry: FileEntry,
}

impl DescribedFile {
    /// Returns the entry with the digest of the contents.
    pub(crate) fn listed(&self) -> FileEntry {
        FileEntry { sha256: sha256(&self.bytes), ..self.entry.clone() }
    }

    /// A file whose entry states its name and kind alone.
    pub(crate) fn plain(path: &str, kind: &'static str, bytes: Vec<u8>) -> Self {
        Self { bytes, entry: FileEntry { path: path.to_owned(), kind, ..FileEntry::default() } }
    }
}

/// Entry of a file in the design document; what does not apply is left out.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct FileEntry {
    pub(crate) path: String,
    pub(crate) kind: &'static str,
    /// SHA-256 of the contents, hexadecimal.
    pub(crate) sha256: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) title: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) description: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) bed_mm: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) least_wall_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) chord_tolerance_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) parts: Option<Vec<PartEntry>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) plastic: Option<PlasticEntry>,
}

/// Amount of plastic of all coupons.
#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct PlasticEntry {
    pub(crate) volume_mm3: f64,
    pub(crate) mass_g: f64,
}

/// Entry of a part in the entry of its file.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct PartEntry {
    name: String,
    volume_mm3: f64,
    area_mm2: f64,
    centroid_mm: [f64; 3],
    faces: usize,
    triangles: usize,
    draft_deg: f64,
    gripping_faces: GrippingFaces,
    seat_radius_mm: Option<f64>,
    seat_axis: [f64; 3],
    seat_height_mm: f64,
    web_across: bool,
    parting_plane_mm: f64,
    taper_deg: f64,
    tapers_unevenly: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    part_number: Option<String>,
}

impl PartEntry {
    pub(crate) fn new(part: &Part, spec: &Spec) -> Self {
        Self {
            name: part.solid.name().to_owned(),
            volume_mm3: part.mass.volume_mm3,
            area_mm2: part.mass.area_mm2,
            centroid_mm: part.mass.centroid_mm,
            faces: part.solid.brep().faces.len(),
            triangles: part.mesh.triangles.len(),
            draft_deg: if part.without_draft { 0.0 } else { spec.finish.draft_rad.to_degrees() },
            gripping_faces: spec.finish.gripping_faces,
            seat_radius_mm: part.seat_radius_mm,
            seat_axis: part.seat_axis,
            seat_height_mm: part.seat_height_mm,
            web_across: part.web_across,
            parting_plane_mm: part.parting_mm,
            taper_deg: part.taper_rad.to_degrees(),
            tapers_unevenly: part.tapers_unevenly,
            part_number: None,
        }
    }

    /// The entry with the number under which a 3MF file lists the part.
    pub(crate) fn numbered(self, part_number: &str) -> Self {
        Self { part_number: Some(part_number.to_owned()), ..self }
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

/// Returns a STEP file with the exact boundaries of `parts` and an STL file with their triangles.
pub(crate) fn shape_files(
    stem: &str,
    parts: &[Part],
    about: &ShapesAbout<'_>,
) -> Result<[DescribedFile; 2], OutputError> {
    let described: Vec<PartEntry> = parts.iter().map(|part| PartEntry::new(part, about.spec)).collect();
    let path = format!("{stem}.step");
    let description = format!("{}: {}", about.spec.name, about.description);
    let text = step_text(parts, &path, description, &time_stamp(about.unix_seconds))
        .map_err(|error| OutputError::encoding(stem, error))?;
    let entry = FileEntry { path, kind: "step", parts: Some(described.clone()), ..FileEntry::default() };
    let step = DescribedFile { bytes: text.into_bytes(), entry };

    let meshes: Vec<&Mesh> = parts.iter().map(|part| &part.mesh).collect();
    let bytes = stl(&meshes).map_err(|error| OutputError::encoding(stem, error))?;
    let entry = FileEntry {
        path: format!("{stem}.stl"),
        kind: "stl",
        chord_tolerance_mm: Some(CHORD_TOLERANCE_MM),
        parts: Some(described),
        ..FileEntry::default()
    };
    Ok([step, DescribedFile { bytes, entry }])
}

/// Returns a picture of parts, seen along `direction`.
pub(crate) fn picture_file(
    stem: &str,
    shown: &[ShadedPart<'_>],
    direction: [f64; 3],
) -> Result<DescribedFile, OutputError> {
    let view = View { width_px: 960, height_px: 640, direction, up: [0.0, 1.0, 0.0] };
    let bytes = picture(shown, &view).map_err(|error| OutputError::encoding(stem, error))?;
    Ok(DescribedFile::plain(&format!("{stem}.png"), "png", bytes))
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
