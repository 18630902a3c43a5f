//! CSV tables of trials, as spreadsheets write them: any separator, any order of columns, quotes, blank rows.

use std::ops::Range;

use csv_core::{ReadFieldResult, ReaderBuilder};

use crate::read_limits::{MOST_COLUMNS, MOST_ROWS};
use crate::text::diagnostic::Diagnostic;
use crate::text::source::{Source, shorten};
use crate::text::suggestion::{nearest_word, quoted_list};
use crate::trials::written_table::{Column, TRIAL_COLUMNS, TrialTable, WrittenRow};

/// Reads a CSV table. Returns `None` if its header row cannot be used.
pub(crate) fn read_csv(source: &Source, problems: &mut Vec<Diagnostic>) -> Option<TrialTable> {
    let delimiter = delimiter(source.text());
    let records = records(source.text(), delimiter);
    if records.len() > 1 + MOST_ROWS {
        let problem = source.diagnostic_at(0..0, "", "too-much", "the file has too many rows");
        problems.push(problem.with_allowed(format!("at most {MOST_ROWS}")).with_hint("is this the right file?"));
        return None;
    }
    let mut records = records.into_iter();
    let Some(header) = records.next() else {
        let problem = source.diagnostic_at(0..0, "", "empty", "the file has no heading and no row");
        problems.push(problem.with_allowed(columns()).with_hint("`gripwright coupons` writes one to fill in"));
        return None;
    };
    let header = HeaderRow::read(source, &header, problems)?;
    let rows = records.filter_map(|fields| written_row(source, &header, &fields, problems)).collect();
    Some(TrialTable { rows, units: header.units, decimal_comma: delimiter == b';' })
}

fn columns() -> String {
    quoted_list(TRIAL_COLUMNS)
}

/// Header row: the column of each field, and the units that headings give.
struct HeaderRow {
    columns: Vec<Option<Column>>,
    units: [Option<String>; Column::ALL.len()],
}

impl HeaderRow {
    fn read(source: &Source, fields: &[Field], problems: &mut Vec<Diagnostic>) -> Option<Self> {
        if fields.len() > MOST_COLUMNS {
            let message = format!("the first row names {} columns", fields.len());
            let problem = source.diagnostic_at(0..0, "", "too-much", message);
            problems.push(problem.with_allowed(format!("at most {MOST_COLUMNS}")).with_hint("is this the right file?"));
            return None;
        }
        let mut out = Self { columns: Vec::new(), units: std::array::from_fn(|_| None) };
        let mut sound = true;
        for field in fields {
            let (name, unit) = name_and_unit(&field.text);
            let found = Column::ALL.into_iter().find(|c| c.name() == name);
            let place = || field.span.clone();
            let shown = shorten(field.text.trim());
            if let Some(column) = found {
                if out.columns.contains(&Some(column)) {
                    let message = format!("column \"{shown}\" stands twice");
                    let problem = source.diagnostic_at(place(), column.name(), "repeated-column", message);
                    problems.push(problem.with_hint("keep one of the two"));
                    sound = false;
                }
                out.units[column as usize] = unit;
            } else if let Some(guess) = nearest_word(&name, TRIAL_COLUMNS) {
                let message = format!("column \"{shown}\" is not known");
                let problem = source.diagnostic_at(place(), "", "unknown-column", message).with_allowed(columns());
                problems.push(problem.with_hint(format!("did you mean \"{guess}\"?")));
                sound = false;
            } else if !name.is_empty() {
                let message = format!("column \"{shown}\" is not read");
                let problem = source.diagnostic_at(place(), "", "unknown-column", message).with_allowed(columns());
                problems.push(problem.with_hint("what should be kept belongs in \"note\"").as_warning());
            }
            out.columns.push(found);
        }
        for needed in [Column::Coupon, Column::Outcome] {
            if sound && !out.columns.contains(&Some(needed)) {
                let message = format!("column \"{}\" is missing", needed.name());
                // Warnings of unread columns are then redundant.
                problems.retain(Diagnostic::is_error);
                let span = fields.first().map_or(0..0, |f| f.span.start..fields.last().map_or(0, |l| l.span.end));
                let problem =
                    source.diagnostic_at(span, needed.name(), "missing-column", message).with_allowed(columns());
                problems.push(problem.with_hint("the first row names the columns, in any order"));
                return None;
            }
        }
        sound.then_some(out)
    }
}

/// Splits a heading into its name in lower case and the unit in brackets after it.
fn name_and_unit(text: &str) -> (String, Option<String>) {
    let text = text.trim();
    let (name, unit) = match text.find(['[', '(']) {
        Some(at) => (&text[..at], Some(text[at..].trim_matches(['[', ']', '(', ')', ' ']).to_owned())),
        None => (text, None),
    };
    (name.trim().to_lowercase(), unit.filter(|unit| !unit.is_empty()))
}

/// Returns the row, unless it is blank or has too many cells.
fn written_row(
    source: &Source,
    header: &HeaderRow,
    fields: &[Field],
    problems: &mut Vec<Diagnostic>,
) -> Option<WrittenRow> {
    let (first, last) = (fields.first()?, fields.last()?);
    let mut row = WrittenRow::empty(first.span.start..last.span.end);
    let mut written = false;
    for (index, field) in fields.iter().enumerate() {
        written |= !field.text.trim().is_empty();
        if let Some(Some(column)) = header.columns.get(index) {
            row.set(*column, &field.text, field.span.clone());
        }
    }
    let beyond = fields.iter().skip(header.columns.len()).find(|f| !f.text.trim().is_empty());
    if let Some(field) = beyond {
        let message = format!("\"{}\" stands beyond the last column", shorten(field.text.trim()));
        let problem = source.diagnostic_at(field.span.clone(), "", "too-many-cells", message);
        problems.push(
            problem
                .with_allowed(format!("{} cells in a row, as many as the first row names", header.columns.len()))
                .with_hint("a decimal comma or a comma in a note takes quotes around its cell, as in \"9,32\""),
        );
        return None;
    }
    written.then_some(row)
}

/// A decoded field and its byte range, including quotes.
struct Field {
    text: String,
    span: Range<usize>,
}

/// Returns the separator: that of a first line `sep=;`, or else the most frequent one in the first row outside quotes.
fn delimiter(text: &str) -> u8 {
    let text = text.trim_start_matches('\u{feff}');
    if let Some(declared) = separator_line(text) {
        return declared;
    }
    let header = text.lines().find(|l| !l.trim().is_empty() && !l.starts_with('#')).unwrap_or("");
    let mut quoted = false;
    let mut counts = [(b';', 0), (b'\t', 0), (b',', 0)];
    for byte in header.bytes() {
        quoted ^= byte == b'"';
        for (separator, count) in &mut counts {
            *count += usize::from(!quoted && byte == *separator);
        }
    }
    let most = counts.iter().map(|(_, count)| *count).max().unwrap_or(0);
    counts.iter().find(|(_, count)| *count == most && most > 0).map_or(b',', |(separator, _)| *separator)
}

/// Returns the separator that the first line declares for spreadsheets, as in `sep=;`.
fn separator_line(text: &str) -> Option<u8> {
    let line = text.lines().next()?.trim().to_ascii_lowercase();
    let rest = line.strip_prefix("sep=")?;
    match rest.as_bytes() {
        [separator @ (b';' | b',')] => Some(*separator),
        // Trimming has removed the tab.
        [] => Some(b'\t'),
        _ => None,
    }
}

/// Returns all records, without comments, blank lines and a line that declares the separator.
fn records(text: &str, delimiter: u8) -> Vec<Vec<Field>> {
    let start = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let start = match separator_line(&text[start..]) {
        Some(_) => text[start..].find('\n').map_or(text.len(), |at| start + at + 1),
        None => start,
    };
    let bytes = text.as_bytes();
    let mut parser = ReaderBuilder::new().delimiter(delimiter).build();
    let mut records = Vec::new();
    let mut record: Vec<Field> = Vec::new();
    let mut at = start;
    loop {
        if record.is_empty() {
            at = skip_comments(text, at);
        }
        let from = at;
        let mut decoded = Vec::new();
        let mut buffer = [0; 256];
        let ended = loop {
            let (result, taken, written) = parser.read_field(&bytes[at..], &mut buffer);
            at += taken;
            decoded.extend_from_slice(&buffer[..written]);
            match result {
                // When all bytes are consumed, the next call returns the end.
                ReadFieldResult::InputEmpty | ReadFieldResult::OutputFull => {}
                ReadFieldResult::Field { record_end } => break Some(record_end),
                ReadFieldResult::End => break None,
            }
        };
        let Some(record_end) = ended else { break };
        let written = &text[from..at];
        let inner = written.trim_end_matches(['\r', '\n']);
        let inner = if record_end { inner } else { inner.strip_suffix(char::from(delimiter)).unwrap_or(inner) };
        let lead = inner.len() - inner.trim_start().len();
        let span = from + lead..(from + lead).max(from + inner.trim_end().len());
        record.push(Field { text: String::from_utf8_lossy(&decoded).into_owned(), span });
        if record_end {
            let record = std::mem::take(&mut record);
            if record.iter().any(|field| !field.text.trim().is_empty()) {
                records.push(record);
                if records.len() > 1 + MOST_ROWS {
                    break;
                }
            }
        }
    }
    records
}

/// Returns the start of the next line that is neither blank nor a comment.
fn skip_comments(text: &str, mut at: usize) -> usize {
    while let Some(rest) = text.get(at..) {
        let line = rest.split_inclusive('\n').next().unwrap_or("");
        if line.is_empty() || !(line.trim().is_empty() || line.starts_with('#')) {
            break;
        }
        // A line of tabs alone is a blank row too.
        at += line.len();
    }
    at
}

#[cfg(test)]
mod tests {
    use super::{delimiter, records};

    fn decoded(text: &str) -> Vec<Vec<(String, &str)>> {
        let fields = records(text, delimiter(text));
        fields.into_iter().map(|r| r.into_iter().map(|f| (f.text, &text[f.span])).collect()).collect()
    }

    #[test]
    fn fields_know_the_bytes_that_they_were_written_in() {
        let text = "\u{feff}a;\"b;\"\"x\"\"\" ; c\r\n\r\n# no; row\r\n ; \r\n1,5;é;\n";
        let found = decoded(text);
        let pair = |text: &str, span: &'static str| (text.to_owned(), span);
        assert_eq!(found[0], [pair("a", "a"), pair("b;\"x\" ", "\"b;\"\"x\"\"\""), pair(" c", "c")]);
        assert_eq!(found[1], [pair("1,5", "1,5"), pair("é", "é"), pair("", "")]);
        assert_eq!(found.len(), 2);
    }

    #[test]
    fn separators_are_found_or_declared() {
        assert_eq!(delimiter("a,b;c;d"), b';');
        assert_eq!(delimiter("\"a;b;c\",d"), b',');
        assert_eq!(delimiter("\n\na\tb"), b'\t');
        assert_eq!(delimiter("coupon"), b',');
        assert_eq!(delimiter("sep=;\r\na,b"), b';');
        assert_eq!(decoded("sep=;\r\na;b").len(), 1);
    }
}
