//! The shapes of a body's cross-section, and the key that names one.

use crate::keys::key::{Absent, ChoiceKey};

/// Which cross-section the body has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shape {
    Circle,
    Ellipse,
    RoundedRectangle,
    FlattedCircle,
    Calliper,
    Traced,
    Scan,
}

pub(crate) static SHAPE: ChoiceKey<Shape> = ChoiceKey {
    name: "shape",
    about: "Which cross-section it is",
    words: &[
        ("circle", Shape::Circle, "round bar or tube: diameter"),
        ("ellipse", Shape::Ellipse, "oval: width, height"),
        ("rounded-rectangle", Shape::RoundedRectangle, "rectangle: width, height, corner"),
        ("flatted-circle", Shape::FlattedCircle, "round bar with one flat at the top: diameter, across, corner"),
        ("calliper", Shape::Calliper, "readings around the body: radii or widths"),
        ("traced", Shape::Traced, "a drawing of the section: file, unit"),
        ("scan", Shape::Scan, "a section of a scanned body: file, axis, height"),
    ],
    absent: Absent::Needed("it decides which sizes are asked for"),
};
