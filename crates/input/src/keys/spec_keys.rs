//! Keys of a spec. Reading, hints and the JSON Schema share these descriptions.
//!
//! Limits are wide on purpose: they cover parts that snap on by hand. Common practice, no source.

use crate::keys::casting_keys::CASTING;
use crate::keys::keep_out_keys::KEEP_OUTS;
use crate::keys::key::{
    ChoiceKey, DiameterKey, KeyTable, OneOfKey, QuantitiesKey, QuantityKey, QuantityOrWordKey, RepeatedTableKey,
    TableKey, TextKey, WhenAbsent, choice, diameter, length, one_of, optional_table, quantities, quantity,
    quantity_or_word, repeated_table, required_table, text,
};
use crate::keys::measured_profile_keys::{CALLIPER, SCAN, TRACED};
use crate::keys::profile_shape::{ProfileShape, SHAPE};
use crate::text::quantity::{LengthUnit, QuantityKind};
use crate::values::checked_spec::{
    CouponMatch, GrippingFaces, LoadPath, MouthDirection, PrintDirection, Uses, WebStyle, WideRange,
};

use crate::values::material::REFERENCE_TEMPERATURE_C;

/// Kind of a barrel's cross-section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum BarrelSectionKind {
    Round,
    Hexagon,
}

pub(crate) static SPEC: KeyTable = KeyTable {
    about: "Spec of a holder that snaps on a body and grips a family of round tools",
    keys: &[
        &HOLDER, &BODY, &TOOLS, &LAYOUT, &KEEP_OUTS, &FIT, &MATERIAL, &FINISH, &PRINTER, &MOULD, &CASTING, &COUPONS,
    ],
};

pub(crate) static HOLDER: TableKey = required_table(
    "holder",
    "General settings of the holder",
    &[&HOLDER_NAME, &UNITS],
    "it names the part in every file",
);
pub(crate) static HOLDER_NAME: TextKey = text(
    "name",
    "Name of the holder, as it is written into the files",
    80,
    WhenAbsent::Required("it names the part in every file"),
);
pub(crate) static UNITS: ChoiceKey<LengthUnit> = choice(
    "units",
    "Unit of every length that is written without one",
    &[
        ("mm", LengthUnit::Millimetre, "millimetres"),
        ("cm", LengthUnit::Centimetre, "centimetres"),
        ("in", LengthUnit::Inch, "inches of 25.4 mm"),
    ],
    WhenAbsent::Default("mm"),
);

pub(crate) static BODY: TableKey = required_table(
    "body",
    "The device that carries the holder",
    &[&PROFILE, &FAR, &BODY_SPREAD, &MOUNT_LENGTH, &OPENS, &FRICTION, &OUTLASTS, &BODY_USES],
    "the mount is shaped after it",
);
pub(crate) static PROFILE: OneOfKey = one_of(
    "profile",
    "Cross-section of the body at the mount, width from left to right and height from bottom to top",
    &[&CIRCLE, &ELLIPSE, &ROUNDED_RECTANGLE, &FLATTED_CIRCLE, &CALLIPER, &TRACED, &SCAN],
    "the mount is shaped after it",
);
pub(crate) static FAR: TableKey = optional_table(
    "far",
    "Second cross-section of a tapering body; without it: the same section everywhere; only \
        without draft",
    &[&FAR_AT, &FAR_PROFILE],
);
pub(crate) static FAR_AT: QuantityKey = length(
    "at",
    "Position along the body from the middle of the mount, positive toward ascending stations; at \
        least 1 mm to either side",
    [-500.0, 500.0],
    WhenAbsent::Required("a taper goes with the distance"),
);
pub(crate) static FAR_PROFILE: OneOfKey = one_of(
    "profile",
    "The cross-section there, with the keys of body.profile",
    &[&CIRCLE, &ELLIPSE, &ROUNDED_RECTANGLE, &FLATTED_CIRCLE, &CALLIPER, &TRACED, &SCAN],
    "the taper is found from it",
);
pub(crate) static CIRCLE: KeyTable = KeyTable { about: "Round bar or tube", keys: &[&SHAPE, &BODY_DIAMETER] };
pub(crate) static ELLIPSE: KeyTable = KeyTable { about: "Oval", keys: &[&SHAPE, &WIDTH, &HEIGHT] };
pub(crate) static ROUNDED_RECTANGLE: KeyTable =
    KeyTable { about: "Rectangle with rounded corners", keys: &[&SHAPE, &WIDTH, &HEIGHT, &CORNER] };
pub(crate) static FLATTED_CIRCLE: KeyTable =
    KeyTable { about: "Round bar with one flat, at the top", keys: &[&SHAPE, &BODY_DIAMETER, &ACROSS, &FLAT_CORNER] };
/// Returns the keys of a shape.
pub(crate) fn keys_of_shape(shape: ProfileShape) -> &'static KeyTable {
    match shape {
        ProfileShape::Circle => &CIRCLE,
        ProfileShape::Ellipse => &ELLIPSE,
        ProfileShape::RoundedRectangle => &ROUNDED_RECTANGLE,
        ProfileShape::FlattedCircle => &FLATTED_CIRCLE,
        ProfileShape::Calliper => &CALLIPER,
        ProfileShape::Traced => &TRACED,
        ProfileShape::Scan => &SCAN,
    }
}

/// Least and greatest outer size of a body, mm.
const BODY_RANGE: [f64; 2] = [3.0, 300.0];
pub(crate) static BODY_DIAMETER: QuantityKey =
    length("diameter", "Diameter of the body", BODY_RANGE, WhenAbsent::Required("the mount is shaped after it"));
pub(crate) static WIDTH: QuantityKey =
    length("width", "Full width of the body", BODY_RANGE, WhenAbsent::Required("the mount is shaped after it"));
pub(crate) static HEIGHT: QuantityKey =
    length("height", "Full height of the body", BODY_RANGE, WhenAbsent::Required("the mount is shaped after it"));
pub(crate) static CORNER: QuantityKey = length(
    "corner",
    "Radius of the corners, at most half of the shorter side",
    [0.1, 150.0],
    WhenAbsent::Required("the lips of the mount hook round it"),
);
pub(crate) static ACROSS: QuantityKey = length(
    "across",
    "Distance from the flat to the opposite side, more than half of the diameter and less than all \
        of it",
    [1.5, 300.0],
    WhenAbsent::Required("it says how deep the flat is"),
);
pub(crate) static FLAT_CORNER: QuantityKey = length(
    "corner",
    "Rounding of the two edges of the flat; the default is smaller where half of the largest \
        possible rounding is",
    [0.1, 20.0],
    WhenAbsent::Default(0.5),
);
pub(crate) static BODY_SPREAD: QuantityKey = length(
    "spread",
    "Standard uncertainty of the measured widths; the default is a hand-held calliper on a plastic part, common \
     practice, no source",
    [0.0, 1.0],
    WhenAbsent::Default(0.05),
);
pub(crate) static MOUNT_LENGTH: QuantityKey = length(
    "mount_length",
    "Length of the mount along the body",
    [4.0, 200.0],
    WhenAbsent::Required("it is the room that the body offers"),
);
pub(crate) static OPENS: ChoiceKey<MouthDirection> = choice(
    "opens",
    "Direction in which the mouth of the mount opens; the tool sits on the opposite side",
    &[
        ("up", MouthDirection::Up, "toward the top of the profile"),
        ("down", MouthDirection::Down, "toward its bottom"),
        ("left", MouthDirection::Left, "toward its left"),
        ("right", MouthDirection::Right, "toward its right"),
    ],
    WhenAbsent::Default("down"),
);

pub(crate) static FRICTION: TableKey = optional_table(
    "friction",
    "Friction between mount and body, where it is not that of the material on a barrel: a rubber or cork liner, or a print \
        that sticks; measure or draw the profile with the liner on; without it: the friction of the material",
    &[&LEAST_FRICTION, &GREATEST_FRICTION],
);
const FRICTION_RANGE: [f64; 2] = [0.02, 1.2];
pub(crate) static LEAST_FRICTION: QuantityKey = quantity(
    "least",
    "Least coefficient of friction",
    QuantityKind::Ratio,
    FRICTION_RANGE,
    WhenAbsent::Required("the hold is computed with it"),
);
pub(crate) static GREATEST_FRICTION: QuantityKey = quantity(
    "greatest",
    "Greatest coefficient of friction, no less than the least",
    QuantityKind::Ratio,
    FRICTION_RANGE,
    WhenAbsent::Required("the push is computed with it"),
);
pub(crate) static OUTLASTS: QuantityOrWordKey = quantity_or_word(
    "outlasts",
    "Least ratio of the pull that takes the mount off the body to the pull that takes the tightest tool out of its clips; \
        once the mount has relaxed and the clip has not, a ratio of 1 is enough; the default is common practice, no source",
    QuantityKind::Ratio,
    [1.0, 10.0],
    ("held", "a hand holds the holder while a tool is taken out"),
    WhenAbsent::Default(1.3),
);
pub(crate) static BODY_USES: ChoiceKey<Uses> =
    choice("uses", "Use of the mount: it sets the limits of strain", USES_WORDS, WhenAbsent::Default("left-on"));
const USES_WORDS: &[(&str, Uses, &str)] = &[
    ("single", Uses::Single, "snapped on once"),
    ("repeated", Uses::Repeated, "snapped on again and again, and taken off between"),
    ("left-on", Uses::LeftOn, "snapped on a few times and left on; the strain that stays at rest is limited as well"),
];

pub(crate) static TOOLS: RepeatedTableKey = repeated_table(
    "tools",
    "The family of tools, one table each; at least one",
    &[&TOOL_NAME, &SECTION, &DIAMETER, &TOOL_CORNER, &BARREL_LENGTH, &MASS, &CENTRE_OF_MASS, &WORKING_LOAD],
    1000,
    WhenAbsent::Required("a holder grips at least one tool: write [[tools]] with its name and diameter"),
);
pub(crate) static TOOL_NAME: TextKey = text(
    "name",
    "Name of the tool, used once in the spec",
    60,
    WhenAbsent::Required("the fit table calls it by its name"),
);
pub(crate) static SECTION: ChoiceKey<BarrelSectionKind> = choice(
    "section",
    "Cross-section of the barrel where it is gripped",
    &[
        ("round", BarrelSectionKind::Round, "round"),
        ("hexagon", BarrelSectionKind::Hexagon, "six flats with rounded corners, gripped whichever way it is turned"),
    ],
    WhenAbsent::Default("round"),
);
pub(crate) static TOOL_CORNER: QuantityKey = length(
    "corner",
    "Rounding of a hexagon's corners; at most 0.9 of what makes it round",
    [0.05, 54.0],
    WhenAbsent::Optional(
        "a twentieth of the least size across flats, and 0.05 mm at least: common practice, no source",
    ),
);
pub(crate) static DIAMETER: DiameterKey = diameter(
    "diameter",
    "Diameter of the barrel where it is gripped, of a hexagon its size across flats: a length; a size in mm with \
            a tolerance of ISO 286-1, as in \"12 h9\"; { min, max }; or { readings } of a calliper",
    [2.0, 120.0],
    &BARREL_TABLE,
    "the clip is sized after it",
);
pub(crate) static BARREL_TABLE: KeyTable =
    KeyTable { about: "Limits or readings of the diameter", keys: &[&MIN, &MAX, &READINGS, &BARREL_SPREAD] };
pub(crate) static MIN: QuantityKey =
    length("min", "Least diameter, together with max", [2.0, 120.0], WhenAbsent::Optional("the readings give it"));
pub(crate) static MAX: QuantityKey =
    length("max", "Greatest diameter, together with min", [2.0, 120.0], WhenAbsent::Optional("the readings give it"));
pub(crate) static READINGS: QuantitiesKey = quantities(
    "readings",
    "Readings of the diameter at different places and directions; the limits are their mean with two standard \
            deviations, 95 % of a normal spread, and no reading lies outside",
    QuantityKind::Length,
    [2.0, 120.0],
    [1, 500],
    WhenAbsent::Optional("min and max give the size"),
);
pub(crate) static BARREL_SPREAD: QuantityKey = length(
    "spread",
    "Standard uncertainty of one reading, or of min and max; the least and the greatest are widened by two of them",
    [0.0, 1.0],
    WhenAbsent::Optional(
        "the standard deviation of the readings, at least 0.012 mm; 0.05 mm for a single one; none for min and max",
    ),
);
pub(crate) static BARREL_LENGTH: QuantityKey = length(
    "length",
    "Length of the round part that clips may grip, counted from the end that rests against the stop where there is one",
    [4.0, 1000.0],
    WhenAbsent::Optional("it is long enough for every clip"),
);
pub(crate) static MASS: QuantityKey =
    quantity("mass", "Mass of the tool", QuantityKind::Mass, [0.0, 5000.0], WhenAbsent::Default(0.0));
pub(crate) static CENTRE_OF_MASS: QuantityKey = length(
    "centre",
    "Centre of mass along the axis of the tool: from the stop toward the clips, or without a stop from the middle of \
        the clips toward ascending stations",
    [-1000.0, 1000.0],
    WhenAbsent::Optional("the middle of the clips"),
);
pub(crate) static WORKING_LOAD: TableKey = optional_table(
    "working_load",
    "Working loads on the tool, each from its worst direction; they count one after the other, each with the weight",
    &[&ALONG, &ACROSS_LOAD, &LOAD_AT],
);
pub(crate) static LOAD_AT: QuantityKey = length(
    "at",
    "Point of the tool at which the load across acts, along its axis from over the middle of the mount",
    [-500.0, 500.0],
    WhenAbsent::Optional("the point of layout.aim, else the middle of the clips"),
);
const fn force(name: &'static str, about: &'static str, range: [f64; 2], when_absent: WhenAbsent<f64>) -> QuantityKey {
    quantity(name, about, QuantityKind::Force, range, when_absent)
}
pub(crate) static ALONG: QuantityKey =
    force("along", "Load along the axis of the tool", [0.0, 500.0], WhenAbsent::Default(0.0));
pub(crate) static ACROSS_LOAD: QuantityKey =
    force("across", "Load across the axis of the tool", [0.0, 500.0], WhenAbsent::Default(0.0));

pub(crate) static LAYOUT: TableKey = required_table(
    "layout",
    "Positions of clips and tools, seen from the side",
    &[&OFFSET, &PITCH, &STATIONS, &LENGTHS, &STOP, &AIM, &SWAY, &WEB],
    "it says how far the tools sit from the body",
);
pub(crate) static OFFSET: QuantityKey = length(
    "offset",
    "Distance from the axis of the body to the axis of the tool, over the middle of the mount",
    [3.0, 500.0],
    WhenAbsent::Required("it says how far the tools sit from the body"),
);
pub(crate) static PITCH: QuantityKey = quantity(
    "pitch",
    "Angle between the axes of tool and body; with a positive one the tool leans away from the \
        body toward ascending stations; only without draft",
    QuantityKind::Angle,
    [-30.0, 30.0],
    WhenAbsent::Default(0.0),
);
pub(crate) static STATIONS: QuantitiesKey = quantities(
    "stations",
    "Middles of the clips along the axis of the tool, from over the middle of the mount, in ascending order",
    QuantityKind::Length,
    [-300.0, 300.0],
    [1, 4],
    WhenAbsent::Default(&[0.0]),
);
pub(crate) static LENGTHS: QuantitiesKey = quantities(
    "lengths",
    "Length of each clip, one for each station",
    QuantityKind::Length,
    [4.0, 200.0],
    [1, 4],
    WhenAbsent::Optional("sizing chooses one length for all"),
);
pub(crate) static STOP: TableKey = optional_table(
    "stop",
    "End stop: a wall that the end of the tool rests against; without it: no stop; only without \
        draft",
    &[&STOP_AT],
);
pub(crate) static STOP_AT: QuantityKey = length(
    "at",
    "Position of its face along the axis of the tool, from over the middle of the mount; beyond \
        all clips to either side",
    [-400.0, 400.0],
    WhenAbsent::Required("a stop without a place stops nothing"),
);

pub(crate) static AIM: TableKey = optional_table(
    "aim",
    "A point of the tool with a position tolerance, such as its tip; without it: no tolerance",
    &[&AHEAD, &WITHIN],
);
pub(crate) static AHEAD: QuantityKey = length(
    "ahead",
    "From over the middle of the mount, which is the middle of a single clip, along the axis of the tool to the point; \
     either way when the tool has no pitch",
    [0.0, 500.0],
    WhenAbsent::Default(0.0),
);
pub(crate) static WITHIN: QuantityKey = length(
    "within",
    "Largest allowed deviation of the point, by seats, web, mount and clips together",
    [0.01, 50.0],
    WhenAbsent::Required("a point without it is held to nothing"),
);

pub(crate) static SWAY: TableKey =
    optional_table("sway", "Stiffness of the holder; without it: no limit", &[&SWAY_AT_MOST]);
pub(crate) static SWAY_AT_MOST: QuantityKey = length(
    "at_most",
    "Largest movement of the tool that web, mount and clips together may allow under weight and working loads, at \
        the point of the aim, or over the clips where that is farther out",
    [0.01, 50.0],
    WhenAbsent::Required("a limit without a size limits nothing"),
);
pub(crate) static WEB: ChoiceKey<WebStyle> = choice(
    "web",
    "Style of the web; windows are cut only where walls, strain and sway allow it",
    &[
        ("solid", WebStyle::Solid, "no windows"),
        ("windows", WebStyle::Windows, "windows with rounded corners through its sides; only without draft"),
    ],
    WhenAbsent::Default("solid"),
);

pub(crate) static FIT: TableKey = optional_table(
    "fit",
    "Requirements on the fit",
    &[&SNAP_ON, &TAKE_OFF, &HOLD, &SHOCK, &TEMPERATURE, &LOAD_PATH, &USES, &WIDE_RANGE],
);
pub(crate) static SNAP_ON: TableKey = optional_table("snap_on", "Push that snaps a clip on", &[&AT_MOST]);
pub(crate) static AT_MOST: QuantityKey = force(
    "at_most",
    "Greatest push by hand; the default is an easy push of two fingers and a thumb, common practice, no source",
    [1.0, 500.0],
    WhenAbsent::Default(40.0),
);
pub(crate) static TAKE_OFF: TableKey =
    optional_table("take_off", "Pull that takes a tool out; without it: no limit", &[&TAKE_OFF_AT_MOST]);
pub(crate) static TAKE_OFF_AT_MOST: QuantityKey = force(
    "at_most",
    "Greatest pull by hand that takes a tool out of all its clips",
    [1.0, 500.0],
    WhenAbsent::Required("a limit without a size limits nothing"),
);
pub(crate) static SHOCK: QuantityKey = quantity(
    "shock",
    "Factor on the weight for use in motion: 1 at rest, and one more for each g of acceleration, as on a vehicle over bumps \
        or in a hand that sets it down hard",
    QuantityKind::Ratio,
    [1.0, 100.0],
    WhenAbsent::Default(1.0),
);
pub(crate) static TEMPERATURE: QuantityKey = quantity(
    "temperature",
    "Temperature of use: the holder is snapped on at 23 °C and holds there and at this one; stiffness, strain and relaxation \
        are those that the material declares for it, and what it does not declare is said",
    QuantityKind::Temperature,
    [-40.0, 200.0],
    WhenAbsent::Default(REFERENCE_TEMPERATURE_C),
);
pub(crate) static LOAD_PATH: ChoiceKey<LoadPath> = choice(
    "load_path",
    "Moments of the loads on clips and mount, what is left of the hold after 1,000 h, and the order of letting go",
    &[("report", LoadPath::Report, "they are reported"), ("limit", LoadPath::Limit, "a design must hold them as well")],
    WhenAbsent::Default("limit"),
);
pub(crate) static HOLD: TableKey = optional_table("hold", "Holding force of a clip", &[&SAFETY, &HOLD_AT_LEAST]);
pub(crate) static SAFETY: QuantityKey = quantity(
    "safety",
    "Smallest allowed ratio of holding force to working load and weight; the default is common \
        practice, no source",
    QuantityKind::Ratio,
    [1.0, 20.0],
    WhenAbsent::Default(2.0),
);
pub(crate) static HOLD_AT_LEAST: QuantityKey = force(
    "at_least",
    "Load, across the axis and along it, that every tool is held against at least, before the safety factor: it counts where \
        weight and working load together are less; the default is common practice, no source",
    [0.01, 100.0],
    WhenAbsent::Default(1.0),
);
pub(crate) static USES: ChoiceKey<Uses> =
    choice("uses", "Use of the clips: it sets the limits of strain", USES_WORDS, WhenAbsent::Default("repeated"));
pub(crate) static WIDE_RANGE: ChoiceKey<WideRange> = choice(
    "wide_range",
    "Strategy for a tool family with a wide range of diameters",
    &[
        ("sizes", WideRange::Sizes, "as many sizes of round clips as the family needs"),
        (
            "sleeves",
            WideRange::Sleeves,
            "a round clip for the largest tools, sleeves for smaller ones where these work, further sizes \
        elsewhere",
        ),
        ("vee", WideRange::Vee, "vee clips where these work, round clips elsewhere"),
        (
            "best",
            WideRange::Best,
            "the strategy with the fewest holders and sleeves, of equals the one with the greater least \
        margin",
        ),
    ],
    WhenAbsent::Default("sizes"),
);

pub(crate) static MATERIAL: TableKey =
    optional_table("material", "Materials of the holder", &[&PRINT, &FINAL_MATERIAL, &LIBRARY]);
pub(crate) static PRINT: TextKey =
    text("print", "Material of the print: a key of the material library", 60, WhenAbsent::Default("pla"));
pub(crate) static FINAL_MATERIAL: TextKey = text(
    "final",
    "Material of the casting: a key of the material library",
    60,
    WhenAbsent::Optional("the print itself is the part"),
);
pub(crate) static LIBRARY: TextKey = text(
    "library",
    "File with materials of your own, relative to the spec; a material of the same key replaces \
        the built-in one",
    500,
    WhenAbsent::Optional("only the built-in materials"),
);

pub(crate) static FINISH: TableKey =
    optional_table("finish", "Draft and edges of the part", &[&DRAFT, &GRIPPING_FACES, &CHAMFER]);
pub(crate) static DRAFT: QuantityKey = quantity(
    "draft",
    "Draft from the parting plane of the mould, which is the middle without casting.parting, so that the mould releases the part",
    QuantityKind::Angle,
    [0.0, 15.0],
    WhenAbsent::Default(0.0),
);
pub(crate) static GRIPPING_FACES: ChoiceKey<GrippingFaces> = choice(
    "gripping_faces",
    "Draft of the seat and the lips",
    &[
        ("straight", GrippingFaces::Straight, "they stay straight, as a flexible mould allows"),
        ("drafted", GrippingFaces::Drafted, "they are drafted like the rest"),
    ],
    WhenAbsent::Default("straight"),
);
pub(crate) static CHAMFER: QuantityKey = length(
    "chamfer",
    "Chamfer of the end edges, at most the thinnest wall of the printer; straight seats have it at the lower end alone, \
        which lies on the printer's bed; the default is smaller where half of that wall is",
    [0.0, 2.0],
    WhenAbsent::Default(0.4),
);

pub(crate) static PRINTER: TableKey = optional_table(
    "printer",
    "Printer that makes the part",
    &[&BED, &LEAST_WALL, &DIRECTION, &SEAT_SPREAD, &WALL_SPREAD, &CALIBRATION],
);
pub(crate) static BED: QuantitiesKey = quantities(
    "bed",
    "Width and depth of the bed; the default is a usual size, common practice, no source",
    QuantityKind::Length,
    [40.0, 2000.0],
    [2, 2],
    WhenAbsent::Default(&[220.0, 220.0]),
);
pub(crate) static LEAST_WALL: QuantityKey = length(
    "least_wall",
    "Thinnest wall that it prints soundly; the default is two lines of a 0.4 mm nozzle, common practice, no source",
    [0.2, 5.0],
    WhenAbsent::Default(0.8),
);

pub(crate) static DIRECTION: ChoiceKey<PrintDirection> = choice(
    "direction",
    "Orientation of the part on the bed; arms that bend across their layers are weaker",
    &[
        (
            "side",
            PrintDirection::OnItsSide,
            "the axis of the barrels upright, as in the STL: layers run round the arms",
        ),
        ("standing", PrintDirection::Standing, "the axis of the barrels level: the arms bend across the layers"),
    ],
    WhenAbsent::Default("side"),
);
pub(crate) static SEAT_SPREAD: QuantityKey = length(
    "seat_spread",
    "Standard uncertainty from part to part of the diameter of a printed seat; the default is common practice, no source",
    [0.0, 1.0],
    WhenAbsent::Default(0.05),
);
pub(crate) static WALL_SPREAD: QuantityKey = length(
    "wall_spread",
    "Standard uncertainty from part to part of a printed wall, at most a quarter of the thinnest; the default is common \
     practice, no source",
    [0.0, 1.0],
    WhenAbsent::Default(0.03),
);

pub(crate) static CALIBRATION: TextKey = text(
    "calibration",
    "Calibration file from trials of coupons, relative to the spec",
    200,
    WhenAbsent::Optional("no calibration yet"),
);

pub(crate) static MOULD: TableKey = optional_table(
    "mould",
    "Mould of a cast part; used only together with material.final",
    &[&MOULD_SEAT_SPREAD, &MOULD_WALL_SPREAD, &MOULD_LEAST_WALL],
);
pub(crate) static MOULD_SEAT_SPREAD: QuantityKey = length(
    "seat_spread",
    "Standard uncertainty from part to part of the diameter of a cast seat; the default is common practice, no source",
    [0.0, 1.0],
    WhenAbsent::Default(0.05),
);
pub(crate) static MOULD_WALL_SPREAD: QuantityKey = length(
    "wall_spread",
    "Standard uncertainty from part to part of a cast wall, at most a quarter of the thinnest; the default is common \
     practice, no source",
    [0.0, 1.0],
    WhenAbsent::Default(0.03),
);
pub(crate) static MOULD_LEAST_WALL: QuantityKey = length(
    "least_wall",
    "Thinnest wall that fills soundly; the default lies within 0.75 mm to 1.5 mm, from memory",
    [0.2, 10.0],
    WhenAbsent::Default(1.0),
);

pub(crate) static COUPONS: TableKey = optional_table(
    "coupons",
    "Coupons: short slices to test the fit",
    &[&COUPON_LENGTH, &CLIP_STEPS, &MOUNT_STEPS, &MATCH, &COUPON_PRINT],
);
pub(crate) static COUPON_LENGTH: QuantityKey =
    length("length", "Length of a coupon, at most that of the mount", [3.0, 50.0], WhenAbsent::Default(8.0));
const fn steps(name: &'static str, about: &'static str, default: &'static [f64]) -> QuantitiesKey {
    quantities(name, about, QuantityKind::Length, [-1.0, 1.0], [1, 15], WhenAbsent::Default(default))
}
pub(crate) static CLIP_STEPS: QuantitiesKey =
    steps("clip_steps", "Changes of the diameter of the clip's seat, ascending", &[-0.2, -0.1, 0.0, 0.1, 0.2]);
pub(crate) static MOUNT_STEPS: QuantitiesKey =
    steps("mount_steps", "Changes of the width of the mount's seat, ascending", &[-0.1, 0.0, 0.1]);
pub(crate) static MATCH: ChoiceKey<CouponMatch> = choice(
    "match",
    "Property in which a coupon matches a part that is cast from material.final",
    &[
        ("shape", CouponMatch::Shape, "its shape; its forces are those of the print"),
        (
            "stiffness",
            CouponMatch::Stiffness,
            "its forces; wall thickness is adjusted until the coupon snaps in and pulls out like the cast \
        part",
        ),
    ],
    WhenAbsent::Optional("\"stiffness\" where walls for it are found, otherwise \"shape\""),
);
pub(crate) static COUPON_PRINT: TextKey = text(
    "print",
    "Material of the coupons of a part that is cast from material.final; its key in the library",
    40,
    WhenAbsent::Optional("that of material.print"),
);
