//! Keys of a material in a library file.

use crate::keys::key::{
    ChoiceKey, DescribedKey, KeyTable, QuantitiesKey, QuantityKey, TableKey, TextKey, WhenAbsent, choice,
    optional_table, quantities, quantity, required_table, text,
};
use crate::text::quantity::QuantityKind;
use crate::values::material::MaterialProcess;

pub(crate) static MATERIAL: KeyTable = KeyTable {
    about: "A material",
    keys: &[
        &TITLE,
        &MODULUS,
        &POISSON,
        &STRAIN_SINGLE,
        &STRAIN_REPEATED,
        &STRAIN_AT_REST,
        &STRAIN_YIELD,
        &FRICTION,
        &DENSITY,
        &GRIP_AFTER,
        &ACROSS_LAYERS,
        &SERVICE_TEMPERATURE,
        &MODULUS_BY_TEMPERATURE,
        &STRAIN_BY_TEMPERATURE,
        &GRIP_BY_TEMPERATURE,
        &MOISTURE,
        &CRACKS_WITH,
        &PROCESS,
        &NARROWER,
    ],
};
pub(crate) static TITLE: TextKey =
    text("title", "Name in plain words", 80, WhenAbsent::Required("messages call the material by it"));
pub(crate) static SOURCE: TextKey = text(
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

pub(crate) static MODULUS_LEAST: QuantityKey = bound("least", QuantityKind::Stress, 1.0, 250_000.0);
pub(crate) static MODULUS_GREATEST: QuantityKey = bound("greatest", QuantityKind::Stress, 1.0, 250_000.0);
pub(crate) static MODULUS: TableKey = required_table(
    "modulus",
    "Tangent modulus at small strain",
    &[&MODULUS_LEAST, &MODULUS_GREATEST, &SOURCE],
    "force follows from it",
);
pub(crate) static FRICTION_LEAST: QuantityKey = bound("least", QuantityKind::Ratio, 0.01, 1.5);
pub(crate) static FRICTION_GREATEST: QuantityKey = bound("greatest", QuantityKind::Ratio, 0.01, 1.5);
pub(crate) static FRICTION: TableKey = required_table(
    "friction",
    "Friction against common barrels",
    &[&FRICTION_LEAST, &FRICTION_GREATEST, &SOURCE],
    "hold follows from it",
);
pub(crate) static POISSON_VALUE: QuantityKey = figure(QuantityKind::Ratio, 0.0, 0.499);
pub(crate) static POISSON: TableKey =
    required_table("poisson", "Poisson's ratio", &[&POISSON_VALUE, &SOURCE], "wide arms are stiffer by it");
pub(crate) static STRAIN_VALUE: QuantityKey = figure(QuantityKind::Ratio, 0.0005, 0.5);
pub(crate) static STRAIN_SINGLE: TableKey = required_table(
    "strain_single",
    "Permissible strain for one snapping",
    &[&STRAIN_VALUE, &SOURCE],
    "it limits how far a lip may open",
);
pub(crate) static STRAIN_REPEATED: TableKey = required_table(
    "strain_repeated",
    "Permissible strain for repeated snapping",
    &[&STRAIN_VALUE, &SOURCE],
    "it limits how far a lip may open again and again",
);
pub(crate) static STRAIN_AT_REST: TableKey = optional_table(
    "strain_at_rest",
    "Permissible strain that stays while a clip or mount is left on",
    &[&STRAIN_VALUE, &SOURCE],
);
pub(crate) static STRAIN_YIELD: TableKey = optional_table(
    "strain_yield",
    "Strain at yield: there the secant modulus has fallen to half of the tangent modulus",
    &[&STRAIN_VALUE, &SOURCE],
);
pub(crate) static DENSITY_VALUE: QuantityKey = figure(QuantityKind::Density, 0.1, 20.0);
pub(crate) static DENSITY: TableKey =
    required_table("density", "Density", &[&DENSITY_VALUE, &SOURCE], "the part is weighed by it");

pub(crate) static SHARE_LEAST: QuantityKey = bound("least", QuantityKind::Ratio, 0.01, 1.0);
pub(crate) static SHARE_GREATEST: QuantityKey = bound("greatest", QuantityKind::Ratio, 0.01, 1.0);
pub(crate) static GRIP_AFTER: TableKey = optional_table(
    "grip_after_1000_h",
    "Share of the grip that is left after 1,000 h at rest",
    &[&SHARE_LEAST, &SHARE_GREATEST, &SOURCE],
);
pub(crate) static SHARE_VALUE: QuantityKey = figure(QuantityKind::Ratio, 0.05, 1.0);
pub(crate) static ACROSS_LAYERS: TableKey = optional_table(
    "across_layers",
    "Share of the permissible strain that a print bears across its layers",
    &[&SHARE_VALUE, &SOURCE],
);

pub(crate) static CELSIUS: QuantityKey = figure(QuantityKind::Temperature, 30.0, 300.0);
pub(crate) static SERVICE_TEMPERATURE: TableKey = optional_table(
    "service_temperature",
    "Greatest temperature at which the material serves under load",
    &[&CELSIUS, &SOURCE],
);
pub(crate) static TEMPERATURES: QuantitiesKey = quantities(
    "celsius",
    "Temperatures in ascending order, without 23 °C, at which the share is 1",
    QuantityKind::Temperature,
    [-60.0, 300.0],
    [1, 20],
    WhenAbsent::Required("a share belongs to its temperature"),
);
pub(crate) static SHARES: QuantitiesKey = quantities(
    "share",
    "Share of the figure at 23 °C for each temperature; linear between them",
    QuantityKind::Ratio,
    [0.001, 5.0],
    [1, 20],
    WhenAbsent::Required("it is the figure itself"),
);
const BY_TEMPERATURE: &[&dyn DescribedKey] = &[&TEMPERATURES, &SHARES, &SOURCE];
pub(crate) static MODULUS_BY_TEMPERATURE: TableKey = optional_table(
    "modulus_by_temperature",
    "Modulus at other temperatures, as a share of that at 23 °C",
    BY_TEMPERATURE,
);
pub(crate) static STRAIN_BY_TEMPERATURE: TableKey = optional_table(
    "strain_by_temperature",
    "Permissible strains at other temperatures, as a share of those at 23 °C",
    BY_TEMPERATURE,
);
pub(crate) static GRIP_BY_TEMPERATURE: TableKey = optional_table(
    "grip_by_temperature",
    "What is left of the grip after 1,000 h at other temperatures, as a share of what is left at 23 °C",
    BY_TEMPERATURE,
);
pub(crate) static EFFECT: TextKey =
    text("effect", "Effect in plain words", 200, WhenAbsent::Required("it is what the source says"));
pub(crate) static MOISTURE: TableKey =
    optional_table("moisture", "Effect of moisture on the figures", &[&EFFECT, &SOURCE]);
pub(crate) static CRACKS_WITH: TableKey =
    optional_table("cracks_with", "What cracks or attacks the material while it is strained", &[&EFFECT, &SOURCE]);
pub(crate) static PROCESS: ChoiceKey<MaterialProcess> = choice(
    "process",
    "How parts of the material are made; coupons of a cast part are proposed in printed classes alone",
    &[
        ("filament", MaterialProcess::Filament, "printed of filament"),
        ("powder", MaterialProcess::Powder, "printed of powder"),
        ("photopolymer", MaterialProcess::Photopolymer, "printed of resin that light cures"),
        ("casting", MaterialProcess::Casting, "cast of resin"),
        ("moulding", MaterialProcess::Moulding, "moulded of melt"),
    ],
    WhenAbsent::Optional("it is not declared"),
);
pub(crate) static NARROWER: TextKey = text(
    "narrower",
    "Keys of narrower classes that a spec should rather name, separated by commas",
    200,
    WhenAbsent::Optional("the class is narrow enough to design with"),
);
