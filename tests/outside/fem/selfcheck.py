"""Checks of the finite-element code itself: a published figure, a conservation law, an earlier study."""

import csv
from pathlib import Path

import numpy as np
from scipy.sparse.linalg import splu

from .mesh import COARSE, build
from .rigid import Circle
from .shape import body_mount, cantilever, round_clip
from .solid import Pattern, Solid
from .stroke import StrokeSolver, push_and_pull
from .tilting import CLIPS, Barrel, TiltSolver

# K. Mattiasson, "Numerical results from large deflection beam and frame problems analysed by means of elliptic integrals",
# Int. J. Numer. Methods Eng. 17 (1981): deflection over length of a cantilever whose end force is EI/L².
MATTIASSON = 0.3017208
# A barrel that overlaps a clip's seat.
BARREL = Barrel(CLIPS[0].seat_mm + 0.05, 0.1, 0.01)


def large_deflection(length=50.0, wall=1.0, young=2000.0, steps=10):
    """Deflection over length of a slender cantilever under a dead end force EI/L²; no lateral contraction."""
    meshed = build(cantilever(length, wall), COARSE)
    solid = Solid(meshed, young, 0.0)
    held = np.concatenate([2 * meshed.axis, 2 * meshed.axis + 1])
    free = np.setdiff1d(np.arange(solid.size), held)
    pattern = Pattern(solid.size, free, [solid.unknowns])
    end = meshed.tip_section
    shares = np.tile([1.0, 1.0, 4.0], (len(end), 1)) / (6.0 * len(end))
    force = young * wall**3 / 12.0 / length**2
    full = force * np.bincount((2 * end + 1).ravel(), shares.ravel(), minlength=solid.size)
    displacement, before = np.zeros(solid.size), np.zeros(solid.size)
    for step in range(1, steps + 1):
        load = full * step / steps
        # Slender beams need a good start value: the last step extrapolated.
        displacement, before = 2.0 * displacement - before, displacement
        for _ in range(30):
            internal, tangents = solid.assemble(displacement)
            unbalanced = (load - internal)[free]
            if np.linalg.norm(unbalanced) < 1e-8 * np.linalg.norm(full):
                break
            displacement[free] += splu(pattern.matrix([tangents])).solve(unbalanced)
    return float(displacement[2 * end + 1].mean()) / length


def area_error():
    """Relative error of the area of meshes with arcs as faces: it detects folded elements and missing faces."""
    radius, wall, half_wrap = 8.0, 1.6, np.radians(115.0)
    ring = (radius + 0.5 * wall) * wall * half_wrap + 0.5 * np.pi * (0.5 * wall) ** 2
    found = build(round_clip(radius, wall, half_wrap, np.radians(25.0)), COARSE).basis.dx.sum()
    worst = abs(found / ring - 1.0)
    # The same ring with a flare of even wall.
    flare, turn = 3.2, np.radians(60.0)
    flared = ring + (flare - 0.5 * wall) * wall * turn
    found = build(round_clip(radius, wall, half_wrap, np.radians(25.0), None, (flare, turn)), COARSE).basis.dx.sum()
    worst = max(worst, abs(found / flared - 1.0))
    # Floor, side and two corner arcs of a mount; its wall is even too.
    width, height, corner, gap = 30.0, 18.0, 5.0, -0.1
    length = 0.5 * width - corner + height - 2.0 * corner + (corner + gap + 0.5 * wall) * half_wrap
    mount = length * wall + 0.5 * np.pi * (0.5 * wall) ** 2
    found = build(body_mount(width, height, corner, gap, wall, half_wrap, 6.0), COARSE).basis.dx.sum()
    return float(max(worst, abs(found / mount - 1.0)))


def tangent_error():
    """Relative difference between the tangent and finite differences of the residual, with contact and friction."""
    solver = StrokeSolver(round_clip(8.0, 1.6, np.radians(115.0), np.radians(25.0)), Circle(8.0), 2000.0, 0.38, 0.2, COARSE)
    chance = np.random.default_rng(1)
    height = solver.first_touch() - 0.1
    displacement = 1e-2 * chance.standard_normal(solver.solid.size)
    contact = solver.contact
    # Some points stick and some slip.
    along = contact.rigid.at(contact.places(displacement) - [0.0, height])[3]
    contact.along = along + 0.01 * chance.uniform(-1.0, 1.0, along.size)
    change = np.zeros(solver.solid.size)
    change[solver.free] = chance.standard_normal(len(solver.free))
    _, tangents, touch = solver.residual(displacement, height)
    exact = -solver.pattern.matrix([tangents, -touch.blocks]) @ change[solver.free]
    small = 1e-7
    ahead = solver.residual(displacement + small * change, height)[0]
    behind = solver.residual(displacement - small * change, height)[0]
    return float(np.linalg.norm((ahead - behind) / (2.0 * small) - exact) / np.linalg.norm(exact))


def tilted_tangent_error():
    """The same for a clip in three dimensions whose barrel follows a force."""
    solver = TiltSolver(CLIPS[0], 8.0, 2)
    chance = np.random.default_rng(1)
    displacement = 1e-2 * chance.standard_normal(solver.solid.size)
    moved = solver.solid.nodes + displacement.reshape(-1, 3)
    for contact in solver.contacts:
        contact.friction = 0.2
        surface = BARREL.at(np.einsum("pa,eai->epi", contact.face.shape, moved[contact.face.nodes]))[-1]
        contact.surface = surface + 1e-3 * chance.uniform(-1.0, 1.0, surface.shape)
    change, rise = np.zeros(solver.solid.size), 0.7
    change[solver.free] = chance.standard_normal(len(solver.free))
    _, tangents, touch = solver.residual(displacement, BARREL, 0.5)
    exact = -solver.matrix(tangents, touch, True) @ np.append(change[solver.free], rise)

    def residual(share):
        barrel = Barrel(BARREL.radius_mm, BARREL.middle_mm + share * rise, BARREL.tilt_rad)
        return solver.residual(displacement + share * change, barrel, 0.5)[0]

    small = 1e-7
    return float(np.linalg.norm((residual(small) - residual(-small)) / (2.0 * small) - exact) / np.linalg.norm(exact))


def earlier_row(table, identity):
    """One row of the earlier study of round clips with an even wall, as numbers."""
    lines = [line for line in Path(table).read_text().splitlines() if not line.startswith("#")]
    found = next(row for row in csv.DictReader(lines) if row["id"] == identity)
    return {name: float(value) for name, value in found.items()}


def even_clip(wanted, through):
    """Computes push and pull of a clip of the earlier study, which had one material for all."""
    shape = round_clip(
        wanted["Ri_mm"],
        wanted["t_mm"],
        0.5 * np.radians(wanted["wrap_2alpha_deg"]),
        np.radians(wanted["clamp_halfangle_gamma_deg"]),
    )
    return push_and_pull(StrokeSolver(shape, Circle(wanted["Rt_mm"]), 2000.0, 0.38, wanted["mu"], through))


def push_work(moments):
    """Work of the push over a path, N mm per mm of length."""
    heights = [moment.tool_y_mm for moment in moments]
    return -float(np.trapezoid([moment.push for moment in moments], heights))
