//! Reading of the process in which a part is cast: figures of the classes, and those of data sheets in their place.

use crate::casting_library::CastingLibrary;
use crate::keys::casting_process_keys::{
    CAVITIES, COPIES, CURE, DEMOULD, ELONGATION, EXPANSION, EXPANSION_MEAN, EXPANSION_SPREAD, FACTORS, FULL_CURE,
    GEL_SHRINKAGE, GEL_TEMPERATURE, GREEN_SHARE, GREEN_STRAIN, HARDNESS, LEAST_BATCH, MASKED, MASTER_EXPANSION,
    NET_SHRINKAGE, POST_CURE, POST_CURE_TEMPERATURE, POST_CURE_TIME, POT_LIFE, POUR, PRESSURE, PRIMER, PRIMER_SPREAD,
    PRIMER_THICKNESS, RATIO, RESIN, RUBBER, RUBBER_DENSITY, RUBBER_SHRINKAGE, SCALE_STEP, SHARE_MEAN, SHARE_SPREAD,
    SILICONE, SLICES, TILT, VACUUM, VESSEL, VESSEL_DIAMETER, VESSEL_HEIGHT,
};
use crate::keys::key::{QuantitiesKey, QuantityKey, TableKey};
use crate::keys::table_reader::{OpenTable, TableReader};
use crate::text::suggestion::{nearest_word, quoted_list};
use crate::values::casting_figures::{
    CastingResin, CastingSettings, CastingShrinkage, MeanAndSpread, MouldRubber, PostCure, Primer, Vessel,
};
use crate::values::checked_spec::MaterialChoice;
use crate::values::material::Material;

/// Part of the primer's thickness that is its standard uncertainty unless another is given; common practice, no source.
const PRIMER_SPREAD_SHARE: f64 = 1.0 / 3.0;

/// Reads the process from the opened `[casting]`. `material` are those of the master and of the casting.
pub(crate) fn read_process<'a>(
    reader: &mut TableReader<'a>,
    casting: &OpenTable<'a>,
    material: Option<&MaterialChoice>,
) -> Option<CastingSettings> {
    let resin = material.and_then(|material| material.cast.as_ref()).map(|resin| resin.key.as_str());
    let library = CastingLibrary::built_in();
    let rubber = read_rubber(reader, casting, &library);
    let resin_table = reader.open_subtable(casting, &RESIN);
    let resin = resin.and_then(|key| read_resin(reader, &resin_table, key, &library));
    let cure_c = reader.quantity(casting, &CURE);
    let mould_c = reader.quantity(casting, &POUR);
    if let (Some(cure_c), Some(material)) = (cure_c, material) {
        check_cure(reader, casting, cure_c, &material.print);
    }
    let shrinkage = read_shrinkage(reader, casting, cure_c.zip(mould_c));
    if casting.get(FACTORS.name).is_some() && resin_table.get(NET_SHRINKAGE.name).is_some() {
        let path = casting.path_of(FACTORS.name);
        let message = format!("`{path}` stands beside a net shrinkage, so that warm mould and resin would count twice");
        let hint = "leave one of them out: the net figure has every step in it";
        let allowed = "either factors or resin.net_shrinkage";
        reader.report_value(&path, "counts-twice", message, allowed, hint);
        return None;
    }
    let learnt = resin_table.get(NET_SHRINKAGE.name).is_some();
    let primer = read_primer(reader, casting);
    let vessel = reader.open_subtable_or_word(casting, &VESSEL).map(|table| read_vessel(reader, &table));
    let vacuum = reader.flag(casting, &VACUUM);
    let cavities = casting.get(CAVITIES.name).map(|_| read_count(reader, casting, &CAVITIES));
    let copies = read_count(reader, casting, &COPIES);
    let slices = read_count(reader, casting, &SLICES);
    let tilt_rad = reader.quantity(casting, &TILT);
    let scale_step_kg = reader.quantity(casting, &SCALE_STEP);
    Some(CastingSettings {
        rubber: rubber?,
        resin: resin?,
        learnt,
        cure_c: cure_c?,
        mould_c: mould_c?,
        shrinkage: shrinkage?,
        primer: primer?,
        vessel: vessel.map_or(Some(None), |found| found.map(Some))?,
        vacuum: vacuum?,
        cavities: cavities.map_or(Some(None), |found| found.map(Some))?,
        copies: copies?,
        slices: slices?,
        tilt_rad: tilt_rad?,
        scale_step_g: 1000.0 * scale_step_kg?,
    })
}

/// The master must not soften while the silicone cures on it.
fn check_cure(reader: &mut TableReader<'_>, casting: &OpenTable<'_>, cure_c: f64, print: &Material) {
    let Some(most) = print.service_temperature_c.filter(|&most| cure_c > most) else { return };
    let path = casting.path_of(CURE.name);
    let message = format!("`{path}` is {cure_c} °C, at which the master of {} softens", print.title);
    let hint = "let the silicone cure at room temperature, or print the master in a material that bears the warmth";
    reader.report_value(&path, "softens-master", message, format!("at most {most} °C"), hint);
}

fn read_rubber<'a>(
    reader: &mut TableReader<'a>,
    casting: &OpenTable<'a>,
    library: &CastingLibrary,
) -> Option<MouldRubber> {
    let class = reader.text(casting, &SILICONE)?;
    let table = reader.open_subtable(casting, &RUBBER);
    let Some(of_class) = library.rubber(&class) else {
        let path = casting.path_of(SILICONE.name);
        let message = format!("`{path}` is \"{class}\", which is no class of silicone");
        let hint = match nearest_word(&class, library.rubber_classes()) {
            Some(guess) => format!("did you mean \"{guess}\"?"),
            None => format!("take the nearest class, and give the figures of the data sheet in [{}]", table.path),
        };
        reader.report_value(&path, "unknown-silicone", message, quoted_list(library.rubber_classes()), hint);
        return None;
    };
    let mut figures = DataSheet { reader, table: &table, sources: of_class.sources.clone() };
    let rubber = MouldRubber {
        hardness_a: figures.quantity(&HARDNESS, of_class.hardness_a)?,
        density_g_cm3: figures.quantity(&RUBBER_DENSITY, of_class.density_g_cm3)?,
        elongation: figures.quantity(&ELONGATION, of_class.elongation)?,
        ratio: figures.ratio(&RATIO, of_class.ratio)?,
        shrinkage: figures.spread(&RUBBER_SHRINKAGE, of_class.shrinkage)?,
        expansion_per_k: figures.expansion(of_class.expansion_per_k)?,
        pot_life_min: figures.quantity(&POT_LIFE, of_class.pot_life_min)?,
        demould_min: figures.quantity(&DEMOULD, of_class.demould_min)?,
        ..of_class.clone()
    };
    Some(MouldRubber { sources: figures.sources, ..rubber })
}

fn read_resin<'a>(
    reader: &mut TableReader<'a>,
    table: &OpenTable<'a>,
    key: &str,
    library: &CastingLibrary,
) -> Option<CastingResin> {
    let of_class = library.resin(key).or_else(|| class_of_own_resin(reader, table, key, library))?;
    let mut figures = DataSheet { reader, table, sources: of_class.sources.clone() };
    let resin = CastingResin {
        ratio: figures.ratio(&RATIO, of_class.ratio)?,
        net_shrinkage: figures.spread(&NET_SHRINKAGE, of_class.net_shrinkage)?,
        gel_shrinkage: figures.spread(&GEL_SHRINKAGE, of_class.gel_shrinkage)?,
        expansion_per_k: figures.expansion(of_class.expansion_per_k)?,
        pot_life_min: figures.quantity(&POT_LIFE, of_class.pot_life_min)?,
        demould_min: figures.quantity(&DEMOULD, of_class.demould_min)?,
        full_cure_min: figures.quantity(&FULL_CURE, of_class.full_cure_min)?,
        least_batch_g: figures.mass_g(&LEAST_BATCH, of_class.least_batch_g)?,
        green_share: figures.quantity(&GREEN_SHARE, of_class.green_share)?,
        green_strain: figures.quantity(&GREEN_STRAIN, of_class.green_strain)?,
        post_cure: if figures.is_given(POST_CURE.name) { Some(figures.post_cure()?) } else { of_class.post_cure },
        ..of_class.clone()
    };
    Some(CastingResin { sources: figures.sources, ..resin })
}

/// Class that lends the figures of less weight to a material of the user's own library.
const LENDING_CLASS: &str = "pu-rigid";

/// Returns the class that lends figures to a material without a class, once the figures that decide are given.
fn class_of_own_resin<'l>(
    reader: &mut TableReader<'_>,
    table: &OpenTable<'_>,
    key: &str,
    library: &'l CastingLibrary,
) -> Option<&'l CastingResin> {
    let decisive = [RATIO.name, NET_SHRINKAGE.name, POT_LIFE.name, DEMOULD.name];
    let missing: Vec<&str> = decisive.into_iter().filter(|name| table.get(name).is_none()).collect();
    if missing.is_empty() {
        return library.resin(LENDING_CLASS);
    }
    let message = format!("`{key}` is no class of casting resin, and its process is not given");
    let hint = format!("give {} in [{}], from its data sheet", missing.join(", "), table.path);
    reader.report_value("material.final", "no-process", message, quoted_list(library.resin_keys()), hint);
    None
}

/// Reads figures of a data sheet; those of the class stand where none is given.
struct DataSheet<'r, 'a> {
    reader: &'r mut TableReader<'a>,
    table: &'r OpenTable<'a>,
    sources: Vec<String>,
}

impl DataSheet<'_, '_> {
    fn is_given(&mut self, name: &str) -> bool {
        let given = self.table.get(name).is_some();
        let line = format!("{name}: ");
        if given {
            self.sources.retain(|source| !source.starts_with(&line));
            self.sources.push(format!("{name}: given in the spec"));
        }
        given
    }

    fn quantity(&mut self, key: &QuantityKey, of_class: f64) -> Option<f64> {
        if self.is_given(key.name) { self.reader.quantity(self.table, key) } else { Some(of_class) }
    }

    fn mass_g(&mut self, key: &QuantityKey, of_class: f64) -> Option<f64> {
        self.quantity(key, 0.001 * of_class).map(|kg| 1000.0 * kg)
    }

    fn ratio(&mut self, key: &QuantitiesKey, of_class: [f64; 2]) -> Option<[f64; 2]> {
        if !self.is_given(key.name) {
            return Some(of_class);
        }
        match self.reader.quantities(self.table, key)?.as_slice() {
            &[first, second] => Some([first, second]),
            _ => None,
        }
    }

    fn post_cure(&mut self) -> Option<PostCure> {
        let table = self.reader.open_subtable(self.table, &POST_CURE);
        let temperature_c = self.reader.quantity(&table, &POST_CURE_TEMPERATURE);
        let time_min = self.reader.quantity(&table, &POST_CURE_TIME);
        Some(PostCure { temperature_c: temperature_c?, hours: time_min? / 60.0 })
    }

    fn spread(&mut self, key: &TableKey, of_class: MeanAndSpread) -> Option<MeanAndSpread> {
        self.mean_and_spread(key, [&SHARE_MEAN, &SHARE_SPREAD], of_class)
    }

    fn expansion(&mut self, of_class: MeanAndSpread) -> Option<MeanAndSpread> {
        self.mean_and_spread(&EXPANSION, [&EXPANSION_MEAN, &EXPANSION_SPREAD], of_class)
    }

    fn mean_and_spread(
        &mut self,
        key: &TableKey,
        figures: [&QuantityKey; 2],
        of_class: MeanAndSpread,
    ) -> Option<MeanAndSpread> {
        if !self.is_given(key.name) {
            return Some(of_class);
        }
        let table = self.reader.open_subtable(self.table, key);
        let [mean, spread] = figures.map(|figure| self.reader.quantity(&table, figure));
        Some(MeanAndSpread { mean: mean?, spread: spread? })
    }
}

/// Reads the factors; the shrinkage is the net one if they are not written.
fn read_shrinkage<'a>(
    reader: &mut TableReader<'a>,
    casting: &OpenTable<'a>,
    temperatures: Option<(f64, f64)>,
) -> Option<CastingShrinkage> {
    if casting.get(FACTORS.name).is_none() {
        return Some(CastingShrinkage::Net);
    }
    let table = reader.open_subtable(casting, &FACTORS);
    let gel = reader.quantity(&table, &GEL_TEMPERATURE);
    let master = reader.quantity(&table, &MASTER_EXPANSION);
    let (rubber_cure_c, mould_c) = temperatures?;
    Some(CastingShrinkage::Factors { rubber_cure_c, mould_c, gel_c: gel?, master_per_k: master? })
}

fn read_primer<'a>(reader: &mut TableReader<'a>, casting: &OpenTable<'a>) -> Option<Primer> {
    let table = reader.open_subtable(casting, &PRIMER);
    let thickness_mm = reader.quantity(&table, &PRIMER_THICKNESS);
    let spread = table.get(PRIMER_SPREAD.name).map(|_| reader.quantity(&table, &PRIMER_SPREAD));
    let masked = reader.flag(&table, &MASKED)?;
    let thickness_mm = thickness_mm?;
    let spread_mm = spread.unwrap_or(Some(PRIMER_SPREAD_SHARE * thickness_mm))?;
    Some(Primer { thickness_mm, spread_mm, masked })
}

fn read_vessel<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>) -> Option<Vessel> {
    let diameter_mm = reader.quantity(table, &VESSEL_DIAMETER);
    let height_mm = reader.quantity(table, &VESSEL_HEIGHT);
    let pressure_mpa = reader.quantity(table, &PRESSURE);
    Some(Vessel { diameter_mm: diameter_mm?, height_mm: height_mm?, pressure_mpa: pressure_mpa? })
}

fn read_count<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>, key: &QuantityKey) -> Option<u32> {
    let value = reader.quantity(table, key)?;
    let whole = value.round();
    if (value - whole).abs() > 0.0 {
        let path = table.path_of(key.name);
        let message = format!("`{path}` is {value}, which is no whole number");
        reader.report_value(&path, "not-whole", message, "a whole number", format!("the nearest is {whole}"));
        return None;
    }
    // The range of the key keeps it far within 16 bits.
    (0..=u16::MAX).find(|count| f64::from(*count) >= whole).map(u32::from)
}
