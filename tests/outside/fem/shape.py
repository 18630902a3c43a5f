"""Right half of a clip as a strip of pieces, from the floor to the last section, and a cap that closes it.

The shapes are those of the product, from the same parameters but independent code. Lengths in mm, angles in rad. The
origin is the seat's centre, and the mouth opens along +y. Angles of positions are measured from the floor (−y).
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

HALF_PI = 0.5 * np.pi


def ray(angle):
    """Unit vector at `angle` from the floor, towards the right arm; shape (..., 2)."""
    angle = np.asarray(angle, dtype=float)
    return np.stack([np.sin(angle), -np.cos(angle)], axis=-1)


def unit(angle):
    """Unit vector at `angle` from +x; shape (..., 2)."""
    angle = np.asarray(angle, dtype=float)
    return np.stack([np.cos(angle), np.sin(angle)], axis=-1)


@dataclass
class Piece:
    """A piece of the strip. `point(u, n)` is the position at `u` along it (0 to 1) and `n` through it (0 inner, 1 outer)."""

    point: Callable
    length_mm: float
    # Element length at both ends, as a multiple of the element height.
    first: float
    last: float
    clamped: bool = False
    seat: bool = True


@dataclass
class Cap:
    """A round about `centre` from direction `start` (outer side, from +x) over `sweep` to the inner side."""

    centre: np.ndarray
    radius_mm: float
    start: float
    sweep: float


@dataclass
class Shape:
    """Strip and cap, with the wall that sets the size of the elements."""

    pieces: list
    cap: Cap
    wall_mm: float
    # Ratio of wall to centreline radius, or to arm length: sets the stiffness of the penalty.
    slenderness: float
    # Length along the inner face, from the floor's middle, where the strain is first read, mm.
    strain_from_mm: float


def across(inner, outer, n):
    """Straight section between two faces."""
    n = np.asarray(n)[..., None]
    return (1.0 - n) * inner + n * outer


def tapered_outer(radius, root_wall, lip_wall, half_wrap):
    """Height of the centre and radius of the circle through the outer points at the floor and at the seat's end."""
    root, lip = radius + root_wall, radius + lip_wall
    height = (lip**2 - root**2) / (2.0 * (root - lip * np.cos(half_wrap)))
    return height, height + root


def round_clip(radius, wall, half_wrap, clamp, lip_wall=None, lead_in=None):
    """Round clip; `lead_in` is (radius, angle) of the flare."""
    lip_wall = wall if lip_wall is None else lip_wall
    height, reach = tapered_outer(radius, wall, lip_wall, half_wrap)
    outer_centre = np.array([0.0, height])
    end = ray(half_wrap)

    def outer_at(angle):
        along = -np.cos(angle) * height
        return ray(angle) * (along + np.sqrt(along**2 + reach**2 - height**2))[..., None]

    pieces = []
    if lead_in is None:
        shift = height * end[1]
        lip = (reach**2 - height**2 - radius**2 + 2.0 * radius * shift) / (2.0 * (radius + reach - shift))
        centre = end * (radius + lip)
        away = (centre - outer_centre) / np.linalg.norm(centre - outer_centre)
        contact = outer_centre + reach * away
        start = np.arctan2(away[1], away[0])
        sweep = (np.arctan2(end[1], end[0]) + np.pi - start) % (2.0 * np.pi)
        cap = Cap(centre, lip, start, sweep)
        # The lip touches both faces slightly off a diameter, so that the last section bends at its centre.
        last_section = (end * radius, centre, contact)
    else:
        flare, turn = lead_in
        centre = end * (radius + flare)
        gap = np.linalg.norm(centre - outer_centre)
        flare_outer = gap - reach
        towards = (outer_centre - centre) / gap
        contact = centre + flare_outer * towards
        inner_start = np.arctan2(end[1], end[0]) + np.pi
        outer_start = np.arctan2(towards[1], towards[0])
        outer_start += 2.0 * np.pi * np.round((inner_start - outer_start) / (2.0 * np.pi))
        tip = inner_start - turn
        half = 0.5 * (flare - flare_outer)
        cap = Cap(centre + unit(tip) * (flare_outer + half), half, tip - np.pi, np.pi)
        last_section = None
    contact_angle = np.arctan2(contact[0], -contact[1])

    def pad(u, n):
        angle = clamp * np.asarray(u)
        return across(radius * ray(angle), outer_at(angle), n)

    def arm(u, n):
        u, n = np.asarray(u, dtype=float), np.asarray(n, dtype=float)
        inner = radius * ray(clamp + (half_wrap - clamp) * u)
        straight = across(inner, outer_at(clamp + (contact_angle - clamp) * u), n)
        if last_section is None:
            return straight
        low, middle, high = last_section
        m = n[..., None]
        bent = np.where(m < 0.5, low + 2.0 * m * (middle - low), middle + (2.0 * m - 1.0) * (high - middle))
        return straight + (u**4)[..., None] * (bent - across(low, high, n))

    pieces.append(Piece(pad, (radius + 0.5 * wall) * clamp, 1.5, 0.8, clamped=True))
    pieces.append(Piece(arm, (radius + 0.5 * wall) * (half_wrap - clamp), 0.8, 1.5))
    if lead_in is not None:

        def flared(u, n):
            u = np.asarray(u, dtype=float)
            inner = centre + flare * unit(inner_start - turn * u)
            return across(inner, centre + flare_outer * unit(outer_start + (tip - outer_start) * u), n)

        pieces.append(Piece(flared, flare * turn, 1.2, 1.0, seat=False))
    central = radius + 0.5 * wall
    site = clamp + 0.35 * wall / central
    return Shape(pieces, cap, wall, wall / central, radius * site)


def body_mount(width, height, corner, gap, wall, half_wrap, clamp):
    """Mount on a rounded rectangle; `clamp` is the half width of the outer floor that is held, mm."""
    across_mm, up_mm = 0.5 * width - corner, 0.5 * height - corner
    inner_radius, outer_radius = corner + gap, corner + gap + wall
    if not 0.0 < clamp < across_mm or inner_radius <= 0.0:
        raise ValueError(f"the held half width of {clamp} mm must end before the corner, at {across_mm} mm")

    def line(start, end, normal):
        start, end, normal = np.array(start), np.array(end), np.array(normal)

        def point(u, n):
            foot = start + (end - start) * np.asarray(u, dtype=float)[..., None]
            return across(foot + inner_radius * normal, foot + outer_radius * normal, n)

        return point, float(np.linalg.norm(end - start))

    def arc(centre, start, turn):
        def point(u, n):
            normal = ray(start + turn * np.asarray(u, dtype=float))
            return across(np.array(centre) + inner_radius * normal, np.array(centre) + outer_radius * normal, n)

        return point, (corner + gap + 0.5 * wall) * turn

    down, right = (0.0, -1.0), (1.0, 0.0)
    held = line((0.0, -up_mm), (clamp, -up_mm), down)
    floor = line((clamp, -up_mm), (across_mm, -up_mm), down)
    side = line((across_mm, -up_mm), (across_mm, up_mm), right)
    pieces = [
        Piece(*held, 1.5, 0.8, clamped=True),
        Piece(*floor, 0.8, 1.2),
        Piece(*arc((across_mm, -up_mm), 0.0, HALF_PI), 1.2, 1.2),
        Piece(*side, 1.2, 1.2),
        Piece(*arc((across_mm, up_mm), HALF_PI, half_wrap - HALF_PI), 1.2, 1.2),
    ]
    end = ray(half_wrap)
    lip = 0.5 * wall
    cap = Cap(np.array([across_mm, up_mm]) + (inner_radius + lip) * end, lip, np.arctan2(end[1], end[0]), np.pi)
    # The floor bends too: its free length adds to that of the side.
    slenderness = wall / (0.5 * (0.5 * width - clamp + height))
    return Shape(pieces, cap, wall, slenderness, clamp + 0.35 * wall)


def split_ring(bore, wall, half_wrap, edge):
    """Half a split ring, free except at its plane of symmetry; the slit's edge at the bore is a round of radius `edge`.

    The last third of that round, which never touches anything, is cut off, so that no section is tangent to it.
    """
    turn = np.arcsin(edge / (bore + edge))
    centre = ray(half_wrap - turn) * (bore + edge)
    bend = half_wrap - turn

    def ring(u, n):
        angle = bend * np.asarray(u, dtype=float)
        return across(bore * ray(angle), (bore + wall) * ray(angle), n)

    def end(u, n):
        u = np.asarray(u, dtype=float)
        # From the point where the round leaves the bore, seen towards the axis, to the slit.
        towards = -ray(bend - np.radians(60.0) * u)
        inner = centre + edge * towards
        return across(inner, (bore + wall) * ray(bend + turn * u), n)

    pieces = [
        Piece(ring, (bore + 0.5 * wall) * bend, 1.5, 0.8),
        Piece(end, 0.5 * (edge + (bore + wall) * turn), 0.5, 0.5),
    ]
    central = bore + 0.5 * wall
    return Shape(pieces, None, wall, wall / central, 0.0), centre


def cantilever(length, wall):
    """Straight strip held at its first section, for the check of large deflections; it has no cap."""

    def point(u, n):
        u, n = np.asarray(u, dtype=float), np.asarray(n, dtype=float)
        return np.stack([length * u, wall * (n - 0.5)], axis=-1)

    return Shape([Piece(point, length, 3.0, 3.0)], None, wall, wall / length, 0.0)
