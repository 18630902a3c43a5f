//! Material library: materials from TOML, with a source for every figure.

use std::collections::BTreeMap;

use crate::keys::key::{QuantityKey, TableKey};
use crate::keys::material_keys::{
    ACROSS_LAYERS, CELSIUS, CRACKS_WITH, DENSITY, DENSITY_VALUE, EFFECT, FRICTION, FRICTION_GREATEST, FRICTION_LEAST,
    GRIP_AFTER, GRIP_BY_TEMPERATURE, MATERIAL, MODULUS, MODULUS_BY_TEMPERATURE, MODULUS_GREATEST, MODULUS_LEAST,
    MOISTURE, NARROWER, POISSON, POISSON_VALUE, PROCESS, SERVICE_TEMPERATURE, SHARE_GREATEST, SHARE_LEAST, SHARE_VALUE,
    SHARES, SOURCE, STRAIN_AT_REST, STRAIN_BY_TEMPERATURE, STRAIN_REPEATED, STRAIN_SINGLE, STRAIN_VALUE, STRAIN_YIELD,
    TEMPERATURES, TITLE,
};
use crate::keys::table_reader::{OpenTable, TableReader};
use crate::read_limits::MAX_FILE_BYTES;
use crate::text::diagnostic::{self, Diagnostic};
use crate::text::file_text::decode_utf8;
use crate::text::source::Source;
use crate::text::toml_parser;
use crate::text::value_tree::Entry;
use crate::values::material::{FigureBounds, Material, SharesByTemperature, TemperatureShare};

/// Materials by their key.
#[derive(Clone, Debug, PartialEq)]
pub struct MaterialLibrary {
    materials: BTreeMap<String, Material>,
}

/// Text of the built-in library.
const BUILT_IN: &str = include_str!("../data/materials.toml");

impl MaterialLibrary {
    /// Returns the built-in materials.
    #[expect(clippy::missing_panics_doc, reason = "the text is part of the program, and a test reads it")]
    pub fn built_in() -> Self {
        let materials = read_materials(BUILT_IN, "materials.toml");
        Self { materials: materials.expect("the tests of this crate read the built-in library") }
    }

    /// Returns the keys of the built-in library in the order in which it is written.
    pub fn built_in_keys() -> impl Iterator<Item = &'static str> {
        BUILT_IN.lines().filter_map(|line| line.strip_prefix('[')?.strip_suffix(']'))
    }

    /// Returns a class of the built-in library as it is written there, to copy into a file of one's own.
    pub fn built_in_text(key: &str) -> Option<&'static str> {
        let start = BUILT_IN.find(&format!("\n[{key}]\n"))? + 1;
        let text = BUILT_IN.get(start..)?;
        let end = text.find("\n\n[").map_or(text.len(), |end| end + 1);
        text.get(..end)
    }

    /// Returns this library with the materials of a user's file, which replace those of the same key.
    ///
    /// `file` is the name in diagnostics. All problems of the file are reported together.
    pub fn extended(&self, bytes: &[u8], file: &str) -> Result<Self, Vec<Diagnostic>> {
        let text = decode_utf8(bytes, file).map_err(|problem| vec![*problem])?;
        let mut materials = self.materials.clone();
        materials.extend(read_materials(text, file)?);
        Ok(Self { materials })
    }

    /// Returns the material of a key.
    pub fn get(&self, key: &str) -> Option<&Material> {
        self.materials.get(key)
    }

    /// Returns all keys in alphabetical order.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.materials.keys().map(String::as_str)
    }

    /// Returns all materials in the order of their keys.
    pub fn materials(&self) -> impl Iterator<Item = &Material> {
        self.materials.values()
    }
}

fn read_materials(text: &str, file: &str) -> Result<BTreeMap<String, Material>, Vec<Diagnostic>> {
    debug_assert!(text.len() <= MAX_FILE_BYTES, "the length is checked where bytes become text");
    let mut source = Source::new(file, text);
    let mut problems = Vec::new();
    let Some(root) = toml_parser::parse(&mut source, &mut problems) else {
        return Err(problems);
    };
    let mut reader = TableReader::new(&source, None);
    let mut materials = BTreeMap::new();
    for entry in root.entries().unwrap_or_default() {
        if let Some(material) = read_material(&mut reader, entry) {
            materials.insert(material.key.clone(), material);
        }
    }
    problems.append(&mut reader.problems);
    diagnostic::sort(&mut problems);
    if problems.is_empty() { Ok(materials) } else { Err(problems) }
}

/// Default share of the grip that is left after 1,000 h. Most plastics lie in or above it, polypropylene and similar
/// ones below; from memory, order of magnitude.
const DEFAULT_GRIP_AFTER_1000_H: FigureBounds = FigureBounds { least: 0.4, greatest: 0.7 };
/// Default of the permissible strain at rest, over that of one snapping. Common practice, no source.
const DEFAULT_REST_OVER_SINGLE: f64 = 1.0 / 3.0;
/// Default of the permissible strain of one snapping, over the strain at yield. It is that of an amorphous plastic (makers'
/// joining guides, from memory).
const DEFAULT_SINGLE_OVER_YIELD: f64 = 0.7;
/// Default share of the permissible strain across layers. The strength across layers is 0.3 to 0.8 of that within layers;
/// from memory.
const DEFAULT_ACROSS_LAYERS: f64 = 0.5;

/// Keys of a figure that is known only within bounds: its table and both bounds.
struct BoundsKey {
    table: &'static TableKey,
    least: &'static QuantityKey,
    greatest: &'static QuantityKey,
}

static MODULUS_BOUNDS: BoundsKey = BoundsKey { table: &MODULUS, least: &MODULUS_LEAST, greatest: &MODULUS_GREATEST };
static FRICTION_BOUNDS: BoundsKey =
    BoundsKey { table: &FRICTION, least: &FRICTION_LEAST, greatest: &FRICTION_GREATEST };
static GRIP_AFTER_BOUNDS: BoundsKey = BoundsKey { table: &GRIP_AFTER, least: &SHARE_LEAST, greatest: &SHARE_GREATEST };

fn read_material<'a>(reader: &mut TableReader<'a>, entry: &'a Entry) -> Option<Material> {
    let before = reader.problems.len();
    check_key(reader, entry);
    let table = reader.open_table(&entry.node, entry.key.clone(), &MATERIAL);
    let mut figures = FigureReader { reader, table, sources: Vec::new() };
    let title = figures.reader.text(&figures.table, &TITLE);
    let modulus = figures.bounds(&MODULUS_BOUNDS);
    let poisson = figures.value(&POISSON, &POISSON_VALUE);
    let strain_single = figures.value(&STRAIN_SINGLE, &STRAIN_VALUE);
    let strain_repeated = figures.value(&STRAIN_REPEATED, &STRAIN_VALUE);
    // Older files do not have all figures, and not everybody can measure them: defaults apply.
    let strain_at_rest = figures.strain_or(
        &STRAIN_AT_REST,
        strain_single.map(|single| DEFAULT_REST_OVER_SINGLE * single),
        "a third of strain_single",
    );
    let strain_yield = figures.strain_or(
        &STRAIN_YIELD,
        strain_single.map(|single| single / DEFAULT_SINGLE_OVER_YIELD),
        "strain_single / 0.7, as of an amorphous plastic,",
    );
    let friction = figures.bounds(&FRICTION_BOUNDS);
    let density = figures.value(&DENSITY, &DENSITY_VALUE);
    let grip_after = figures.grip_after();
    let across_layers = figures.across_layers();
    let service_temperature =
        figures.is_written(&SERVICE_TEMPERATURE).then(|| figures.value(&SERVICE_TEMPERATURE, &CELSIUS));
    let [modulus_by, strain_by, grip_by] =
        [&MODULUS_BY_TEMPERATURE, &STRAIN_BY_TEMPERATURE, &GRIP_BY_TEMPERATURE].map(|key| figures.shares(key));
    let [moisture, cracks_with] = [&MOISTURE, &CRACKS_WITH].map(|key| figures.effect(key));
    let process = figures.reader.choice(&figures.table, &PROCESS);
    let narrower = figures.narrower();
    figures.check_strain(strain_single, &STRAIN_REPEATED, strain_repeated, "about 60 %");
    figures.check_strain(strain_single, &STRAIN_AT_REST, strain_at_rest, "about a third");
    figures.check_yield(strain_single, strain_yield);
    let FigureReader { reader, sources, .. } = figures;
    if reader.problems.len() > before {
        return None;
    }
    Some(Material {
        key: entry.key.clone(),
        title: title?,
        modulus_mpa: modulus?,
        poisson: poisson?,
        strain_single: strain_single?,
        strain_repeated: strain_repeated?,
        strain_at_rest: strain_at_rest?,
        strain_yield: strain_yield?,
        friction: friction?,
        density_g_cm3: density?,
        grip_after_1000_h: grip_after?,
        across_layers: across_layers?,
        service_temperature_c: service_temperature.flatten(),
        modulus_by_temperature: modulus_by,
        strain_by_temperature: strain_by,
        grip_by_temperature: grip_by,
        moisture,
        cracks_with,
        process,
        narrower,
        sources,
    })
}

/// Checks that the key of a material is a bare TOML key.
fn check_key(reader: &mut TableReader<'_>, entry: &Entry) {
    let letters = |letter: char| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-';
    if entry.key.is_empty() || entry.key.len() > 40 || !entry.key.chars().all(letters) {
        let key = crate::text::source::shorten(&entry.key);
        let message = format!("`{key}` is no key for a material");
        let problem = reader.source.diagnostic_at(entry.key_span.clone(), &entry.key, "bad-key", message);
        reader.report(problem.with_allowed("1 to 40 small letters a to z, digits and hyphens"));
    }
}

/// Reads the figures of one material and collects their sources.
struct FigureReader<'r, 'a> {
    reader: &'r mut TableReader<'a>,
    table: OpenTable<'a>,
    /// One line for each figure: its name and its source.
    sources: Vec<String>,
}

impl<'a> FigureReader<'_, 'a> {
    fn is_written(&self, key: &TableKey) -> bool {
        self.table.get(key.name).is_some()
    }

    fn value(&mut self, key: &TableKey, figure: &QuantityKey) -> Option<f64> {
        let table = self.reader.open_subtable(&self.table, key);
        let value = self.reader.quantity(&table, figure);
        self.source(&table, key);
        value
    }

    fn bounds(&mut self, key: &BoundsKey) -> Option<FigureBounds> {
        let table = self.reader.open_subtable(&self.table, key.table);
        let bounds = self.reader.bounds(&table, key.least, key.greatest);
        self.source(&table, key.table);
        bounds
    }

    fn source(&mut self, table: &OpenTable<'a>, key: &TableKey) {
        if let Some(source) = self.reader.text(table, &SOURCE) {
            self.sources.push(format!("{}: {source}", key.name));
        }
    }

    fn assumed(&mut self, key: &TableKey, what: &str) {
        self.sources.push(format!("{}: not given, {what} taken as usual", key.name));
    }

    fn strain_or(&mut self, key: &TableKey, default: Option<f64>, what: &str) -> Option<f64> {
        if self.is_written(key) {
            return self.value(key, &STRAIN_VALUE);
        }
        self.assumed(key, what);
        default
    }

    fn grip_after(&mut self) -> Option<FigureBounds> {
        if self.is_written(&GRIP_AFTER) {
            return self.bounds(&GRIP_AFTER_BOUNDS);
        }
        let FigureBounds { least, greatest } = DEFAULT_GRIP_AFTER_1000_H;
        self.assumed(&GRIP_AFTER, &format!("{least} to {greatest}"));
        Some(DEFAULT_GRIP_AFTER_1000_H)
    }

    fn across_layers(&mut self) -> Option<f64> {
        if self.is_written(&ACROSS_LAYERS) {
            return self.value(&ACROSS_LAYERS, &SHARE_VALUE);
        }
        self.assumed(&ACROSS_LAYERS, &DEFAULT_ACROSS_LAYERS.to_string());
        Some(DEFAULT_ACROSS_LAYERS)
    }

    fn effect(&mut self, key: &TableKey) -> Option<String> {
        if !self.is_written(key) {
            return None;
        }
        let table = self.reader.open_subtable(&self.table, key);
        let effect = self.reader.text(&table, &EFFECT);
        self.source(&table, key);
        effect
    }

    fn shares(&mut self, key: &TableKey) -> Option<SharesByTemperature> {
        if !self.is_written(key) {
            return None;
        }
        let table = self.reader.open_subtable(&self.table, key);
        let (celsius, shares) =
            (self.reader.quantities(&table, &TEMPERATURES), self.reader.quantities(&table, &SHARES));
        self.source(&table, key);
        let (celsius, shares) = (celsius?, shares?);
        let path = table.path_of(SHARES.name);
        if celsius.len() != shares.len() {
            let message = format!("`{path}` has {} entries for {} temperatures", shares.len(), celsius.len());
            let hint = "write one share for each temperature";
            self.reader.report_value(&path, "unequal-lists", message, celsius.len().to_string(), hint);
            return None;
        }
        let points = celsius.iter().zip(shares).map(|(&celsius, share)| TemperatureShare { celsius, share });
        let found = SharesByTemperature::new(points).filter(|_| celsius.is_sorted());
        if found.is_none() {
            let path = table.path_of(TEMPERATURES.name);
            let message = format!("`{path}` does not ascend without 23 °C");
            let hint = "sort them, and leave out 23 °C: there the share is 1";
            self.reader.report_value(&path, "not-ascending", message, "ascending temperatures", hint);
        }
        found
    }

    /// Reads the keys of narrower classes, which the library need not hold.
    fn narrower(&mut self) -> Vec<String> {
        let keys = self.reader.text(&self.table, &NARROWER).unwrap_or_default();
        keys.split(',').map(str::trim).filter(|key| !key.is_empty()).map(str::to_owned).collect()
    }

    /// Checks that a strain allowed again and again, or for long, is no more than that of a single snapping.
    fn check_strain(&mut self, single: Option<f64>, key: &TableKey, strain: Option<f64>, usual: &str) {
        let (Some(single), Some(strain)) = (single, strain) else { return };
        if strain > single {
            let path = self.table.path_of(&format!("{}.value", key.name));
            let message = format!("`{path}` is {strain}, more than for a single snapping, which is {single}");
            let (allowed, hint) = (format!("at most {single}"), format!("{usual} of the single value is usual"));
            self.reader.report_value(&path, "strain-order", message, allowed, hint);
        }
    }

    /// Checks that the strain at yield is no less than that of a single snapping.
    fn check_yield(&mut self, single: Option<f64>, strain_yield: Option<f64>) {
        let (Some(single), Some(strain_yield)) = (single, strain_yield) else { return };
        if strain_yield < single {
            let path = self.table.path_of(&format!("{}.value", STRAIN_YIELD.name));
            let message = format!("`{path}` is {strain_yield}, less than for a single snapping, which is {single}");
            let hint = "a single snapping may take 0.7 of it in an amorphous plastic, 0.9 in a semicrystalline one";
            self.reader.report_value(&path, "strain-order", message, format!("at least {single}"), hint);
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn the_text_of_a_class_is_a_library_of_that_class() {
        let library = MaterialLibrary::built_in();
        let keys: BTreeSet<&str> = MaterialLibrary::built_in_keys().collect();
        assert!(keys.iter().copied().eq(library.keys()), "{keys:?}");
        for material in library.materials() {
            let text = MaterialLibrary::built_in_text(&material.key).expect("it is written in the library");
            let alone = read_materials(text, "one.toml").expect("the text is sound");
            assert_eq!(alone.values().collect::<Vec<_>>(), [material]);
        }
        assert_eq!(MaterialLibrary::built_in_text("oak"), None);
    }

    /// The keys of a spec have no place in a library of materials.
    #[test]
    fn an_unknown_key_of_a_figure_is_not_sent_to_the_spec() {
        let text = MaterialLibrary::built_in_text("pla").expect("it is written in the library");
        let line = text.lines().find(|line| line.starts_with("strain_single = ")).expect("every class has it");
        let bounds = text.replace(line, "strain_single = { least = 0.02, greatest = 0.03, source = \"invented\" }");
        let problems = read_materials(&bounds, "one.toml").expect_err("it takes a value");
        let unknown: Vec<&Diagnostic> = problems.iter().filter(|problem| problem.code == "unknown-key").collect();
        assert_eq!(unknown.len(), 2, "{problems:?}");
        assert!(unknown.iter().all(|problem| problem.hints.is_empty() && problem.allowed.is_some()), "{unknown:?}");
    }
}
