//! Finds the table to which a misplaced key belongs.

use crate::keys::key::{Form, Table};
use crate::text::source::join;

/// Returns the path of the first table below `root` that has the key.
pub(crate) fn table_of_key(root: &Table, key: &str) -> Option<String> {
    search(root, "", key)
}

fn search(table: &Table, path: &str, wanted: &str) -> Option<String> {
    if !path.is_empty() && table.names().any(|name| name == wanted) {
        return Some(path.to_owned());
    }
    table.keys.iter().find_map(|key| {
        let path = join(path, key.name());
        match key.form() {
            Form::Table(table) | Form::Tables { table, .. } => search(table, &path, wanted),
            Form::OneOf(tables) => tables.iter().find_map(|table| search(table, &path, wanted)),
            _ => None,
        }
    })
}
