//! Quantities: kinds, units, conversion factors and parsing of numbers with units.

use std::f64::consts::PI;

/// Kind of quantity. Each kind has one message unit, in which bare numbers, limits and messages are given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum QuantityKind {
    /// mm.
    Length,
    /// deg; checked values are in rad.
    Angle,
    /// N.
    Force,
    /// g; checked values are in kg.
    Mass,
    /// A plain number or a share in %.
    Ratio,
    /// MPa.
    Stress,
    /// g/cm³.
    Density,
    /// °C.
    Temperature,
    /// min.
    Time,
    /// bar; checked values are in MPa.
    Pressure,
    /// A plain number.
    Count,
}

impl QuantityKind {
    /// Returns the message unit; empty for a plain number.
    pub(crate) fn unit(self) -> &'static str {
        match self {
            Self::Length => "mm",
            Self::Angle => "deg",
            Self::Force => "N",
            Self::Mass => "g",
            Self::Ratio | Self::Count => "",
            Self::Stress => "MPa",
            Self::Density => "g/cm3",
            Self::Temperature => "°C",
            Self::Time => "min",
            Self::Pressure => "bar",
        }
    }

    /// Returns the name in messages, with its article.
    pub(crate) fn description(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Angle => "an angle",
            Self::Force => "a force",
            Self::Mass => "a mass",
            Self::Ratio => "a share",
            Self::Stress => "a modulus",
            Self::Density => "a density",
            Self::Temperature => "a temperature",
            Self::Time => "a time",
            Self::Pressure => "a pressure",
            Self::Count => "a number",
        }
    }

    /// Converts a value from the message unit to the unit of checked values.
    pub(crate) fn to_checked(self, value: f64) -> f64 {
        match self {
            Self::Angle => value * (PI / 180.0),
            Self::Mass => value / 1000.0,
            Self::Pressure => value / 10.0,
            Self::Length
            | Self::Force
            | Self::Ratio
            | Self::Stress
            | Self::Density
            | Self::Temperature
            | Self::Time
            | Self::Count => value,
        }
    }

    /// Returns all spellings of all units.
    pub(crate) fn unit_names(self) -> impl Iterator<Item = &'static str> {
        UNITS.iter().filter(move |unit| unit.kind == self).flat_map(|unit| unit.names).copied()
    }

    /// Returns the main spelling of each unit, for messages.
    pub(crate) fn main_unit_names(self) -> impl Iterator<Item = &'static str> {
        UNITS.iter().filter(move |unit| unit.kind == self).filter_map(|unit| unit.names.first()).copied()
    }

    /// Formats a value that is given in the message unit.
    pub(crate) fn show(self, value: f64) -> String {
        let unit = self.unit();
        if unit.is_empty() { value.to_string() } else { format!("{value} {unit}") }
    }
}

/// Unit of lengths that are written without a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LengthUnit {
    /// 1 mm.
    Millimetre,
    /// 10 mm.
    Centimetre,
    /// 25.4 mm, exact: international yard and pound agreement, 1959.
    Inch,
}

/// Least and greatest value of a quantity, in the unit of its kind.
#[derive(Clone, Copy, Debug)]
pub(crate) struct QuantityRange {
    pub(crate) kind: QuantityKind,
    pub(crate) least: f64,
    pub(crate) greatest: f64,
}

impl QuantityRange {
    /// Returns true if the value lies within the range; NaN does not.
    pub(crate) fn contains(self, value: f64) -> bool {
        value >= self.least && value <= self.greatest
    }
}

/// Writes the range for messages, as in `0 deg to 15 deg`.
impl std::fmt::Display for QuantityRange {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{} to {}", self.kind.show(self.least), self.kind.show(self.greatest))
    }
}

struct Unit {
    names: &'static [&'static str],
    kind: QuantityKind,
    /// One unit in the message unit of its kind.
    factor: f64,
}

const fn unit(names: &'static [&'static str], kind: QuantityKind, factor: f64) -> Unit {
    Unit { names, kind, factor }
}

/// Standard acceleration of free fall, m/s², exact: 3rd General Conference on Weights and Measures, 1901.
const STANDARD_GRAVITY: f64 = 9.806_65;
/// The international inch in mm and pound in kg, exact: international yard and pound agreement, 1959.
pub(crate) const INCH_MM: f64 = 25.4;
const POUND_KG: f64 = 0.453_592_37;
/// Pound-force per square inch in MPa: the three exact factors above.
const PSI_MPA: f64 = POUND_KG * STANDARD_GRAVITY / (INCH_MM * INCH_MM);

const UNITS: &[Unit] = &[
    unit(&["mm"], QuantityKind::Length, 1.0),
    unit(&["cm"], QuantityKind::Length, 10.0),
    unit(&["m"], QuantityKind::Length, 1000.0),
    unit(&["um", "µm", "μm"], QuantityKind::Length, 0.001),
    unit(&["in", "inch", "\""], QuantityKind::Length, INCH_MM),
    unit(&["thou"], QuantityKind::Length, INCH_MM / 1000.0),
    unit(&["deg", "°"], QuantityKind::Angle, 1.0),
    unit(&["rad"], QuantityKind::Angle, 180.0 / PI),
    unit(&["N"], QuantityKind::Force, 1.0),
    unit(&["kN"], QuantityKind::Force, 1000.0),
    unit(&["mN"], QuantityKind::Force, 0.001),
    unit(&["lbf"], QuantityKind::Force, POUND_KG * STANDARD_GRAVITY),
    unit(&["kgf"], QuantityKind::Force, STANDARD_GRAVITY),
    unit(&["gf"], QuantityKind::Force, STANDARD_GRAVITY / 1000.0),
    unit(&["g"], QuantityKind::Mass, 1.0),
    unit(&["kg"], QuantityKind::Mass, 1000.0),
    unit(&["mg"], QuantityKind::Mass, 0.001),
    unit(&["lb"], QuantityKind::Mass, POUND_KG * 1000.0),
    unit(&["oz"], QuantityKind::Mass, POUND_KG * 1000.0 / 16.0),
    unit(&["%"], QuantityKind::Ratio, 0.01),
    unit(&["MPa"], QuantityKind::Stress, 1.0),
    unit(&["GPa"], QuantityKind::Stress, 1000.0),
    unit(&["psi"], QuantityKind::Stress, PSI_MPA),
    unit(&["ksi"], QuantityKind::Stress, 1000.0 * PSI_MPA),
    unit(&["g/cm3", "g/cm³"], QuantityKind::Density, 1.0),
    unit(&["kg/m3", "kg/m³"], QuantityKind::Density, 0.001),
    unit(&["°C", "degC", "C"], QuantityKind::Temperature, 1.0),
    unit(&["min"], QuantityKind::Time, 1.0),
    unit(&["s"], QuantityKind::Time, 1.0 / 60.0),
    unit(&["h"], QuantityKind::Time, 60.0),
    unit(&["d"], QuantityKind::Time, 1440.0),
    unit(&["bar"], QuantityKind::Pressure, 1.0),
    unit(&["MPa"], QuantityKind::Pressure, 10.0),
    unit(&["kPa"], QuantityKind::Pressure, 0.01),
    unit(&["psi"], QuantityKind::Pressure, 10.0 * PSI_MPA),
];

/// Reason why a text is no quantity of the expected kind.
#[derive(Debug, PartialEq)]
pub(crate) enum QuantityError {
    /// The text does not begin with a number.
    NoNumber,
    /// The text has a decimal comma. Contains the text with a decimal point.
    DecimalComma(String),
    /// The text is a number without a unit.
    NoUnit,
    /// The unit is unknown.
    UnknownUnit(String),
    /// The unit belongs to another kind.
    WrongKind {
        /// Kind of the written unit.
        kind: QuantityKind,
        /// Value in the message unit of that kind.
        value: f64,
    },
}

/// Parses a text such as `"0.375 in"`. Returns the value in the message unit of its kind.
pub(crate) fn parse(text: &str, kind: QuantityKind) -> Result<f64, QuantityError> {
    let text = text.trim();
    let (number, rest) = leading_fraction(text).or_else(|| leading_number(text)).ok_or(QuantityError::NoNumber)?;
    if rest.strip_prefix(',').is_some_and(|after| after.starts_with(|next: char| next.is_ascii_digit())) {
        return Err(QuantityError::DecimalComma(text.replacen(',', ".", 1)));
    }
    let name = rest.trim_start();
    if name.is_empty() {
        let plain = matches!(kind, QuantityKind::Ratio | QuantityKind::Count);
        return if plain { Ok(number) } else { Err(QuantityError::NoUnit) };
    }
    // A unit such as psi belongs to several kinds.
    let named = |unit: &&Unit| unit.names.contains(&name);
    match UNITS.iter().filter(named).find(|unit| unit.kind == kind).or_else(|| UNITS.iter().find(named)) {
        Some(unit) if unit.kind == kind => Ok(number * unit.factor),
        Some(unit) => Err(QuantityError::WrongKind { kind: unit.kind, value: number * unit.factor }),
        None => Err(QuantityError::UnknownUnit(name.to_owned())),
    }
}

/// Returns the weight of a mass in g, N. Hints use it where a mass is given instead of a force.
pub(crate) fn weight_of(mass_g: f64) -> f64 {
    mass_g / 1000.0 * STANDARD_GRAVITY
}

/// Splits a fraction such as `3/8`, or a mixed number such as `1 1/2` or `1-1/2`, from the rest of a text.
fn leading_fraction(text: &str) -> Option<(f64, &str)> {
    let whole_number = |text: &'_ str| text.bytes().take_while(u8::is_ascii_digit).count();
    let split = |text| {
        let (number, rest) = str::split_at(text, whole_number(text));
        Some((number.parse::<f64>().ok()?, rest))
    };
    let (first, rest) = split(text)?;
    let (whole, (above, rest)) = match rest.strip_prefix('-').or_else(|| rest.strip_prefix(' ')) {
        Some(fraction) => (first, split(fraction.trim_start())?),
        None => (0.0, (first, rest)),
    };
    let (below, rest) = split(rest.strip_prefix('/')?)?;
    (below > 0.0).then_some((whole + above / below, rest))
}

/// Splits the number at the beginning of a text from the rest.
pub(crate) fn leading_number(text: &str) -> Option<(f64, &str)> {
    let bytes = text.as_bytes();
    let digits_from = |from: usize| bytes.iter().skip(from).take_while(|byte| byte.is_ascii_digit()).count();
    let sign = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let whole = digits_from(sign);
    let mut end = sign + whole;
    let mut decimals = 0;
    if bytes.get(end) == Some(&b'.') {
        decimals = digits_from(end + 1);
        end += 1 + decimals;
    }
    if whole + decimals == 0 {
        return None;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let exponent_sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let exponent = digits_from(end + 1 + exponent_sign);
        if exponent > 0 {
            end += 1 + exponent_sign + exponent;
        }
    }
    let number = text.get(..end)?.parse().ok()?;
    Some((number, text.get(end..)?))
}

#[cfg(test)]
mod tests {
    use super::{QuantityError, QuantityKind, leading_number, parse};

    /// The factors are exact by the agreements named at the table; products are compared within rounding.
    #[test]
    fn converts_with_the_exact_factors() {
        let cases = [
            ("9.6 mm", QuantityKind::Length, 9.6),
            ("0.375 in", QuantityKind::Length, 9.525),
            ("0.375\"", QuantityKind::Length, 9.525),
            ("3/8 in", QuantityKind::Length, 9.525),
            ("1 1/2 in", QuantityKind::Length, 38.1),
            ("1-1/2\"", QuantityKind::Length, 38.1),
            ("1.5cm", QuantityKind::Length, 15.0),
            ("0.02 m", QuantityKind::Length, 20.0),
            ("50 µm", QuantityKind::Length, 0.05),
            ("50 um", QuantityKind::Length, 0.05),
            ("2 thou", QuantityKind::Length, 0.0508),
            ("8 deg", QuantityKind::Angle, 8.0),
            ("8°", QuantityKind::Angle, 8.0),
            ("0.1 rad", QuantityKind::Angle, 5.729_577_951_308_232),
            ("1.2 lbf", QuantityKind::Force, 5.337_865_938_312_6),
            ("1 kgf", QuantityKind::Force, 9.806_65),
            ("1 lb", QuantityKind::Mass, 453.592_37),
            ("1 oz", QuantityKind::Mass, 28.349_523_125),
            ("4 %", QuantityKind::Ratio, 0.04),
            ("2.1 GPa", QuantityKind::Stress, 2100.0),
            ("1 psi", QuantityKind::Stress, 0.006_894_757_293_168_361),
            ("1e-1 kN", QuantityKind::Force, 100.0),
        ];
        for (text, kind, expected) in cases {
            let value = parse(text, kind).unwrap_or(f64::NAN);
            assert!((value - expected).abs() <= 1e-14 * expected, "{text}: {value}");
        }
    }

    #[test]
    fn says_what_is_wrong() {
        assert_eq!(parse("wide", QuantityKind::Length), Err(QuantityError::NoNumber));
        assert_eq!(parse("", QuantityKind::Length), Err(QuantityError::NoNumber));
        assert_eq!(parse("3/0 in", QuantityKind::Length), Err(QuantityError::UnknownUnit("/0 in".to_owned())));
        assert_eq!(parse("nan mm", QuantityKind::Length), Err(QuantityError::NoNumber));
        assert_eq!(parse("9,6 mm", QuantityKind::Length), Err(QuantityError::DecimalComma("9.6 mm".to_owned())));
        assert_eq!(parse("9.6", QuantityKind::Length), Err(QuantityError::NoUnit));
        assert_eq!(parse("9.6 MM", QuantityKind::Length), Err(QuantityError::UnknownUnit("MM".to_owned())));
        assert_eq!(
            parse("5 deg", QuantityKind::Length),
            Err(QuantityError::WrongKind { kind: QuantityKind::Angle, value: 5.0 })
        );
    }

    #[test]
    fn splits_numbers_from_what_follows() {
        assert_eq!(leading_number("12 h9"), Some((12.0, " h9")));
        assert_eq!(leading_number("+.5x"), Some((0.5, "x")));
        assert_eq!(leading_number("1e3mm"), Some((1000.0, "mm")));
        assert_eq!(leading_number("1em"), Some((1.0, "em")));
        assert_eq!(leading_number("."), None);
        assert_eq!(leading_number("-"), None);
    }
}
