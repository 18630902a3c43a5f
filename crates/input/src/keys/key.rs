//! How a key of a written format is described: one description serves reading, "did you mean" and the JSON Schema.

use crate::text::quantity::{QuantityKind, QuantityRange};

/// What happens when a key is not written.
#[derive(Clone, Copy, Debug)]
pub(crate) enum WhenAbsent<T> {
    /// It must be written, because…
    Required(&'static str),
    /// It is taken as this.
    Default(T),
    /// It stays open, which means…
    Optional(&'static str),
}

/// A key in a table.
pub(crate) trait Key: Sync {
    fn name(&self) -> &'static str;
    /// What it is, one sentence without a full stop.
    fn about(&self) -> &'static str;
    /// Why it must be written, when it must.
    fn required_because(&self) -> Option<&'static str>;
    /// What it means when it is left out without a default.
    fn meaning_if_absent(&self) -> Option<&'static str> {
        None
    }
    /// Its shape, for the schema.
    fn form(&self) -> KeyForm;
}

/// Shape of a value as the schema needs it.
pub(crate) enum KeyForm {
    Quantity { range: QuantityRange, default: Option<f64> },
    Text { longest: usize, default: Option<&'static str> },
    Choice { words: Vec<(&'static str, &'static str)>, default: Option<&'static str> },
    Quantities { range: QuantityRange, fewest: usize, most: usize, default: Option<&'static [f64]> },
    Rows { fewest: usize, most: usize, first: QuantityRange, rest: QuantityRange },
    Table(&'static KeyTable),
    Tables { table: &'static KeyTable, most: usize },
    OneOf(&'static [&'static KeyTable]),
    Diameter { range: QuantityRange, table: &'static KeyTable },
}

/// A table of known keys.
pub(crate) struct KeyTable {
    pub(crate) about: &'static str,
    pub(crate) keys: &'static [&'static dyn Key],
}

impl KeyTable {
    pub(crate) fn names(&self) -> impl Iterator<Item = &'static str> {
        self.keys.iter().map(|key| key.name())
    }
}

/// A number with a unit, within limits in the unit of its kind.
pub(crate) struct QuantityKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) kind: QuantityKind,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
    pub(crate) when_absent: WhenAbsent<f64>,
}

/// A text that is not empty.
pub(crate) struct TextKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) longest: usize,
    pub(crate) when_absent: WhenAbsent<&'static str>,
}

/// One of a few words.
pub(crate) struct ChoiceKey<T: 'static> {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    /// Word, meaning to the program, meaning to people.
    pub(crate) words: &'static [(&'static str, T, &'static str)],
    pub(crate) when_absent: WhenAbsent<&'static str>,
}

/// A list of quantities.
pub(crate) struct QuantitiesKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) kind: QuantityKind,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
    pub(crate) fewest: usize,
    pub(crate) most: usize,
    pub(crate) when_absent: WhenAbsent<&'static [f64]>,
}

/// A list of rows: an angle, and lengths that were taken there.
pub(crate) struct RowsKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    /// Least and greatest angle, deg.
    pub(crate) angles: [f64; 2],
    /// Least and greatest length, mm.
    pub(crate) lengths: [f64; 2],
    pub(crate) fewest: usize,
    pub(crate) most: usize,
    pub(crate) meaning_if_absent: &'static str,
}

/// A table in the table.
pub(crate) struct TableKey {
    pub(crate) name: &'static str,
    pub(crate) table: &'static KeyTable,
    /// Why it must be written; without one, its keys take their defaults.
    pub(crate) required_because: Option<&'static str>,
}

/// A repeated table.
pub(crate) struct RepeatedTableKey {
    pub(crate) name: &'static str,
    pub(crate) table: &'static KeyTable,
    pub(crate) most: usize,
    pub(crate) required_because: Option<&'static str>,
}

/// A table that takes other keys for each word of its first key.
pub(crate) struct OneOfKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) tables: &'static [&'static KeyTable],
    pub(crate) required_because: &'static str,
}

/// Diameter of a barrel in any of its notations.
pub(crate) struct DiameterKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
    pub(crate) table: &'static KeyTable,
    pub(crate) required_because: &'static str,
}

impl<T: Copy> WhenAbsent<T> {
    pub(crate) fn default(&self) -> Option<T> {
        match self {
            Self::Default(value) => Some(*value),
            Self::Required(_) | Self::Optional(_) => None,
        }
    }

    pub(crate) fn required_because(&self) -> Option<&'static str> {
        match self {
            Self::Required(why) => Some(why),
            Self::Default(_) | Self::Optional(_) => None,
        }
    }

    pub(crate) fn meaning_if_absent(&self) -> Option<&'static str> {
        match self {
            Self::Optional(meaning) => Some(meaning),
            Self::Required(_) | Self::Default(_) => None,
        }
    }
}

impl QuantityKey {
    pub(crate) fn range(&self) -> QuantityRange {
        QuantityRange { kind: self.kind, least: self.least, greatest: self.greatest }
    }
}

impl QuantitiesKey {
    /// Range of every entry.
    pub(crate) fn range(&self) -> QuantityRange {
        QuantityRange { kind: self.kind, least: self.least, greatest: self.greatest }
    }
}

impl DiameterKey {
    pub(crate) fn range(&self) -> QuantityRange {
        QuantityRange { kind: QuantityKind::Length, least: self.least, greatest: self.greatest }
    }
}

impl RowsKey {
    /// Range of the first entry of a row.
    pub(crate) fn angle_range(&self) -> QuantityRange {
        QuantityRange { kind: QuantityKind::Angle, least: self.angles[0], greatest: self.angles[1] }
    }

    /// Range of the other entries of a row.
    pub(crate) fn length_range(&self) -> QuantityRange {
        QuantityRange { kind: QuantityKind::Length, least: self.lengths[0], greatest: self.lengths[1] }
    }
}

impl Key for QuantityKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn required_because(&self) -> Option<&'static str> {
        self.when_absent.required_because()
    }
    fn meaning_if_absent(&self) -> Option<&'static str> {
        self.when_absent.meaning_if_absent()
    }
    fn form(&self) -> KeyForm {
        KeyForm::Quantity { range: self.range(), default: self.when_absent.default() }
    }
}

impl Key for TextKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn required_because(&self) -> Option<&'static str> {
        self.when_absent.required_because()
    }
    fn meaning_if_absent(&self) -> Option<&'static str> {
        self.when_absent.meaning_if_absent()
    }
    fn form(&self) -> KeyForm {
        KeyForm::Text { longest: self.longest, default: self.when_absent.default() }
    }
}

impl<T: Sync> Key for ChoiceKey<T> {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn required_because(&self) -> Option<&'static str> {
        self.when_absent.required_because()
    }
    fn meaning_if_absent(&self) -> Option<&'static str> {
        self.when_absent.meaning_if_absent()
    }
    fn form(&self) -> KeyForm {
        let words = self.words.iter().map(|(word, _, about)| (*word, *about)).collect();
        KeyForm::Choice { words, default: self.when_absent.default() }
    }
}

impl Key for QuantitiesKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn required_because(&self) -> Option<&'static str> {
        self.when_absent.required_because()
    }
    fn meaning_if_absent(&self) -> Option<&'static str> {
        self.when_absent.meaning_if_absent()
    }
    fn form(&self) -> KeyForm {
        KeyForm::Quantities {
            range: self.range(),
            fewest: self.fewest,
            most: self.most,
            default: self.when_absent.default(),
        }
    }
}

impl Key for RowsKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn required_because(&self) -> Option<&'static str> {
        None
    }
    fn meaning_if_absent(&self) -> Option<&'static str> {
        Some(self.meaning_if_absent)
    }
    fn form(&self) -> KeyForm {
        let (first, rest) = (self.angle_range(), self.length_range());
        KeyForm::Rows { fewest: self.fewest, most: self.most, first, rest }
    }
}

impl Key for TableKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.table.about
    }
    fn required_because(&self) -> Option<&'static str> {
        self.required_because
    }
    fn form(&self) -> KeyForm {
        KeyForm::Table(self.table)
    }
}

impl Key for RepeatedTableKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.table.about
    }
    fn required_because(&self) -> Option<&'static str> {
        self.required_because
    }
    fn form(&self) -> KeyForm {
        KeyForm::Tables { table: self.table, most: self.most }
    }
}

impl Key for OneOfKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn required_because(&self) -> Option<&'static str> {
        Some(self.required_because)
    }
    fn form(&self) -> KeyForm {
        KeyForm::OneOf(self.tables)
    }
}

impl Key for DiameterKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn required_because(&self) -> Option<&'static str> {
        Some(self.required_because)
    }
    fn form(&self) -> KeyForm {
        KeyForm::Diameter { range: self.range(), table: self.table }
    }
}
