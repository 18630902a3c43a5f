//! Keys of keep-outs.

use crate::keys::key::{
    ChoiceKey, QuantitiesKey, QuantityKey, RepeatedTableKey, TableKey, TextKey, WhenAbsent, choice, length,
    optional_table, quantities, quantity, repeated_table, text,
};
use crate::text::quantity::QuantityKind;
use crate::values::checked_spec::HolderAxis;

/// Largest coordinate of a keep-out, mm from the middle of the mount.
const FARTHEST: f64 = 500.0;

const fn required_length(name: &'static str, about: &'static str, range: [f64; 2], why: &'static str) -> QuantityKey {
    length(name, about, range, WhenAbsent::Required(why))
}

const fn place(name: &'static str, about: &'static str, count: usize, why: &'static str) -> QuantitiesKey {
    quantities(name, about, QuantityKind::Length, [-FARTHEST, FARTHEST], [count, count], WhenAbsent::Required(why))
}

const fn angle(name: &'static str, about: &'static str) -> QuantityKey {
    quantity(
        name,
        about,
        QuantityKind::Angle,
        [-360.0, 360.0],
        WhenAbsent::Required("a lever that sweeps has a first and a last place"),
    )
}

pub(crate) static KEEP_OUTS: RepeatedTableKey = repeated_table(
    "keep_out",
    "A volume that must stay free, one table each, with one of box, cylinder and sweep; x runs \
        across, y from the axis of the body toward the tools, z along the body from the middle of the \
        mount toward ascending stations",
    &[&KEEP_OUT_NAME, &BOX, &CYLINDER, &SWEEP, &CLEARANCE],
    20,
    WhenAbsent::Default(()),
);
pub(crate) static KEEP_OUT_NAME: TextKey = text(
    "name",
    "Name of what needs the room, used once in the spec",
    60,
    WhenAbsent::Required("the fit table calls it by its name"),
);
pub(crate) static CLEARANCE: QuantityKey = length(
    "clearance",
    "Free space around it; the default is room for a hand-made measurement, common practice, no source",
    [0.0, 50.0],
    WhenAbsent::Default(1.0),
);

pub(crate) static BOX: TableKey = optional_table("box", "A box along the axes", &[&BOX_FROM, &BOX_TO]);
pub(crate) static BOX_FROM: QuantitiesKey =
    place("from", "Its corner with the least x, y and z", 3, "a box has two corners");
pub(crate) static BOX_TO: QuantitiesKey =
    place("to", "Its corner with the greatest x, y and z", 3, "a box has two corners");

pub(crate) static CYLINDER: TableKey = optional_table(
    "cylinder",
    "A cylinder along an axis",
    &[&CYLINDER_ALONG, &THROUGH, &CYLINDER_DIAMETER, &CYLINDER_FROM, &CYLINDER_TO],
);
pub(crate) static CYLINDER_ALONG: ChoiceKey<HolderAxis> = choice(
    "along",
    "The axis that it runs along",
    &[("x", HolderAxis::X, "across"), ("y", HolderAxis::Y, "toward the tools"), ("z", HolderAxis::Z, "along the body")],
    WhenAbsent::Required("a cylinder may lie three ways"),
);
pub(crate) static THROUGH: QuantitiesKey =
    place("through", "A point [x, y, z] of its axis", 3, "its direction alone does not place it");
pub(crate) static CYLINDER_DIAMETER: QuantityKey =
    required_length("diameter", "Its diameter", [0.1, FARTHEST], "it says how thick it is");
pub(crate) static CYLINDER_FROM: QuantityKey =
    required_length("from", "Start along that axis", [-FARTHEST, FARTHEST], "a cylinder has two ends");
pub(crate) static CYLINDER_TO: QuantityKey =
    required_length("to", "End along that axis", [-FARTHEST, FARTHEST], "a cylinder has two ends");

pub(crate) static SWEEP: TableKey = optional_table(
    "sweep",
    "Volume that a lever sweeps: a flat bar with round ends that turns about an axis across the \
        body",
    &[&PIVOT, &REACH, &THICKNESS, &SWEEP_WIDTH, &SWEEP_ACROSS, &SWEEP_FROM, &SWEEP_TO],
);
pub(crate) static PIVOT: QuantitiesKey =
    place("pivot", "Place [y, z] of the axis that it turns about", 2, "it says where the lever turns");
pub(crate) static REACH: QuantityKey = required_length(
    "reach",
    "Distance from that axis to the tip of the lever",
    [0.5, FARTHEST],
    "it says how far the lever reaches",
);
pub(crate) static THICKNESS: QuantityKey = required_length(
    "thickness",
    "Thickness of the bar seen from the side, which its ends are rounded to; at most the reach",
    [0.1, 200.0],
    "a lever without one needs no room",
);
pub(crate) static SWEEP_WIDTH: QuantityKey =
    required_length("width", "Width of the bar across", [0.1, FARTHEST], "a lever without one needs no room");
pub(crate) static SWEEP_ACROSS: QuantityKey =
    length("across", "x of the middle of its width", [-FARTHEST, FARTHEST], WhenAbsent::Default(0.0));
pub(crate) static SWEEP_FROM: QuantityKey = angle(
    "from",
    "The lever's first direction from its pivot: 0 deg along the body toward ascending stations, \
        90 deg straight toward the tools",
);
pub(crate) static SWEEP_TO: QuantityKey =
    angle("to", "Its last direction, measured alike, not below the first and at most 180 deg above it");
