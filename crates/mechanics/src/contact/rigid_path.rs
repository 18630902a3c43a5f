//! Straight paths of the rigid section: places of its axis and turns about it.

use gripwright_section::Point;

/// Place of the rigid section's axis and turn about it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct RigidPose {
    pub(crate) axis: Point,
    pub(crate) turn_rad: f64,
}

impl RigidPose {
    /// Coordinates that move with the section in this pose.
    pub(crate) fn frame(&self) -> SectionFrame {
        let (sin, cos) = self.turn_rad.sin_cos();
        SectionFrame { axis: self.axis, sin, cos }
    }

    /// Displacement of the point of the rigid section that is at `place` now, since another pose. Turns are small.
    #[inline]
    pub(crate) fn displacement_since(&self, before: &Self, place: Point) -> Point {
        let shift = self.axis - before.axis;
        let turn = self.turn_rad - before.turn_rad;
        if turn.abs() > 0.0 { shift + (place - self.axis).turned_left() * turn } else { shift }
    }

    /// Returns the pose mirrored at the mouth's axis.
    #[must_use]
    pub(crate) fn mirrored(self) -> Self {
        Self { axis: Point::new(-self.axis.x, self.axis.y), turn_rad: -self.turn_rad }
    }
}

/// Coordinates of the rigid section in one pose.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SectionFrame {
    axis: Point,
    sin: f64,
    cos: f64,
}

impl SectionFrame {
    /// Returns a place of the clip in the coordinates of the section.
    #[inline]
    pub(crate) fn seen_from_section(&self, place: Point) -> Point {
        self.direction_from_section(place - self.axis)
    }

    /// Returns a direction of the clip in the coordinates of the section.
    #[inline]
    pub(crate) fn direction_from_section(&self, direction: Point) -> Point {
        Point::new(self.cos * direction.x + self.sin * direction.y, self.cos * direction.y - self.sin * direction.x)
    }

    /// Returns a direction of the section's coordinates in those of the clip.
    #[inline]
    pub(crate) fn direction_to_clip(&self, direction: Point) -> Point {
        Point::new(self.cos * direction.x - self.sin * direction.y, self.sin * direction.x + self.cos * direction.y)
    }
}

/// Straight path: a pose, and the change of pose for each mm of travel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct RigidPath {
    pub(crate) start: RigidPose,
    pub(crate) per_mm: RigidPose,
}

impl RigidPath {
    /// Path along the mouth's axis; the travel is the height of the section's axis.
    pub(crate) const ALONG_MOUTH: Self = Self {
        start: RigidPose { axis: Point::ORIGIN, turn_rad: 0.0 },
        per_mm: RigidPose { axis: Point::new(0.0, 1.0), turn_rad: 0.0 },
    };

    /// Pose at a travel, mm.
    pub(crate) fn at(&self, travel_mm: f64) -> RigidPose {
        RigidPose {
            axis: self.start.axis + self.per_mm.axis * travel_mm,
            turn_rad: self.start.turn_rad + self.per_mm.turn_rad * travel_mm,
        }
    }
}
