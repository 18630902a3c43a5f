//! Shapes of a body's cross-section, and the key that selects one.

use crate::keys::key::{ChoiceKey, WhenAbsent, choice};

/// Shape of the body's cross-section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum ProfileShape {
    Circle,
    Ellipse,
    RoundedRectangle,
    FlattedCircle,
    Calliper,
    Traced,
    Scan,
}

pub(crate) static SHAPE: ChoiceKey<ProfileShape> = choice(
    "shape",
    "Shape of the cross-section",
    &[
        ("circle", ProfileShape::Circle, "round bar or tube: diameter"),
        ("ellipse", ProfileShape::Ellipse, "oval: width, height"),
        ("rounded-rectangle", ProfileShape::RoundedRectangle, "rectangle: width, height, corner"),
        ("flatted-circle", ProfileShape::FlattedCircle, "round bar with one flat at the top: diameter, across, corner"),
        ("calliper", ProfileShape::Calliper, "readings around the body: radii or widths"),
        ("traced", ProfileShape::Traced, "a drawing of the section: file, unit"),
        ("scan", ProfileShape::Scan, "a section of a scanned body: file, axis, height"),
    ],
    WhenAbsent::Required("it decides which sizes are asked for"),
);
