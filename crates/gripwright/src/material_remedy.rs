//! Another material class of the spec's library with which a spec has a design, where it has none with its own.

use gripwright_input::{LoadedSpec, Material, MaterialLibrary, Spec};
use gripwright_sizing::Sizer;

/// Classes that are tried, those of the most similar stiffness first. Each takes a sizing of the whole family.
const MOST_TRIED: usize = 4;

/// Hint that names the first such class. The part is sized with each until one has a design.
pub(crate) fn material_hint(sizer: &Sizer, loaded: &LoadedSpec) -> Option<String> {
    let spec = &loaded.spec;
    let tried = similar_classes(spec.material.part_material(), &loaded.materials);
    let class = tried.into_iter().find(|class| sizer.has_design(&made_of(spec, class)))?;
    let key = if spec.material.cast.is_some() { "final" } else { "print" };
    Some(format!("another material would free it: `{key} = \"{}\"` in [material]", class.key))
}

/// Classes that are made by the process of a material, or with layers or without as it is where its process is not
/// declared, and that are not divided into narrower ones.
fn similar_classes<'a>(own: &Material, library: &'a MaterialLibrary) -> Vec<&'a Material> {
    let stiffness = |material: &Material| material.modulus_mpa.least * material.modulus_mpa.greatest;
    let difference = |material: &Material| (stiffness(material) / stiffness(own)).ln().abs();
    let has_layers = |material: &Material| material.across_layers < 1.0;
    let is_made_alike = |material: &Material| match own.process {
        Some(process) => material.process == Some(process),
        None => has_layers(material) == has_layers(own),
    };
    let is_other =
        |material: &&Material| material.key != own.key && material.narrower.is_empty() && is_made_alike(material);
    let mut classes: Vec<&Material> = library.materials().filter(is_other).collect();
    classes.sort_by(|a, b| difference(a).total_cmp(&difference(b)));
    classes.truncate(MOST_TRIED);
    classes
}

/// The spec with a part of another material.
fn made_of(spec: &Spec, class: &Material) -> Spec {
    let mut changed = spec.clone();
    match &mut changed.material.cast {
        Some(cast) => *cast = class.clone(),
        None => changed.material.print = class.clone(),
    }
    changed
}
