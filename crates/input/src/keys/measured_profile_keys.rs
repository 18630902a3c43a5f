//! Keys of measured cross-sections of the body.

use crate::keys::key::{
    ChoiceKey, FlagKey, KeyTable, QuantitiesKey, QuantityKey, RowsKey, TableKey, TextKey, WhenAbsent, choice, flag,
    length, optional_table, quantities, quantity, rows, text,
};
use crate::keys::profile_shape::SHAPE;
use crate::text::quantity::{INCH_MM, QuantityKind};
use crate::values::measured_profile::ScanAxis;

/// Coordinates of a drawing: numbers without a unit, as the drawing program shows them.
const fn place(name: &'static str, about: &'static str, when_absent: WhenAbsent<&'static [f64]>) -> QuantitiesKey {
    quantities(name, about, QuantityKind::Ratio, [-1e6, 1e6], [2, 2], when_absent)
}

pub(crate) static CALLIPER: KeyTable = KeyTable {
    about: "Readings of a calliper around the body, closed by lines and arcs; repeated readings at one \
        angle give the spread",
    keys: &[&SHAPE, &RADII, &WIDTHS, &CALLIPER_TOLERANCE, &LEAST_CORNER, &HULL, &CALLIPER_CENTRE],
};
pub(crate) static RADII: RowsKey = rows(
    "radii",
    "Rows [angle, radius, …] from one middle, counter-clockwise from the right; at least 8 directions, at most \
            60 deg apart",
    [1.0, 300.0],
    [8, 5000],
    "widths give the shape",
);
pub(crate) static WIDTHS: RowsKey = rows(
    "widths",
    "Rows [angle, width, …] between jaws that close in this direction; at least 4 directions, at most 60 deg apart; \
            the body is taken as alike on both sides of its middle",
    [3.0, 300.0],
    [4, 5000],
    "radii give the shape",
);

pub(crate) static TRACED: KeyTable = KeyTable {
    about: "A drawing of the section: one closed line in a DXF or SVG file",
    keys: &[
        &SHAPE,
        &TRACED_FILE,
        &DRAWING_UNIT,
        &SCALE,
        &CHECK,
        &DRAWING_GAP,
        &TRACED_TOLERANCE,
        &LEAST_CORNER,
        &HULL,
        &CENTRE,
    ],
};
pub(crate) static TRACED_FILE: TextKey = text(
    "file",
    "File of the drawing, beside the spec: .dxf (ASCII) or .svg",
    300,
    WhenAbsent::Required("the outline is in it"),
);
pub(crate) static DRAWING_UNIT: ChoiceKey<f64> = choice(
    "unit",
    "Unit of the drawing",
    &UNIT_WORDS,
    WhenAbsent::Required("a drawing in inches looks like one in millimetres"),
);
static UNIT_WORDS: [(&str, f64, &str); 6] = [
    ("mm", 1.0, "a millimetre"),
    ("cm", 10.0, "a centimetre"),
    ("m", 1000.0, "a metre"),
    ("in", INCH_MM, "an inch of 25.4 mm"),
    // CSS Values and Units, from memory.
    ("px", INCH_MM / 96.0, "a CSS pixel of 1/96 in"),
    ("pt", INCH_MM / 72.0, "a CSS point of 1/72 in"),
];
pub(crate) static SCALE: QuantityKey = quantity(
    "scale",
    "Scale factor that applies on top of the unit",
    QuantityKind::Ratio,
    [0.001, 1000.0],
    WhenAbsent::Default(1.0),
);
pub(crate) static CHECK: TableKey = optional_table(
    "check",
    "Two points on the outline whose distance was measured on the body; without it: unit and scale \
        are not checked",
    &[&CHECK_FROM, &CHECK_TO, &CHECK_DISTANCE],
);
pub(crate) static CHECK_FROM: QuantitiesKey =
    place("from", "One point, in the drawing's own coordinates", WhenAbsent::Required("a distance has two ends"));
pub(crate) static CHECK_TO: QuantitiesKey =
    place("to", "The other point, in the drawing's own coordinates", WhenAbsent::Required("a distance has two ends"));
pub(crate) static CHECK_DISTANCE: QuantityKey = length(
    "distance",
    "Their distance on the body, which the drawing must give within 1 %",
    [1.0, 1000.0],
    WhenAbsent::Required("it is what the drawing is held against"),
);
pub(crate) static DRAWING_GAP: QuantityKey =
    length("gap", "Greatest gap between two ends that is closed", [0.0, 2.0], WhenAbsent::Default(0.05));
pub(crate) static TRACED_TOLERANCE: QuantityKey = length(
    "tolerance",
    "Largest distance of the outline from the drawing, and largest depth of a hollow in the drawing",
    [0.001, 1.0],
    WhenAbsent::Default(0.01),
);
pub(crate) static CALLIPER_TOLERANCE: QuantityKey = length(
    "tolerance",
    "Largest distance of the outline from the smoothed readings",
    [0.001, 1.0],
    WhenAbsent::Default(0.02),
);
pub(crate) static SCAN_TOLERANCE: QuantityKey = length(
    "tolerance",
    "Largest distance of the outline from the scan, three standard deviations of its noise, and \
        largest depth of a hollow in the scan",
    [0.001, 1.0],
    WhenAbsent::Default(0.1),
);
pub(crate) static LEAST_CORNER: QuantityKey = length(
    "corner",
    "Least radius of the outline; sharper corners are rounded to it",
    [0.1, 20.0],
    WhenAbsent::Default(0.3),
);
pub(crate) static HULL: FlagKey = flag(
    "hull",
    "Take a body with grooves or ribs by its convex hull: hollows deeper than the tolerance are spanned by straight lines",
);
pub(crate) static CENTRE: QuantitiesKey = place(
    "centre",
    "The body's axis, in the file's own coordinates and unit",
    WhenAbsent::Optional("the middle of the outline's box"),
);
pub(crate) static CALLIPER_CENTRE: QuantitiesKey = quantities(
    "centre",
    "The body's axis, from the middle of the readings to the right and upward",
    QuantityKind::Length,
    [-150.0, 150.0],
    [2, 2],
    WhenAbsent::Optional("the middle of the outline's box"),
);

pub(crate) static SCAN: KeyTable = KeyTable {
    about: "A section of a scanned body: an STL file, cut across an axis",
    keys: &[
        &SHAPE,
        &SCAN_FILE,
        &SCAN_UNIT,
        &CUT_AXIS,
        &CUT_HEIGHT,
        &SCAN_GAP,
        &SCAN_TOLERANCE,
        &LEAST_CORNER,
        &HULL,
        &CENTRE,
    ],
};
pub(crate) static SCAN_FILE: TextKey = text(
    "file",
    "File of the scan, beside the spec: .stl, binary or ASCII",
    300,
    WhenAbsent::Required("the body is in it"),
);
pub(crate) static SCAN_UNIT: ChoiceKey<f64> =
    choice("unit", "Unit of the scan", &UNIT_WORDS, WhenAbsent::Default("mm"));
pub(crate) static CUT_AXIS: ChoiceKey<ScanAxis> = choice(
    "axis",
    "The axis of the file that runs along the body",
    &[
        ("x", ScanAxis::X, "the section shows y to the right and z up"),
        ("y", ScanAxis::Y, "z to the right and x up"),
        ("z", ScanAxis::Z, "x to the right and y up"),
    ],
    WhenAbsent::Default("z"),
);
pub(crate) static CUT_HEIGHT: QuantityKey = length(
    "height",
    "Position of the cut along that axis",
    [-10_000.0, 10_000.0],
    WhenAbsent::Required("the mount sits there"),
);
pub(crate) static SCAN_GAP: QuantityKey =
    length("gap", "Greatest gap in the section that is closed", [0.0, 2.0], WhenAbsent::Default(0.05));
