//! Types that describe a key of a written format. One description serves reading, suggestions and the JSON Schema.

use crate::text::quantity::{QuantityKind, QuantityRange};

/// Meaning of a key that is not written.
#[derive(Clone, Copy, Debug)]
pub(crate) enum WhenAbsent<T> {
    /// The key is required; contains the reason, which follows "needed because".
    Required(&'static str),
    /// A default value applies.
    Default(T),
    /// The value stays absent; contains the meaning, which follows "without it:".
    Optional(&'static str),
}

/// Description of a key in a table.
pub(crate) trait Key: Sync {
    fn name(&self) -> &'static str;
    /// Returns what the key means, as one sentence without a full stop.
    fn about(&self) -> &'static str;
    /// Returns the reason if the key is required.
    fn required_because(&self) -> Option<&'static str>;
    /// Returns the meaning of leaving out an optional key without a default.
    fn meaning_if_absent(&self) -> Option<&'static str> {
        None
    }
    /// Returns the form of the value, for the schema.
    fn form(&self) -> KeyForm;
}

/// Form of a value, as the schema needs it.
pub(crate) enum KeyForm {
    Quantity { range: QuantityRange, default: Option<f64> },
    Text { max_length: usize, default: Option<&'static str> },
    Choice { words: Vec<(&'static str, &'static str)>, default: Option<&'static str> },
    Quantities { range: QuantityRange, min_count: usize, max_count: usize, default: Option<&'static [f64]> },
    Rows { min_count: usize, max_count: usize, first: QuantityRange, rest: QuantityRange },
    Table(&'static KeyTable),
    Tables { table: &'static KeyTable, max_count: usize },
    OneOf(&'static [&'static KeyTable]),
    Diameter { range: QuantityRange, table: &'static KeyTable },
}

/// Description of a table: its meaning and its keys.
pub(crate) struct KeyTable {
    pub(crate) about: &'static str,
    pub(crate) keys: &'static [&'static dyn Key],
}

impl KeyTable {
    pub(crate) fn names(&self) -> impl Iterator<Item = &'static str> {
        self.keys.iter().map(|key| key.name())
    }
}

/// Key of a quantity, with limits in the message unit of its kind.
pub(crate) struct QuantityKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) kind: QuantityKind,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
    pub(crate) when_absent: WhenAbsent<f64>,
}

/// Key of a text that is not empty.
pub(crate) struct TextKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) max_length: usize,
    pub(crate) when_absent: WhenAbsent<&'static str>,
}

/// Key of one of several words.
pub(crate) struct ChoiceKey<T: 'static> {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    /// Word, value and meaning for people.
    pub(crate) words: &'static [(&'static str, T, &'static str)],
    pub(crate) when_absent: WhenAbsent<&'static str>,
}

/// Key of a list of quantities.
pub(crate) struct QuantitiesKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) kind: QuantityKind,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
    pub(crate) min_count: usize,
    pub(crate) max_count: usize,
    pub(crate) when_absent: WhenAbsent<&'static [f64]>,
}

/// Key of a list of rows: an angle and the lengths that were measured there.
pub(crate) struct RowsKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    /// Least and greatest angle, deg.
    pub(crate) angles: [f64; 2],
    /// Least and greatest length, mm.
    pub(crate) lengths: [f64; 2],
    pub(crate) min_count: usize,
    pub(crate) max_count: usize,
    pub(crate) meaning_if_absent: &'static str,
}

/// Key of a table.
pub(crate) struct TableKey {
    pub(crate) name: &'static str,
    pub(crate) table: &'static KeyTable,
    /// Reason if the table is required. If an optional table is absent, its keys take their defaults.
    pub(crate) required_because: Option<&'static str>,
}

/// Key of a repeated table.
pub(crate) struct RepeatedTableKey {
    pub(crate) name: &'static str,
    pub(crate) table: &'static KeyTable,
    pub(crate) max_count: usize,
    pub(crate) required_because: Option<&'static str>,
}

/// Key of a table with alternatives, which the word of its first key selects.
pub(crate) struct OneOfKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) tables: &'static [&'static KeyTable],
    pub(crate) required_because: &'static str,
}

/// Key of a barrel's diameter, in any of its notations.
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
    /// Returns the range of every entry.
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
    /// Returns the range of the first entry of a row.
    pub(crate) fn angle_range(&self) -> QuantityRange {
        QuantityRange { kind: QuantityKind::Angle, least: self.angles[0], greatest: self.angles[1] }
    }

    /// Returns the range of the other entries of a row.
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
        KeyForm::Text { max_length: self.max_length, default: self.when_absent.default() }
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
            min_count: self.min_count,
            max_count: self.max_count,
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
        KeyForm::Rows { min_count: self.min_count, max_count: self.max_count, first, rest }
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
        KeyForm::Tables { table: self.table, max_count: self.max_count }
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
