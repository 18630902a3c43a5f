//! Keys of the process in which a part is cast: rubber, resin, primer, vessel.

use crate::keys::key::{
    FlagForm, FlagKey, Key, KeyTable, Keys, QuantitiesKey, QuantityKey, TableKey, TableOrWordKey, TextKey, WhenAbsent,
    length, optional_table, quantities, quantity, table_or_word, text,
};
use crate::text::quantity::QuantityKind;
use crate::values::material::REFERENCE_TEMPERATURE_C;

const OF_CLASS: WhenAbsent<f64> = WhenAbsent::Optional("that of its class");

pub(crate) static SILICONE: TextKey = text(
    "silicone",
    "Class of the mould's silicone: \"addition-a25\", \"addition-a40\" or \"condensation-a30\"; the number is its Shore A",
    40,
    WhenAbsent::Default("addition-a25"),
);
const fn count(name: &'static str, about: &'static str, most: f64, when_absent: WhenAbsent<f64>) -> QuantityKey {
    quantity(name, about, QuantityKind::Count, [1.0, most], when_absent)
}
pub(crate) static CAVITIES: QuantityKey = count(
    "cavities",
    "Holders that one mould casts at a time, shared by the sizes of the family",
    24.0,
    WhenAbsent::Optional("one of each size"),
);
pub(crate) static COPIES: QuantityKey =
    count("copies", "Castings that are wanted of each holder", 1000.0, WhenAbsent::Default(1.0));
pub(crate) static SLICES: QuantityKey = quantity(
    "slices",
    "Slices of each clip that one mould casts beside the holders, to try the fit; the default is common practice, no source",
    QuantityKind::Count,
    [0.0, 4.0],
    WhenAbsent::Default(2.0),
);
pub(crate) static CURE: QuantityKey = quantity(
    "cure",
    "Temperature at which the silicone cures on the master",
    QuantityKind::Temperature,
    [10.0, 120.0],
    WhenAbsent::Default(REFERENCE_TEMPERATURE_C),
);
pub(crate) static POUR: QuantityKey = quantity(
    "pour",
    "Temperature of the mould when the resin is poured",
    QuantityKind::Temperature,
    [10.0, 120.0],
    WhenAbsent::Default(REFERENCE_TEMPERATURE_C),
);
pub(crate) static TILT: QuantityKey = quantity(
    "tilt",
    "Tilt of the mould while the resin is poured; flat ends then let the air go; the default is common practice, no source",
    QuantityKind::Angle,
    [0.0, 45.0],
    WhenAbsent::Default(12.0),
);
pub(crate) static SCALE_STEP: QuantityKey =
    quantity("scale_step", "Smallest step of the scale", QuantityKind::Mass, [0.001, 10.0], WhenAbsent::Default(0.1));

pub(crate) static PRIMER: TableKey = optional_table(
    "primer",
    "Primer on the printed master; the defaults are common practice, no source",
    &[&PRIMER_THICKNESS, &PRIMER_SPREAD, &MASKED],
);
pub(crate) static PRIMER_THICKNESS: QuantityKey = length(
    "thickness",
    "Thickness that sanding leaves on a face; 0 without primer",
    [0.0, 0.5],
    WhenAbsent::Default(0.04),
);
pub(crate) static PRIMER_SPREAD: QuantityKey = length(
    "spread",
    "Standard uncertainty of that thickness",
    [0.0, 0.2],
    WhenAbsent::Optional("a third of the thickness"),
);
pub(crate) static MASKED: FlagKey = Key {
    name: "masked",
    about: "Gripping faces are masked and keep no primer",
    form: FlagForm,
    when_absent: WhenAbsent::Default(true),
};

pub(crate) static FACTORS: TableKey = optional_table(
    "factors",
    "Shrinkage by factors of each step, in place of the net shrinkage of the resin; never both",
    &[&GEL_TEMPERATURE, &MASTER_EXPANSION],
);
pub(crate) static GEL_TEMPERATURE: QuantityKey = quantity(
    "gel",
    "Temperature of the resin as it gels",
    QuantityKind::Temperature,
    [10.0, 200.0],
    WhenAbsent::Required("the gelled resin cools from it"),
);
pub(crate) static MASTER_EXPANSION: QuantityKey = quantity(
    "master_expansion",
    "Linear expansion of the master per K; the default is that of common prints, from memory",
    QuantityKind::Ratio,
    [0.0, 3.0e-4],
    WhenAbsent::Default(7.0e-5),
);

pub(crate) static VESSEL: TableOrWordKey = table_or_word(
    "vessel",
    "Pressure vessel in which silicone and resin cure",
    &[&VESSEL_DIAMETER, &VESSEL_HEIGHT, &PRESSURE],
    ("none", "bubbles keep their size, and more castings are rejected"),
    "none is used",
);
pub(crate) static VACUUM: FlagKey = Key {
    name: "vacuum",
    about: "A vacuum chamber is at hand: the silicone is degassed in it, and the resin if its pot life leaves the time",
    form: FlagForm,
    when_absent: WhenAbsent::Default(false),
};
pub(crate) static VESSEL_DIAMETER: QuantityKey =
    length("diameter", "Inner diameter", [50.0, 1000.0], WhenAbsent::Required("the mould must fit"));
pub(crate) static VESSEL_HEIGHT: QuantityKey =
    length("height", "Inner height", [30.0, 1500.0], WhenAbsent::Required("the mould must fit"));
pub(crate) static PRESSURE: QuantityKey = quantity(
    "pressure",
    "Greatest working pressure over the atmosphere, as the vessel's plate states",
    QuantityKind::Pressure,
    [0.2, 8.0],
    WhenAbsent::Required("bubbles shrink by it, and the vessel must bear it"),
);

const SPREAD_OF_SHARE: QuantityKey = quantity(
    "spread",
    "Its standard uncertainty",
    QuantityKind::Ratio,
    [0.0, 0.05],
    WhenAbsent::Required("the casting's sizes vary by it"),
);
const fn mean_share(greatest: f64) -> QuantityKey {
    quantity(
        "mean",
        "Its mean",
        QuantityKind::Ratio,
        [0.0, greatest],
        WhenAbsent::Required("the master is drawn larger by it"),
    )
}
/// No rubber or resin for moulds of this kind shrinks by more than a tenth.
pub(crate) static SHARE_MEAN: QuantityKey = mean_share(0.1);
pub(crate) static SHARE_SPREAD: QuantityKey = SPREAD_OF_SHARE;
const SHARE_KEYS: Keys = &[&SHARE_MEAN, &SHARE_SPREAD];
const fn shrinkage(name: &'static str, about: &'static str) -> TableKey {
    table_of_class(name, about, SHARE_KEYS, "that of its class")
}
/// A table of figures without which those of the class are taken; `instead` says so in words.
const fn table_of_class(name: &'static str, about: &'static str, keys: Keys, instead: &'static str) -> TableKey {
    Key { name, about, form: KeyTable { about, keys }, when_absent: WhenAbsent::Optional(instead) }
}
/// Mean of a linear expansion per K; it is read where a shrinkage has its share.
pub(crate) static EXPANSION_MEAN: QuantityKey = quantity(
    "mean",
    "Its mean",
    QuantityKind::Ratio,
    [0.0, 1.0e-3],
    WhenAbsent::Required("sizes change with the temperature by it"),
);
pub(crate) static EXPANSION_SPREAD: QuantityKey = quantity(
    "spread",
    "Its standard uncertainty",
    QuantityKind::Ratio,
    [0.0, 1.0e-3],
    WhenAbsent::Required("the casting's sizes vary by it"),
);
pub(crate) static EXPANSION: TableKey = table_of_class(
    "expansion",
    "Linear expansion per K; used with casting.factors alone",
    &[&EXPANSION_MEAN, &EXPANSION_SPREAD],
    "that of its class",
);
const fn ratio() -> QuantitiesKey {
    quantities(
        "ratio",
        "Parts by weight of the two components",
        QuantityKind::Ratio,
        [0.1, 1000.0],
        [2, 2],
        WhenAbsent::Optional("that of its class"),
    )
}
const fn time(name: &'static str, about: &'static str, range: [f64; 2]) -> QuantityKey {
    quantity(name, about, QuantityKind::Time, range, OF_CLASS)
}
const fn share(name: &'static str, about: &'static str, range: [f64; 2]) -> QuantityKey {
    quantity(name, about, QuantityKind::Ratio, range, OF_CLASS)
}

pub(crate) static RUBBER: TableKey = optional_table(
    "rubber",
    "Figures of the silicone's data sheet, in place of those of its class",
    &[&HARDNESS, &RUBBER_DENSITY, &ELONGATION, &RATIO, &RUBBER_SHRINKAGE, &EXPANSION, &POT_LIFE, &DEMOULD],
);
pub(crate) static HARDNESS: QuantityKey = quantity("hardness", "Shore A", QuantityKind::Count, [5.0, 80.0], OF_CLASS);
pub(crate) static RUBBER_DENSITY: QuantityKey =
    quantity("density", "Density", QuantityKind::Density, [0.8, 2.0], OF_CLASS);
pub(crate) static ELONGATION: QuantityKey = share("elongation", "Elongation at break", [0.5, 12.0]);
pub(crate) static RATIO: QuantitiesKey = ratio();
pub(crate) static RUBBER_SHRINKAGE: TableKey = shrinkage("shrinkage", "Share by which it shrinks as it cures");
pub(crate) static POT_LIFE: QuantityKey = time("pot_life", "Time from mixing in which it can be poured", [0.5, 600.0]);
pub(crate) static DEMOULD: QuantityKey =
    time("demould", "Time from pouring until it can leave the mould", [1.0, 20_000.0]);

pub(crate) static RESIN: TableKey = optional_table(
    "resin",
    "Figures of the resin's data sheet, in place of those of its class",
    &[
        &RATIO,
        &NET_SHRINKAGE,
        &GEL_SHRINKAGE,
        &EXPANSION,
        &POT_LIFE,
        &DEMOULD,
        &FULL_CURE,
        &LEAST_BATCH,
        &GREEN_SHARE,
        &GREEN_STRAIN,
        &POST_CURE,
    ],
);
pub(crate) static POST_CURE: TableKey = table_of_class(
    "post_cure",
    "Heat after demoulding",
    &[&POST_CURE_TEMPERATURE, &POST_CURE_TIME],
    "that of its class, which is none for resins that cure at room temperature",
);
pub(crate) static POST_CURE_TEMPERATURE: QuantityKey = quantity(
    "temperature",
    "Temperature of the oven",
    QuantityKind::Temperature,
    [30.0, 150.0],
    WhenAbsent::Required("the bench sheet names it"),
);
pub(crate) static POST_CURE_TIME: QuantityKey = quantity(
    "time",
    "Time at that temperature",
    QuantityKind::Time,
    [10.0, 3000.0],
    WhenAbsent::Required("the bench sheet names it"),
);
pub(crate) static NET_SHRINKAGE: TableKey = shrinkage(
    "net_shrinkage",
    "Share by which a casting is smaller than its master, as learnt from a casting or from a data sheet",
);
pub(crate) static GEL_SHRINKAGE: TableKey =
    shrinkage("gel_shrinkage", "Share by which it shrinks until it has gelled; used with casting.factors alone");
pub(crate) static FULL_CURE: QuantityKey =
    time("full_cure", "Time until the casting has its strength", [10.0, 50_000.0]);
pub(crate) static LEAST_BATCH: QuantityKey =
    quantity("least_batch", "Least batch that mixes true", QuantityKind::Mass, [0.0, 5000.0], OF_CLASS);
pub(crate) static GREEN_SHARE: QuantityKey =
    share("green_share", "Share of the full modulus at demoulding", [0.05, 1.0]);
pub(crate) static GREEN_STRAIN: QuantityKey =
    share("green_strain", "Strain that the casting bears at demoulding", [0.001, 0.5]);
