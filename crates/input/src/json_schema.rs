//! JSON Schema of a spec, generated from the key descriptions that reading uses.

use serde_json::{Map, Value, json};

use crate::keys::key::{DescribedKey, DiameterForm, KeyForm, KeyTable, ListForm, RepeatedTableForm, RowsForm};
use crate::keys::profile_shape::SHAPE;
use crate::keys::spec_keys::{SPEC, keys_of_shape};
use crate::text::quantity::{INCH_MM, QuantityKind, QuantityRange};

/// Returns the JSON Schema (2020-12) of a spec, with descriptions, units, limits and defaults.
///
/// It accepts every sound spec and refuses unknown keys, wrong types and wrong units. Limits that depend on other values
/// stand only in the descriptions. A bare length counts in `holder.units`, so its limits in the schema are those of the
/// largest unit.
pub fn schema() -> Value {
    let mut root = table(&SPEC);
    root["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    root["title"] = json!("gripwright spec");
    root
}

fn table(table: &KeyTable) -> Value {
    let properties: Map<String, Value> = table.keys.iter().map(|key| (key.name().to_owned(), property(*key))).collect();
    let required: Vec<&str> =
        table.keys.iter().filter(|key| key.required_because().is_some()).map(|key| key.name()).collect();
    let mut object = json!({
        "description": table.about, "type": "object", "additionalProperties": false, "properties": properties,
    });
    if !required.is_empty() {
        object["required"] = json!(required);
    }
    object
}

fn property(key: &dyn DescribedKey) -> Value {
    let form = key.form();
    let (mut object, default) = match &form {
        KeyForm::Quantity { range, default } => (quantity(*range), json!(default)),
        KeyForm::QuantityOrWord { range, word: (word, _), default } => {
            (json!({ "anyOf": [quantity(*range), { "const": word }] }), json!(default))
        }
        KeyForm::Text { max_length, default } => {
            (json!({ "type": "string", "minLength": 1, "maxLength": max_length }), json!(default))
        }
        KeyForm::Flag { default } => (json!({ "type": "boolean" }), json!(default)),
        KeyForm::Choice { words, default } => {
            let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            (json!({ "enum": words }), json!(default))
        }
        KeyForm::Quantities { list: ListForm { range, count }, default } => {
            (array(&quantity(*range), *count), json!(default))
        }
        KeyForm::Rows(RowsForm { angles, lengths, count }) => {
            let (first, rest) = (quantity(*angles), quantity(*lengths));
            let row = json!({ "type": "array", "prefixItems": [first], "items": rest, "minItems": 2 });
            (array(&row, *count), Value::Null)
        }
        KeyForm::Table(inner) => (table(inner), Value::Null),
        KeyForm::TableOrWord { table: inner, word: (word, _) } => {
            (json!({ "anyOf": [table(inner), { "const": word }] }), Value::Null)
        }
        KeyForm::Tables(RepeatedTableForm { table: inner, max_count }) => {
            (array(&table(inner), [1, *max_count]), Value::Null)
        }
        KeyForm::OneOf(tables) => {
            (json!({ "oneOf": tables.iter().map(|inner| variant(inner)).collect::<Vec<_>>() }), Value::Null)
        }
        KeyForm::Diameter(DiameterForm { range, table: inner }) => (diameter(*range, inner), Value::Null),
    };
    if !default.is_null() {
        object["default"] = default;
    }
    object["description"] = json!(describe(key, &form));
    object
}

fn array(items: &Value, count: [usize; 2]) -> Value {
    json!({ "type": "array", "items": items, "minItems": count[0], "maxItems": count[1] })
}

/// Returns the description that an editor shows: meaning, limits, words, and what applies without the key.
fn describe(key: &dyn DescribedKey, form: &KeyForm) -> String {
    let mut parts = vec![key.about().to_owned()];
    match form {
        KeyForm::Quantity { range, .. } | KeyForm::Diameter(DiameterForm { range, .. }) => {
            parts.push(range.to_string());
        }
        KeyForm::Quantities { list: ListForm { range, .. }, .. } | KeyForm::Rows(RowsForm { lengths: range, .. }) => {
            parts.push(format!("each {range}"));
        }
        KeyForm::QuantityOrWord { range, word: (word, about), .. } => {
            parts.push(format!("{range}, or \"{word}\": {about}"));
        }
        KeyForm::TableOrWord { word: (word, about), .. } => parts.push(format!("or \"{word}\": {about}")),
        KeyForm::Choice { words, .. } => {
            let words: Vec<String> = words.iter().map(|(word, about)| format!("\"{word}\" {about}")).collect();
            parts.push(words.join(", "));
        }
        KeyForm::Text { .. } | KeyForm::Flag { .. } | KeyForm::Table(_) | KeyForm::Tables(_) | KeyForm::OneOf(_) => {}
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
fn quantity(range: QuantityRange) -> Value {
    let QuantityRange { kind, least, greatest } = range;
    // A bare length may count in inches, in which the least number is smaller.
    let smallest = if kind == QuantityKind::Length { least.min(least / INCH_MM) } else { least };
    json!({ "anyOf": [
        { "type": "number", "minimum": smallest, "maximum": greatest },
        { "type": "string", "pattern": format!("^{}$", pattern(kind)) },
    ] })
}

/// Returns the regular expression of a number with a unit, which is optional for a plain number.
fn pattern(kind: QuantityKind) -> String {
    let units = kind.unit_names().collect::<Vec<_>>().join("|");
    let unit = match kind {
        QuantityKind::Count => String::new(),
        QuantityKind::Ratio => format!("({units})?"),
        _ => format!("({units})"),
    };
    format!(r"\s*([+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?|(\d+[ -] *)?\d+/\d+)\s*{unit}\s*")
}

fn diameter(range: QuantityRange, inner: &KeyTable) -> Value {
    let size = r"\s*\d+\.?\d*\s*(d|e|f|g|h|js)(5|6|7|8|9|10|11|12|13|14)\s*";
    let number = json!({ "type": "number", "minimum": range.least / INCH_MM, "maximum": range.greatest });
    let text = json!({ "type": "string", "pattern": format!("^({}|{size})$", pattern(QuantityKind::Length)) });
    let mut limits_or_readings = table(inner);
    limits_or_readings["oneOf"] = json!([{ "required": ["min", "max"] }, { "required": ["readings"] }]);
    json!({ "anyOf": [number, text, limits_or_readings] })
}

/// Returns the schema of one alternative of a table. Its first key, the shape, must have the word of this alternative.
fn variant(inner: &KeyTable) -> Value {
    let mut object = table(inner);
    let word = SHAPE.form.words.iter().find(|(_, shape, _)| std::ptr::eq(keys_of_shape(*shape), inner));
    if let Some((word, _, about)) = word {
        object["properties"][SHAPE.name] = json!({ "const": word, "description": about });
    }
    object
}
