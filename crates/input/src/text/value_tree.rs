//! Document as a tree of values with their positions.

use std::ops::Range;

/// A value and its byte range. The range of a table under a header is that of the header.
#[derive(Debug)]
pub(crate) struct Node {
    pub(crate) span: Range<usize>,
    pub(crate) value: Value,
}

#[derive(Debug)]
pub(crate) enum Value {
    Text(String),
    Number(f64),
    Flag(bool),
    Date,
    List(Vec<Node>),
    /// In the order of the file.
    Table(Vec<Entry>),
}

#[derive(Debug)]
pub(crate) struct Entry {
    pub(crate) key: String,
    pub(crate) key_span: Range<usize>,
    pub(crate) node: Node,
}

impl Node {
    /// Returns the kind of value in plain words.
    pub(crate) fn kind(&self) -> &'static str {
        match self.value {
            Value::Text(_) => "a text",
            Value::Number(_) => "a number",
            Value::Flag(_) => "true or false",
            Value::Date => "a date",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
        }
    }

    /// Returns the entries of a table.
    pub(crate) fn entries(&self) -> Option<&[Entry]> {
        match &self.value {
            Value::Table(entries) => Some(entries),
            _ => None,
        }
    }
}
