//! Text of a file with the position of every key path.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::text::diagnostic::{Diagnostic, Severity};
use crate::text::value_tree::{Node, Value};

/// Maximum length of a text of the file in a message, characters.
const MAX_QUOTE_LENGTH: usize = 48;

/// Text of a file with the position of every key path.
///
/// Later stages know only checked values. They point back to the file by key path.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    file: String,
    text: String,
    line_starts: Vec<usize>,
    spans: BTreeMap<String, Range<usize>>,
}

impl Source {
    /// Creates a source without key paths. It cannot fail, so that diagnostics can also point into a broken file.
    pub(crate) fn new(file: &str, text: &str) -> Self {
        let line_starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self { file: file.to_owned(), text: text.to_owned(), line_starts, spans: BTreeMap::new() }
    }

    /// Records the position of every key below the root table.
    pub(crate) fn record_paths(&mut self, root: &Node) {
        record_paths(&mut self.spans, "", root);
    }

    /// Name of the file, as the caller gave it.
    pub fn file(&self) -> &str {
        &self.file
    }

    /// Text of the file.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Returns the byte range of the value at a key path.
    ///
    /// If the path is not written, its nearest written ancestor counts, and otherwise the start of the file.
    pub fn span(&self, path: &str) -> Range<usize> {
        let mut path = path;
        loop {
            if let Some(span) = self.spans.get(path) {
                return span.clone();
            }
            match path.rfind(['.', '[']) {
                Some(cut) => path = &path[..cut],
                None => return 0..0,
            }
        }
    }

    /// Returns true if the file contains this path, and false if only a default applies.
    pub fn is_written(&self, path: &str) -> bool {
        self.spans.contains_key(path)
    }

    /// Returns line and column of a byte, both from 1. Columns count characters, without a byte-order mark.
    pub(crate) fn position(&self, byte: usize) -> (usize, usize) {
        let line = self.line_starts.partition_point(|&start| start <= byte).max(1);
        let start = self.line_starts.get(line - 1).copied().unwrap_or(0);
        let mut end = byte.min(self.text.len());
        while !self.text.is_char_boundary(end) {
            end -= 1;
        }
        let before = self.text.get(start..end).unwrap_or("");
        (line, before.chars().filter(|&character| character != '\u{feff}').count() + 1)
    }

    /// Returns an error that points at the value of a key path, as [`Self::span`] finds it.
    ///
    /// `code` is a short stable name of the kind of problem; `message` contains the value. Allowed values and hints are
    /// added with [`Diagnostic::with_allowed`] and [`Diagnostic::with_hint`].
    pub fn diagnostic(&self, path: &str, code: &'static str, message: impl Into<String>) -> Diagnostic {
        self.diagnostic_at(self.span(path), path, code, message)
    }

    /// Returns an error that points at a byte range.
    pub(crate) fn diagnostic_at(
        &self,
        span: Range<usize>,
        path: &str,
        code: &'static str,
        message: impl Into<String>,
    ) -> Diagnostic {
        let (line, column) = self.position(span.start);
        Diagnostic {
            severity: Severity::Error,
            code,
            file: self.file.clone(),
            line,
            column,
            span,
            path: path.to_owned(),
            message: message.into(),
            allowed: None,
            hints: Vec::new(),
        }
    }

    /// Returns the text of a span in one line and shortened, as messages quote it.
    pub(crate) fn excerpt(&self, span: &Range<usize>) -> String {
        let text = self.text.get(span.clone()).unwrap_or("").split_whitespace().collect::<Vec<_>>().join(" ");
        if text.chars().count() <= MAX_QUOTE_LENGTH {
            return text;
        }
        text.chars().take(MAX_QUOTE_LENGTH).chain("…".chars()).collect()
    }
}

fn record_paths(spans: &mut BTreeMap<String, Range<usize>>, path: &str, node: &Node) {
    if !path.is_empty() {
        spans.insert(path.to_owned(), node.span.clone());
    }
    match &node.value {
        Value::Table(entries) => {
            for entry in entries {
                record_paths(spans, &join_path(path, &entry.key), &entry.node);
            }
        }
        Value::List(items) => {
            for (index, item) in items.iter().enumerate() {
                record_paths(spans, &format!("{path}[{index}]"), item);
            }
        }
        Value::Text(_) | Value::Number(_) | Value::Flag(_) | Value::Date => {}
    }
}

/// Returns the path of a key in the table at `path`.
pub(crate) fn join_path(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}

/// Returns a text of the file in one line and shortened, for messages.
pub(crate) fn shorten(text: &str) -> String {
    let clean = text.chars().map(|letter| if letter.is_control() { ' ' } else { letter });
    if text.chars().count() <= MAX_QUOTE_LENGTH {
        return clean.collect();
    }
    clean.take(MAX_QUOTE_LENGTH).chain("…".chars()).collect()
}
