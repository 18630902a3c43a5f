//! STEP files (ISO 10303-21, schema AP214): named products with exact boundaries.
//!
//! Several parts in one file are several root products. Readers show each as a separately named solid,
//! and no assembly has to be invented for parts that are never put together.

mod geometry;
mod header;
mod instances;
mod literals;
mod product;
mod topology;

use gripwright_solid::Brep;

use self::{instances::Instances, product::Setting};

/// One part to write.
#[derive(Clone, Copy, Debug)]
pub struct StepPart<'a> {
    /// Name of the product; unique within the file.
    pub name: &'a str,
    /// Its boundary, mm.
    pub brep: &'a Brep,
}

/// What the header of the file says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StepHeader {
    /// Name of the file itself.
    pub file_name: String,
    /// What the file holds, in a few words.
    pub description: String,
    /// Date and time, ISO 8601, as the caller wants it to read.
    pub time_stamp: String,
    /// Program and version that made the shapes.
    pub originating_system: String,
}

/// Why parts cannot be written as STEP.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StepError {
    /// Nothing to write.
    #[error("a STEP file needs at least one part")]
    NoParts,
    /// Readers tell products apart by name.
    #[error("two parts are named `{0}`")]
    DuplicateName(String),
    /// A coordinate, direction or radius is infinite or no number.
    #[error("part `{part}` has a number that is not finite")]
    NotFinite {
        /// Name of the part.
        part: String,
    },
    /// An edge names a vertex that does not exist.
    #[error("edge {edge} of part `{part}` names vertex {vertex}, which does not exist")]
    NoSuchVertex {
        /// Name of the part.
        part: String,
        /// Index of the edge.
        edge: usize,
        /// Index that it names.
        vertex: usize,
    },
    /// A loop names an edge that does not exist.
    #[error("face {face} of part `{part}` names edge {edge}, which does not exist")]
    NoSuchEdge {
        /// Name of the part.
        part: String,
        /// Index of the face.
        face: usize,
        /// Index that it names.
        edge: usize,
    },
    /// A face without a loop, a loop without an edge, or a boundary without a face.
    #[error("part `{part}` has an empty boundary, face or loop")]
    Empty {
        /// Name of the part.
        part: String,
    },
}

/// The text of a STEP file that holds `parts`, mm and rad. Plain ASCII.
pub fn step(parts: &[StepPart<'_>], header: &StepHeader) -> Result<String, StepError> {
    if parts.is_empty() {
        return Err(StepError::NoParts);
    }
    if let Some(twice) = first_repeated_name(parts) {
        return Err(StepError::DuplicateName(twice.to_owned()));
    }
    let faces: usize = parts.iter().map(|part| part.brep.faces.len()).sum();
    let mut text = header::opening(header);
    // A face with its edges and points takes about 1.3 kB; growing the text once is cheaper than often.
    text.reserve(1500 * faces + 4000 * parts.len());

    let mut instances = Instances::new(text);
    let setting = Setting::write(&mut instances);
    let mut products = Vec::with_capacity(parts.len());
    for part in parts {
        let solid = topology::solid(&mut instances, part)?;
        products.push(product::product(&mut instances, &setting, part.name, solid));
    }
    product::file_wide_facts(&mut instances, &products);

    let mut text = instances.into_text();
    text.push_str(header::CLOSING);
    Ok(text)
}

fn first_repeated_name<'a>(parts: &[StepPart<'a>]) -> Option<&'a str> {
    let mut names: Vec<_> = parts.iter().map(|part| part.name).collect();
    names.sort_unstable();
    names.windows(2).find(|pair| pair[0] == pair[1]).map(|pair| pair[0])
}
