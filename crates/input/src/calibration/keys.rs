//! The keys of a calibration file.

use crate::keys::key::{Absent, ChoiceKey, QuantitiesKey, QuantityKey, Table, TableKey, TablesKey, TextKey};
use crate::text::quantity::Kind;

const WRITTEN: &str = "`gripwright calibrate` writes it";

const fn number(name: &'static str, about: &'static str, kind: Kind, range: [f64; 2]) -> QuantityKey {
    QuantityKey { name, about, kind, least: range[0], greatest: range[1], absent: Absent::Needed(WRITTEN) }
}

const fn text(name: &'static str, about: &'static str, longest: usize) -> TextKey {
    TextKey { name, about, longest, absent: Absent::Needed(WRITTEN) }
}

const fn table(name: &'static str, table: &'static Table) -> TableKey {
    TableKey { name, table, needed: Some(WRITTEN) }
}

pub(super) static CALIBRATION: Table = Table {
    about: "What trials of coupons taught",
    keys: &[&FORMAT, &MADE_FOR, &BORE_ERROR, &STIFFNESS, &FRICTION, &SCATTER, &SIZES, &CONTRADICTIONS, &ROUNDS],
};
/// The one number of this format so far.
pub(super) static FORMAT: QuantityKey = number("format", "Number of this format", Kind::Ratio, [1.0, 1.0]);

pub(super) static MADE_FOR: TableKey = table("made_for", &MADE_FOR_TABLE);
static MADE_FOR_TABLE: Table =
    Table { about: "What it was made for", keys: &[&BODY, &TOOLS, &MATERIAL, &PRINTER, &COUPONS] };
static BODY: TableKey = table("body", &ORIGIN);
static TOOLS: TableKey = table("tools", &ORIGIN);
static MATERIAL: TableKey = table("material", &ORIGIN);
static PRINTER: TableKey = table("printer", &ORIGIN);
static COUPONS: TableKey = table("coupons", &ORIGIN);
/// In the order of `ORIGIN_PARTS`.
pub(super) static ORIGINS: [&TableKey; 5] = [&BODY, &TOOLS, &MATERIAL, &PRINTER, &COUPONS];
static ORIGIN: Table = Table { about: "One part of it", keys: &[&DIGEST, &IS] };
pub(super) static DIGEST: TextKey = text("digest", "Digest of all that counts of it", 40);
pub(super) static IS: TextKey = text("is", "What it is, for people", 200_000);

pub(super) static BORE_ERROR: TableKey = table("bore_error", &CHANGE);
pub(super) static STIFFNESS: TableKey = table("stiffness", &CHANGE);
pub(super) static FRICTION: TableKey = table("friction", &CHANGE);
pub(super) static SCATTER: TableKey = table("scatter", &CHANGE);
pub(super) static ERROR: TableKey = table("error", &CHANGE);
static CHANGE: Table = Table { about: "What is known of one number", keys: &[&BEFORE, &AFTER] };
pub(super) static BEFORE: TableKey = table("before", &KNOWN);
pub(super) static AFTER: TableKey = table("after", &KNOWN);
static KNOWN: Table = Table { about: "One number", keys: &[&MEDIAN, &FROM, &TO, &SD] };
/// Far beyond what a bore, a factor or a friction can be.
const ANY: [f64; 2] = [-1000.0, 1000.0];
pub(super) static MEDIAN: QuantityKey = number("median", "As probably above as below", Kind::Ratio, ANY);
pub(super) static FROM: QuantityKey = number("from", "Lower end of the middle 90 %", Kind::Ratio, ANY);
pub(super) static TO: QuantityKey = number("to", "Upper end of the middle 90 %", Kind::Ratio, ANY);
pub(super) static SD: QuantityKey = number("sd", "Standard deviation", Kind::Ratio, [0.0, 1000.0]);

pub(super) static SIZES: TablesKey = TablesKey { name: "sizes", table: &SIZE, most: 26, needed: WRITTEN };
static SIZE: Table = Table {
    about: "One size, or the mount",
    keys: &[&LETTER, &SEAT, &FORM, &DRAW, &DRAW_90, &TARGET, &ROWS, &ERROR, &HELD],
};
pub(super) static LETTER: TextKey = text("size", "Its letter", 1);
pub(super) static SEAT: QuantityKey = number("seat", "Seat as designed", Kind::Length, [-10.0, 400.0]);
pub(super) static FORM: ChoiceKey<bool> = ChoiceKey {
    name: "form",
    about: "Shape of its seat",
    words: &[("round", true, "a round seat"), ("other", false, "a vee, or the mount")],
    absent: Absent::Needed(WRITTEN),
};
pub(super) static DRAW: QuantityKey = number("draw", "Wider than designed by", Kind::Length, [-2.0, 2.0]);
pub(super) static DRAW_90: QuantitiesKey = QuantitiesKey {
    name: "draw_90",
    about: "The middle 90 % of that",
    kind: Kind::Length,
    least: -10.0,
    greatest: 10.0,
    fewest: 2,
    most: 2,
    absent: Absent::Needed(WRITTEN),
};
pub(super) static TARGET: QuantityKey =
    number("target", "How far the printed seat should differ from the designed one", Kind::Length, [-2.0, 2.0]);
pub(super) static ROWS: QuantityKey = number("rows", "How many rows tried it", Kind::Ratio, [0.0, 1e6]);
pub(super) static HELD: TablesKey = TablesKey { name: "held", table: &HELD_TABLE, most: 1000, needed: WRITTEN };
static HELD_TABLE: Table = Table { about: "How probably a tool is held well", keys: &[&TOOL, &PROBABILITY] };
pub(super) static TOOL: TextKey =
    TextKey { name: "tool", about: "Name of the tool", longest: 200, absent: Absent::Open("the body") };
pub(super) static PROBABILITY: QuantityKey = QuantityKey {
    name: "probability",
    about: "That it is held well",
    kind: Kind::Ratio,
    least: 0.0,
    greatest: 1.0,
    absent: Absent::Open("not known"),
};

pub(super) static CONTRADICTIONS: TablesKey =
    TablesKey { name: "contradictions", table: &CONTRADICTION, most: 1000, needed: WRITTEN };
static CONTRADICTION: Table = Table { about: "What does not go together", keys: &[&SAYS] };
pub(super) static SAYS: TextKey = text("says", "In a plain sentence", 2000);

pub(super) static ROUNDS: TablesKey = TablesKey { name: "rounds", table: &ROUND, most: 1000, needed: WRITTEN };
static ROUND: Table = Table { about: "The rows of one trials file", keys: &[&FILE, &TRIALS] };
pub(super) static FILE: TextKey = text("file", "Name of the file", 255);
/// The rows are read as those of a trials file are; only the name counts here.
pub(super) static TRIALS: TablesKey = TablesKey { name: "trials", table: &ROW, most: 1_000_000, needed: WRITTEN };
static ROW: Table = Table { about: "One row", keys: &[] };
