//! How a key of a written format is described: one description serves reading, "did you mean" and the JSON Schema.

use crate::text::quantity::Kind;

/// What happens when a key is not written.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Absent<T> {
    /// It must be written, because…
    Needed(&'static str),
    /// It is taken as this.
    Default(T),
    /// It stays open, which means…
    Open(&'static str),
}

/// A key in a table.
pub(crate) trait Key: Sync {
    fn name(&self) -> &'static str;
    /// What it is, one sentence without a full stop.
    fn about(&self) -> &'static str;
    /// Why it must be written, when it must.
    fn needed(&self) -> Option<&'static str>;
    /// What it means when it is left out without a default.
    fn otherwise(&self) -> Option<&'static str> {
        None
    }
    /// Its shape, for the schema.
    fn form(&self) -> Form;
}

/// Shape of a value as the schema needs it.
pub(crate) enum Form {
    Quantity { kind: Kind, least: f64, greatest: f64, default: Option<f64> },
    Text { longest: usize, default: Option<&'static str> },
    Choice { words: Vec<(&'static str, &'static str)>, default: Option<&'static str> },
    Quantities { kind: Kind, least: f64, greatest: f64, fewest: usize, most: usize, default: Option<&'static [f64]> },
    Rows { fewest: usize, most: usize, kinds: [(Kind, f64, f64); 2] },
    Table(&'static Table),
    Tables { table: &'static Table, most: usize },
    OneOf(&'static [&'static Table]),
    Diameter { least: f64, greatest: f64, table: &'static Table },
}

/// A table of known keys.
pub(crate) struct Table {
    pub(crate) about: &'static str,
    pub(crate) keys: &'static [&'static dyn Key],
}

impl Table {
    pub(crate) fn names(&self) -> impl Iterator<Item = &'static str> {
        self.keys.iter().map(|key| key.name())
    }
}

/// A number with a unit, within limits in the unit of its kind.
pub(crate) struct QuantityKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) kind: Kind,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
    pub(crate) absent: Absent<f64>,
}

/// A text that is not empty.
pub(crate) struct TextKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) longest: usize,
    pub(crate) absent: Absent<&'static str>,
}

/// One of a few words.
pub(crate) struct ChoiceKey<T: 'static> {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    /// Word, meaning to the program, meaning to people.
    pub(crate) words: &'static [(&'static str, T, &'static str)],
    pub(crate) absent: Absent<&'static str>,
}

/// A list of quantities.
pub(crate) struct QuantitiesKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) kind: Kind,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
    pub(crate) fewest: usize,
    pub(crate) most: usize,
    pub(crate) absent: Absent<&'static [f64]>,
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
    pub(crate) otherwise: &'static str,
}

/// A table in the table.
pub(crate) struct TableKey {
    pub(crate) name: &'static str,
    pub(crate) table: &'static Table,
    /// Why it must be written; without one, its keys take their defaults.
    pub(crate) needed: Option<&'static str>,
}

/// A repeated table.
pub(crate) struct TablesKey {
    pub(crate) name: &'static str,
    pub(crate) table: &'static Table,
    pub(crate) most: usize,
    pub(crate) needed: &'static str,
}

/// A table that takes other keys for each word of its first key.
pub(crate) struct OneOfKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) tables: &'static [&'static Table],
    pub(crate) needed: &'static str,
}

/// Diameter of a barrel in any of its notations.
pub(crate) struct DiameterKey {
    pub(crate) name: &'static str,
    pub(crate) about: &'static str,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
    pub(crate) table: &'static Table,
    pub(crate) needed: &'static str,
}

impl<T: Copy> Absent<T> {
    pub(crate) fn default(&self) -> Option<T> {
        match self {
            Self::Default(value) => Some(*value),
            Self::Needed(_) | Self::Open(_) => None,
        }
    }

    pub(crate) fn needed(&self) -> Option<&'static str> {
        match self {
            Self::Needed(why) => Some(why),
            Self::Default(_) | Self::Open(_) => None,
        }
    }

    pub(crate) fn otherwise(&self) -> Option<&'static str> {
        match self {
            Self::Open(meaning) => Some(meaning),
            Self::Needed(_) | Self::Default(_) => None,
        }
    }
}

impl Key for QuantityKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn needed(&self) -> Option<&'static str> {
        self.absent.needed()
    }
    fn otherwise(&self) -> Option<&'static str> {
        self.absent.otherwise()
    }
    fn form(&self) -> Form {
        let Self { kind, least, greatest, .. } = *self;
        Form::Quantity { kind, least, greatest, default: self.absent.default() }
    }
}

impl Key for TextKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn needed(&self) -> Option<&'static str> {
        self.absent.needed()
    }
    fn otherwise(&self) -> Option<&'static str> {
        self.absent.otherwise()
    }
    fn form(&self) -> Form {
        Form::Text { longest: self.longest, default: self.absent.default() }
    }
}

impl<T: Sync> Key for ChoiceKey<T> {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn needed(&self) -> Option<&'static str> {
        self.absent.needed()
    }
    fn otherwise(&self) -> Option<&'static str> {
        self.absent.otherwise()
    }
    fn form(&self) -> Form {
        let words = self.words.iter().map(|(word, _, about)| (*word, *about)).collect();
        Form::Choice { words, default: self.absent.default() }
    }
}

impl Key for QuantitiesKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn needed(&self) -> Option<&'static str> {
        self.absent.needed()
    }
    fn otherwise(&self) -> Option<&'static str> {
        self.absent.otherwise()
    }
    fn form(&self) -> Form {
        let Self { kind, least, greatest, fewest, most, .. } = *self;
        Form::Quantities { kind, least, greatest, fewest, most, default: self.absent.default() }
    }
}

impl Key for RowsKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn needed(&self) -> Option<&'static str> {
        None
    }
    fn otherwise(&self) -> Option<&'static str> {
        Some(self.otherwise)
    }
    fn form(&self) -> Form {
        let [angles, lengths] = [self.angles, self.lengths];
        let kinds = [(Kind::Angle, angles[0], angles[1]), (Kind::Length, lengths[0], lengths[1])];
        Form::Rows { fewest: self.fewest, most: self.most, kinds }
    }
}

impl Key for TableKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.table.about
    }
    fn needed(&self) -> Option<&'static str> {
        self.needed
    }
    fn form(&self) -> Form {
        Form::Table(self.table)
    }
}

impl Key for TablesKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.table.about
    }
    fn needed(&self) -> Option<&'static str> {
        Some(self.needed)
    }
    fn form(&self) -> Form {
        Form::Tables { table: self.table, most: self.most }
    }
}

impl Key for OneOfKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn needed(&self) -> Option<&'static str> {
        Some(self.needed)
    }
    fn form(&self) -> Form {
        Form::OneOf(self.tables)
    }
}

impl Key for DiameterKey {
    fn name(&self) -> &'static str {
        self.name
    }
    fn about(&self) -> &'static str {
        self.about
    }
    fn needed(&self) -> Option<&'static str> {
        Some(self.needed)
    }
    fn form(&self) -> Form {
        Form::Diameter { least: self.least, greatest: self.greatest, table: self.table }
    }
}
