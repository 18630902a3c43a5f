//! Reads described keys out of tables, and reports what does not fit the description.

use std::ops::Range;

use crate::keys::key::{Absent, ChoiceKey, QuantitiesKey, QuantityKey, Table, TableKey, TextKey};
use crate::keys::key_lookup;
use crate::text::diagnostic::Diagnostic;
use crate::text::quantity::{self, INCH_MM, Kind, LengthUnit, QuantityError};
use crate::text::source::{Source, join};
use crate::text::suggestion::{list_of, nearest};
use crate::text::value_tree::{Entry, Node, Value};

/// Where problems gather while a document is read.
pub(crate) struct Reader<'a> {
    pub(crate) source: &'a Source,
    /// Table in which a misplaced key is looked up, so that a hint can say where it belongs.
    root: &'static Table,
    pub(crate) problems: Vec<Diagnostic>,
    /// Unit of lengths without one.
    pub(crate) units: LengthUnit,
}

/// An opened table. One that is missing or is no table reads as "nothing known", without a second complaint.
pub(crate) struct Section<'a> {
    pub(crate) path: String,
    span: Range<usize>,
    entries: &'a [Entry],
    readable: bool,
    /// Needed keys that an unknown key was probably meant to be.
    guessed: Vec<&'static str>,
}

impl<'a> Section<'a> {
    /// Path of one of its keys.
    pub(crate) fn at(&self, key: &str) -> String {
        join(&self.path, key)
    }

    /// The value of a key, if it is written.
    pub(crate) fn get(&self, key: &str) -> Option<&'a Node> {
        self.entries.iter().find(|entry| entry.key == key).map(|entry| &entry.node)
    }
}

impl<'a> Reader<'a> {
    pub(crate) fn new(source: &'a Source, root: &'static Table) -> Self {
        Self { source, root, problems: Vec::new(), units: LengthUnit::Millimetre }
    }

    pub(crate) fn report(&mut self, problem: Diagnostic) {
        self.problems.push(problem);
    }

    /// Opens the table at a key of a section, and reports the keys that it does not know.
    pub(crate) fn section(&mut self, parent: &Section<'a>, key: &TableKey) -> Section<'a> {
        let path = parent.at(key.name);
        if let Some(node) = parent.get(key.name) {
            return self.open(node, path, key.table);
        }
        if let Some(why) = key.needed {
            self.missing(parent, key.name, why);
        }
        let readable = parent.readable && key.needed.is_none();
        Section { path, span: parent.span.clone(), entries: &[], readable, guessed: Vec::new() }
    }

    /// Opens a value as a table with given keys.
    pub(crate) fn open(&mut self, node: &'a Node, path: String, table: &Table) -> Section<'a> {
        let Some(entries) = node.entries() else {
            let problem = self.wrong_type(node, &path, "a table");
            let problem = match node.value {
                Value::List(_) => problem.with_hint(format!("write [{path}] with single brackets, once")),
                _ => problem.with_hint(format!("it takes {}", list_of(table.names()))),
            };
            self.report(problem);
            return Section { path, span: node.span.clone(), entries: &[], readable: false, guessed: Vec::new() };
        };
        let mut guessed = Vec::new();
        for entry in entries.iter().filter(|entry| table.names().all(|name| name != entry.key)) {
            let free = table.names().filter(|name| entries.iter().all(|other| other.key != *name));
            let guess = nearest(&entry.key, free);
            guessed.extend(guess);
            self.unknown_key(entry, &path, table, guess);
        }
        Section { path, span: node.span.clone(), entries, readable: true, guessed }
    }

    fn unknown_key(&mut self, entry: &Entry, path: &str, table: &Table, guess: Option<&str>) {
        let place = if path.is_empty() { "at the top".to_owned() } else { format!("in `{path}`") };
        let mut problem = self
            .source
            .diagnostic_at(
                entry.key_span.clone(),
                &join(path, &entry.key),
                "unknown-key",
                format!("`{}` is not known {place}", shorten(&entry.key)),
            )
            .with_allowed(list_of(table.names()));
        if let Some(guess) = guess {
            problem = problem.with_hint(format!("did you mean `{guess}`?"));
        } else if let Some(home) = key_lookup::table_of_key(self.root, &entry.key).filter(|home| home != path) {
            problem = problem.with_hint(format!("`{}` belongs in [{home}]", entry.key));
        }
        self.report(problem);
    }

    /// A needed key that is not written.
    pub(crate) fn missing(&mut self, section: &Section<'_>, key: &str, why: &str) {
        if !section.readable || section.guessed.contains(&key) {
            return;
        }
        let path = section.at(key);
        let problem = self.source.diagnostic_at(section.span.clone(), &path, "missing", format!("`{path}` is missing"));
        self.report(problem.with_hint(format!("needed because {why}")));
    }

    /// A value of another type than asked for.
    pub(crate) fn wrong_type(&self, node: &Node, path: &str, wanted: &str) -> Diagnostic {
        let value = self.source.excerpt(&node.span);
        let message = format!("`{path}` is {}, `{value}`, where {wanted} belongs", node.kind());
        self.source.diagnostic_at(node.span.clone(), path, "wrong-type", message)
    }

    /// A value within its limits, in the unit of checked values. `None` when it is absent without default, or when a
    /// problem has been reported.
    pub(crate) fn quantity(&mut self, section: &Section<'a>, key: &QuantityKey) -> Option<f64> {
        let value = match section.get(key.name) {
            Some(node) => self.quantity_of(node, &section.at(key.name), key.kind, [key.least, key.greatest])?,
            None => self.absent(section, key.name, &key.absent)?,
        };
        Some(key.kind.checked(value))
    }

    /// A text without surrounding space.
    pub(crate) fn text(&mut self, section: &Section<'a>, key: &TextKey) -> Option<String> {
        let path = section.at(key.name);
        let Some(node) = section.get(key.name) else {
            return self.absent(section, key.name, &key.absent).map(str::to_owned);
        };
        let Value::Text(text) = &node.value else {
            let value = shorten(&self.source.excerpt(&node.span));
            let hint = format!("written for example as \"{}\"", value.trim_matches(['[', ']', '"']));
            let problem = self.wrong_type(node, &path, "a text in quotes").with_hint(hint);
            self.report(problem);
            return None;
        };
        let text = text.trim();
        let allowed = format!("1 to {} characters in one line", key.longest);
        let problem = if text.is_empty() {
            Some(("empty", format!("`{path}` is empty")))
        } else if text.chars().any(char::is_control) {
            Some(("unprintable", format!("`{path}` contains a line break or another control character")))
        } else {
            let count = text.chars().count();
            (count > key.longest).then(|| ("too-long", format!("`{path}` has {count} characters")))
        };
        if let Some((code, message)) = problem {
            self.report(self.source.diagnostic_at(node.span.clone(), &path, code, message).with_allowed(allowed));
            return None;
        }
        Some(text.to_owned())
    }

    /// One of the known words.
    pub(crate) fn choice<T: Copy>(&mut self, section: &Section<'a>, key: &ChoiceKey<T>) -> Option<T> {
        let path = section.at(key.name);
        let allowed = || list_of(key.words.iter().map(|(word, ..)| *word));
        let find = |wanted: &str| key.words.iter().find(|(word, ..)| *word == wanted).map(|(_, value, _)| *value);
        let Some(node) = section.get(key.name) else {
            return self.absent(section, key.name, &key.absent).and_then(find);
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
            if let Some(guess) = nearest(text, key.words.iter().map(|(word, ..)| *word)) {
                problem = problem.with_hint(format!("did you mean \"{guess}\"?"));
            }
            self.report(problem);
        }
        found
    }

    /// A list of quantities, each in its limits; `None` as soon as one of them is not.
    pub(crate) fn quantities(&mut self, section: &Section<'a>, key: &QuantitiesKey) -> Option<Vec<f64>> {
        let path = section.at(key.name);
        let Some(node) = section.get(key.name) else {
            let default = self.absent(section, key.name, &key.absent)?;
            return Some(default.iter().map(|&value| key.kind.checked(value)).collect());
        };
        let Value::List(items) = &node.value else {
            let problem =
                self.wrong_type(node, &path, "a list in brackets").with_hint("written for example as [9.5, 9.6]");
            self.report(problem);
            return None;
        };
        let enough = self.check_count(node, &path, items.len(), [key.fewest, key.most]);
        let mut values = Some(Vec::new());
        for (index, item) in items.iter().enumerate().take(key.most) {
            let value = self.quantity_of(item, &format!("{path}[{index}]"), key.kind, [key.least, key.greatest]);
            values = values.zip(value).map(|(mut values, value)| {
                values.push(key.kind.checked(value));
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

    fn absent<T: Copy>(&mut self, section: &Section<'_>, key: &str, absent: &Absent<T>) -> Option<T> {
        if let Some(why) = absent.needed() {
            self.missing(section, key, why);
        }
        absent.default().filter(|_| section.readable)
    }

    /// A value as a quantity within limits, in the unit of the kind.
    pub(crate) fn quantity_of(&mut self, node: &Node, path: &str, kind: Kind, limits: [f64; 2]) -> Option<f64> {
        let value = match &node.value {
            Value::Number(number) => number * self.bare_factor(kind),
            Value::Text(text) => match quantity::parse(text, kind) {
                Ok(value) => value,
                Err(error) => {
                    let problem = self.quantity_problem(node, path, kind, text, &error);
                    self.report(problem);
                    return None;
                }
            },
            _ => {
                let problem = self.wrong_type(node, path, kind.noun()).with_hint(example(kind));
                self.report(problem);
                return None;
            }
        };
        self.check_range(node, path, kind, value, limits).then_some(value)
    }

    /// What a bare number of this kind is worth in the unit of the kind.
    fn bare_factor(&self, kind: Kind) -> f64 {
        match (kind, self.units) {
            (Kind::Length, LengthUnit::Centimetre) => 10.0,
            (Kind::Length, LengthUnit::Inch) => INCH_MM,
            _ => 1.0,
        }
    }

    fn quantity_problem(&self, node: &Node, path: &str, kind: Kind, text: &str, error: &QuantityError) -> Diagnostic {
        let value = shorten(text);
        let at = |code, message: String| self.source.diagnostic_at(node.span.clone(), path, code, message);
        let units = || list_of(kind.main_units());
        match error {
            QuantityError::NoNumber => {
                at("no-number", format!("`{path}` is \"{value}\", which does not begin with a number"))
                    .with_hint(example(kind))
            }
            QuantityError::DecimalComma(mended) => {
                at("decimal-comma", format!("`{path}` is \"{value}\", with a comma for the decimal point"))
                    .with_hint(format!("write \"{}\"", shorten(mended)))
            }
            QuantityError::NoUnit => at("no-unit", format!("`{path}` is the text \"{value}\", without a unit"))
                .with_allowed(units())
                .with_hint(format!("write \"{value} {}\", or the number without quotes", kind.unit())),
            QuantityError::UnknownUnit(unit) => {
                let problem = at(
                    "unknown-unit",
                    format!("`{path}` is \"{value}\", and its unit \"{}\" is not known", shorten(unit)),
                )
                .with_allowed(units());
                match nearest(unit, kind.units()) {
                    Some(guess) => problem.with_hint(format!("did you mean \"{guess}\"?")),
                    None => problem,
                }
            }
            QuantityError::WrongKind { kind: found, value: amount } => {
                let message = format!("`{path}` is \"{value}\", {}, where {} belongs", found.noun(), kind.noun());
                let problem = at("wrong-unit", message).with_allowed(units());
                match (found, kind) {
                    (Kind::Mass, Kind::Force) => {
                        problem.with_hint(format!("its weight is \"{:.3} N\"", quantity::weight_of(*amount)))
                    }
                    _ => problem,
                }
            }
        }
    }

    fn check_range(&mut self, node: &Node, path: &str, kind: Kind, value: f64, limits: [f64; 2]) -> bool {
        let [least, greatest] = limits;
        if value >= least && value <= greatest {
            return true;
        }
        let written = self.source.excerpt(&node.span);
        let allowed = format!("{} to {}", kind.show(least), kind.show(greatest));
        let at = |code, message| {
            self.source.diagnostic_at(node.span.clone(), path, code, message).with_allowed(allowed.clone())
        };
        let endless = value.is_nan() || written.trim_start_matches(['+', '-']) == "inf";
        if endless {
            self.report(at("not-finite", format!("`{path}` is {written}, which is no size")));
            return false;
        }
        let low = value < least;
        let side = if low { "below" } else { "above" };
        let problem = at("out-of-range", format!("`{path}` is {written}, {side} what is allowed"));
        let hint = self.range_hint(node, kind, value, limits);
        self.report(problem.with_hint(hint));
        false
    }

    /// The likeliest repair: the sign, the unit, or else the nearest allowed value.
    fn range_hint(&self, node: &Node, kind: Kind, value: f64, limits: [f64; 2]) -> String {
        let fits = |value: f64| value >= limits[0] && value <= limits[1];
        let bare = matches!(node.value, Value::Number(_)) && kind == Kind::Length;
        if value < 0.0 && fits(-value) {
            return "without the minus sign it is allowed".to_owned();
        }
        let inches = value / self.bare_factor(kind);
        if bare && value > 0.0 && self.units == LengthUnit::Millimetre && fits(inches * INCH_MM) {
            return format!("if it was measured in inches, write \"{inches} in\"");
        }
        if bare && self.units != LengthUnit::Millimetre && fits(inches) {
            return format!("if it was measured in millimetres, write \"{inches} mm\"");
        }
        let near = if value < limits[0] { limits[0] } else { limits[1] };
        format!("the nearest allowed value is {}", kind.show(near))
    }
}

/// How a quantity of the kind is written.
fn example(kind: Kind) -> String {
    let written = match kind {
        Kind::Length => "9.6, \"9.6 mm\" or \"0.375 in\"",
        Kind::Angle => "1.5, \"1.5 deg\" or \"0.03 rad\"",
        Kind::Force => "4, \"4 N\" or \"1.2 lbf\"",
        Kind::Mass => "9, \"9 g\" or \"0.3 oz\"",
        Kind::Ratio => "0.02 or \"2 %\"",
        Kind::Stress => "2100, \"2100 MPa\" or \"2.1 GPa\"",
        Kind::Density => "1.24 or \"1.24 g/cm3\"",
    };
    format!("written for example as {written}")
}

/// A text of the file, short enough for a message and in one line.
pub(crate) fn shorten(text: &str) -> String {
    const LONGEST: usize = 48;
    let clean = text.chars().map(|letter| if letter.is_control() { ' ' } else { letter });
    if text.chars().count() <= LONGEST {
        return clean.collect();
    }
    clean.take(LONGEST).chain("…".chars()).collect()
}
