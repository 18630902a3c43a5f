//! Checks that sections do not touch themselves and keep their least wall.
//!
//! Between two levels, every segment moves linearly with the height, so the extremes are at the levels.

use super::defect::SolidDefect;
use crate::solid::SectionLevel;

/// Self-contact of the outline at a level.
pub(super) fn self_contact(level: &SectionLevel) -> Option<SolidDefect> {
    let contact = level.outline.self_contact()?;
    let role = |i: usize| level.outline.segments()[i].role;
    Some(SolidDefect::SelfContact {
        height_mm: level.height_mm,
        roles: [role(contact.first), role(contact.second)],
        x_mm: contact.point.x,
        y_mm: contact.point.y,
    })
}

/// Thinnest wall at a level, if it is below the limit.
pub(super) fn thin_wall(level: &SectionLevel, least_mm: f64) -> Option<SolidDefect> {
    // A ray from a ledge runs along the arm and meets only the rounded lip in front of it.
    let counts = |segment: usize| level.ledges.get(segment) != Some(&true);
    let wall = level.outline.wall_thinner_than(least_mm, counts)?;
    Some(SolidDefect::ThinWall {
        height_mm: level.height_mm,
        thickness_mm: wall.thickness_mm,
        least_mm,
        role: level.outline.segments()[wall.segment].role,
        x_mm: wall.at.x,
        y_mm: wall.at.y,
    })
}
