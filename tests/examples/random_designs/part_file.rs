//! Parts of a random spec as one STEP file.

use std::{error::Error, fs, path::Path};

use gripwright::solids::Part;
use gripwright_export::{StepHeader, StepPart, step};

/// Writes parts as one STEP file.
pub(crate) fn write_step(folder: &Path, name: &str, parts: &[Part]) -> Result<(), Box<dyn Error>> {
    let header = StepHeader {
        file_name: name.to_owned(),
        description: "parts of a random spec".to_owned(),
        time_stamp: "1970-01-01T00:00:00".to_owned(),
        originating_system: "gripwright".to_owned(),
    };
    let listed: Vec<StepPart<'_>> =
        parts.iter().map(|part| StepPart { name: part.solid.name(), brep: part.solid.brep() }).collect();
    fs::write(folder.join(name), step(&listed, &header)?)?;
    Ok(())
}
