//! Lookup of the table to which a misplaced key belongs.

use crate::keys::key::{KeyForm, KeyTable, RepeatedTableForm};
use crate::text::source::join_path;

/// Returns the path of the first table below `root` that has the key.
pub(crate) fn table_of_key(root: &KeyTable, key: &str) -> Option<String> {
    search(root, "", key)
}

fn search(table: &KeyTable, path: &str, wanted: &str) -> Option<String> {
    if !path.is_empty() && table.names().any(|name| name == wanted) {
        return Some(path.to_owned());
    }
    table.keys.iter().find_map(|key| {
        let path = join_path(path, key.name());
        match key.form() {
            KeyForm::Table(table)
            | KeyForm::TableOrWord { table, .. }
            | KeyForm::Tables(RepeatedTableForm { table, .. }) => search(&table, &path, wanted),
            KeyForm::OneOf(tables) => tables.iter().find_map(|table| search(table, &path, wanted)),
            _ => None,
        }
    })
}
