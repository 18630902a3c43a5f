//! Sections touch themselves nowhere and keep their least wall. Between two levels
//! every segment moves evenly with the height, so the extremes are at the levels.

use super::Finding;
use crate::solid::Level;

pub(super) fn self_contact(level: &Level) -> Option<Finding> {
    let contact = level.outline.self_contact()?;
    let role = |i: usize| level.outline.segments()[i].role;
    Some(Finding::SelfContact {
        height_mm: level.height_mm,
        roles: (role(contact.first), role(contact.second)),
        x_mm: contact.point.x,
        y_mm: contact.point.y,
    })
}

pub(super) fn thin_wall(level: &Level, least_mm: f64) -> Option<Finding> {
    // Looking along the arm, a ledge sees nothing but the rounded lip in front of it.
    let counts = |segment: usize| level.ledges.get(segment) != Some(&true);
    let wall = level.outline.wall_under(least_mm, counts)?;
    Some(Finding::ThinWall {
        height_mm: level.height_mm,
        thickness_mm: wall.thickness_mm,
        least_mm,
        role: level.outline.segments()[wall.segment].role,
        x_mm: wall.at.x,
        y_mm: wall.at.y,
    })
}
