//! The JSON Schema of a spec, made from the same descriptions that reading uses.

use serde_json::{Map, Value, json};

use crate::keys::key::{Form, Key, Table};
use crate::keys::spec::SPEC;
use crate::text::quantity::{INCH_MM, Kind};

/// JSON Schema (2020-12) of a spec, with descriptions, units, limits and defaults.
///
/// It accepts every sound spec and refuses unknown keys, wrong types and wrong units. What depends on other values is
/// only said in the descriptions: a bare length counts in `holder.units`, so its limits there are those of the
/// widest unit.
pub fn schema() -> Value {
    let mut root = table(&SPEC);
    root.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
    root.insert("title".to_owned(), json!("gripwright spec"));
    Value::Object(root)
}

fn table(table: &Table) -> Map<String, Value> {
    let properties: Map<String, Value> =
        table.keys.iter().map(|key| (key.name().to_owned(), Value::Object(property(*key)))).collect();
    let required: Vec<&str> = table.keys.iter().filter(|key| key.needed().is_some()).map(|key| key.name()).collect();
    let mut object = Map::new();
    object.insert("description".to_owned(), json!(table.about));
    object.insert("type".to_owned(), json!("object"));
    object.insert("additionalProperties".to_owned(), json!(false));
    object.insert("properties".to_owned(), Value::Object(properties));
    if !required.is_empty() {
        object.insert("required".to_owned(), json!(required));
    }
    object
}

fn property(key: &dyn Key) -> Map<String, Value> {
    let form = key.form();
    let description = describe(key, &form);
    let mut object = match form {
        Form::Quantity { kind, least, greatest, default } => {
            with_default(quantity(kind, least, greatest), default.map(|value| json!(value)))
        }
        Form::Text { longest, default } => with_default(
            object_of(json!({ "type": "string", "minLength": 1, "maxLength": longest })),
            default.map(|word| json!(word)),
        ),
        Form::Choice { words, default } => {
            let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            with_default(object_of(json!({ "enum": words })), default.map(|word| json!(word)))
        }
        Form::Quantities { kind, least, greatest, fewest, most, default } => {
            let items = Value::Object(quantity(kind, least, greatest));
            let list = json!({ "type": "array", "items": items, "minItems": fewest, "maxItems": most });
            with_default(object_of(list), default.map(|values| json!(values)))
        }
        Form::Rows { fewest, most, kinds: [first, rest] } => {
            let [first, rest] =
                [first, rest].map(|(kind, least, greatest)| Value::Object(quantity(kind, least, greatest)));
            let row = json!({ "type": "array", "prefixItems": [first], "items": rest, "minItems": 2 });
            object_of(json!({ "type": "array", "items": row, "minItems": fewest, "maxItems": most }))
        }
        Form::Table(inner) => table(inner),
        Form::Tables { table: inner, most } => {
            object_of(json!({ "type": "array", "items": table(inner), "minItems": 1, "maxItems": most }))
        }
        Form::OneOf(tables) => {
            object_of(json!({ "oneOf": tables.iter().map(|inner| variant(inner)).collect::<Vec<_>>() }))
        }
        Form::Diameter { least, greatest, table: inner } => diameter(least, greatest, inner),
    };
    object.insert("description".to_owned(), json!(description));
    object
}

/// One sentence that an editor shows: what it is, its limits, its words, and what holds without it.
fn describe(key: &dyn Key, form: &Form) -> String {
    let mut parts = vec![key.about().to_owned()];
    match form {
        Form::Quantity { kind, least, greatest, .. } => parts.push(limits(*kind, *least, *greatest)),
        Form::Quantities { kind, least, greatest, .. } | Form::Rows { kinds: [_, (kind, least, greatest)], .. } => {
            parts.push(format!("each {}", limits(*kind, *least, *greatest)));
        }
        Form::Diameter { least, greatest, .. } => parts.push(limits(Kind::Length, *least, *greatest)),
        Form::Choice { words, .. } => {
            let words: Vec<String> = words.iter().map(|(word, about)| format!("\"{word}\" {about}")).collect();
            parts.push(words.join(", "));
        }
        Form::Text { .. } | Form::Table(_) | Form::Tables { .. } | Form::OneOf(_) => {}
    }
    if let Some(why) = key.needed() {
        parts.push(format!("needed because {why}"));
    }
    if let Some(meaning) = key.otherwise() {
        parts.push(format!("without it: {meaning}"));
    }
    parts.join("; ")
}

fn limits(kind: Kind, least: f64, greatest: f64) -> String {
    format!("{} to {}", kind.show(least), kind.show(greatest))
}

/// A bare number, or a text with a unit.
fn quantity(kind: Kind, least: f64, greatest: f64) -> Map<String, Value> {
    // A bare length may count in inches, in which the least number is smaller.
    let smallest = if kind == Kind::Length { least.min(least / INCH_MM) } else { least };
    object_of(json!({ "anyOf": [
        { "type": "number", "minimum": smallest, "maximum": greatest },
        { "type": "string", "pattern": format!("^{}$", pattern(kind)) },
    ] }))
}

/// Regular expression of a number with a unit; a plain number needs none.
fn pattern(kind: Kind) -> String {
    let units = kind.units().collect::<Vec<_>>().join("|");
    let optional = if kind == Kind::Ratio { "?" } else { "" };
    format!(r"\s*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?\s*({units}){optional}\s*")
}

fn diameter(least: f64, greatest: f64, inner: &Table) -> Map<String, Value> {
    let size = r"\s*\d+\.?\d*\s*(d|e|f|g|h|js)(5|6|7|8|9|10|11|12|13|14)\s*";
    let number = json!({ "type": "number", "minimum": least / INCH_MM, "maximum": greatest });
    let text = json!({ "type": "string", "pattern": format!("^({}|{size})$", pattern(Kind::Length)) });
    let mut limits_or_readings = table(inner);
    let choices = json!([{ "required": ["min", "max"] }, { "required": ["readings"] }]);
    limits_or_readings.insert("oneOf".to_owned(), choices);
    object_of(json!({ "anyOf": [number, text, limits_or_readings] }))
}

/// A table that its first key tells from its siblings: the key must be the word of this one.
fn variant(inner: &Table) -> Value {
    let mut object = table(inner);
    let word = crate::keys::profile_shape::SHAPE
        .words
        .iter()
        .find(|(_, shape, _)| std::ptr::eq(crate::spec::body::table_of(*shape), inner));
    if let (Some((word, ..)), Some(Value::Object(properties))) = (word, object.get_mut("properties")) {
        properties.insert(crate::keys::profile_shape::SHAPE.name.to_owned(), json!({ "const": word }));
    }
    Value::Object(object)
}

fn with_default(mut object: Map<String, Value>, default: Option<Value>) -> Map<String, Value> {
    if let Some(default) = default {
        object.insert("default".to_owned(), default);
    }
    object
}

/// The map of a JSON object; empty for anything else, which no caller hands in.
fn object_of(value: Value) -> Map<String, Value> {
    match value {
        Value::Object(map) => map,
        _ => Map::new(),
    }
}
