//! Writer of STEP files (ISO 10303-21, schema AP214): named products with exact boundaries.
//!
//! Several parts in one file are several root products: readers show each as a separately named solid. No assembly is
//! written, because the parts are never put together.

mod error;
mod geometry;
mod header;
mod instances;
mod literals;
mod oblique_cone;
mod part;
mod product;
mod topology;

pub use self::{error::StepError, header::StepHeader, part::StepPart};

use self::{instances::Instances, product::ProductContexts};

/// Writes `parts` as the text of a STEP file, in mm and rad. The text is plain ASCII.
pub fn step(parts: &[StepPart<'_>], header: &StepHeader) -> Result<String, StepError> {
    if parts.is_empty() {
        return Err(StepError::NoParts);
    }
    if let Some(name) = first_repeated_name(parts) {
        return Err(StepError::DuplicateName(name.to_owned()));
    }
    let faces: usize = parts.iter().map(|part| part.brep.faces.len()).sum();
    let mut text = header.opening();
    // A face with its edges and points takes about 1.3 kB; one allocation is cheaper than repeated growth.
    text.reserve(1500 * faces + 4000 * parts.len());

    let mut instances = Instances::new(text);
    let contexts = ProductContexts::write(&mut instances);
    let mut products = Vec::with_capacity(parts.len());
    for part in parts {
        let solid = topology::write_solid(&mut instances, part)?;
        products.push(product::write_product(&mut instances, &contexts, part.name, solid));
    }
    product::write_common_records(&mut instances, &products);

    let mut text = instances.into_text();
    text.push_str(header::CLOSING);
    Ok(text)
}

fn first_repeated_name<'a>(parts: &[StepPart<'a>]) -> Option<&'a str> {
    let mut names: Vec<_> = parts.iter().map(|part| part.name).collect();
    names.sort_unstable();
    names.windows(2).find(|pair| pair[0] == pair[1]).map(|pair| pair[0])
}
