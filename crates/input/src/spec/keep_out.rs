//! Reading of keep-outs: volumes that must stay free.

use crate::keys::key::TableKey;
use crate::keys::table_reader::{OpenTable, TableReader};
use crate::text::value_tree::{Node, Value};
use crate::values::checked_spec::{KeepOut, KeepOutShape};

use crate::keys::keep_out_keys::{
    BOX, BOX_FROM, BOX_TO, CLEARANCE, CYLINDER, CYLINDER_ALONG, CYLINDER_DIAMETER, CYLINDER_FROM, CYLINDER_TO,
    KEEP_OUT_NAME, KEEP_OUTS, PIVOT, REACH, SWEEP, SWEEP_ACROSS, SWEEP_FROM, SWEEP_TO, SWEEP_WIDTH, THICKNESS, THROUGH,
};

/// Least size of a keep-out in any direction, mm.
const LEAST_SIZE_MM: f64 = 0.1;
/// Greatest turn of a lever, rad: half a turn, and a margin for rounding.
const MAX_TURN_RAD: f64 = std::f64::consts::PI * (1.0 + 1e-12);

/// Reads all keep-outs. Returns `None` if any of them is wrong, after reporting it; without a table the list is empty.
pub(crate) fn read_keep_outs<'a>(reader: &mut TableReader<'a>, root: &OpenTable<'a>) -> Option<Vec<KeepOut>> {
    let Some(node) = root.get(KEEP_OUTS.name) else { return Some(Vec::new()) };
    let Value::List(items) = &node.value else {
        let problem = reader.wrong_type(node, KEEP_OUTS.name, "a repeated table");
        reader.report(problem.with_hint("write [[keep_out]] with double brackets before each of them"));
        return None;
    };
    let right_count = reader.check_count(node, KEEP_OUTS.name, items.len(), [1, KEEP_OUTS.form.max_count]);
    let mut found = Vec::new();
    for (index, item) in items.iter().enumerate().take(KEEP_OUTS.form.max_count) {
        found.push(read_keep_out(reader, item, format!("{}[{index}]", KEEP_OUTS.name)));
    }
    let found = found.into_iter().collect::<Option<Vec<_>>>().filter(|_| right_count)?;
    check_names(reader, &found).then_some(found)
}

fn read_keep_out<'a>(reader: &mut TableReader<'a>, node: &'a Node, path: String) -> Option<KeepOut> {
    let table = reader.open_table(node, path, &KEEP_OUTS.form.table);
    let name = reader.text(&table, &KEEP_OUT_NAME);
    let clearance = reader.quantity(&table, &CLEARANCE);
    let shape = read_shape(reader, node, &table);
    Some(KeepOut { name: name?, shape: shape?, clearance_mm: clearance? })
}

/// Reads the shape: exactly one of three tables.
fn read_shape<'a>(reader: &mut TableReader<'a>, node: &'a Node, table: &OpenTable<'a>) -> Option<KeepOutShape> {
    let written: Vec<&TableKey> =
        [&BOX, &CYLINDER, &SWEEP].into_iter().filter(|k| table.get(k.name).is_some()).collect();
    let allowed = "exactly one of `box`, `cylinder` and `sweep`";
    let &[key] = written.as_slice() else {
        let (span, code, what, hint) = if let Some(second) = written.get(1).and_then(|second| table.get(second.name)) {
            let names: Vec<String> = written.iter().map(|k| format!("`{}`", k.name)).collect();
            let what = format!("has {}: a keep-out has one shape", names.join(" and "));
            (second.span.clone(), "two-shapes", what, "write each volume as a [[keep_out]] of its own")
        } else {
            let hint = "say what must stay free, as in sweep = { pivot = [16.0, -30.0], … }";
            (node.span.clone(), "no-shape", "has no shape".to_owned(), hint)
        };
        let message = format!("`{}` {what}", table.path);
        let problem = reader.source.diagnostic_at(span, &table.path, code, message).with_allowed(allowed);
        // An unknown key was reported already, and may be the missing shape.
        let known = |name: &str| KEEP_OUTS.form.table.names().any(|own| own == name);
        if node.entries().is_some_and(|entries| entries.iter().all(|entry| known(&entry.key))) {
            reader.report(problem.with_hint(hint));
        }
        return None;
    };
    let inner = reader.open_subtable(table, key);
    match key.name {
        name if name == BOX.name => read_box(reader, &inner),
        name if name == CYLINDER.name => read_cylinder(reader, &inner),
        _ => read_sweep(reader, &inner),
    }
}

fn read_box<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>) -> Option<KeepOutShape> {
    let (from, to) = (reader.quantities(table, &BOX_FROM), reader.quantities(table, &BOX_TO));
    let (from, to) = (from?, to?);
    let (&[x, y, z], &[to_x, to_y, to_z]) = (from.as_slice(), to.as_slice()) else { return None };
    let mut sound = true;
    for (k, (axis, (low, high))) in ["x", "y", "z"].into_iter().zip(from.iter().zip(&to)).enumerate() {
        let path = format!("{}[{k}]", table.path_of(BOX_TO.name));
        sound &= check_far_end(reader, &path, axis, *low, *high);
    }
    sound.then_some(KeepOutShape::Box { from_mm: [x, y, z], to_mm: [to_x, to_y, to_z] })
}

/// Checks that the far end of a range lies beyond its near end.
fn check_far_end(reader: &mut TableReader<'_>, path: &str, axis: &str, low: f64, high: f64) -> bool {
    if high >= low + LEAST_SIZE_MM {
        return true;
    }
    let message = format!("`{path}` is {high} mm: along {axis} it must lie above `from`, which is {low} mm");
    let hint = if high < low { "exchange the two" } else { "a volume has a size in every direction" };
    let allowed = format!("at least {} mm", low + LEAST_SIZE_MM);
    reader.report_value(path, "inside-out", message, allowed, hint);
    false
}

fn read_cylinder<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>) -> Option<KeepOutShape> {
    let along = reader.choice(table, &CYLINDER_ALONG);
    let through = reader.quantities(table, &THROUGH);
    let diameter = reader.quantity(table, &CYLINDER_DIAMETER);
    let (from, to) = (reader.quantity(table, &CYLINDER_FROM), reader.quantity(table, &CYLINDER_TO));
    let (from_mm, to_mm) = (from?, to?);
    let sound = check_far_end(reader, &table.path_of(CYLINDER_TO.name), "its axis", from_mm, to_mm);
    let through = through?;
    let &[x, y, z] = through.as_slice() else { return None };
    let shape = KeepOutShape::Cylinder { along: along?, through_mm: [x, y, z], diameter_mm: diameter?, from_mm, to_mm };
    sound.then_some(shape)
}

fn read_sweep<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>) -> Option<KeepOutShape> {
    let pivot = reader.quantities(table, &PIVOT);
    let reach = reader.quantity(table, &REACH);
    let thickness = reader.quantity(table, &THICKNESS);
    let width = reader.quantity(table, &SWEEP_WIDTH);
    let across = reader.quantity(table, &SWEEP_ACROSS);
    let (from, to) = (reader.quantity(table, &SWEEP_FROM), reader.quantity(table, &SWEEP_TO));
    let turns = from.zip(to).is_none_or(|(from, to)| check_turn(reader, table, from, to));
    let long = reach.zip(thickness).is_none_or(|(reach, thickness)| {
        if thickness <= reach {
            return true;
        }
        let path = table.path_of(THICKNESS.name);
        let message = format!("`{path}` is {thickness} mm, more than the reach of {reach} mm");
        let hint = "the reach is measured from the pivot to the tip; a hub is a `cylinder` along x";
        reader.report_value(&path, "thicker-than-long", message, format!("at most {reach} mm"), hint);
        false
    });
    let pivot = pivot?;
    let &[y, z] = pivot.as_slice() else { return None };
    let shape = KeepOutShape::Sweep {
        pivot_mm: [y, z],
        reach_mm: reach?,
        thickness_mm: thickness?,
        width_mm: width?,
        across_mm: across?,
        from_rad: from?,
        to_rad: to?,
    };
    (turns && long).then_some(shape)
}

fn check_turn(reader: &mut TableReader<'_>, table: &OpenTable<'_>, from: f64, to: f64) -> bool {
    let (first, last) = (from.to_degrees(), to.to_degrees());
    let path = table.path_of(SWEEP_TO.name);
    let allowed = format!("{first:.2} deg to {:.2} deg", first + 180.0);
    let (code, message, hint) = if to < from {
        let message = format!("`{path}` is {last:.2} deg, below `from`, which is {first:.2} deg");
        ("sweep-backwards", message, "exchange the two, or add 360 deg to the last direction")
    } else if to - from > MAX_TURN_RAD {
        let message = format!("`{path}` is {last:.2} deg: the lever would turn by {:.2} deg", last - first);
        ("turns-too-far", message, "what turns farther than 180 deg keeps a whole `cylinder` along x free")
    } else {
        return true;
    };
    reader.report_value(&path, code, message, allowed, hint);
    false
}

/// Checks that names are unique, because tables name keep-outs.
fn check_names(reader: &mut TableReader<'_>, found: &[KeepOut]) -> bool {
    let plain = |k: &KeepOut| k.name.trim().to_lowercase();
    let mut sound = true;
    for (index, keep_out) in found.iter().enumerate() {
        let Some(first) = found.iter().take(index).position(|other| plain(other) == plain(keep_out)) else { continue };
        let path = format!("{}[{index}].{}", KEEP_OUTS.name, KEEP_OUT_NAME.name);
        let (line, _) = reader.source.position(reader.source.span(&format!("{}[{first}].name", KEEP_OUTS.name)).start);
        let message = format!("`{path}` is \"{}\", the name of the keep-out at line {line}", keep_out.name);
        let hint = "every keep-out has a name of its own";
        reader.report(reader.source.diagnostic(&path, "same-name", message).with_hint(hint));
        sound = false;
    }
    sound
}
