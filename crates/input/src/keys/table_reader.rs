//! Reader of described keys: reads values from tables and reports what does not fit the description.

use std::ops::Range;

use crate::keys::key::{
    ChoiceKey, DescribedKey, FlagKey, KeyTable, QuantitiesKey, QuantityKey, QuantityOrWordKey, TableKey,
    TableOrWordKey, TextKey, WhenAbsent,
};
use crate::keys::key_lookup;
use crate::text::diagnostic::Diagnostic;
use crate::text::quantity::{self, INCH_MM, LengthUnit, QuantityError, QuantityKind, QuantityRange};
use crate::text::source::{Source, join_path, shorten};
use crate::text::suggestion::{nearest_word, quoted_list};
use crate::text::value_tree::{Entry, Node, Value};
use crate::values::material::FigureBounds;

/// Greatest number of unknown keys of one table that are reported.
const MOST_UNKNOWN_KEYS: usize = 200;

/// Value of a quantity that one word may replace.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum QuantityOrWordValue {
    Quantity(f64),
    Word,
}

/// Reads the tables of one document and collects problems.
pub(crate) struct TableReader<'a> {
    pub(crate) source: &'a Source,
    /// Table in which a misplaced key is looked up, so that a hint can say where it belongs; `None` in files other than specs.
    root: Option<&'static KeyTable>,
    pub(crate) problems: Vec<Diagnostic>,
    /// Unit of lengths that are written without a unit.
    pub(crate) length_unit: LengthUnit,
}

/// A table of the document.
///
/// A missing table and a value that is no table count as empty, so that the same fault is not reported twice.
pub(crate) struct OpenTable<'a> {
    pub(crate) path: String,
    span: Range<usize>,
    entries: &'a [Entry],
    readable: bool,
    /// Required keys for which an unknown key was probably a misspelling.
    guessed: Vec<&'static str>,
}

impl<'a> OpenTable<'a> {
    /// Returns the path of one of its keys.
    pub(crate) fn path_of(&self, key: &str) -> String {
        join_path(&self.path, key)
    }

    /// Returns the value of a key, if it is written.
    pub(crate) fn get(&self, key: &str) -> Option<&'a Node> {
        self.entries.iter().find(|entry| entry.key == key).map(|entry| &entry.node)
    }
}

impl<'a> TableReader<'a> {
    pub(crate) fn new(source: &'a Source, root: Option<&'static KeyTable>) -> Self {
        Self { source, root, problems: Vec::new(), length_unit: LengthUnit::Millimetre }
    }

    pub(crate) fn report(&mut self, problem: Diagnostic) {
        self.problems.push(problem);
    }

    /// Reports the value at a key path as an error, with allowed values and a suggested change.
    pub(crate) fn report_value(
        &mut self,
        path: &str,
        code: &'static str,
        message: impl Into<String>,
        allowed: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.report(self.source.diagnostic(path, code, message).with_allowed(allowed).with_hint(hint));
    }

    /// Opens the table at a key of another table, and reports unknown keys.
    pub(crate) fn open_subtable(&mut self, parent: &OpenTable<'a>, key: &TableKey) -> OpenTable<'a> {
        let path = parent.path_of(key.name);
        if let Some(node) = parent.get(key.name) {
            return self.open_table(node, path, &key.form);
        }
        if let Some(why) = key.required_because() {
            self.report_missing(parent, key.name, why);
        }
        let readable = parent.readable && key.required_because().is_none();
        OpenTable { path, span: parent.span.clone(), entries: &[], readable, guessed: Vec::new() }
    }

    /// Opens the table at a key of another table; `None` if the key or its table is absent, or if the word stands there.
    pub(crate) fn open_subtable_or_word(
        &mut self,
        parent: &OpenTable<'a>,
        key: &TableOrWordKey,
    ) -> Option<OpenTable<'a>> {
        let node = parent.get(key.name)?;
        let path = parent.path_of(key.name);
        match &node.value {
            Value::Text(text) if text.trim() == key.form.word => None,
            Value::Text(_) => {
                let word = key.form.word;
                let problem = self.wrong_type(node, &path, &format!("a table or \"{word}\"")).with_hint(format!(
                    "write \"{word}\", or a table [{path}] with {}",
                    quoted_list(key.form.table.names())
                ));
                self.report(problem);
                None
            }
            _ => Some(self.open_table(node, path, &key.form.table)),
        }
    }

    /// Opens a value as a table, and reports unknown keys.
    pub(crate) fn open_table(&mut self, node: &'a Node, path: String, table: &KeyTable) -> OpenTable<'a> {
        let Some(entries) = node.entries() else {
            let problem = self.wrong_type(node, &path, "a table");
            let problem = match node.value {
                Value::List(_) => problem.with_hint(format!("write [{path}] with single brackets, once")),
                _ => problem.with_hint(format!("it takes {}", quoted_list(table.names()))),
            };
            self.report(problem);
            return OpenTable { path, span: node.span.clone(), entries: &[], readable: false, guessed: Vec::new() };
        };
        let free: Vec<&str> = table.names().filter(|name| entries.iter().all(|other| other.key != *name)).collect();
        let mut guessed = Vec::new();
        let unknown = entries.iter().filter(|entry| table.names().all(|name| name != entry.key));
        // Finding the place of each takes as long as its line.
        for entry in unknown.take(MOST_UNKNOWN_KEYS) {
            let guess = nearest_word(&entry.key, free.iter().copied());
            guessed.extend(guess);
            self.unknown_key(entry, &path, table, guess);
        }
        OpenTable { path, span: node.span.clone(), entries, readable: true, guessed }
    }

    /// Table of the file in which a key has its place.
    fn home_of(&self, key: &str) -> Option<String> {
        key_lookup::table_of_key(self.root?, key)
    }

    fn unknown_key(&mut self, entry: &Entry, path: &str, table: &KeyTable, guess: Option<&str>) {
        let place = if path.is_empty() { "at the top".to_owned() } else { format!("in `{path}`") };
        let mut problem = self
            .source
            .diagnostic_at(
                entry.key_span.clone(),
                &join_path(path, &entry.key),
                "unknown-key",
                format!("`{}` is not known {place}", shorten(&entry.key)),
            )
            .with_allowed(quoted_list(table.names()));
        if let Some(guess) = guess {
            problem = problem.with_hint(format!("did you mean `{guess}`?"));
        } else if let Some(home) = self.home_of(&entry.key).filter(|home| home != path) {
            problem = problem.with_hint(format!("`{}` belongs in [{home}]", entry.key));
        }
        self.report(problem);
    }

    /// Reports a required key that is not written.
    pub(crate) fn report_missing(&mut self, table: &OpenTable<'_>, key: &str, why: &str) {
        if !table.readable || table.guessed.contains(&key) {
            return;
        }
        let path = table.path_of(key);
        let problem = self.source.diagnostic_at(table.span.clone(), &path, "missing", format!("`{path}` is missing"));
        self.report(problem.with_hint(format!("needed because {why}")));
    }

    /// Reports a required key that is not written, with the reason that its description gives.
    pub(crate) fn report_missing_key(&mut self, table: &OpenTable<'_>, key: &dyn DescribedKey) {
        if let Some(why) = key.required_because() {
            self.report_missing(table, key.name(), why);
        }
    }

    /// Returns the diagnostic of a value with the wrong type.
    pub(crate) fn wrong_type(&self, node: &Node, path: &str, wanted: &str) -> Diagnostic {
        let value = self.source.excerpt(&node.span);
        let message = format!("`{path}` is {}, `{value}`, where {wanted} belongs", node.kind());
        self.source.diagnostic_at(node.span.clone(), path, "wrong-type", message)
    }

    /// Reads a quantity, in the unit of checked values.
    ///
    /// Returns `None` if it is absent without a default or if a problem was reported.
    pub(crate) fn quantity(&mut self, table: &OpenTable<'a>, key: &QuantityKey) -> Option<f64> {
        let value = match table.get(key.name) {
            Some(node) => self.quantity_at(node, &table.path_of(key.name), key.form)?,
            None => self.value_when_absent(table, key.name, &key.when_absent)?,
        };
        Some(key.form.kind.to_checked(value))
    }

    /// Reads the least and the greatest value of a figure; the least must not be above the greatest.
    pub(crate) fn bounds(
        &mut self,
        table: &OpenTable<'a>,
        least: &QuantityKey,
        greatest: &QuantityKey,
    ) -> Option<FigureBounds> {
        let path = table.path_of(least.name);
        let (least, greatest) = (self.quantity(table, least), self.quantity(table, greatest));
        let (least, greatest) = (least?, greatest?);
        if least > greatest {
            let message = format!("`{path}` is {least}, more than greatest, which is {greatest}");
            let (allowed, hint) = (format!("at most {greatest}"), "change places".to_owned());
            self.report_value(&path, "min-above-max", message, allowed, hint);
            return None;
        }
        Some(FigureBounds { least, greatest })
    }

    /// Reads a quantity or the word that may stand instead.
    pub(crate) fn quantity_or_word(
        &mut self,
        table: &OpenTable<'a>,
        key: &QuantityOrWordKey,
    ) -> Option<QuantityOrWordValue> {
        let value = match table.get(key.name) {
            Some(Node { value: Value::Text(text), .. }) if text.trim() == key.form.word => {
                return Some(QuantityOrWordValue::Word);
            }
            Some(node) => self.quantity_at(node, &table.path_of(key.name), key.form.range)?,
            None => self.value_when_absent(table, key.name, &key.when_absent)?,
        };
        Some(QuantityOrWordValue::Quantity(key.form.range.kind.to_checked(value)))
    }

    /// Reads a text, without surrounding space.
    pub(crate) fn text(&mut self, table: &OpenTable<'a>, key: &TextKey) -> Option<String> {
        let path = table.path_of(key.name);
        let Some(node) = table.get(key.name) else {
            return self.value_when_absent(table, key.name, &key.when_absent).map(str::to_owned);
        };
        let Value::Text(text) = &node.value else {
            let value = shorten(&self.source.excerpt(&node.span));
            let hint = format!("written for example as \"{}\"", value.trim_matches(['[', ']', '"']));
            let problem = self.wrong_type(node, &path, "a text in quotes").with_hint(hint);
            self.report(problem);
            return None;
        };
        let text = text.trim();
        let allowed = format!("1 to {} characters in one line", key.form.max_length);
        let problem = if text.is_empty() {
            Some(("empty", format!("`{path}` is empty")))
        } else if text.chars().any(char::is_control) {
            Some(("unprintable", format!("`{path}` contains a line break or another control character")))
        } else {
            let count = text.chars().count();
            (count > key.form.max_length).then(|| ("too-long", format!("`{path}` has {count} characters")))
        };
        if let Some((code, message)) = problem {
            self.report(self.source.diagnostic_at(node.span.clone(), &path, code, message).with_allowed(allowed));
            return None;
        }
        Some(text.to_owned())
    }

    /// Reads true or false.
    pub(crate) fn flag(&mut self, table: &OpenTable<'a>, key: &FlagKey) -> Option<bool> {
        let Some(node) = table.get(key.name) else {
            return self.value_when_absent(table, key.name, &key.when_absent);
        };
        let Value::Flag(flag) = node.value else {
            let problem = self.wrong_type(node, &table.path_of(key.name), "true or false").with_allowed("true, false");
            self.report(problem);
            return None;
        };
        Some(flag)
    }

    /// Reads one of the words of a key.
    pub(crate) fn choice<T: Copy>(&mut self, table: &OpenTable<'a>, key: &ChoiceKey<T>) -> Option<T> {
        let path = table.path_of(key.name);
        let allowed = || quoted_list(key.form.words.iter().map(|(word, ..)| *word));
        let find = |wanted: &str| key.form.words.iter().find(|(word, ..)| *word == wanted).map(|(_, value, _)| *value);
        let Some(node) = table.get(key.name) else {
            return self.value_when_absent(table, key.name, &key.when_absent).and_then(find);
        };
        let Value::Text(text) = &node.value else {
            let problem = self.wrong_type(node, &path, "a word in quotes").with_allowed(allowed());
            self.report(problem);
            return None;
        };
        let found = find(text);
        if found.is_none() {
            let message = format!("`{path}` is \"{}\", which is none of its words", shorten(text));
            let mut problem =
                self.source.diagnostic_at(node.span.clone(), &path, "unknown-word", message).with_allowed(allowed());
            if let Some(guess) = nearest_word(text, key.form.words.iter().map(|(word, ..)| *word)) {
                problem = problem.with_hint(format!("did you mean \"{guess}\"?"));
            }
            self.report(problem);
        }
        found
    }

    /// Reads a list of quantities; `None` if any of them is wrong.
    pub(crate) fn quantities(&mut self, table: &OpenTable<'a>, key: &QuantitiesKey) -> Option<Vec<f64>> {
        let path = table.path_of(key.name);
        let Some(node) = table.get(key.name) else {
            let default = self.value_when_absent(table, key.name, &key.when_absent)?;
            return Some(default.iter().map(|&value| key.form.range.kind.to_checked(value)).collect());
        };
        let Value::List(items) = &node.value else {
            let problem =
                self.wrong_type(node, &path, "a list in brackets").with_hint("written for example as [9.5, 9.6]");
            self.report(problem);
            return None;
        };
        let enough = self.check_count(node, &path, items.len(), key.form.count);
        let mut values = Some(Vec::new());
        for (index, item) in items.iter().enumerate().take(key.form.count[1]) {
            let value = self.quantity_at(item, &format!("{path}[{index}]"), key.form.range);
            values = values.zip(value).map(|(mut values, value)| {
                values.push(key.form.range.kind.to_checked(value));
                values
            });
        }
        values.filter(|_| enough)
    }

    /// Reports a list that is too short or too long.
    pub(crate) fn check_count(&mut self, node: &Node, path: &str, count: usize, range: [usize; 2]) -> bool {
        let [fewest, most] = range;
        let code = match count {
            _ if count < fewest => "too-few",
            _ if count > most => "too-many",
            _ => return true,
        };
        let allowed = if fewest == most { format!("{most}") } else { format!("{fewest} to {most}") };
        let entries = if count == 1 { "entry" } else { "entries" };
        let problem =
            self.source.diagnostic_at(node.span.clone(), path, code, format!("`{path}` has {count} {entries}"));
        self.report(problem.with_allowed(allowed));
        false
    }

    fn value_when_absent<T: Copy>(
        &mut self,
        table: &OpenTable<'_>,
        key: &str,
        when_absent: &WhenAbsent<T>,
    ) -> Option<T> {
        if let Some(why) = when_absent.required_because() {
            self.report_missing(table, key, why);
        }
        when_absent.default().filter(|_| table.readable)
    }

    /// Reads a value as a quantity within a range, in the unit of its kind.
    pub(crate) fn quantity_at(&mut self, node: &Node, path: &str, range: QuantityRange) -> Option<f64> {
        let value = match &node.value {
            Value::Number(number) => without_rounding_error(number * self.bare_factor(range.kind)),
            Value::Text(text) => match quantity::parse(text, range.kind) {
                Ok(value) => value,
                Err(error) => {
                    let (kind, text) = (range.kind, shorten(text));
                    let problem = quantity_problem(&error, kind, &text, |code, what| {
                        self.source.diagnostic_at(node.span.clone(), path, code, format!("`{path}` is {what}"))
                    });
                    self.report(problem);
                    return None;
                }
            },
            _ => {
                let problem = self.wrong_type(node, path, range.kind.description()).with_hint(example(range.kind));
                self.report(problem);
                return None;
            }
        };
        self.check_range(node, path, value, range).then_some(value)
    }

    /// Returns the factor from a bare number to the message unit of the kind.
    fn bare_factor(&self, kind: QuantityKind) -> f64 {
        match (kind, self.length_unit) {
            (QuantityKind::Length, LengthUnit::Centimetre) => 10.0,
            (QuantityKind::Length, LengthUnit::Inch) => INCH_MM,
            _ => 1.0,
        }
    }

    fn check_range(&mut self, node: &Node, path: &str, value: f64, range: QuantityRange) -> bool {
        if range.contains(value) {
            return true;
        }
        let written = self.source.excerpt(&node.span);
        let at = |code, message| {
            self.source.diagnostic_at(node.span.clone(), path, code, message).with_allowed(range.to_string())
        };
        let endless = value.is_nan() || written.trim_start_matches(['+', '-']) == "inf";
        if endless {
            self.report(at("not-finite", format!("`{path}` is {written}, which is no size")));
            return false;
        }
        let side = if value < range.least { "below" } else { "above" };
        let problem = at("out-of-range", format!("`{path}` is {written}, {side} what is allowed"));
        let hint = self.range_hint(node, value, range);
        self.report(problem.with_hint(hint));
        false
    }

    /// Returns the likeliest repair: the sign, the unit, or else the nearest allowed value.
    fn range_hint(&self, node: &Node, value: f64, range: QuantityRange) -> String {
        let bare = matches!(node.value, Value::Number(_)) && range.kind == QuantityKind::Length;
        if value < 0.0 && range.contains(-value) {
            return "without the minus sign it is allowed".to_owned();
        }
        let inches = value / self.bare_factor(range.kind);
        if bare && value > 0.0 && self.length_unit == LengthUnit::Millimetre && range.contains(inches * INCH_MM) {
            return format!("if it was measured in inches, write \"{inches} in\"");
        }
        if bare && self.length_unit != LengthUnit::Millimetre && range.contains(inches) {
            return format!("if it was measured in millimetres, write \"{inches} mm\"");
        }
        let near = if value < range.least { range.least } else { range.greatest };
        format!("the nearest allowed value is {}", range.kind.show(near))
    }
}

/// A value to twelve digits: what follows comes from the conversion of units. 0.7 in is 17.78 mm.
fn without_rounding_error(value: f64) -> f64 {
    format!("{value:.11e}").parse().unwrap_or(value)
}

/// Describes why a text is no quantity; `at` makes the diagnostic from a code and from what the value is.
fn quantity_problem(
    error: &QuantityError,
    kind: QuantityKind,
    text: &str,
    at: impl Fn(&'static str, String) -> Diagnostic,
) -> Diagnostic {
    let units = || quoted_list(kind.main_unit_names());
    match error {
        QuantityError::NoNumber => {
            at("no-number", format!("\"{text}\", which does not begin with a number")).with_hint(example(kind))
        }
        QuantityError::DecimalComma(mended) => {
            at("decimal-comma", format!("\"{text}\", with a comma for the decimal point"))
                .with_hint(format!("write \"{}\"", shorten(mended)))
        }
        QuantityError::NoUnit => {
            // A fraction is no TOML number, and its user thinks in inches.
            let fraction = kind == QuantityKind::Length && text.contains('/');
            let hint = if fraction {
                format!("write \"{text} in\"")
            } else {
                format!("write \"{text} {}\", or the number without quotes", kind.unit())
            };
            at("no-unit", format!("the text \"{text}\", without a unit")).with_allowed(units()).with_hint(hint)
        }
        QuantityError::UnknownUnit(unit) => {
            let problem = at("unknown-unit", format!("\"{text}\", and its unit \"{}\" is not known", shorten(unit)))
                .with_allowed(units());
            match nearest_word(unit, kind.unit_names()) {
                Some(guess) => problem.with_hint(format!("did you mean \"{guess}\"?")),
                None => problem,
            }
        }
        QuantityError::WrongKind { kind: found, value: amount } => {
            let what = format!("\"{text}\", {}, where {} belongs", found.description(), kind.description());
            let problem = at("wrong-unit", what).with_allowed(units());
            match (found, kind) {
                (QuantityKind::Mass, QuantityKind::Force) => {
                    problem.with_hint(format!("its weight is \"{:.3} N\"", quantity::weight_of(*amount)))
                }
                _ => problem,
            }
        }
    }
}

/// Returns an example of how a quantity of the kind is written.
fn example(kind: QuantityKind) -> String {
    let written = match kind {
        QuantityKind::Length => "9.6, \"9.6 mm\" or \"0.375 in\"",
        QuantityKind::Angle => "1.5, \"1.5 deg\" or \"0.03 rad\"",
        QuantityKind::Force => "4, \"4 N\" or \"1.2 lbf\"",
        QuantityKind::Mass => "9, \"9 g\" or \"0.3 oz\"",
        QuantityKind::Ratio => "0.02 or \"2 %\"",
        QuantityKind::Stress => "2100, \"2100 MPa\" or \"2.1 GPa\"",
        QuantityKind::Density => "1.24 or \"1.24 g/cm3\"",
        QuantityKind::Temperature => "40 or \"40 °C\"",
        QuantityKind::Time => "6, \"6 min\" or \"90 s\"",
        QuantityKind::Pressure => "4, \"4 bar\" or \"60 psi\"",
        QuantityKind::Count => "4",
    };
    format!("written for example as {written}")
}
