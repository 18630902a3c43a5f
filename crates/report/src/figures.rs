//! Figures of a document as text for people, each marked with the place that it comes from.
//!
//! A page takes every figure from the document that it carries, so that a reader or a test can find each of them there.

use serde_json::Value;

use crate::markup::escaped;

/// Form of a figure for people.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum FigureForm {
    /// This number of decimals.
    Decimals(u8),
    /// Percent of a share, with this number of decimals.
    Percent(u8),
    /// Two digits that count, and whole numbers above ten.
    TwoDigits,
    /// Degrees of an angle in rad, with this number of decimals.
    Degrees(u8),
    /// Percent that a load takes of its limit, from how many times the limit is kept.
    UsedShare,
    /// The text itself.
    Text,
}

impl FigureForm {
    /// Name in the page's attribute `data-as`.
    fn name(self) -> String {
        match self {
            Self::Decimals(count) => format!("decimals {count}"),
            Self::Percent(count) => format!("percent {count}"),
            Self::TwoDigits => "two-digits".to_owned(),
            Self::Degrees(count) => format!("degrees {count}"),
            Self::UsedShare => "used-share".to_owned(),
            Self::Text => "text".to_owned(),
        }
    }

    /// Text of a number, without unit.
    pub(crate) fn text(self, number: f64) -> String {
        let decimals = |number: f64, count: u8| {
            let text = format!("{number:.*}", usize::from(count));
            // A zero has no sign.
            let is_zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
            if is_zero { text.trim_start_matches('-').to_owned() } else { text.replace('-', "\u{2212}") }
        };
        match self {
            Self::Decimals(count) => decimals(number, count),
            Self::Percent(count) => decimals(100.0 * number, count),
            Self::TwoDigits if number.abs() < 9.95 => decimals(number, 1),
            Self::TwoDigits => decimals(number, 0),
            Self::Degrees(count) => decimals(number.to_degrees(), count),
            Self::UsedShare => decimals(100.0 / number, 0),
            Self::Text => number.to_string(),
        }
    }
}

/// A document and the figures in it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Figures<'a> {
    document: &'a Value,
}

/// Text where a document has no figure.
const NONE: &str = "–";

impl<'a> Figures<'a> {
    pub(crate) fn new(document: &'a Value) -> Self {
        Self { document }
    }

    /// Value at a JSON pointer; null where there is none.
    pub(crate) fn value(self, at: &str) -> &'a Value {
        self.document.pointer(at).unwrap_or(&Value::Null)
    }

    pub(crate) fn number(self, at: &str) -> Option<f64> {
        self.value(at).as_f64()
    }

    /// Text at a JSON pointer, not escaped; empty where there is none.
    pub(crate) fn words(self, at: &str) -> &'a str {
        self.value(at).as_str().unwrap_or("")
    }

    /// Number of entries of a list.
    pub(crate) fn count(self, at: &str) -> usize {
        self.value(at).as_array().map_or(0, Vec::len)
    }

    /// Texts of a list.
    pub(crate) fn texts(self, at: &str) -> Vec<&'a str> {
        self.value(at).as_array().into_iter().flatten().filter_map(Value::as_str).collect()
    }

    /// The figure as HTML; a dash where there is none.
    pub(crate) fn html(self, at: &str, form: FigureForm) -> String {
        let value = self.value(at);
        let text = match value {
            Value::Null => return NONE.to_owned(),
            Value::String(text) => escaped(text),
            other => other.as_f64().map_or_else(|| other.to_string(), |number| form.text(number)),
        };
        format!("<data{}>{text}</data>", self.mark(at, form))
    }

    /// The figure as a `tspan` of SVG text; a dash where there is none.
    pub(crate) fn tspan(self, at: &str, form: FigureForm) -> String {
        match self.number(at) {
            None => NONE.to_owned(),
            Some(number) => format!("<tspan{}>{}</tspan>", self.mark(at, form), form.text(number)),
        }
    }

    /// Two figures of an interval, joined as a range.
    pub(crate) fn range_html(self, at: &str, form: FigureForm) -> String {
        if self.value(at).is_null() {
            return NONE.to_owned();
        }
        format!("{} to {}", self.html(&format!("{at}/0"), form), self.html(&format!("{at}/1"), form))
    }

    /// The same as SVG.
    pub(crate) fn range_tspan(self, at: &str, form: FigureForm) -> String {
        format!("{} to {}", self.tspan(&format!("{at}/0"), form), self.tspan(&format!("{at}/1"), form))
    }

    fn mark(self, at: &str, form: FigureForm) -> String {
        let value = match self.value(at) {
            Value::String(text) => text.clone(),
            other => other.to_string(),
        };
        format!(" value=\"{}\" data-at=\"{}\" data-as=\"{}\"", escaped(&value), escaped(at), form.name())
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn figures_are_marked_with_their_place_and_value() {
        let document = json!({ "fit": [{ "strain": 0.0123, "push": [9.94, 9.96], "tool": "<b>", "none": null }] });
        let figures = Figures::new(&document);
        assert_eq!(
            figures.html("/fit/0/strain", FigureForm::Percent(1)),
            "<data value=\"0.0123\" data-at=\"/fit/0/strain\" data-as=\"percent 1\">1.2</data>"
        );
        assert!(figures.range_html("/fit/0/push", FigureForm::TwoDigits).contains(">9.9</data> to <data"));
        assert!(figures.range_tspan("/fit/0/push", FigureForm::TwoDigits).ends_with(">10</tspan>"));
        assert!(figures.html("/fit/0/tool", FigureForm::Text).ends_with(">&lt;b&gt;</data>"));
        for missing in ["/fit/0/none", "/fit/7", ""] {
            assert!(!figures.html(missing, FigureForm::Text).contains("NaN"));
        }
        assert_eq!(figures.html("/fit/0/none", FigureForm::TwoDigits), "–");
        assert_eq!(FigureForm::Decimals(2).text(-0.001), "0.00");
        assert_eq!(FigureForm::Decimals(1).text(-1.25), "\u{2212}1.2");
        assert_eq!(FigureForm::UsedShare.text(1.25), "80");
        assert_eq!(FigureForm::Degrees(0).text(std::f64::consts::FRAC_PI_2), "90");
    }
}
