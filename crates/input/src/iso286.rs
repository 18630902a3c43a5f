//! Sizes with a tolerance class of ISO 286-1, such as `12 h9`.
//!
//! Standard tolerances IT5 to IT14 up to 120 mm: two published copies of the table of ISO 286-1 agree. Fundamental
//! deviations of the shafts d, e, f, g over 3 mm up to 50 mm: from memory, and equal to the rounded values of the
//! standard's generating formulae (16·D^0.44, 11·D^0.41, 5.5·D^0.41, 2.5·D^0.34). For h the upper deviation is zero
//! and for js the tolerance lies evenly about the size, by definition; likewise the lower deviation of the hole H.

/// Upper ends of the ranges of nominal sizes, mm. A range is over the previous end, up to and including its own.
const RANGE_ENDS: [f64; 8] = [3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0];

/// Standard tolerances in µm, one row for each range, from IT5 to IT14.
const TOLERANCES: [[u16; 10]; 8] = [
    [4, 6, 10, 14, 25, 40, 60, 100, 140, 250],
    [5, 8, 12, 18, 30, 48, 75, 120, 180, 300],
    [6, 9, 15, 22, 36, 58, 90, 150, 220, 360],
    [8, 11, 18, 27, 43, 70, 110, 180, 270, 430],
    [9, 13, 21, 33, 52, 84, 130, 210, 330, 520],
    [11, 16, 25, 39, 62, 100, 160, 250, 390, 620],
    [13, 19, 30, 46, 74, 120, 190, 300, 460, 740],
    [15, 22, 35, 54, 87, 140, 220, 350, 540, 870],
];

/// Amounts of the (negative) upper deviations of shafts g, f, e, d in µm, one row for each range from 3–6 to 30–50.
const UPPER_DEVIATIONS: [[u8; 4]; 5] =
    [[4, 10, 20, 30], [5, 13, 25, 40], [6, 16, 32, 50], [7, 20, 40, 65], [9, 25, 50, 80]];

/// Position of the tolerance interval relative to the nominal size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Position {
    /// Shaft d.
    D,
    /// Shaft e.
    E,
    /// Shaft f.
    F,
    /// Shaft g.
    G,
    /// Shaft h: from the nominal size down.
    H,
    /// Shaft js: evenly about the nominal size.
    Js,
    /// Hole H: from the nominal size up.
    HoleH,
}

/// Least and greatest size, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Least size, mm.
    pub least_mm: f64,
    /// Greatest size, mm.
    pub greatest_mm: f64,
}

/// Reason why a size with a tolerance has no limits in these tables.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SizeError {
    /// The text is not a number followed by a letter and a grade.
    #[error("\"{0}\" is not a size with a tolerance, such as \"12 h9\"")]
    Notation(String),
    /// A capital letter is the tolerance of a hole.
    #[error("\"{0}\" is the tolerance of a hole, and a barrel is a shaft")]
    Hole(String),
    /// The letter is not in the table.
    #[error("the position \"{0}\" is not in the table")]
    Position(String),
    /// The grade is not in the table.
    #[error("the grade {0} is not in the table")]
    Grade(u32),
    /// The size is outside the table of the position.
    #[error("the size {nominal_mm} mm is outside the table of \"{position}\"")]
    Size {
        /// The nominal size, mm.
        nominal_mm: f64,
        /// Letters of the position.
        position: &'static str,
        /// The size must be over this, mm.
        over_mm: f64,
        /// The size must be at most this, mm.
        up_to_mm: f64,
    },
}

impl Position {
    /// Returns the letters as the standard writes them.
    pub fn letters(self) -> &'static str {
        match self {
            Self::D => "d",
            Self::E => "e",
            Self::F => "f",
            Self::G => "g",
            Self::H => "h",
            Self::Js => "js",
            Self::HoleH => "H",
        }
    }

    /// Returns the column in the table of upper deviations.
    fn column(self) -> Option<usize> {
        match self {
            Self::G => Some(0),
            Self::F => Some(1),
            Self::E => Some(2),
            Self::D => Some(3),
            Self::H | Self::Js | Self::HoleH => None,
        }
    }
}

/// Returns the standard tolerance in µm, for grades 5 to 14 and nominal sizes over 0 up to 120 mm.
pub fn tolerance_um(nominal_mm: f64, grade: u32) -> Option<f64> {
    let column = usize::try_from(grade.checked_sub(5)?).ok()?;
    TOLERANCES.get(range_of(nominal_mm)?)?.get(column).map(|&tolerance| f64::from(tolerance))
}

/// Returns the limits of a nominal size with a tolerance.
pub fn limits(nominal_mm: f64, position: Position, grade: u32) -> Result<Limits, SizeError> {
    if !(5..=14).contains(&grade) {
        return Err(SizeError::Grade(grade));
    }
    let tolerance = tolerance_um(nominal_mm, grade).ok_or_else(|| outside_table(nominal_mm, position, 0.0, 120.0))?;
    let upper = match (position, position.column()) {
        (Position::Js, _) => 0.5 * tolerance,
        (Position::HoleH, _) => tolerance,
        (_, None) => 0.0,
        (_, Some(column)) => {
            -upper_deviation_um(nominal_mm, column).ok_or_else(|| outside_table(nominal_mm, position, 3.0, 50.0))?
        }
    };
    // Whole micrometres are added before the division, so that 9.6 h9 gives the double nearest to 9.564.
    let micrometres = nominal_mm * 1000.0 + upper;
    Ok(Limits { least_mm: (micrometres - tolerance) / 1000.0, greatest_mm: micrometres / 1000.0 })
}

/// Parses a shaft such as `12 h9` or `25f7` with its nominal size in mm.
pub fn parse_shaft(text: &str) -> Result<Limits, SizeError> {
    let notation = || SizeError::Notation(text.trim().to_owned());
    let (nominal_mm, letters, grade) = split_notation(text).ok_or_else(notation)?;
    let position = match letters {
        "d" => Position::D,
        "e" => Position::E,
        "f" => Position::F,
        "g" => Position::G,
        "h" => Position::H,
        "js" => Position::Js,
        _ if letters.starts_with(|first: char| first.is_ascii_uppercase()) => {
            return Err(SizeError::Hole(letters.to_owned()));
        }
        _ => return Err(SizeError::Position(letters.to_owned())),
    };
    limits(nominal_mm, position, grade)
}

/// Returns true if a text has the form of a size with a tolerance: a number, one or two letters, a grade.
pub fn looks_like_size(text: &str) -> bool {
    split_notation(text).is_some()
}

/// Splits the notation into number, letters and grade. The number has no exponent: in `12e9` the e is a position.
fn split_notation(text: &str) -> Option<(f64, &str, u32)> {
    let text = text.trim();
    let end = text.find(|letter: char| !letter.is_ascii_digit() && letter != '.')?;
    let nominal_mm = text.get(..end)?.parse().ok()?;
    let symbol = text.get(end..)?.trim_start();
    let count = symbol.chars().take_while(char::is_ascii_alphabetic).count();
    let (letters, grade) = symbol.split_at_checked(count)?;
    let short = (1..=2).contains(&count) && (1..=2).contains(&grade.len());
    if !short || !grade.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    Some((nominal_mm, letters, grade.parse().ok()?))
}

fn range_of(nominal_mm: f64) -> Option<usize> {
    if nominal_mm > 0.0 { RANGE_ENDS.iter().position(|&end| nominal_mm <= end) } else { None }
}

fn upper_deviation_um(nominal_mm: f64, column: usize) -> Option<f64> {
    let row = range_of(nominal_mm)?.checked_sub(1)?;
    UPPER_DEVIATIONS.get(row)?.get(column).map(|&deviation| f64::from(deviation))
}

fn outside_table(nominal_mm: f64, position: Position, over_mm: f64, up_to_mm: f64) -> SizeError {
    SizeError::Size { nominal_mm, position: position.letters(), over_mm, up_to_mm }
}
