//! Reading of the tool family.

use crate::keys::spec_keys::{
    ACROSS_LOAD, ALONG, BARREL_LENGTH, CENTRE_OF_MASS, LOAD_AT, MASS, TOOL_NAME, TOOLS, WORKING_LOAD,
};
use crate::keys::table_reader::{OpenTable, TableReader};
use crate::spec::barrel;
use crate::spec::tool_section;
use crate::text::value_tree::{Node, Value};
use crate::values::checked_spec::Tool;

/// Reads all tools. Returns `None` if any of them is wrong, after reporting it.
pub(crate) fn read_tools<'a>(reader: &mut TableReader<'a>, root: &OpenTable<'a>) -> Option<Vec<Tool>> {
    let Some(node) = root.get(TOOLS.name) else {
        reader.report_missing_key(root, &TOOLS);
        return None;
    };
    let Value::List(items) = &node.value else {
        let problem = reader.wrong_type(node, TOOLS.name, "a repeated table");
        reader.report(problem.with_hint("write [[tools]] with double brackets before each tool"));
        return None;
    };
    let right_count = reader.check_count(node, TOOLS.name, items.len(), [1, TOOLS.form.max_count]);
    let mut tools = Vec::new();
    for (index, item) in items.iter().enumerate().take(TOOLS.form.max_count) {
        tools.push(read_tool(reader, item, format!("{}[{index}]", TOOLS.name)));
    }
    check_names(reader, items);
    tools.into_iter().collect::<Option<Vec<_>>>().filter(|_| right_count)
}

fn read_tool<'a>(reader: &mut TableReader<'a>, node: &'a Node, path: String) -> Option<Tool> {
    let table = reader.open_table(node, path, &TOOLS.form.table);
    let name = reader.text(&table, &TOOL_NAME);
    let barrel = barrel::read_barrel(reader, &table);
    let cross_section = tool_section::read_tool_section(reader, &table, barrel.as_ref());
    let length = table.get(BARREL_LENGTH.name).map(|_| reader.quantity(&table, &BARREL_LENGTH));
    let mass = reader.quantity(&table, &MASS);
    let centre = table.get(CENTRE_OF_MASS.name).map(|_| reader.quantity(&table, &CENTRE_OF_MASS));
    let load = reader.open_subtable(&table, &WORKING_LOAD);
    let load_at = load.get(LOAD_AT.name).map(|_| reader.quantity(&load, &LOAD_AT));
    let (along, across) = (reader.quantity(&load, &ALONG), reader.quantity(&load, &ACROSS_LOAD));
    let tool = Tool {
        name: name?,
        barrel: barrel?,
        section: cross_section?,
        length_mm: length.map_or(Some(None), |found| found.map(Some))?,
        mass_kg: mass?,
        load_along_n: along?,
        load_across_n: across?,
        centre_mm: centre.map_or(Some(None), |found| found.map(Some))?,
        load_at_mm: load_at.map_or(Some(None), |found| found.map(Some))?,
    };
    // An absent key reads as exactly zero.
    if tool.mass_kg <= 0.0 && tool.load_along_n <= 0.0 && tool.load_across_n <= 0.0 {
        let message = format!(
            "tool \"{}\" has neither mass nor working load, so that `hold.at_least` alone decides its hold",
            tool.name
        );
        let hint = "give its mass, or a working_load";
        reader.report(reader.source.diagnostic(&table.path, "no-load", message).with_hint(hint).as_warning());
    }
    Some(tool)
}

/// Checks that names are unique. Names that differ only in case or outer space would be confused in the fit table.
fn check_names(reader: &mut TableReader<'_>, items: &[Node]) {
    let mut seen: Vec<(String, usize)> = Vec::new();
    for (index, item) in items.iter().enumerate().take(TOOLS.form.max_count) {
        let name = item.entries().and_then(|entries| entries.iter().find(|entry| entry.key == TOOL_NAME.name));
        let Some(Value::Text(name)) = name.map(|entry| &entry.node.value) else { continue };
        let plain = name.trim().to_lowercase();
        if let Some((_, first)) = seen.iter().find(|(other, _)| *other == plain) {
            let path = format!("tools[{index}].name");
            let (line, _) = reader.source.position(reader.source.span(&format!("tools[{first}].name")).start);
            let message =
                format!("`{path}` is \"{}\", the name of the tool at line {line}", crate::text::source::shorten(name));
            let hint = "every tool has a name of its own";
            reader.report(reader.source.diagnostic(&path, "same-name", message).with_hint(hint));
        } else if !plain.is_empty() {
            seen.push((plain, index));
        }
    }
}
