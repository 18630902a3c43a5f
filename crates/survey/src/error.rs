//! Errors of surveys: readings or a drawing that give no outline.

use gripwright_section::Point;

/// Noise of the points of an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PointNoise {
    /// Standard deviation of a point, mm.
    pub spread_mm: f64,
    /// Tolerance with which the outline is found, mm.
    pub tolerance_mm: f64,
}

/// Error of a survey: the readings or the drawing give no outline. Places are in the drawing's own coordinates and
/// unit.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SurveyError {
    /// The file has another format than its name says, or is incomplete.
    #[error("the {format} cannot be read: {reason}")]
    Unreadable {
        /// DXF, SVG or STL.
        format: &'static str,
        /// Reason from the reader.
        reason: String,
    },
    /// The file contains nothing that could be an outline.
    #[error("the {format} has no {what} in it")]
    Empty {
        /// DXF, SVG or STL.
        format: &'static str,
        /// Kind of entity that is missing.
        what: &'static str,
    },
    /// The file exceeds a limit.
    #[error("the {format} has more than {most} {what}")]
    TooMany {
        /// DXF, SVG or STL.
        format: &'static str,
        /// Greatest number that is read.
        most: usize,
        /// Kind of entity that is counted.
        what: &'static str,
    },
    /// The drawing contains an entity that is no line or curve.
    #[error("the drawing has {what}, which is no line or curve{}", place_suffix(*place))]
    UnknownEntity {
        /// Name of the entity in the file.
        what: String,
        /// Its place, if known.
        place: Option<Point>,
    },
    /// An entity does not lie in the plane of the drawing.
    #[error("the drawing has {what} that leaves the plane of the drawing{}", place_suffix(*place))]
    OutOfPlane {
        /// Name of the entity in the file.
        what: String,
        /// Its place, if known.
        place: Option<Point>,
    },
    /// A number is not finite or too large for a drawing.
    #[error("the drawing has {what} with a number that is no size")]
    BadNumber {
        /// Name of the entity in the file.
        what: String,
    },
    /// The lines do not close.
    #[error("the outline is open at {}: the next end is {}", show(*place), gap_text(*gap_mm))]
    OpenOutline {
        /// The loose end.
        place: Point,
        /// Distance to the nearest other end, mm; infinite when there is none.
        gap_mm: f64,
        /// Greatest gap that is closed, mm.
        allowed_mm: f64,
    },
    /// There is more than one closed line.
    #[error("there is more than one closed line: one at {}, another at {}", show(*first), show(*second))]
    SeveralOutlines {
        /// A point of the longest.
        first: Point,
        /// A point of another.
        second: Point,
    },
    /// The outline crosses itself.
    #[error("the outline crosses itself at {}", show(*place))]
    SelfCrossing {
        /// Place of the crossing.
        place: Point,
    },
    /// The outline goes around more than once.
    #[error("the outline from {} goes around {turns:.0} times", show(*place))]
    SeveralTurns {
        /// Its first point.
        place: Point,
        /// Number of turns.
        turns: f64,
    },
    /// The outline has a hollow.
    #[error("the body's outline turns inward at {}, by {depth_mm:.3} mm", show(*place))]
    TurnsInward {
        /// The deepest point.
        place: Point,
        /// Its depth below the straight line across, mm.
        depth_mm: f64,
        /// The fit tolerance, mm.
        allowed_mm: f64,
        /// The noise of the points, if it explains the hollow.
        noise: Option<PointNoise>,
    },
    /// The size of the outline is not that of a body.
    #[error("the outline is {width_mm:.3} mm wide and {height_mm:.3} mm high{}", inch_hint(*factor))]
    WrongSize {
        /// Width, mm.
        width_mm: f64,
        /// Height, mm.
        height_mm: f64,
        /// Factor that would give it the size of a body, if a wrong unit explains it.
        factor: Option<f64>,
    },
    /// The file states another unit than the spec.
    #[error(
        "the drawing says that its unit is {} mm, the spec says {} mm{}",
        rounded(*stated_mm),
        rounded(*given_mm),
        inch_hint(Some(stated_mm / given_mm))
    )]
    WrongUnit {
        /// Unit that the drawing states, mm.
        stated_mm: f64,
        /// Unit by the spec, without its scale, mm.
        given_mm: f64,
    },
    /// The distance check fails.
    #[error("from {} to {} the drawing measures {drawn_mm:.3} mm, not {measured_mm} mm{}", show(*from), show(*to), inch_hint(Some(measured_mm / drawn_mm)))]
    CheckDistance {
        /// First point.
        from: Point,
        /// Second point.
        to: Point,
        /// Their distance in the drawing, mm.
        drawn_mm: f64,
        /// The distance that was measured, mm.
        measured_mm: f64,
    },
    /// A point of the distance check does not lie on the outline.
    #[error("the point {} of the check lies {off_mm:.3} mm from the outline", show(*place))]
    CheckPoint {
        /// The point.
        place: Point,
        /// Its distance, mm.
        off_mm: f64,
    },
    /// The centre lies outside the outline.
    #[error("the centre {} lies outside the outline", show(*place))]
    CentreOutside {
        /// The centre.
        place: Point,
    },
    /// The readings have too few directions.
    #[error("{found} directions are too few")]
    TooFewDirections {
        /// Directions given.
        found: usize,
        /// Least number that determines a shape.
        fewest: usize,
    },
    /// A wide sector has no reading.
    #[error("nothing was measured between {from_deg} deg and {to_deg} deg")]
    UnmeasuredSector {
        /// One side, deg.
        from_deg: f64,
        /// The other side, deg.
        to_deg: f64,
        /// Widest allowed, deg.
        allowed_deg: f64,
    },
    /// No smooth, convex outline fits a reading.
    #[error("the reading at {angle_deg} deg is {off_mm:.3} mm off every smooth outline that does not turn inward")]
    StrayReading {
        /// Its direction, deg.
        angle_deg: f64,
        /// Distance from the outline, mm.
        off_mm: f64,
        /// Greatest distance allowed, mm.
        allowed_mm: f64,
    },
    /// The plane of the section misses the body.
    #[error("at {height_mm} mm nothing is cut: the scan reaches from {least_mm:.3} mm to {greatest_mm:.3} mm")]
    NoSection {
        /// The height, mm.
        height_mm: f64,
        /// Lowest point, mm.
        least_mm: f64,
        /// Highest point, mm.
        greatest_mm: f64,
    },
    /// The corner radius leaves nothing of the outline.
    #[error("a corner of {corner_mm} mm leaves nothing of the outline")]
    CornerTooLarge {
        /// Corner radius, mm.
        corner_mm: f64,
    },
    /// The points give no outline.
    #[error("the points make no outline: {reason}")]
    NoFit {
        /// Reason.
        reason: String,
    },
}

impl SurveyError {
    /// Stable code of the kind of problem.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Unreadable { .. } => "bad-drawing",
            Self::Empty { .. } | Self::NoSection { .. } => "no-outline",
            Self::TooMany { .. } => "too-much",
            Self::UnknownEntity { .. } => "unknown-entity",
            Self::OutOfPlane { .. } => "out-of-plane",
            Self::BadNumber { .. } => "not-finite",
            Self::OpenOutline { .. } => "open-outline",
            Self::SeveralOutlines { .. } => "two-outlines",
            Self::SelfCrossing { .. } | Self::SeveralTurns { .. } => "crossing-outline",
            Self::TurnsInward { .. } => "turns-inward",
            Self::WrongSize { .. } => "wrong-size",
            Self::WrongUnit { .. } => "wrong-unit",
            Self::CheckDistance { .. } | Self::CheckPoint { .. } => "check-fails",
            Self::CentreOutside { .. } => "centre-outside",
            Self::TooFewDirections { .. } | Self::UnmeasuredSector { .. } => "too-few",
            Self::StrayReading { .. } => "stray-reading",
            Self::CornerTooLarge { .. } => "corner-too-large",
            Self::NoFit { .. } => "no-fit",
        }
    }

    /// Key of the profile that the error concerns, unless it is the file or the readings themselves.
    pub fn key(&self) -> Option<&'static str> {
        match self {
            Self::WrongUnit { .. } => Some("unit"),
            Self::CheckDistance { .. } => Some("check.distance"),
            Self::CheckPoint { .. } => Some("check"),
            Self::CentreOutside { .. } => Some("centre"),
            Self::NoSection { .. } => Some("height"),
            Self::CornerTooLarge { .. } => Some("corner"),
            _ => None,
        }
    }

    /// Description of the allowed range, if there is one.
    pub fn allowed(&self) -> Option<String> {
        match self {
            Self::OpenOutline { allowed_mm, .. } => Some(format!("gaps up to {allowed_mm} mm")),
            Self::TurnsInward { allowed_mm, .. } => Some(format!("hollows up to the tolerance, {allowed_mm} mm")),
            Self::WrongSize { .. } => Some(format!("{LEAST_MM} mm to {GREATEST_MM} mm")),
            Self::CheckDistance { .. } => Some(format!("within {} %", 100.0 * CHECK_SHARE)),
            Self::CheckPoint { .. } => Some("points on the outline".to_owned()),
            Self::TooFewDirections { fewest, .. } => Some(format!("at least {fewest}")),
            Self::UnmeasuredSector { allowed_deg, .. } => {
                Some(format!("at most {allowed_deg} deg from one to the next"))
            }
            Self::StrayReading { allowed_mm, .. } => Some(format!("up to {allowed_mm:.3} mm")),
            Self::NoSection { least_mm, greatest_mm, .. } => Some(format!("{least_mm:.3} mm to {greatest_mm:.3} mm")),
            _ => None,
        }
    }

    /// Advice on how to correct the input.
    pub fn hint(&self) -> String {
        match self {
            Self::Unreadable { format: "DXF", .. } => "save it again as an ASCII DXF".to_owned(),
            Self::Unreadable { format: "SVG", .. } => "save it again as a plain SVG without compression".to_owned(),
            Self::Unreadable { .. } => "write it again with the program that made it".to_owned(),
            Self::Empty { .. } => "is this the right file, and is the outline in it as lines or curves?".to_owned(),
            Self::TooMany { .. } => "keep the outline of the body alone in the file".to_owned(),
            Self::UnknownEntity { .. } => "turn it into lines, arcs or splines, or take it out of the file".to_owned(),
            Self::OutOfPlane { .. } => "draw the section in the plane of x and y".to_owned(),
            Self::BadNumber { .. } => "mend the drawing and save it again".to_owned(),
            Self::OpenOutline { .. } => "close the outline in the drawing, or allow a larger `gap`".to_owned(),
            Self::SeveralOutlines { .. } => "keep the outer line of the body alone in the file".to_owned(),
            Self::SelfCrossing { .. } | Self::SeveralTurns { .. } => {
                "mend the outline in the drawing: it runs once around the body".to_owned()
            }
            Self::TurnsInward { noise: Some(PointNoise { spread_mm, tolerance_mm }), .. } => format!(
                "the points scatter by about {spread_mm:.3} mm (standard deviation): `tolerance = \"{tolerance_mm} mm\"` takes that \
                 as noise"
            ),
            Self::TurnsInward { .. } => {
                "a mount follows bodies that do not turn inward: `hull = true` takes the body by its convex hull, as grooves and \
                 ribs need it"
                    .to_owned()
            }
            Self::WrongSize { factor, .. } => match factor {
                Some(_) => "check `unit` and `scale`".to_owned(),
                None => "is this the section of the body, and are `unit` and `scale` right?".to_owned(),
            },
            Self::WrongUnit { stated_mm, .. } => match unit_name(*stated_mm) {
                Some(word) => format!("write `unit = \"{word}\"`, or correct the drawing"),
                None => format!("write `unit = \"mm\"` and `scale = {}`, or correct the drawing", rounded(*stated_mm)),
            },
            Self::CheckDistance { drawn_mm, measured_mm, .. } => {
                format!("check `unit`; `scale` times {:.5} would agree", measured_mm / drawn_mm)
            }
            Self::CheckPoint { .. } => "give both points in the drawing's own coordinates".to_owned(),
            Self::CentreOutside { .. } => "without a centre the middle of the outline's box is taken".to_owned(),
            Self::TooFewDirections { .. } | Self::UnmeasuredSector { .. } => {
                "measure in more directions, evenly around the body".to_owned()
            }
            Self::StrayReading { .. } => "check for a slip, or measure there again; if it lies in a groove, `hull = true` takes the body \
                                          by its convex hull"
                .to_owned(),
            Self::NoSection { .. } => "check `height`, `axis` and `unit`".to_owned(),
            Self::CornerTooLarge { .. } => "take a smaller `corner`".to_owned(),
            Self::NoFit { .. } => "check the drawing and the tolerance".to_owned(),
        }
    }

    /// Returns the error with its places mapped from mm to the drawing's own coordinates.
    #[must_use]
    pub(crate) fn placed(mut self, back: impl Fn(Point) -> Point) -> Self {
        match &mut self {
            Self::OpenOutline { place, .. }
            | Self::SelfCrossing { place }
            | Self::SeveralTurns { place, .. }
            | Self::TurnsInward { place, .. }
            | Self::CheckPoint { place, .. }
            | Self::CentreOutside { place } => *place = back(*place),
            Self::SeveralOutlines { first, second } | Self::CheckDistance { from: first, to: second, .. } => {
                (*first, *second) = (back(*first), back(*second));
            }
            Self::UnknownEntity { place: Some(place), .. } | Self::OutOfPlane { place: Some(place), .. } => {
                *place = back(*place);
            }
            _ => {}
        }
        self
    }
}

/// Least and greatest size of a body, mm: those of `body.profile` in the spec.
pub(crate) const LEAST_MM: f64 = 3.0;
/// See [`LEAST_MM`].
pub(crate) const GREATEST_MM: f64 = 300.0;
/// Greatest relative error in the distance check: a calliper and a drawing agree better; common practice, no source.
pub(crate) const CHECK_SHARE: f64 = 0.01;

/// Text of a place in messages.
fn show(p: Point) -> String {
    format!("({}, {})", rounded(p.x), rounded(p.y))
}

/// Rounds to four decimals. Adding zero turns −0 into 0.
fn rounded(value: f64) -> f64 {
    (1e4 * value).round() / 1e4 + 0.0
}

fn place_suffix(place: Option<Point>) -> String {
    place.map(|p| format!(", at {}", show(p))).unwrap_or_default()
}

fn gap_text(mm: f64) -> String {
    if mm.is_finite() { format!("{mm:.3} mm away") } else { "not to be found".to_owned() }
}

/// Text that points out a confusion of inch and millimetre: a factor within 3 % of 25.4 or its inverse.
fn inch_hint(factor: Option<f64>) -> String {
    let near = |f: f64, wanted: f64| (f / wanted - 1.0).abs() < 0.03;
    match factor {
        Some(f) if near(f, 25.4) => ": too small by 25.4, as if inches were taken for millimetres".to_owned(),
        Some(f) if near(f, 1.0 / 25.4) => ": too large by 25.4, as if millimetres were taken for inches".to_owned(),
        _ => String::new(),
    }
}

/// Name of a unit in the spec.
fn unit_name(mm: f64) -> Option<&'static str> {
    [("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("in", 25.4), ("px", 25.4 / 96.0), ("pt", 25.4 / 72.0)]
        .into_iter()
        .find(|(_, unit)| (mm / unit - 1.0).abs() < 1e-6)
        .map(|(word, _)| word)
}
