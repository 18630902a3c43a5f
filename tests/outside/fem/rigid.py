"""Rigid outlines: exact signed distance, normal, curvature, and length along the outline.

Each takes positions relative to its axis, shape (points, 2). It returns the gap (mm, negative inside), the outward normal,
the curvature 1/ρ of the level line of the distance (1/mm), the coordinate along the outline (mm, counter-clockwise from
below), and the change of that coordinate per mm along the level line.
"""

import numpy as np

HALF_PI = 0.5 * np.pi
SIXTH = np.pi / 3.0


class Circle:
    """Round barrel."""

    def __init__(self, radius_mm):
        self.radius_mm = radius_mm

    @property
    def bottom_mm(self):
        """Depth of the lowest point below the axis."""
        return self.radius_mm

    def at(self, place):
        """Gap, normal, curvature, coordinate and its change at a position: see the module."""
        reach = np.maximum(np.hypot(place[:, 0], place[:, 1]), 1e-12)
        normal = place / reach[:, None]
        along = self.radius_mm * np.arctan2(place[:, 0], -place[:, 1])
        return reach - self.radius_mm, normal, 1.0 / reach, along, self.radius_mm / reach


class RoundedRectangle:
    """Body with rounded corners; only its right half is touched."""

    def __init__(self, width_mm, height_mm, corner_mm):
        self.corner_mm = corner_mm
        self.core = np.array([0.5 * width_mm - corner_mm, 0.5 * height_mm - corner_mm])

    @property
    def bottom_mm(self):
        """Depth of the lowest point below the axis."""
        return self.core[1] + self.corner_mm

    def at(self, place):
        """Gap, normal, curvature, coordinate and its change at a position: see the module."""
        sign = np.where(place < 0.0, -1.0, 1.0)
        beyond = np.abs(place) - self.core
        outside = np.maximum(beyond, 0.0)
        reach = np.hypot(outside[:, 0], outside[:, 1])
        gap = reach + np.minimum(beyond.max(axis=1), 0.0) - self.corner_mm
        corner = (beyond > 0.0).all(axis=1)
        upright = beyond[:, 0] > beyond[:, 1]
        flat = np.where(upright[:, None], [[1.0, 0.0]], [[0.0, 1.0]])
        safe = np.maximum(reach, 1e-12)
        normal = sign * np.where(corner[:, None], outside / safe[:, None], flat)
        curvature = np.where(corner, 1.0 / safe, 0.0)
        worth = np.where(corner, self.corner_mm / safe, 1.0)
        return gap, normal, curvature, self.along(place, normal, corner, upright), worth

    def along(self, place, normal, corner, upright):
        """Length from the middle of the floor side, for the right half."""
        across, up = self.core
        quarter = HALF_PI * self.corner_mm
        turn = self.corner_mm * np.arctan2(normal[:, 0], -normal[:, 1])
        lower = place[:, 1] < 0.0
        flat = np.where(
            upright,
            across + quarter + place[:, 1] + up,
            np.where(lower, place[:, 0], 2.0 * (across + quarter + up) - place[:, 0]),
        )
        round_part = across + turn + np.where(lower, 0.0, 2.0 * up)
        return np.where(corner, round_part, flat)


class Hexagon:
    """Hexagonal bar with rounded corners, a flat or a corner down."""

    def __init__(self, flats_mm, corner_mm, corner_down):
        self.corner_mm = corner_mm
        # The round runs about the corners of a smaller hexagon.
        self.inner_mm = 0.5 * flats_mm - corner_mm
        self.half_side_mm = self.inner_mm * np.tan(SIXTH / 2.0)
        # Turns from below, in sixths, at which the flats' normals lie.
        self.first = 0.5 if corner_down else 0.0

    @property
    def bottom_mm(self):
        """Depth of the lowest point below the axis."""
        if self.first:
            return self.inner_mm / np.cos(SIXTH / 2.0) + self.corner_mm
        return self.inner_mm + self.corner_mm

    def at(self, place):
        """Gap, normal, curvature, coordinate and its change at a position: see the module."""
        # The flat of the sector in which the position lies; sectors meet at the corners.
        turn = np.arctan2(place[:, 0], -place[:, 1]) / SIXTH
        flat = np.round(turn - self.first) + self.first
        normal = np.stack([np.sin(flat * SIXTH), -np.cos(flat * SIXTH)], axis=1)
        aside = np.stack([-normal[:, 1], normal[:, 0]], axis=1)
        above = (place * normal).sum(axis=1) - self.inner_mm
        along = (place * aside).sum(axis=1)
        beyond = np.abs(along) - self.half_side_mm
        corner = (beyond > 0.0) & (above > 0.0)
        reach = np.where(corner, np.hypot(above, beyond), above)
        safe = np.maximum(reach, 1e-12)
        side = np.sign(along)
        round_normal = (above[:, None] * normal + (side * beyond)[:, None] * aside) / safe[:, None]
        pitch = 2.0 * self.half_side_mm + SIXTH * self.corner_mm
        round_along = side * (self.half_side_mm + self.corner_mm * np.arctan2(beyond, np.maximum(above, 1e-12)))
        return (
            reach - self.corner_mm,
            np.where(corner[:, None], round_normal, normal),
            np.where(corner, 1.0 / safe, 0.0),
            flat * pitch + np.where(corner, round_along, along),
            np.where(corner, self.corner_mm / safe, 1.0),
        )
