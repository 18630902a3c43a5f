//! Parsing of one cell: the identity of a coupon, or a number with a unit.

use crate::text::quantity::{QuantityError, QuantityRange, parse};

/// Parses letter and step of a coupon as engraved, such as `A-0.12`, or as people and spreadsheets write it.
pub(super) fn parse_coupon(text: &str) -> Option<(char, f64)> {
    let plain: String = text.chars().filter(|c| !c.is_whitespace()).map(plain_character).collect();
    let mut letters = plain.chars();
    let letter = letters.next()?.to_ascii_uppercase();
    let step = letters.as_str();
    // The number parser also accepts words and exponents, which no coupon has.
    let digits = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || c == '.');
    if !letter.is_ascii_uppercase() || !digits(step.trim_start_matches(['+', '-'])) {
        return None;
    }
    Some((letter, step.parse::<f64>().ok()? + 0.0))
}

/// Replaces typographic minus signs and decimal commas.
fn plain_character(letter: char) -> char {
    match letter {
        '\u{2212}' | '\u{2013}' | '\u{2012}' | '\u{2010}' | '\u{2011}' => '-',
        ',' => '.',
        other => other,
    }
}

/// Reason why a cell is no quantity.
#[derive(Debug, PartialEq)]
pub(super) enum CellError {
    /// A comma that may separate decimals or thousands; contains both readings.
    Ambiguous([f64; 2]),
    /// Any other reason.
    Quantity(QuantityError),
}

/// Parses a number with a unit, with the unit of the column's heading, or in the message unit of its kind.
///
/// A single comma is a decimal comma, except before exactly three digits. There it is one only if that reading alone lies
/// within `range`, or if `decimal_comma` says so.
pub(super) fn parse_quantity(
    text: &str,
    range: QuantityRange,
    heading: Option<&str>,
    decimal_comma: bool,
) -> Result<f64, CellError> {
    let text = text.replace(['\u{a0}', '\u{202f}'], " ");
    let text = text.trim();
    let number_end =
        text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-'))).unwrap_or(text.len());
    let (number, unit) = text.split_at(number_end);
    let read = |number: &str| {
        let unit = if unit.trim().is_empty() { heading.unwrap_or(range.kind.unit()) } else { unit.trim() };
        parse(&format!("{number} {unit}"), range.kind).map_err(CellError::Quantity)
    };
    if number.matches(',').count() != 1 || number.contains('.') {
        return read(number);
    }
    let decimals = read(&number.replace(',', "."))?;
    let after = number.rsplit(',').next().unwrap_or("");
    if decimal_comma || after.len() != 3 || number.starts_with("0,") {
        return Ok(decimals);
    }
    let thousands = read(&number.replace(',', ""))?;
    match (range.contains(decimals), range.contains(thousands)) {
        (true, true) => Err(CellError::Ambiguous([decimals, thousands])),
        (false, true) => Ok(thousands),
        _ => Ok(decimals),
    }
}

#[cfg(test)]
mod tests {
    use super::{CellError, parse_coupon, parse_quantity};
    use crate::text::quantity::{QuantityError, QuantityKind, QuantityRange};

    #[test]
    fn coupons_are_known_as_hands_and_spreadsheets_write_them() {
        for text in ["A-0.12", "a-0.12", " A - 0,12 ", "A\u{2212}0.12", "A-.12"] {
            assert_eq!(parse_coupon(text), Some(('A', -0.12)), "{text}");
        }
        assert_eq!(parse_coupon("M+0.0"), Some(('M', 0.0)));
        assert_eq!(parse_coupon("B0"), Some(('B', 0.0)));
        for text in ["", "A", "A+", "A+-", "-0.1", "A0.1.2", "A1e3", "Ainf", "Anan", "Ä0.1", "A0.1mm"] {
            assert_eq!(parse_coupon(text), None, "{text}");
        }
    }

    #[test]
    fn commas_part_decimals_where_they_can_do_nothing_else() {
        let range = |greatest| QuantityRange { kind: QuantityKind::Force, least: 0.0, greatest };
        let read = |text, comma| parse_quantity(text, range(500.0), None, comma);
        assert_eq!(read("12,5 N", false), Ok(12.5));
        assert_eq!(read("12,5", false), Ok(12.5));
        assert_eq!(read("0,125", false), Ok(0.125));
        assert_eq!(read("12,500", true), Ok(12.5));
        // As thousands it would be beyond the limits.
        assert_eq!(read("1,250", false), Ok(1.25));
        assert_eq!(parse_quantity("1,250", range(5000.0), None, false), Err(CellError::Ambiguous([1.25, 1250.0])));
        assert_eq!(parse_quantity("1,5", range(500.0), Some("kgf"), false), Ok(1.5 * 9.806_65));
        assert_eq!(read("1\u{a0}kgf", false), Ok(9.806_65));
        assert_eq!(read("hard", false), Err(CellError::Quantity(QuantityError::NoNumber)));
    }
}
