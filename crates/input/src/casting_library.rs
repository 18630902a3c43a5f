//! Library of mould rubbers and casting resins, with a source for every figure.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::values::casting_figures::{CastingResin, MeanAndSpread, MouldRubber, PostCure, RubberCure};

/// Text of the built-in library.
const BUILT_IN: &str = include_str!("../data/casting.toml");

/// Rubbers by their class, and resins by the key of their material.
#[derive(Clone, Debug, PartialEq)]
pub struct CastingLibrary {
    rubbers: BTreeMap<String, MouldRubber>,
    resins: BTreeMap<String, CastingResin>,
}

impl CastingLibrary {
    /// Returns the built-in figures.
    #[expect(clippy::missing_panics_doc, reason = "the text is part of the program, and a test reads it")]
    pub fn built_in() -> Self {
        let file: LibraryFile = toml::from_str(BUILT_IN).expect("the tests of this crate read the built-in library");
        let rubbers = file.rubber.into_iter().map(|(class, rubber)| (class.clone(), rubber.read(class)));
        let resins = file.resin.into_iter().map(|(class, resin)| (class, resin.read()));
        Self { rubbers: rubbers.collect(), resins: resins.collect() }
    }

    /// Returns the rubber of a class.
    pub fn rubber(&self, class: &str) -> Option<&MouldRubber> {
        self.rubbers.get(class)
    }

    /// Returns the process figures of a resin by the key of its material.
    pub fn resin(&self, material: &str) -> Option<&CastingResin> {
        self.resins.get(material)
    }

    /// Returns the classes of rubber in alphabetical order.
    pub fn rubber_classes(&self) -> impl Iterator<Item = &str> {
        self.rubbers.keys().map(String::as_str)
    }

    /// Returns the keys of the resins in alphabetical order.
    pub fn resin_keys(&self) -> impl Iterator<Item = &str> {
        self.resins.keys().map(String::as_str)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LibraryFile {
    rubber: BTreeMap<String, RubberEntry>,
    resin: BTreeMap<String, ResinEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RubberEntry {
    title: String,
    cure: CureWord,
    hardness: Figure,
    density: Figure,
    elongation: Figure,
    ratio: Ratio,
    shrinkage: MeanEntry,
    expansion: MeanEntry,
    pot_life: Figure,
    demould: Figure,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ResinEntry {
    ratio: Ratio,
    net_shrinkage: MeanEntry,
    gel_shrinkage: MeanEntry,
    expansion: MeanEntry,
    pot_life: Figure,
    demould: Figure,
    full_cure: Figure,
    least_batch: Figure,
    green_share: Figure,
    green_strain: Figure,
    post_cure: Option<HeatEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HeatEntry {
    temperature: f64,
    hours: f64,
    source: String,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "lowercase")]
enum CureWord {
    Addition,
    Condensation,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Figure {
    value: f64,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Ratio {
    parts: [f64; 2],
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MeanEntry {
    mean: f64,
    spread: f64,
    source: String,
}

impl MeanEntry {
    fn figures(&self) -> MeanAndSpread {
        MeanAndSpread { mean: self.mean, spread: self.spread }
    }
}

/// Returns a line for each figure: its name and its source.
fn lines<const N: usize>(named: [(&str, &String); N]) -> Vec<String> {
    named.iter().map(|(name, source)| format!("{name}: {source}")).collect()
}

impl RubberEntry {
    fn read(self, class: String) -> MouldRubber {
        let sources = lines([
            ("hardness", &self.hardness.source),
            ("density", &self.density.source),
            ("elongation", &self.elongation.source),
            ("ratio", &self.ratio.source),
            ("shrinkage", &self.shrinkage.source),
            ("expansion", &self.expansion.source),
            ("pot_life", &self.pot_life.source),
            ("demould", &self.demould.source),
        ]);
        MouldRubber {
            class,
            cure: match self.cure {
                CureWord::Addition => RubberCure::Addition,
                CureWord::Condensation => RubberCure::Condensation,
            },
            hardness_a: self.hardness.value,
            density_g_cm3: self.density.value,
            elongation: self.elongation.value,
            ratio: self.ratio.parts,
            shrinkage: self.shrinkage.figures(),
            expansion_per_k: self.expansion.figures(),
            pot_life_min: self.pot_life.value,
            demould_min: self.demould.value,
            title: self.title,
            sources,
        }
    }
}

impl ResinEntry {
    fn read(self) -> CastingResin {
        let mut sources = lines([
            ("ratio", &self.ratio.source),
            ("net_shrinkage", &self.net_shrinkage.source),
            ("gel_shrinkage", &self.gel_shrinkage.source),
            ("expansion", &self.expansion.source),
            ("pot_life", &self.pot_life.source),
            ("demould", &self.demould.source),
            ("full_cure", &self.full_cure.source),
            ("least_batch", &self.least_batch.source),
            ("green_share", &self.green_share.source),
            ("green_strain", &self.green_strain.source),
        ]);
        sources.extend(self.post_cure.iter().flat_map(|heat| lines([("post_cure", &heat.source)])));
        CastingResin {
            ratio: self.ratio.parts,
            net_shrinkage: self.net_shrinkage.figures(),
            gel_shrinkage: self.gel_shrinkage.figures(),
            expansion_per_k: self.expansion.figures(),
            pot_life_min: self.pot_life.value,
            demould_min: self.demould.value,
            full_cure_min: self.full_cure.value,
            least_batch_g: self.least_batch.value,
            green_share: self.green_share.value,
            green_strain: self.green_strain.value,
            post_cure: self.post_cure.map(|heat| PostCure { temperature_c: heat.temperature, hours: heat.hours }),
            sources,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{material_library::MaterialLibrary, values::material::MaterialProcess};

    #[test]
    fn every_class_that_is_cast_has_process_figures() {
        let (materials, casting) = (MaterialLibrary::built_in(), CastingLibrary::built_in());
        let cast = materials.materials().filter(|m| m.process == Some(MaterialProcess::Casting));
        let keys: Vec<&str> = cast.map(|material| material.key.as_str()).collect();
        assert_eq!(keys, casting.resin_keys().collect::<Vec<_>>());
    }

    #[test]
    fn figures_are_in_the_range_of_their_kind() {
        let library = CastingLibrary::built_in();
        for class in library.rubber_classes() {
            let rubber = library.rubber(class).unwrap();
            assert!((10.0..60.0).contains(&rubber.hardness_a) && (1.0..7.0).contains(&rubber.elongation), "{class}");
            assert!(rubber.shrinkage.mean < 0.02 && rubber.pot_life_min < rubber.demould_min, "{class}");
        }
        for key in library.resin_keys() {
            let resin = library.resin(key).unwrap();
            assert!(resin.net_shrinkage.mean < 0.01 && resin.pot_life_min < resin.demould_min, "{key}");
            assert!(resin.demould_min < resin.full_cure_min && resin.green_share < 1.0, "{key}");
            assert!(resin.sources.iter().all(|line| line.len() > 12), "{key}");
        }
    }
}
