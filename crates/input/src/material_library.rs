//! Material library: materials from TOML, with a source for every figure.

use std::collections::BTreeMap;

use crate::keys::key::{
    KeyTable, QuantityKey, TableKey, TextKey, WhenAbsent, optional_table, quantity, required_table, text,
};
use crate::keys::spec_keys::SPEC;
use crate::keys::table_reader::{OpenTable, TableReader};
use crate::text::diagnostic::{self, Diagnostic};
use crate::text::file_text::{MAX_FILE_BYTES, decode_utf8};
use crate::text::quantity::QuantityKind;
use crate::text::source::Source;
use crate::text::toml_parser;
use crate::text::value_tree::Entry;
use crate::values::material::{FigureBounds, Material};

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
    let mut reader = TableReader::new(&source, &SPEC);
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

static MATERIAL: KeyTable = KeyTable {
    about: "A material",
    keys: &[
        &TITLE,
        &MODULUS,
        &POISSON,
        &STRAIN_SINGLE,
        &STRAIN_REPEATED,
        &STRAIN_AT_REST,
        &FRICTION,
        &DENSITY,
        &GRIP_AFTER,
        &ACROSS_LAYERS,
    ],
};
static TITLE: TextKey =
    text("title", "Name in plain words", 80, WhenAbsent::Required("messages call the material by it"));
static SOURCE: TextKey = text(
    "source",
    "Where the figure comes from, or \"from memory\"",
    400,
    WhenAbsent::Required("a figure without its source cannot be checked"),
);

const fn bound(name: &'static str, kind: QuantityKind, least: f64, greatest: f64) -> QuantityKey {
    quantity(
        name,
        "Bound of the figure",
        kind,
        [least, greatest],
        WhenAbsent::Required("the figure is known only within bounds"),
    )
}

const fn figure(kind: QuantityKind, least: f64, greatest: f64) -> QuantityKey {
    quantity("value", "The figure", kind, [least, greatest], WhenAbsent::Required("it is the figure itself"))
}

static MODULUS_LEAST: QuantityKey = bound("least", QuantityKind::Stress, 1.0, 250_000.0);
static MODULUS_GREATEST: QuantityKey = bound("greatest", QuantityKind::Stress, 1.0, 250_000.0);
static MODULUS: TableKey = required_table(
    "modulus",
    "Tangent modulus at small strain",
    &[&MODULUS_LEAST, &MODULUS_GREATEST, &SOURCE],
    "force follows from it",
);
static FRICTION_LEAST: QuantityKey = bound("least", QuantityKind::Ratio, 0.01, 1.5);
static FRICTION_GREATEST: QuantityKey = bound("greatest", QuantityKind::Ratio, 0.01, 1.5);
static FRICTION: TableKey = required_table(
    "friction",
    "Friction against common barrels",
    &[&FRICTION_LEAST, &FRICTION_GREATEST, &SOURCE],
    "hold follows from it",
);
static POISSON_VALUE: QuantityKey = figure(QuantityKind::Ratio, 0.0, 0.499);
static POISSON: TableKey =
    required_table("poisson", "Poisson's ratio", &[&POISSON_VALUE, &SOURCE], "wide arms are stiffer by it");
static STRAIN_VALUE: QuantityKey = figure(QuantityKind::Ratio, 0.0005, 0.5);
static STRAIN_SINGLE: TableKey = required_table(
    "strain_single",
    "Permissible strain for one snapping",
    &[&STRAIN_VALUE, &SOURCE],
    "it limits how far a lip may open",
);
static STRAIN_REPEATED: TableKey = required_table(
    "strain_repeated",
    "Permissible strain for repeated snapping",
    &[&STRAIN_VALUE, &SOURCE],
    "it limits how far a lip may open again and again",
);
static STRAIN_AT_REST: TableKey = optional_table(
    "strain_at_rest",
    "Permissible strain that stays while a clip or mount is left on",
    &[&STRAIN_VALUE, &SOURCE],
);
static DENSITY_VALUE: QuantityKey = figure(QuantityKind::Density, 0.1, 20.0);
static DENSITY: TableKey =
    required_table("density", "Density", &[&DENSITY_VALUE, &SOURCE], "the part is weighed by it");

static SHARE_LEAST: QuantityKey = bound("least", QuantityKind::Ratio, 0.01, 1.0);
static SHARE_GREATEST: QuantityKey = bound("greatest", QuantityKind::Ratio, 0.01, 1.0);
static GRIP_AFTER: TableKey = optional_table(
    "grip_after_1000_h",
    "Share of the grip that is left after 1,000 h at rest",
    &[&SHARE_LEAST, &SHARE_GREATEST, &SOURCE],
);
static SHARE_VALUE: QuantityKey = figure(QuantityKind::Ratio, 0.05, 1.0);
static ACROSS_LAYERS: TableKey = optional_table(
    "across_layers",
    "Share of the permissible strain that a print bears across its layers",
    &[&SHARE_VALUE, &SOURCE],
);

/// Default share of the grip that is left after 1,000 h. Most plastics lie in or above it, polypropylene and similar
/// ones below; from memory, order of magnitude.
const DEFAULT_GRIP_AFTER_1000_H: FigureBounds = FigureBounds { least: 0.4, greatest: 0.7 };
/// Default of the permissible strain at rest, over that of one snapping. Common practice, no source.
const DEFAULT_REST_OVER_SINGLE: f64 = 1.0 / 3.0;
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
    let title = reader.text(&table, &TITLE);
    let mut sources = Vec::new();
    let modulus = read_bounds(reader, &table, &MODULUS_BOUNDS, &mut sources);
    let poisson = read_value(reader, &table, &POISSON, &POISSON_VALUE, &mut sources);
    let strain_single = read_value(reader, &table, &STRAIN_SINGLE, &STRAIN_VALUE, &mut sources);
    let strain_repeated = read_value(reader, &table, &STRAIN_REPEATED, &STRAIN_VALUE, &mut sources);
    let strain_at_rest = read_strain_at_rest(reader, &table, strain_single, &mut sources);
    let friction = read_bounds(reader, &table, &FRICTION_BOUNDS, &mut sources);
    let density = read_value(reader, &table, &DENSITY, &DENSITY_VALUE, &mut sources);
    // Older files do not have these figures, and not everybody can measure them: defaults apply.
    let grip_after = if table.get(GRIP_AFTER.name).is_some() {
        read_bounds(reader, &table, &GRIP_AFTER_BOUNDS, &mut sources)
    } else {
        let FigureBounds { least, greatest } = DEFAULT_GRIP_AFTER_1000_H;
        sources.push(format!("{}: not given, {least} to {greatest} taken as usual", GRIP_AFTER.name));
        Some(DEFAULT_GRIP_AFTER_1000_H)
    };
    let across_layers = if table.get(ACROSS_LAYERS.name).is_some() {
        read_value(reader, &table, &ACROSS_LAYERS, &SHARE_VALUE, &mut sources)
    } else {
        sources.push(format!("{}: not given, {DEFAULT_ACROSS_LAYERS} taken as usual", ACROSS_LAYERS.name));
        Some(DEFAULT_ACROSS_LAYERS)
    };
    check_strain(reader, &table, strain_single, &STRAIN_REPEATED, strain_repeated, "about 60 %");
    check_strain(reader, &table, strain_single, &STRAIN_AT_REST, strain_at_rest, "about a third");
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
        friction: friction?,
        density_g_cm3: density?,
        grip_after_1000_h: grip_after?,
        across_layers: across_layers?,
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

fn read_value<'a>(
    reader: &mut TableReader<'a>,
    material: &OpenTable<'a>,
    key: &TableKey,
    figure: &QuantityKey,
    sources: &mut Vec<String>,
) -> Option<f64> {
    let table = reader.open_subtable(material, key);
    let value = reader.quantity(&table, figure);
    read_source(reader, &table, key, sources);
    value
}

fn read_bounds<'a>(
    reader: &mut TableReader<'a>,
    material: &OpenTable<'a>,
    key: &BoundsKey,
    sources: &mut Vec<String>,
) -> Option<FigureBounds> {
    let table = reader.open_subtable(material, key.table);
    let bounds = reader.bounds(&table, key.least, key.greatest);
    read_source(reader, &table, key.table, sources);
    bounds
}

fn read_source<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>, key: &TableKey, sources: &mut Vec<String>) {
    if let Some(source) = reader.text(table, &SOURCE) {
        sources.push(format!("{}: {source}", key.name));
    }
}

fn read_strain_at_rest<'a>(
    reader: &mut TableReader<'a>,
    material: &OpenTable<'a>,
    strain_single: Option<f64>,
    sources: &mut Vec<String>,
) -> Option<f64> {
    if material.get(STRAIN_AT_REST.name).is_some() {
        return read_value(reader, material, &STRAIN_AT_REST, &STRAIN_VALUE, sources);
    }
    sources.push(format!("{}: not given, a third of strain_single taken as usual", STRAIN_AT_REST.name));
    strain_single.map(|single| DEFAULT_REST_OVER_SINGLE * single)
}

/// Checks that a strain allowed again and again, or for long, is no more than that of a single snapping.
fn check_strain(
    reader: &mut TableReader<'_>,
    material: &OpenTable<'_>,
    single: Option<f64>,
    key: &TableKey,
    strain: Option<f64>,
    usual: &str,
) {
    let (Some(single), Some(strain)) = (single, strain) else { return };
    if strain > single {
        let path = material.path_of(&format!("{}.value", key.name));
        let message = format!("`{path}` is {strain}, more than for a single snapping, which is {single}");
        let (allowed, hint) = (format!("at most {single}"), format!("{usual} of the single value is usual"));
        reader.report_value(&path, "strain-order", message, allowed, hint);
    }
}
