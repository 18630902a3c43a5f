//! Types that describe a key of a written format. One description serves reading, suggestions and the JSON Schema.

use crate::text::quantity::{QuantityKind, QuantityRange};

/// Description of a key: its name, its meaning, the form of its value, and what applies without it.
pub(crate) struct Key<F: ValueForm> {
    pub(crate) name: &'static str,
    /// Meaning, as one sentence without a full stop.
    pub(crate) about: &'static str,
    pub(crate) form: F,
    pub(crate) when_absent: WhenAbsent<F::Default>,
}

/// Meaning of a key that is not written.
#[derive(Clone, Copy, Debug)]
pub(crate) enum WhenAbsent<T> {
    /// The key is required; contains the reason, which follows "needed because".
    Required(&'static str),
    /// A default value applies. A table that is absent by default is read as an empty one.
    Default(T),
    /// The value stays absent; contains the meaning, which follows "without it:".
    Optional(&'static str),
}

/// Form of a value.
pub(crate) trait ValueForm {
    /// Type of a default value in the description.
    type Default: Copy + Sync;

    /// Returns the form together with a default.
    fn with_default(&self, default: Option<Self::Default>) -> KeyForm;
}

/// Key of a quantity, with limits in the message unit of its kind.
pub(crate) type QuantityKey = Key<QuantityRange>;
/// Key of a text that is not empty.
pub(crate) type TextKey = Key<TextForm>;
/// Key of one of several words.
pub(crate) type ChoiceKey<T> = Key<ChoiceForm<T>>;
/// Key that is true or false.
pub(crate) type FlagKey = Key<FlagForm>;
/// Key of a list of quantities.
pub(crate) type QuantitiesKey = Key<ListForm>;
/// Key of a list of rows: an angle and the lengths that were measured there.
pub(crate) type RowsKey = Key<RowsForm>;
/// Key of a table. If an optional table is absent, its keys take their defaults.
pub(crate) type TableKey = Key<KeyTable>;
/// Key of a table, or of one word instead.
pub(crate) type TableOrWordKey = Key<TableOrWord>;
/// Key of a repeated table.
pub(crate) type RepeatedTableKey = Key<RepeatedTableForm>;
/// Key of a table with alternatives, which the word of its first key selects.
pub(crate) type OneOfKey = Key<&'static [&'static KeyTable]>;
/// Key of a quantity, or of one word instead.
pub(crate) type QuantityOrWordKey = Key<QuantityOrWord>;
/// Key of a barrel's diameter, in any of its notations.
pub(crate) type DiameterKey = Key<DiameterForm>;

/// Text of limited length, characters.
pub(crate) struct TextForm {
    pub(crate) max_length: usize,
}

/// True or false.
pub(crate) struct FlagForm;

/// Words, each with its value and its meaning for people.
pub(crate) struct ChoiceForm<T: 'static> {
    pub(crate) words: &'static [(&'static str, T, &'static str)],
}

/// List of quantities.
#[derive(Clone, Copy)]
pub(crate) struct ListForm {
    /// Range of every entry.
    pub(crate) range: QuantityRange,
    /// Least and greatest number of entries.
    pub(crate) count: [usize; 2],
}

/// List of rows.
#[derive(Clone, Copy)]
pub(crate) struct RowsForm {
    /// Range of the first entry of a row.
    pub(crate) angles: QuantityRange,
    /// Range of the other entries of a row.
    pub(crate) lengths: QuantityRange,
    /// Least and greatest number of rows.
    pub(crate) count: [usize; 2],
}

/// Repeated table.
#[derive(Clone, Copy)]
pub(crate) struct RepeatedTableForm {
    pub(crate) table: KeyTable,
    pub(crate) max_count: usize,
}

/// Length, size with a tolerance, or table of limits or readings.
#[derive(Clone, Copy)]
pub(crate) struct DiameterForm {
    pub(crate) range: QuantityRange,
    pub(crate) table: &'static KeyTable,
}

/// Quantity, or one word with its meaning.
#[derive(Clone, Copy)]
pub(crate) struct QuantityOrWord {
    pub(crate) range: QuantityRange,
    pub(crate) word: &'static str,
    about: &'static str,
}

/// Table, or one word with its meaning.
#[derive(Clone, Copy)]
pub(crate) struct TableOrWord {
    pub(crate) table: KeyTable,
    pub(crate) word: &'static str,
    about: &'static str,
}

/// Form of a value, as the schema needs it.
pub(crate) enum KeyForm {
    Quantity { range: QuantityRange, default: Option<f64> },
    QuantityOrWord { range: QuantityRange, word: (&'static str, &'static str), default: Option<f64> },
    Text { max_length: usize, default: Option<&'static str> },
    Flag { default: Option<bool> },
    Choice { words: Vec<(&'static str, &'static str)>, default: Option<&'static str> },
    Quantities { list: ListForm, default: Option<&'static [f64]> },
    Rows(RowsForm),
    Table(KeyTable),
    TableOrWord { table: KeyTable, word: (&'static str, &'static str) },
    Tables(RepeatedTableForm),
    OneOf(&'static [&'static KeyTable]),
    Diameter(DiameterForm),
}

/// Keys of a table.
pub(crate) type Keys = &'static [&'static dyn DescribedKey];

/// Description of a table: its meaning and its keys.
#[derive(Clone, Copy)]
pub(crate) struct KeyTable {
    pub(crate) about: &'static str,
    pub(crate) keys: Keys,
}

impl KeyTable {
    pub(crate) fn names(&self) -> impl Iterator<Item = &'static str> {
        self.keys.iter().map(|key| key.name())
    }
}

/// A key with a value of any form.
pub(crate) trait DescribedKey: Sync {
    fn name(&self) -> &'static str;
    fn about(&self) -> &'static str;
    /// Returns the reason if the key is required.
    fn required_because(&self) -> Option<&'static str>;
    /// Returns the meaning of leaving out an optional key without a default.
    fn meaning_if_absent(&self) -> Option<&'static str>;
    /// Returns the form of the value, for the schema.
    fn form(&self) -> KeyForm;
}

impl<F: ValueForm + Sync> DescribedKey for Key<F> {
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
        self.form.with_default(self.when_absent.default())
    }
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

    fn meaning_if_absent(&self) -> Option<&'static str> {
        match self {
            Self::Optional(meaning) => Some(meaning),
            Self::Required(_) | Self::Default(_) => None,
        }
    }
}

impl ValueForm for QuantityRange {
    type Default = f64;
    fn with_default(&self, default: Option<f64>) -> KeyForm {
        KeyForm::Quantity { range: *self, default }
    }
}

impl ValueForm for QuantityOrWord {
    type Default = f64;
    fn with_default(&self, default: Option<f64>) -> KeyForm {
        KeyForm::QuantityOrWord { range: self.range, word: (self.word, self.about), default }
    }
}

impl ValueForm for TextForm {
    type Default = &'static str;
    fn with_default(&self, default: Option<&'static str>) -> KeyForm {
        KeyForm::Text { max_length: self.max_length, default }
    }
}

impl ValueForm for FlagForm {
    type Default = bool;
    fn with_default(&self, default: Option<bool>) -> KeyForm {
        KeyForm::Flag { default }
    }
}

impl<T> ValueForm for ChoiceForm<T> {
    type Default = &'static str;
    fn with_default(&self, default: Option<&'static str>) -> KeyForm {
        KeyForm::Choice { words: self.words.iter().map(|(word, _, about)| (*word, *about)).collect(), default }
    }
}

impl ValueForm for ListForm {
    type Default = &'static [f64];
    fn with_default(&self, default: Option<&'static [f64]>) -> KeyForm {
        KeyForm::Quantities { list: *self, default }
    }
}

impl ValueForm for RowsForm {
    type Default = ();
    fn with_default(&self, _: Option<()>) -> KeyForm {
        KeyForm::Rows(*self)
    }
}

impl ValueForm for KeyTable {
    type Default = ();
    fn with_default(&self, _: Option<()>) -> KeyForm {
        KeyForm::Table(*self)
    }
}

impl ValueForm for TableOrWord {
    type Default = ();
    fn with_default(&self, _: Option<()>) -> KeyForm {
        KeyForm::TableOrWord { table: self.table, word: (self.word, self.about) }
    }
}

impl ValueForm for RepeatedTableForm {
    type Default = ();
    fn with_default(&self, _: Option<()>) -> KeyForm {
        KeyForm::Tables(*self)
    }
}

impl ValueForm for &'static [&'static KeyTable] {
    type Default = ();
    fn with_default(&self, _: Option<()>) -> KeyForm {
        KeyForm::OneOf(self)
    }
}

impl ValueForm for DiameterForm {
    type Default = ();
    fn with_default(&self, _: Option<()>) -> KeyForm {
        KeyForm::Diameter(*self)
    }
}

const fn range_of(kind: QuantityKind, range: [f64; 2]) -> QuantityRange {
    QuantityRange { kind, least: range[0], greatest: range[1] }
}

/// Describes a quantity; `range` is its least and greatest value.
pub(crate) const fn quantity(
    name: &'static str,
    about: &'static str,
    kind: QuantityKind,
    range: [f64; 2],
    when_absent: WhenAbsent<f64>,
) -> QuantityKey {
    Key { name, about, form: range_of(kind, range), when_absent }
}

/// Describes a length; `range` is its least and greatest value, mm.
pub(crate) const fn length(
    name: &'static str,
    about: &'static str,
    range: [f64; 2],
    when_absent: WhenAbsent<f64>,
) -> QuantityKey {
    quantity(name, about, QuantityKind::Length, range, when_absent)
}

/// Describes a text of at most `max_length` characters.
pub(crate) const fn text(
    name: &'static str,
    about: &'static str,
    max_length: usize,
    when_absent: WhenAbsent<&'static str>,
) -> TextKey {
    Key { name, about, form: TextForm { max_length }, when_absent }
}

/// Describes a choice of words, each with its value and its meaning for people.
pub(crate) const fn choice<T>(
    name: &'static str,
    about: &'static str,
    words: &'static [(&'static str, T, &'static str)],
    when_absent: WhenAbsent<&'static str>,
) -> ChoiceKey<T> {
    Key { name, about, form: ChoiceForm { words }, when_absent }
}

/// Describes a key that is false unless it is written.
pub(crate) const fn flag(name: &'static str, about: &'static str) -> FlagKey {
    Key { name, about, form: FlagForm, when_absent: WhenAbsent::Default(false) }
}

/// Describes a list of quantities; `range` and `count` are the least and the greatest value and number of entries.
pub(crate) const fn quantities(
    name: &'static str,
    about: &'static str,
    kind: QuantityKind,
    range: [f64; 2],
    count: [usize; 2],
    when_absent: WhenAbsent<&'static [f64]>,
) -> QuantitiesKey {
    Key { name, about, form: ListForm { range: range_of(kind, range), count }, when_absent }
}

/// Describes rows of an angle and lengths; `lengths` and `count` are the least and the greatest length, mm, and number of
/// rows.
pub(crate) const fn rows(
    name: &'static str,
    about: &'static str,
    lengths: [f64; 2],
    count: [usize; 2],
    meaning_if_absent: &'static str,
) -> RowsKey {
    let angles = range_of(QuantityKind::Angle, [-720.0, 720.0]);
    let form = RowsForm { angles, lengths: range_of(QuantityKind::Length, lengths), count };
    Key { name, about, form, when_absent: WhenAbsent::Optional(meaning_if_absent) }
}

/// Describes a table that may be left out.
pub(crate) const fn optional_table(name: &'static str, about: &'static str, keys: Keys) -> TableKey {
    Key { name, about, form: KeyTable { about, keys }, when_absent: WhenAbsent::Default(()) }
}

/// Describes a quantity that one word may replace; `word` has its meaning beside it.
pub(crate) const fn quantity_or_word(
    name: &'static str,
    about: &'static str,
    kind: QuantityKind,
    range: [f64; 2],
    word: (&'static str, &'static str),
    when_absent: WhenAbsent<f64>,
) -> QuantityOrWordKey {
    let form = QuantityOrWord { range: range_of(kind, range), word: word.0, about: word.1 };
    Key { name, about, form, when_absent }
}

/// Describes a table that must be written.
pub(crate) const fn required_table(name: &'static str, about: &'static str, keys: Keys, why: &'static str) -> TableKey {
    Key { name, about, form: KeyTable { about, keys }, when_absent: WhenAbsent::Required(why) }
}

/// Describes an optional table, or one word instead.
pub(crate) const fn table_or_word(
    name: &'static str,
    about: &'static str,
    keys: Keys,
    word: (&'static str, &'static str),
    if_absent: &'static str,
) -> TableOrWordKey {
    let form = TableOrWord { table: KeyTable { about, keys }, word: word.0, about: word.1 };
    Key { name, about, form, when_absent: WhenAbsent::Optional(if_absent) }
}

/// Describes a repeated table.
pub(crate) const fn repeated_table(
    name: &'static str,
    about: &'static str,
    keys: Keys,
    max_count: usize,
    when_absent: WhenAbsent<()>,
) -> RepeatedTableKey {
    Key { name, about, form: RepeatedTableForm { table: KeyTable { about, keys }, max_count }, when_absent }
}

/// Describes a required table with alternatives.
pub(crate) const fn one_of(
    name: &'static str,
    about: &'static str,
    tables: &'static [&'static KeyTable],
    why: &'static str,
) -> OneOfKey {
    Key { name, about, form: tables, when_absent: WhenAbsent::Required(why) }
}

/// Describes a barrel's diameter; `range` is its least and greatest value, mm.
pub(crate) const fn diameter(
    name: &'static str,
    about: &'static str,
    range: [f64; 2],
    table: &'static KeyTable,
    why: &'static str,
) -> DiameterKey {
    let form = DiameterForm { range: range_of(QuantityKind::Length, range), table };
    Key { name, about, form, when_absent: WhenAbsent::Required(why) }
}
