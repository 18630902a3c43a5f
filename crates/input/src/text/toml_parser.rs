//! Parser of TOML into a tree of values with positions. No other module depends on the TOML library.

use std::ops::Range;

use toml::de::{DeInteger, DeTable, DeValue};
use toml::{Spanned, de};

use crate::read_limits::MOST_SYNTAX_PROBLEMS;
use crate::text::diagnostic::Diagnostic;
use crate::text::source::Source;
use crate::text::value_tree::{Entry, Node, Value};

/// Parses a document and records its key paths in the source.
///
/// Reports every syntax error. A repeated key leaves a usable tree, in which the first one counts; with any other syntax
/// error there is no tree.
pub(crate) fn parse(source: &mut Source, problems: &mut Vec<Diagnostic>) -> Option<Node> {
    let text = source.text().to_owned();
    let (table, errors) = DeTable::parse_recoverable(&text);
    let broken = errors.iter().any(|error| error.message() != REPEATED_KEY_MESSAGE);
    problems.extend(syntax_problems(source, &errors));
    if broken {
        return None;
    }
    let root = Node { span: 0..0, value: table_value(table.get_ref()) };
    source.record_paths(&root);
    Some(root)
}

/// Message of the TOML library for a repeated key.
const REPEATED_KEY_MESSAGE: &str = "duplicate key";

fn syntax_problems(source: &Source, errors: &[de::Error]) -> Vec<Diagnostic> {
    let mut found: Vec<Diagnostic> = Vec::new();
    let mut sorted: Vec<&de::Error> = errors.iter().collect();
    sorted.sort_by_key(|error| error.span().map_or(0, |span| span.start));
    for error in sorted {
        let span = error.span().unwrap_or(0..0);
        // An unclosed bracket is reported once per open level, all at one place.
        if found.last().is_some_and(|last| last.span.start == span.start) {
            continue;
        }
        if found.len() == MOST_SYNTAX_PROBLEMS {
            break;
        }
        found.push(syntax_problem(source, span, error.message()));
    }
    found
}

fn syntax_problem(source: &Source, span: Range<usize>, message: &str) -> Diagnostic {
    let excerpt = source.excerpt(&span);
    if message == REPEATED_KEY_MESSAGE {
        return source
            .diagnostic_at(span, &excerpt, "repeated-key", format!("`{excerpt}` is given twice in one table"))
            .with_hint("keep one of the two");
    }
    let hint = syntax_hint(source, &span, &excerpt);
    let diagnostic = source.diagnostic_at(span, "", "syntax", format!("not valid TOML: {message}"));
    match hint {
        Some(hint) => diagnostic.with_hint(hint),
        None => diagnostic,
    }
}

/// Returns a hint for the most frequent mistakes in measured values.
fn syntax_hint(source: &Source, span: &Range<usize>, excerpt: &str) -> Option<String> {
    let (before, after) = (source.text().get(..span.start)?, source.text().get(span.start..)?);
    let comma = after.strip_prefix(',').is_some_and(|rest| rest.starts_with(|next: char| next.is_ascii_digit()));
    if comma && before.ends_with(|last: char| last.is_ascii_digit()) {
        return Some("decimals take a point, as in 9.6".to_owned());
    }
    if after.starts_with(':') {
        return Some("a key and its value are joined by =".to_owned());
    }
    if excerpt.is_empty() && before.trim_end_matches(' ').ends_with('=') {
        return Some("the value is missing".to_owned());
    }
    let measure = excerpt.starts_with(|first: char| first.is_ascii_digit() || matches!(first, '-' | '+' | '.'))
        && excerpt.ends_with(|last: char| last.is_alphabetic() || last == '°');
    measure.then(|| format!("a number with its unit goes in quotes: \"{excerpt}\""))
}

fn node(value: &Spanned<DeValue<'_>>) -> Node {
    Node { span: value.span(), value: plain_value(value.get_ref()) }
}

fn plain_value(value: &DeValue<'_>) -> Value {
    match value {
        DeValue::String(text) => Value::Text(text.clone().into_owned()),
        DeValue::Integer(number) => Value::Number(integer(number)),
        // The parser has checked the notation; what f64 cannot hold becomes infinite and is refused by its range.
        DeValue::Float(number) => Value::Number(number.as_str().parse().unwrap_or(f64::NAN)),
        DeValue::Boolean(flag) => Value::Flag(*flag),
        DeValue::Datetime(_) => Value::Date,
        DeValue::Array(items) => Value::List(items.iter().map(node).collect()),
        DeValue::Table(table) => table_value(table),
    }
}

fn integer(number: &DeInteger<'_>) -> f64 {
    if number.radix() == 10 {
        return number.as_str().parse().unwrap_or(f64::NAN);
    }
    u64::from_str_radix(number.as_str(), number.radix()).map_or(f64::INFINITY, |value| value as f64)
}

fn table_value(table: &DeTable<'_>) -> Value {
    let mut entries: Vec<Entry> = table
        .iter()
        .map(|(key, value)| Entry { key: key.get_ref().to_string(), key_span: key.span(), node: node(value) })
        .collect();
    entries.sort_by_key(|entry| entry.key_span.start);
    Value::Table(entries)
}
