//! Which table of a spec a key belongs in.

use crate::keys::key::{Form, Table};
use crate::keys::spec::SPEC;

/// Path of the first table that knows the key.
pub(crate) fn of(key: &str) -> Option<String> {
    search(&SPEC, "", key)
}

fn search(table: &Table, path: &str, wanted: &str) -> Option<String> {
    if !path.is_empty() && table.names().any(|name| name == wanted) {
        return Some(path.to_owned());
    }
    table.keys.iter().find_map(|key| {
        let path = crate::text::source::join(path, key.name());
        match key.form() {
            Form::Table(table) | Form::Tables { table, .. } => search(table, &path, wanted),
            Form::OneOf(tables) => tables.iter().find_map(|table| search(table, &path, wanted)),
            _ => None,
        }
    })
}
