//! A full circle as a construction aid.

use crate::point::Point;

/// Circle by its centre and radius, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Circle {
    pub(crate) centre: Point,
    pub(crate) radius: f64,
}
