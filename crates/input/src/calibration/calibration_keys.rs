//! Keys of a calibration file.

use crate::keys::key::{
    self, ChoiceKey, KeyTable, Keys, QuantitiesKey, QuantityKey, RepeatedTableKey, TableKey, TextKey, WhenAbsent,
};
use crate::text::quantity::QuantityKind;

const WRITTEN_BY_CALIBRATE: &str = "`gripwright calibrate` writes it";

const fn number(name: &'static str, about: &'static str, kind: QuantityKind, range: [f64; 2]) -> QuantityKey {
    key::quantity(name, about, kind, range, WhenAbsent::Required(WRITTEN_BY_CALIBRATE))
}

const fn text(name: &'static str, about: &'static str, max_length: usize) -> TextKey {
    key::text(name, about, max_length, WhenAbsent::Required(WRITTEN_BY_CALIBRATE))
}

const fn table(name: &'static str, table: &'static KeyTable) -> TableKey {
    key::required_table(name, table.about, table.keys, WRITTEN_BY_CALIBRATE)
}

const fn tables(name: &'static str, about: &'static str, keys: Keys, max_count: usize) -> RepeatedTableKey {
    key::repeated_table(name, about, keys, max_count, WhenAbsent::Required(WRITTEN_BY_CALIBRATE))
}

pub(super) static CALIBRATION: KeyTable = KeyTable {
    about: "What trials of coupons taught",
    keys: &[&FORMAT, &MADE_FOR, &BORE_ERROR, &STIFFNESS, &FRICTION, &SCATTER, &SIZES, &CONTRADICTIONS, &ROUNDS],
};
/// Version of the format; there is only one so far.
pub(super) static FORMAT: QuantityKey = number("format", "Number of this format", QuantityKind::Ratio, [1.0, 1.0]);

pub(super) static MADE_FOR: TableKey = table("made_for", &MADE_FOR_TABLE);
static MADE_FOR_TABLE: KeyTable =
    KeyTable { about: "What it was made for", keys: &[&BODY, &TOOLS, &MATERIAL, &PRINTER, &COUPONS] };
static BODY: TableKey = table("body", &ORIGIN);
static TOOLS: TableKey = table("tools", &ORIGIN);
static MATERIAL: TableKey = table("material", &ORIGIN);
static PRINTER: TableKey = table("printer", &ORIGIN);
static COUPONS: TableKey = table("coupons", &ORIGIN);
/// Keys of the parts, in the order of `ORIGIN_PARTS`.
pub(super) static ORIGINS: [&TableKey; 5] = [&BODY, &TOOLS, &MATERIAL, &PRINTER, &COUPONS];
static ORIGIN: KeyTable = KeyTable { about: "One part of it", keys: &[&DIGEST, &DESCRIPTION] };
pub(super) static DIGEST: TextKey = text("digest", "Digest of all that counts of it", 40);
pub(super) static DESCRIPTION: TextKey = text("is", "What it is, for people", 200_000);

pub(super) static BORE_ERROR: TableKey = table("bore_error", &UPDATE);
pub(super) static STIFFNESS: TableKey = table("stiffness", &UPDATE);
pub(super) static FRICTION: TableKey = table("friction", &UPDATE);
pub(super) static SCATTER: TableKey = table("scatter", &UPDATE);
pub(super) static ERROR: TableKey = table("error", &UPDATE);
static UPDATE: KeyTable = KeyTable { about: "What is known of one number", keys: &[&BEFORE, &AFTER] };
pub(super) static BEFORE: TableKey = table("before", &ESTIMATE);
pub(super) static AFTER: TableKey = table("after", &ESTIMATE);
static ESTIMATE: KeyTable = KeyTable { about: "One number", keys: &[&MEDIAN, &FROM, &TO, &SD] };
/// Range far beyond any bore error, factor or friction.
const ANY: [f64; 2] = [-1000.0, 1000.0];
pub(super) static MEDIAN: QuantityKey = number("median", "As probably above as below", QuantityKind::Ratio, ANY);
pub(super) static FROM: QuantityKey = number("from", "Lower end of the middle 90 %", QuantityKind::Ratio, ANY);
pub(super) static TO: QuantityKey = number("to", "Upper end of the middle 90 %", QuantityKind::Ratio, ANY);
pub(super) static SD: QuantityKey = number("sd", "Standard deviation", QuantityKind::Ratio, [0.0, 1000.0]);

pub(super) static SIZES: RepeatedTableKey = tables(
    "sizes",
    "One size, or the mount",
    &[&LETTER, &SEAT, &FORM, &DRAW, &DRAW_90, &TARGET, &ROWS, &ERROR, &HELD],
    26,
);
pub(super) static LETTER: TextKey = text("size", "Its letter", 1);
pub(super) static SEAT: QuantityKey = number("seat", "Seat as designed", QuantityKind::Length, [-10.0, 400.0]);
pub(super) static FORM: ChoiceKey<bool> = key::choice(
    "form",
    "Shape of its seat",
    &[("round", true, "a round seat"), ("other", false, "a vee, or the mount")],
    WhenAbsent::Required(WRITTEN_BY_CALIBRATE),
);
pub(super) static DRAW: QuantityKey = number("draw", "Wider than designed by", QuantityKind::Length, [-2.0, 2.0]);
pub(super) static DRAW_90: QuantitiesKey = key::quantities(
    "draw_90",
    "The middle 90 % of that",
    QuantityKind::Length,
    [-10.0, 10.0],
    [2, 2],
    WhenAbsent::Required(WRITTEN_BY_CALIBRATE),
);
pub(super) static TARGET: QuantityKey =
    number("target", "How far the printed seat should differ from the designed one", QuantityKind::Length, [-2.0, 2.0]);
pub(super) static ROWS: QuantityKey = number("rows", "How many rows tried it", QuantityKind::Ratio, [0.0, 1e6]);
pub(super) static HELD: RepeatedTableKey =
    tables("held", "How probably a tool is held well", &[&TOOL, &PROBABILITY], 1000);
pub(super) static TOOL: TextKey = key::text("tool", "Name of the tool", 200, WhenAbsent::Optional("the body"));
pub(super) static PROBABILITY: QuantityKey = key::quantity(
    "probability",
    "That it is held well",
    QuantityKind::Ratio,
    [0.0, 1.0],
    WhenAbsent::Optional("not known"),
);

pub(super) static CONTRADICTIONS: RepeatedTableKey =
    tables("contradictions", "What does not go together", &[&SENTENCE], 1000);
pub(super) static SENTENCE: TextKey = text("says", "In a plain sentence", 2000);

pub(super) static ROUNDS: RepeatedTableKey = tables("rounds", "The rows of one trials file", &[&FILE, &TRIALS], 1000);
pub(super) static FILE: TextKey = text("file", "Name of the file", 255);
/// Rows are read like those of a trials file; only the name of the key is used here.
pub(super) static TRIALS: RepeatedTableKey = tables("trials", "One row", &[], 1_000_000);
