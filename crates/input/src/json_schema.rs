//! JSON Schema of a spec, generated from the key descriptions that reading uses.

use serde_json::{Map, Value, json};

use crate::keys::key::{Key, KeyForm, KeyTable};
use crate::keys::spec_keys::SPEC;
use crate::text::quantity::{INCH_MM, QuantityKind, QuantityRange};

/// Returns the JSON Schema (2020-12) of a spec, with descriptions, units, limits and defaults.
///
/// It accepts every sound spec and refuses unknown keys, wrong types and wrong units. Limits that depend on other values
/// stand only in the descriptions. A bare length counts in `holder.units`, so its limits in the schema are those of the
/// largest unit.
pub fn schema() -> Value {
    let mut root = table(&SPEC);
    root.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
    root.insert("title".to_owned(), json!("gripwright spec"));
    Value::Object(root)
}

fn table(table: &KeyTable) -> Map<String, Value> {
    let properties: Map<String, Value> =
        table.keys.iter().map(|key| (key.name().to_owned(), Value::Object(property(*key)))).collect();
    let required: Vec<&str> =
        table.keys.iter().filter(|key| key.required_because().is_some()).map(|key| key.name()).collect();
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
        KeyForm::Quantity { range, default } => with_default(quantity(range), default.map(|value| json!(value))),
        KeyForm::Text { max_length, default } => with_default(
            object_of(json!({ "type": "string", "minLength": 1, "maxLength": max_length })),
            default.map(|word| json!(word)),
        ),
        KeyForm::Choice { words, default } => {
            let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            with_default(object_of(json!({ "enum": words })), default.map(|word| json!(word)))
        }
        KeyForm::Quantities { range, min_count, max_count, default } => {
            let items = Value::Object(quantity(range));
            let list = json!({ "type": "array", "items": items, "minItems": min_count, "maxItems": max_count });
            with_default(object_of(list), default.map(|values| json!(values)))
        }
        KeyForm::Rows { min_count, max_count, first, rest } => {
            let [first, rest] = [first, rest].map(|range| Value::Object(quantity(range)));
            let row = json!({ "type": "array", "prefixItems": [first], "items": rest, "minItems": 2 });
            object_of(json!({ "type": "array", "items": row, "minItems": min_count, "maxItems": max_count }))
        }
        KeyForm::Table(inner) => table(inner),
        KeyForm::Tables { table: inner, max_count } => {
            object_of(json!({ "type": "array", "items": table(inner), "minItems": 1, "maxItems": max_count }))
        }
        KeyForm::OneOf(tables) => {
            object_of(json!({ "oneOf": tables.iter().map(|inner| variant(inner)).collect::<Vec<_>>() }))
        }
        KeyForm::Diameter { range, table: inner } => diameter(range, inner),
    };
    object.insert("description".to_owned(), json!(description));
    object
}

/// Returns the description that an editor shows: meaning, limits, words, and what applies without the key.
fn describe(key: &dyn Key, form: &KeyForm) -> String {
    let mut parts = vec![key.about().to_owned()];
    match form {
        KeyForm::Quantity { range, .. } | KeyForm::Diameter { range, .. } => parts.push(range.to_string()),
        KeyForm::Quantities { range, .. } | KeyForm::Rows { rest: range, .. } => parts.push(format!("each {range}")),
        KeyForm::Choice { words, .. } => {
            let words: Vec<String> = words.iter().map(|(word, about)| format!("\"{word}\" {about}")).collect();
            parts.push(words.join(", "));
        }
        KeyForm::Text { .. } | KeyForm::Table(_) | KeyForm::Tables { .. } | KeyForm::OneOf(_) => {}
    }
    if let Some(why) = key.required_because() {
        parts.push(format!("needed because {why}"));
    }
    if let Some(meaning) = key.meaning_if_absent() {
        parts.push(format!("without it: {meaning}"));
    }
    parts.join("; ")
}

/// Returns the schema of a quantity: a bare number, or a text with a unit.
fn quantity(range: QuantityRange) -> Map<String, Value> {
    let QuantityRange { kind, least, greatest } = range;
    // A bare length may count in inches, in which the least number is smaller.
    let smallest = if kind == QuantityKind::Length { least.min(least / INCH_MM) } else { least };
    object_of(json!({ "anyOf": [
        { "type": "number", "minimum": smallest, "maximum": greatest },
        { "type": "string", "pattern": format!("^{}$", pattern(kind)) },
    ] }))
}

/// Returns the regular expression of a number with a unit, which is optional for a plain number.
fn pattern(kind: QuantityKind) -> String {
    let units = kind.unit_names().collect::<Vec<_>>().join("|");
    let optional = if kind == QuantityKind::Ratio { "?" } else { "" };
    format!(r"\s*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?\s*({units}){optional}\s*")
}

fn diameter(range: QuantityRange, inner: &KeyTable) -> Map<String, Value> {
    let size = r"\s*\d+\.?\d*\s*(d|e|f|g|h|js)(5|6|7|8|9|10|11|12|13|14)\s*";
    let number = json!({ "type": "number", "minimum": range.least / INCH_MM, "maximum": range.greatest });
    let text = json!({ "type": "string", "pattern": format!("^({}|{size})$", pattern(QuantityKind::Length)) });
    let mut limits_or_readings = table(inner);
    let choices = json!([{ "required": ["min", "max"] }, { "required": ["readings"] }]);
    limits_or_readings.insert("oneOf".to_owned(), choices);
    object_of(json!({ "anyOf": [number, text, limits_or_readings] }))
}

/// Returns the schema of one alternative of a table. Its first key, the shape, must have the word of this alternative.
fn variant(inner: &KeyTable) -> Value {
    let mut object = table(inner);
    let word = crate::keys::profile_shape::SHAPE
        .words
        .iter()
        .find(|(_, shape, _)| std::ptr::eq(crate::keys::spec_keys::keys_of_shape(*shape), inner));
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

/// Returns the map of a JSON object. Callers pass objects only; for other values it is empty.
fn object_of(value: Value) -> Map<String, Value> {
    match value {
        Value::Object(map) => map,
        _ => Map::new(),
    }
}
