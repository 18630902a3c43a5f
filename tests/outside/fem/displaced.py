"""Displaces a rigid tool from rest in a clip, aside, out and turning: both arms on one pad, each with its own contact.

    python -m fem.displaced TABLE     computes the table of all displacements, from the folder above this one
"""

import csv
import sys
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

import numpy as np

from .cases import CASES, YOUNG_MPA
from .mesh import COARSE
from .record import figure
from .solid import Pattern
from .stroke import StrokeSolver, push_and_pull

# Steps of a displacement, and the steps at which the table has the loads.
STEPS = 40
SHARES = (0.25, 0.5, 0.75, 1.0)
# Loads with their units.
LOADS = {"across": "N_per_mm", "out": "N_per_mm", "turn": "Nmm_per_mm"}
# Length of the first step over that of the others: before anything slides, friction rises with the displacement.
FIRST = 0.02
FINE = 2 * COARSE

HEAD = f"""\
# Own finite-element study of tools and bodies that are displaced from rest; invented geometry. No measurement, no product.
# Made by tests/outside/fem/displaced.py with scikit-fem {{library}} and SciPy's sparse solver: the clips, materials and
# contact of fem-clips.csv under the same id, but with both arms. The tool is pushed in along the mouth's axis; then it
# goes straight by `across` (mm, +x), `out` (mm, out of the mouth) and `turn` (degrees, counter-clockwise about its own
# axis), all in proportion, in {STEPS} steps. mu replaces that of the clip.
# Loads that hold the tool at a share of that way, per mm of length: force across and out (N/mm), moment about the tool's
# axis (N mm/mm). Plain columns from {FINE} elements through the wall, _coarse from half as many, _extrap linear to an element
# size of zero.
"""


@dataclass
class Displacement:
    """One displacement: identity of the clip, friction, and the way."""

    clip: str
    mu: float
    across_mm: float
    out_mm: float
    turn_deg: float

    @property
    def case(self):
        """The clip."""
        return next(case for case in CASES if case.id == self.clip)

    @property
    def id(self):
        """Identity of the displacement."""
        return f"{self.clip} mu {self.mu:g} by {self.across_mm:g} {self.out_mm:g} {self.turn_deg:g}"

    def inputs(self):
        """Input columns of the table."""
        way = {"across_mm": self.across_mm, "out_mm": self.out_mm, "turn_deg": self.turn_deg}
        return {**self.case.inputs(), "mu": self.mu, **way}


DISPLACEMENTS = [
    Displacement("body-tight", 0.2, 2.5, 0.0, 0.0),
    # Turned and moved out, so that the floor stays clear of the flat below.
    Displacement("body-tight", 0.2, 0.0, 0.9, 6.0),
    Displacement("body-tight", 0.0, 0.0, 0.9, 6.0),
    Displacement("body-tight", 0.2, 0.5, 0.3, 2.0),
    # Turned against the floor.
    Displacement("body-tight", 0.2, 0.0, 0.0, 4.0),
    Displacement("body-wide", 0.25, 2.0, 0.0, 0.0),
    Displacement("body-wide", 0.25, 0.0, 0.7, 4.0),
    Displacement("taper-tight", 0.3, 0.4, 0.0, 0.0),
    Displacement("taper-tight", 0.3, 0.5, 0.5, 0.0),
]


class Posed:
    """A rigid outline in a pose: place of its axis and turn about it."""

    def __init__(self, rigid):
        self.rigid = rigid
        self.place(np.zeros(2), 0.0)

    def place(self, axis, turn_rad):
        """Sets the pose."""
        cos, sin = np.cos(turn_rad), np.sin(turn_rad)
        self.axis, self.turned = axis, np.array([[cos, -sin], [sin, cos]])

    def at(self, place):
        """See the module of the outlines."""
        gap, normal, curvature, along, worth = self.rigid.at((place - self.axis) @ self.turned)
        return gap, normal @ self.turned.T, curvature, along, worth


class BothArms:
    """Two copies of one half, the left one mirrored, that share the nodes on the mouth's axis.

    Displacements and forces of the whole are those of the right half, then those of the left half's own nodes.
    """

    def __init__(self, half, axis_nodes):
        count = half.size // 2
        own = np.setdiff1d(np.arange(count), axis_nodes)
        number = np.arange(count)
        number[own] = count + np.arange(len(own))
        self.size = 2 * (count + len(own))
        # Unknown of the whole for each unknown of the left half, and its sign.
        self.left = np.stack([2 * number, 2 * number + 1], axis=1).ravel()
        self.sign = np.tile([-1.0, 1.0], count)
        self.half_size = half.size

    def halves(self, displacement):
        """Displacement of the right half, and of the left one in mirrored coordinates."""
        return displacement[: self.half_size], self.sign * displacement[self.left]

    def join(self, right, left):
        """Sum of the forces on both halves."""
        total = np.bincount(self.left, self.sign * left, minlength=self.size)
        total[: self.half_size] += right
        return total

    def unknowns(self, half):
        """Unknowns of the blocks of both halves."""
        return np.concatenate([half, self.left[half]])

    def blocks(self, right, left, half):
        """Blocks of both halves."""
        sign = self.sign[half]
        return np.concatenate([right, sign[:, :, None] * left * sign[:, None, :]])


class BothContacts:
    """The contact of both arms with the tool, which moves along a straight path; the scalar position is its share."""

    def __init__(self, arms, contacts, seat_mm, way):
        self.arms, self.contacts, self.seat_mm, self.way = arms, contacts, seat_mm, way
        self.blend = contacts[0].blend
        self.unknowns = arms.unknowns(contacts[0].unknowns)

    def axis(self, share):
        """Place of the tool's axis."""
        return np.array([0.0, self.seat_mm]) + share * np.array([self.way.across_mm, self.way.out_mm])

    def place(self, share):
        """Puts the tool at a share of the way, as both arms see it."""
        axis, turn = self.axis(share), share * np.radians(self.way.turn_deg)
        for contact, side in zip(self.contacts, (1.0, -1.0)):
            contact.rigid.place(axis * np.array([side, 1.0]), side * turn)

    def evaluate(self, displacement, share):
        """Contact of both arms."""
        self.place(share)
        halves = self.arms.halves(displacement)
        return Touch(self.arms, [contact.evaluate(half, 0.0) for contact, half in zip(self.contacts, halves)],
                     self.contacts[0].unknowns)

    def least_gap(self, displacement, share):
        """Least distance between a face and the tool, mm."""
        self.place(share)
        halves = self.arms.halves(displacement)
        return min(contact.least_gap(half, 0.0) for contact, half in zip(self.contacts, halves))

    def commit(self, touch):
        """Stores the friction state of a converged step."""
        for contact, side in zip(self.contacts, touch.sides):
            contact.commit(side)


class Touch:
    """Result of one evaluation of both contacts."""

    def __init__(self, arms, sides, unknowns):
        self.sides = sides
        self.force = arms.join(sides[0].force, sides[1].force)
        self.blocks = arms.blocks(sides[0].blocks, sides[1].blocks, unknowns)


@dataclass
class Loads:
    """Loads that hold the tool at a share of the displacement, per mm of length."""

    share: float
    across: float
    out: float
    turn: float


class DisplacementSolver(StrokeSolver):
    """Solver for both arms, from the state in which the solver of one half has its tool at rest."""

    def __init__(self, half, way):
        # Not the constructor of the half model: all is made from its result.
        self.half, self.arms = half, BothArms(half.solid, half.axis_nodes)
        contacts = [half.contact.copy(), half.contact.copy()]
        for contact in contacts:
            contact.rigid = Posed(contact.rigid)
        self.contact = BothContacts(self.arms, contacts, half.tool_y, way)
        held = np.concatenate([2 * half.clamped_nodes, 2 * half.clamped_nodes + 1])
        held = np.union1d(held, self.arms.left[held])
        self.free = np.setdiff1d(np.arange(self.arms.size), held)
        self.pattern = Pattern(self.arms.size, self.free, [self.arms.unknowns(half.solid.unknowns), self.contact.unknowns])
        self.least_force = half.least_force
        self.displacement = np.zeros(self.arms.size)
        self.displacement[: half.solid.size] = half.displacement
        self.displacement[self.arms.left] = self.arms.sign * half.displacement
        self.tool_y, self.touch, self.last_move = 0.0, None, None

    def residual(self, displacement, tool_y):
        """Unbalanced force, with the tangents and the contact for the next correction."""
        right, left = (self.half.solid.assemble(half) for half in self.arms.halves(displacement))
        touch = self.contact.evaluate(displacement, tool_y)
        tangents = self.arms.blocks(right[1], left[1], self.half.solid.unknowns)
        return (touch.force - self.arms.join(right[0], left[0]))[self.free], tangents, touch

    def solved_step(self):
        """Loads at the current share."""
        axis, loads = self.contact.axis(self.tool_y), np.zeros(3)
        for half, touch, side in zip(self.arms.halves(self.displacement), self.touch.sides, (1.0, -1.0)):
            force = touch.force.reshape(-1, 2)
            lever = (self.half.solid.nodes + half.reshape(-1, 2)) - axis * [side, 1.0]
            moment = (lever[:, 0] * force[:, 1] - lever[:, 1] * force[:, 0]).sum()
            loads += [side * force[:, 0].sum(), force[:, 1].sum(), side * moment]
        return Loads(self.tool_y, *(float(load) for load in loads))


def rest(case, friction, through):
    """Solver of one half with the tool pushed in."""
    solver = StrokeSolver(case.shape(), case.rigid(), YOUNG_MPA, case.nu, friction, through)
    push_and_pull(solver, out=False)
    return solver


def displace(half, way, steps=STEPS):
    """Loads over a displacement from rest."""
    solver = DisplacementSolver(half, way)
    shares = np.concatenate([np.array([FIRST, 0.2, 1.0]) / steps, np.arange(2, steps + 1) / steps])
    return [solver.move_to(share) for share in shares]


def sample(curve):
    """Loads at the shares of the table."""
    return [min(curve, key=lambda loads: abs(loads.share - share)) for share in SHARES]


def column(load, mesh):
    """Column of a load in the table; `mesh` is empty, `_coarse` or `_extrap`."""
    return f"{load}{mesh}_{LOADS[load]}"


def columns(mesh):
    """Columns of all loads from one mesh."""
    return [column(load, mesh) for load in LOADS]


def rows_of(way, coarse, fine):
    """Rows of the table for one displacement: one for each share."""
    for rough, good in zip(sample(coarse), sample(fine)):
        cells = {**way.inputs(), "share": good.share}
        for load in LOADS:
            first, second = getattr(rough, load), getattr(good, load)
            for mesh, value in (("", second), ("_coarse", first), ("_extrap", 2.0 * second - first)):
                cells[column(load, mesh)] = value
        yield {name: figure(cell) for name, cell in cells.items()}


def compute(ways, through):
    """Curves of some displacements on one mesh, by identity. Displacements of one clip share the way in."""
    rests, curves = {}, {}
    for way in ways:
        key = (way.clip, way.mu)
        if key not in rests:
            rests[key] = rest(way.case, way.mu, through)
        curves[way.id] = displace(rests[key], way)
    return curves


def read(path):
    """Rows by the identity of their displacement; cells stay text."""
    lines = [line for line in path.read_text().splitlines() if not line.startswith("#")]
    rows = {}
    for line in csv.DictReader(lines):
        way = Displacement(line["id"], *(float(line[name]) for name in ("mu", "across_mm", "out_mm", "turn_deg")))
        rows.setdefault(way.id, []).append(line)
    return rows


def main():
    """Entry point."""
    coarse, fine = compute(DISPLACEMENTS, COARSE), compute(DISPLACEMENTS, FINE)
    rows = [row for way in DISPLACEMENTS for row in rows_of(way, coarse[way.id], fine[way.id])]
    with Path(sys.argv[1]).open("w", newline="") as out:
        out.write(HEAD.format(library=version("scikit-fem")))
        table = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
        table.writeheader()
        table.writerows(rows)


if __name__ == "__main__":
    main()
