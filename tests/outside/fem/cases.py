"""Clips and mounts of the study. All figures are invented: none is from a product or a measurement.

Angles are in degrees here and in the table, for the reader.
"""

from dataclasses import dataclass

import numpy as np

from .rigid import Circle, Hexagon, RoundedRectangle
from .shape import body_mount, round_clip

YOUNG_MPA = 2000.0


@dataclass
class Case:
    """One geometry; lengths mm. The fields are the first columns of the table, in order."""

    id: str
    kind: str
    nu: float
    t: float
    wrap: float
    mu: float
    ri: float | None = None
    gamma: float | None = None
    rt: float | None = None
    lip_wall: float | None = None
    lead_in_radius: float | None = None
    lead_in_angle: float | None = None
    width: float | None = None
    height: float | None = None
    corner: float | None = None
    gap: float | None = None
    clamp: float | None = None
    flats: float | None = None
    bar_corner: float | None = None
    down: str | None = None

    def shape(self):
        """Right half of the clip."""
        half_wrap = 0.5 * np.radians(self.wrap)
        if self.kind == "body":
            return body_mount(self.width, self.height, self.corner, self.gap, self.t, half_wrap, self.clamp)
        lead_in = None
        if self.lead_in_radius is not None:
            lead_in = (self.lead_in_radius, np.radians(self.lead_in_angle))
        return round_clip(self.ri, self.t, half_wrap, np.radians(self.gamma), self.lip_wall, lead_in)

    def rigid(self):
        """The rigid tool or body that is pushed in."""
        if self.kind == "body":
            return RoundedRectangle(self.width, self.height, self.corner)
        if self.kind == "hexagon":
            return Hexagon(self.flats, self.bar_corner, self.down == "corner")
        return Circle(self.rt)

    def inputs(self):
        """Input columns of the table; None where one does not apply."""
        return {
            "id": self.id,
            "kind": self.kind,
            "E_MPa": YOUNG_MPA,
            "nu": self.nu,
            "Ri_mm": self.ri,
            "t_mm": self.t,
            "lip_wall_mm": self.lip_wall,
            "wrap_2alpha_deg": self.wrap,
            "clamp_halfangle_gamma_deg": self.gamma,
            "mu": self.mu,
            "Rt_mm": self.rt,
            "lead_in_radius_mm": self.lead_in_radius,
            "lead_in_angle_deg": self.lead_in_angle,
            "body_width_mm": self.width,
            "body_height_mm": self.height,
            "body_corner_mm": self.corner,
            "gap_mm": self.gap,
            "clamp_halfwidth_mm": self.clamp,
            "hexagon_flats_mm": self.flats,
            "hexagon_corner_mm": self.bar_corner,
            "hexagon_down": self.down,
        }


CASES = [
    Case("taper-plain", "round", 0.35, 2.0, 230.0, 0.25, ri=9.0, gamma=25.0, rt=9.0, lip_wall=1.3),
    Case("body-wide", "body", 0.38, 2.2, 260.0, 0.25, width=30.0, height=18.0, corner=5.0, gap=-0.08, clamp=6.0),
    Case("lead-in", "round", 0.36, 1.6, 225.0, 0.3, ri=8.0, gamma=25.0, rt=8.1, lead_in_radius=3.2, lead_in_angle=60.0),
    Case("body-tall", "body", 0.36, 1.8, 250.0, 0.33, width=16.0, height=28.0, corner=4.0, gap=-0.05, clamp=3.0),
    Case("taper-tight", "round", 0.38, 1.4, 240.0, 0.3, ri=6.0, gamma=28.0, rt=6.15, lip_wall=0.8),
    Case("thick", "round", 0.4, 2.8, 225.0, 0.2, ri=8.0, gamma=25.0, rt=8.0),
    Case("high-friction", "round", 0.38, 1.2, 250.0, 0.5, ri=7.0, gamma=25.0, rt=7.0),
    Case("oversize", "round", 0.33, 1.3, 235.0, 0.25, ri=7.5, gamma=25.0, rt=7.95),
    Case("lead-in-long", "round", 0.42, 1.2, 235.0, 0.2, ri=6.0, gamma=22.0, rt=6.0, lead_in_radius=5.0, lead_in_angle=50.0),
    Case("body-square", "body", 0.3, 1.6, 240.0, 0.2, width=18.0, height=20.0, corner=6.0, gap=0.0, clamp=2.2),
    Case("body-tight", "body", 0.4, 2.0, 264.0, 0.2, width=24.0, height=20.0, corner=6.0, gap=-0.1, clamp=4.0),
    Case("taper-lead-in", "round", 0.34, 1.8, 228.0, 0.15, ri=7.0, gamma=30.0, rt=7.1, lip_wall=1.1, lead_in_radius=2.6,
         lead_in_angle=45.0),
    Case("bar-even-flat", "hexagon", 0.36, 0.95, 228.0, 0.25, ri=3.54, gamma=25.0, flats=6.9, bar_corner=0.6, down="flat"),
    Case("bar-even-corner", "hexagon", 0.36, 0.95, 228.0, 0.25, ri=3.54, gamma=25.0, flats=6.9, bar_corner=0.6, down="corner"),
    Case("bar-wide-flat", "hexagon", 0.4, 1.35, 232.0, 0.35, ri=4.88, gamma=34.0, flats=9.7, bar_corner=0.8, down="flat"),
    Case("bar-wide-corner", "hexagon", 0.4, 1.35, 232.0, 0.35, ri=4.88, gamma=34.0, flats=9.7, bar_corner=0.8, down="corner"),
    Case("bar-blunt-flat", "hexagon", 0.33, 1.7, 226.0, 0.15, ri=8.0, gamma=22.0, flats=16.0, bar_corner=5.0, down="flat",
         lip_wall=1.2),
    Case("bar-blunt-corner", "hexagon", 0.33, 1.7, 226.0, 0.15, ri=8.0, gamma=22.0, flats=16.0, bar_corner=5.0, down="corner",
         lip_wall=1.2),
    Case("bar-loose-flat", "hexagon", 0.38, 1.0, 240.0, 0.2, ri=5.6, gamma=28.0, flats=9.9, bar_corner=0.7, down="flat"),
    Case("bar-loose-corner", "hexagon", 0.38, 1.0, 240.0, 0.2, ri=5.6, gamma=28.0, flats=9.9, bar_corner=0.7, down="corner"),
    # Walls beyond three tenths of the seat's radius: even, tapered, and mounts by the body's mean radius and at sharp corners.
    Case("wall-30", "round", 0.38, 2.4, 225.0, 0.25, ri=8.0, gamma=25.0, rt=8.12),
    Case("wall-40", "round", 0.38, 3.2, 225.0, 0.25, ri=8.0, gamma=25.0, rt=8.12),
    Case("wall-50", "round", 0.38, 4.0, 225.0, 0.25, ri=8.0, gamma=25.0, rt=8.12),
    Case("wall-60", "round", 0.38, 4.8, 225.0, 0.25, ri=8.0, gamma=25.0, rt=8.12),
    Case("wall-80", "round", 0.38, 6.4, 225.0, 0.25, ri=8.0, gamma=25.0, rt=8.12),
    Case("wall-50-wrap", "round", 0.38, 3.0, 240.0, 0.2, ri=6.0, gamma=33.0, rt=6.15),
    Case("wall-50-taper", "round", 0.38, 4.0, 225.0, 0.25, ri=8.0, gamma=25.0, rt=8.12, lip_wall=2.4),
    Case("wall-60-taper", "round", 0.38, 4.8, 225.0, 0.25, ri=8.0, gamma=25.0, rt=8.12, lip_wall=2.9),
    Case("body-wall-30", "body", 0.38, 3.3, 250.0, 0.25, width=24.0, height=20.0, corner=6.0, gap=-0.08, clamp=4.0),
    Case("body-wall-45", "body", 0.38, 5.0, 250.0, 0.25, width=24.0, height=20.0, corner=6.0, gap=-0.08, clamp=4.0),
    Case("body-wall-60", "body", 0.38, 6.6, 250.0, 0.25, width=24.0, height=20.0, corner=6.0, gap=-0.08, clamp=4.0),
    Case("body-sharp", "body", 0.38, 2.4, 260.0, 0.25, width=24.0, height=18.0, corner=1.6, gap=-0.08, clamp=5.0),
    Case("body-sharper", "body", 0.38, 2.4, 260.0, 0.25, width=24.0, height=18.0, corner=0.8, gap=-0.08, clamp=5.0),
    Case("body-corner-80", "body", 0.38, 2.4, 260.0, 0.25, width=24.0, height=18.0, corner=3.08, gap=-0.08, clamp=5.0),
    Case("body-corner-110", "body", 0.38, 2.4, 260.0, 0.25, width=24.0, height=18.0, corner=2.26, gap=-0.08, clamp=5.0),
]
