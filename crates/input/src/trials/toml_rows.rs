//! Trials as TOML: `[[trials]]` with the columns of the CSV table as keys.

use crate::text::diagnostic::Diagnostic;
use crate::text::source::{Source, shorten};
use crate::text::suggestion::{nearest_word, quoted_list};
use crate::text::toml_parser;
use crate::text::value_tree::{Node, Value};
use crate::trials::written_table::TRIAL_COLUMNS;
use crate::trials::written_table::{Column, TrialTable, WrittenRow};

/// Reads the rows of a document. Returns `None` if it is not valid TOML.
pub(crate) fn read_toml(source: &mut Source, problems: &mut Vec<Diagnostic>) -> Option<TrialTable> {
    let root = toml_parser::parse(source, problems)?;
    let mut rows = Vec::new();
    for entry in root.entries()? {
        if entry.key == "trials" {
            rows.extend(rows_of_list(source, "trials", &entry.node, problems));
        } else {
            let message = format!("`{}` is not known at the top", shorten(&entry.key));
            let problem = source.diagnostic_at(entry.key_span.clone(), &entry.key, "unknown-key", message);
            problems.push(problem.with_allowed("\"trials\"").with_hint("each row is a [[trials]] of its own"));
        }
    }
    Some(TrialTable::without_units(rows))
}

/// Reads the rows of a repeated table.
pub(crate) fn rows_of_list(
    source: &Source,
    path: &str,
    node: &Node,
    problems: &mut Vec<Diagnostic>,
) -> Vec<WrittenRow> {
    let Value::List(items) = &node.value else {
        let message = format!("`{path}` is {}, where a repeated table belongs", node.kind());
        let problem = source.diagnostic_at(node.span.clone(), path, "wrong-type", message);
        problems.push(problem.with_hint(format!("write [[{path}]] with double brackets before each row")));
        return Vec::new();
    };
    let rows = items
        .iter()
        .enumerate()
        .filter_map(|(index, item)| written_row(source, &format!("{path}[{index}]"), item, problems));
    rows.collect()
}

fn written_row(source: &Source, path: &str, item: &Node, problems: &mut Vec<Diagnostic>) -> Option<WrittenRow> {
    let Some(entries) = item.entries() else {
        let message = format!("`{path}` is {}, where a table belongs", item.kind());
        let problem = source.diagnostic_at(item.span.clone(), path, "wrong-type", message);
        problems.push(problem.with_hint("write [[trials]] with double brackets before each row"));
        return None;
    };
    let mut row = WrittenRow::empty(item.span.clone());
    for entry in entries {
        let at = format!("{path}.{}", entry.key);
        let Some(column) = Column::ALL.into_iter().find(|c| c.name() == entry.key) else {
            let message = format!("`{}` is not known in `{path}`", shorten(&entry.key));
            let problem = source.diagnostic_at(entry.key_span.clone(), &at, "unknown-key", message);
            let problem = problem.with_allowed(quoted_list(TRIAL_COLUMNS));
            problems.push(match nearest_word(&entry.key, TRIAL_COLUMNS) {
                Some(guess) => problem.with_hint(format!("did you mean `{guess}`?")),
                None => problem,
            });
            continue;
        };
        let span = entry.node.span.clone();
        let numeric = matches!(column, Column::Pull | Column::Slide | Column::Drag | Column::Load | Column::Bore);
        match &entry.node.value {
            Value::Text(text) => row.set(column, text, span),
            // The text as written, so that messages can quote it.
            Value::Number(_) if numeric => {
                row.set(column, source.text().get(span.clone()).unwrap_or(""), span);
            }
            _ => {
                let message = format!("`{at}` is {}, where a text in quotes belongs", entry.node.kind());
                let problem = source.diagnostic_at(span, &at, "wrong-type", message);
                let example = if numeric { "\"12 N\" or \"9.3 mm\"" } else { "\"good\"" };
                problems.push(problem.with_hint(format!("written for example as {example}")));
            }
        }
    }
    Some(row)
}
