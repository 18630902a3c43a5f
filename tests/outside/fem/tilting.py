"""A round clip of some length in three dimensions, with a rigid round barrel that tilts in it.

The barrel's axis tilts in the plane of the mouth's axis and the clip's length: one end moves out, the other presses in. No
force out acts on the barrel but a moment; the height of its middle follows from that. It does not move along its axis.

    python -m fem.tilting TABLE     computes the table of all clips, from the folder above this one
"""

import csv
import sys
from dataclasses import asdict, astuple, dataclass, fields
from importlib.metadata import version
from pathlib import Path

import numpy as np
from scipy.sparse import bmat, csc_matrix
from scipy.sparse.linalg import splu

from .cases import YOUNG_MPA
from .long_solid import LongSolid, quadratic, quadratic_slope
from .mesh import grid
from .record import figure
from .shape import round_clip, unit
from .solid import Pattern

# Twice the elements along the section, twice the penalty, sticking or steps, or half as many points again changed the figures
# of one clip by at most 1.2 %.
#
# Elements of a section along the pad and along the arm; one goes through the wall, another fills the lip.
PAD, ARM = 2, 9
# Contact points of a face round the section and along the length; the lip needs more because it touches along a line.
ROUND_POINTS, LIP_POINTS, LONG_POINTS = 8, 24, 3
# Stiffness of the penalty relative to the clip, as in the plane study.
PENALTY = 900.0
# Stiffness of sticking over that of the penalty.
STICKING = 0.1
# The pattern is symmetric and friction changes the values little: pivots stay near the diagonal.
NEARLY_SYMMETRIC = {"SymmetricMode": True, "DiagPivotThresh": 1e-3}
# Steps in which the barrel grows to its size, and in which the far end reaches a wall's thickness out of rest.
GROWTH_STEPS, STEPS = 4, 8
# Share of the peak below which a curve counts as past it, and the greatest number of steps.
PAST, MOST_STEPS = 0.985, 60

HEAD = """\
# Own finite-element study of round clips in which a round barrel tilts; invented geometry. No measurement, no product.
# Made by tests/outside/fem/tilting.py with scikit-fem {library} (shape functions of the section) and SciPy's sparse solver:
# three-dimensional, total Lagrangian, St Venant-Kirchhoff; right half by symmetry; 27-node elements, one through the wall.
# Even wall, half-round lips, outer face held up to the pad's half angle over the whole length, ends free. Rigid round barrel
# of any length, penalty contact, Coulomb friction round and along the barrel that begins at rest; E = {young:g} MPa.
# pull_peak: greatest force of a straight pull over the length, N/mm, at pull_travel (mm from rest).
# The barrel tilts about its middle in the plane of the mouth's axis and the length, without force out. peels: moment (N mm)
# at which the pull on the slice of elements at the far end is greatest. peels_by_travel: moment at which the far end has
# moved out of rest by pull_travel. greatest: greatest moment.
"""


class NoSolution(Exception):
    """Newton's method failed even for the shortest step."""


def section_places(shape):
    """Nodes of the elements of one section; the last element is the lip. Shape (elements, 9, 2)."""
    pad, arm = shape.pieces
    cap = shape.cap

    def lip(u, v):
        """Half disc as one element, three of its sides on the arc."""
        flat_x, arc = 2.0 * u - 1.0, np.pi * (0.75 - 0.5 * u)
        side = np.stack([flat_x, 0.0 * u], axis=-1)
        top = unit(arc)
        left, right = unit(np.pi - 0.25 * np.pi * v), unit(0.25 * np.pi * v)
        corner = [np.array([-1.0, 0.0]), np.array([1.0, 0.0]), unit(0.75 * np.pi), unit(0.25 * np.pi)]
        # Blend of the four sides.
        u, v = u[..., None], v[..., None]
        flat = (1 - v) * side + v * top + (1 - u) * left + u * right
        flat -= (1 - u) * (1 - v) * corner[0] + u * (1 - v) * corner[1] + (1 - u) * v * corner[2] + u * v * corner[3]
        reach = np.hypot(flat[..., 0], flat[..., 1])
        angle = np.arctan2(np.maximum(flat[..., 1], 0.0), flat[..., 0])
        return cap.centre + cap.radius_mm * reach[..., None] * unit(cap.start + angle * cap.sweep / np.pi)

    blocks = [grid(pad.point, PAD, 1), grid(arm.point, ARM, 1), grid(lip, 1, 1)]
    return np.concatenate([block.reshape(-1, 9, 2) for block in blocks])


class Face:
    """Contact points on faces of one kind: nodes (faces, 9) with weights."""

    def __init__(self, solid, edges, points):
        """`edges` are section nodes as triples (end, middle, end)."""
        slices = (len(solid.levels) - 1) // 2
        self.nodes = np.concatenate([
            np.concatenate([edges + (2 * s + level) * solid.count for level in range(3)], axis=1) for s in range(slices)
        ])
        across, weight = np.polynomial.legendre.leggauss(points)
        along, weight_z = np.polynomial.legendre.leggauss(LONG_POINTS)
        self.shape = np.einsum("pa,ql->pqla", quadratic(across), quadratic(along)).reshape(points * LONG_POINTS, 9)
        tangent = np.einsum("pa,eai->epi", quadratic_slope(across), solid.nodes[edges])
        height = solid.levels[2] - solid.levels[0]
        flat = np.einsum("ep,q->epq", np.linalg.norm(tangent, axis=2) * weight, 0.5 * height * weight_z)
        self.weight = np.tile(flat.reshape(len(edges), -1), (slices, 1))
        self.unknowns = (3 * self.nodes[:, :, None] + np.arange(3)).reshape(len(self.nodes), 27)
        self.z = np.einsum("pa,ea->ep", self.shape, solid.nodes[self.nodes][..., 2])


@dataclass
class Barrel:
    """Pose of the barrel: radius, height of its middle, tilt about x."""

    radius_mm: float
    middle_mm: float
    tilt_rad: float

    def at(self, place):
        """Gap, distance from the axis, outward normal, direction round, direction along, and the place on the barrel's
        surface: length round from below and along, mm."""
        cos, sin = np.cos(self.tilt_rad), np.sin(self.tilt_rad)
        along, down = np.array([0.0, sin, cos]), np.array([0.0, -cos, sin])
        relative = place - [0.0, self.middle_mm, 0.0]
        across, below = relative[..., 0], relative @ down
        reach = np.hypot(across, below)
        normal = (across[..., None] * np.array([1.0, 0.0, 0.0]) + below[..., None] * down) / reach[..., None]
        turned = (below[..., None] * np.array([1.0, 0.0, 0.0]) - across[..., None] * down) / reach[..., None]
        surface = np.stack([self.radius_mm * np.arctan2(across, below), relative @ along], axis=-1)
        return reach - self.radius_mm, reach, normal, turned, np.broadcast_to(along, place.shape), surface


class Contact:
    """Contact of a face with the barrel: penalty, Coulomb friction by return mapping in both directions."""

    def __init__(self, face, friction, stiffness, blend_mm):
        self.face, self.friction, self.stiffness, self.blend = face, friction, stiffness, blend_mm
        self.shear, self.surface = np.zeros((*face.weight.shape, 2)), None

    def evaluate(self, moved, barrel):
        """Places, forces (with weight) and their derivatives by the place, and the friction state to store."""
        place = np.einsum("pa,eai->epi", self.face.shape, moved[self.face.nodes])
        gap, reach, normal, turned, along, surface = barrel.at(place)
        inside = np.clip(self.blend - gap, 0.0, 2.0 * self.blend)
        pressure = self.stiffness * (inside**2 / (4.0 * self.blend) + np.maximum(-gap - self.blend, 0.0))
        slope = -self.stiffness * inside / (2.0 * self.blend)
        before = surface if self.surface is None else self.surface
        sticky = STICKING * self.stiffness
        trial = self.shear + sticky * (surface - before)
        size, bound = np.linalg.norm(trial, axis=-1), self.friction * pressure
        slips = size >= bound
        sense = trial / np.maximum(size, 1e-30)[..., None]
        shear = np.where(slips[..., None], bound[..., None] * sense, trial)
        # Derivative of the place on the surface, and of the shear, both as rows for the two directions.
        worth = np.stack([(barrel.radius_mm / reach)[..., None] * turned, along], axis=-2)
        turns = np.where(slips, bound / np.maximum(size, 1e-30), 1.0)[..., None, None] * sticky * worth
        kept = np.einsum("...a,...b,...bi->...ai", sense, sense, turns)
        change = turns - np.where(slips[..., None, None], kept, 0.0)
        pushed = np.where(slips, self.friction * slope, 0.0)[..., None, None] * sense[..., :, None] * normal[..., None, :]
        change = change + pushed
        frame = np.stack([turned, along], axis=-2)
        force = pressure[..., None] * normal - np.einsum("...a,...ai->...i", shear, frame)
        stiff = slope[..., None, None] * normal[..., :, None] * normal[..., None, :]
        bend = pressure[..., None] * turned + shear[..., 0, None] * normal
        stiff = stiff + bend[..., :, None] * turned[..., None, :] / reach[..., None, None]
        stiff = stiff - np.einsum("...ai,...aj->...ij", frame, change)
        weight = self.face.weight
        state = (np.where((pressure > 0.0)[..., None], shear, 0.0), surface)
        return place, weight[..., None] * force, weight[..., None, None] * stiff, state

    def commit(self, state):
        """Stores the friction state of a converged step."""
        self.shear, self.surface = state


@dataclass
class Tilted:
    """One solved pose. Of the whole clip: force out and along the barrel, moment about its middle, and the force out per
    length at both ends (N/mm)."""

    barrel: Barrel
    force: float
    along: float
    moment: float
    far: float
    near: float

    def far_travel_mm(self, length_mm):
        """Height of the barrel's axis over the far end."""
        return self.barrel.middle_mm + 0.5 * length_mm * np.tan(self.barrel.tilt_rad)


class TiltSolver:
    """Right half of a clip with its barrel, and the current state."""

    def __init__(self, clip, length_mm, slices, penalty=PENALTY):
        self.clip, self.length_mm = clip, length_mm
        shape = round_clip(clip.seat_mm, clip.wall_mm, np.radians(clip.half_wrap_deg), np.radians(clip.pad_deg))
        places = section_places(shape)
        self.solid = LongSolid(places, length_mm, slices, YOUNG_MPA, clip.nu)
        section = self.solid.section
        # Section nodes of a side: local corners and middles as in the plane study.
        low = section[:-1][:, [0, 4, 1]]
        lip = np.concatenate([section[-1:][:, side] for side in ([0, 7, 3], [3, 6, 2], [2, 5, 1])])
        faces = [Face(self.solid, low, ROUND_POINTS), Face(self.solid, lip, LIP_POINTS)]
        plane = YOUNG_MPA / (1.0 - clip.nu**2)
        stiffness = penalty * plane * shape.slenderness**3 / shape.wall_mm
        # Friction begins at rest.
        self.contacts = [Contact(face, 0.0, stiffness, 1e-3 * clip.wall_mm) for face in faces]
        levels = np.arange(len(self.solid.levels))[:, None] * self.solid.count
        clamped = (levels + np.unique(section[:PAD][:, [3, 6, 2]])).ravel()
        axis = (levels + np.unique(section[:1][:, [0, 7, 3]])).ravel()
        held = np.concatenate([(3 * clamped[:, None] + np.arange(3)).ravel(), 3 * axis])
        self.free = np.setdiff1d(np.arange(self.solid.size), held)
        self.pattern = Pattern(self.solid.size, self.free, [self.solid.unknowns, *(face.unknowns for face in faces)])
        self.displacement = np.zeros(self.solid.size)
        self.least_force = 1e-6 * plane * length_mm
        self.barrel = None

    def touch(self, displacement, barrel):
        """Contact of all faces."""
        moved = self.solid.nodes + displacement.reshape(-1, 3)
        return Touch(self.solid.size, self.contacts, [contact.evaluate(moved, barrel) for contact in self.contacts])

    def residual(self, displacement, barrel, wanted):
        """Unbalanced force, followed by that of the barrel if its middle is to follow a wanted force."""
        internal, tangents = self.solid.assemble(displacement)
        touch = self.touch(displacement, barrel)
        unbalanced = (touch.force - internal)[self.free]
        if wanted is not None:
            unbalanced = np.append(unbalanced, touch.out - wanted)
        return unbalanced, tangents, touch

    def matrix(self, tangents, touch, follows):
        """Minus the derivative of the residual; with a last row and column if the barrel's middle follows a force."""
        matrix = self.pattern.matrix([tangents, *(-block for block in touch.blocks)])
        if not follows:
            return matrix
        column, row = csc_matrix(touch.by_middle[self.free][:, None]), csc_matrix(-touch.of_out[self.free])
        return bmat([[matrix, column], [row, csc_matrix([[touch.steepness]])]], format="csc")

    def newton(self, start, barrel, wanted):
        """Equilibrium for a barrel. With `wanted`, its middle moves until its force out (N, half a clip) is that."""
        displacement = start
        unbalanced, tangents, touch = self.residual(displacement, barrel, wanted)
        for _ in range(30):
            size = np.linalg.norm(unbalanced)
            if size <= 1e-6 * max(np.linalg.norm(touch.force), self.least_force):
                return displacement, barrel, touch
            matrix = self.matrix(tangents, touch, wanted is not None)
            change = splu(matrix, permc_spec="MMD_AT_PLUS_A", options=NEARLY_SYMMETRIC).solve(unbalanced)
            if not np.isfinite(change).all():
                return None
            part = min(1.0, 0.25 * self.clip.wall_mm / max(np.abs(change).max(), 1e-12))
            for _ in range(4):
                tried = displacement.copy()
                tried[self.free] += part * change[: len(self.free)]
                rise = 0.0 if wanted is None else part * change[-1]
                pose = Barrel(barrel.radius_mm, barrel.middle_mm + rise, barrel.tilt_rad)
                found = self.residual(tried, pose, wanted)
                if np.linalg.norm(found[0]) < (1.0 - 1e-3 * part) * size:
                    break
                part *= 0.4
            displacement, barrel = tried, pose
            unbalanced, tangents, touch = found
        return None

    def move_to(self, barrel, wanted=None, depth=0):
        """Moves the barrel and stores the friction; halves the step if Newton's method fails."""
        found = self.newton(self.displacement, barrel, wanted)
        if found is not None:
            self.displacement, self.barrel, touch = found
            for contact, state in zip(self.contacts, touch.states):
                contact.commit(state)
            return self.solved(touch)
        if depth > 5:
            raise NoSolution(f"{barrel}")
        before = self.barrel
        half = Barrel(*(0.5 * (a + b) for a, b in zip(astuple(before), astuple(barrel))))
        self.move_to(half, wanted, depth + 1)
        return self.move_to(barrel, wanted, depth + 1)

    def solved(self, touch):
        """The current pose with its loads."""
        place = np.concatenate([place.reshape(-1, 3) for place in touch.places])
        force = np.concatenate([force.reshape(-1, 3) for force in touch.forces])
        lever = place - [0.0, self.barrel.middle_mm, 0.0]
        moment = (lever[:, 2] * force[:, 1] - lever[:, 1] * force[:, 2]).sum()
        z = np.concatenate([contact.face.z.ravel() for contact in self.contacts])
        # Over the last slice at either end.
        end = 2.0 * self.length_mm / (len(self.solid.levels) - 1)
        far, near = (2.0 * force[side * z > 0.5 * self.length_mm - end, 1].sum() / end for side in (1.0, -1.0))
        return Tilted(self.barrel, *(float(x) for x in (2.0 * force[:, 1].sum(), 2.0 * force[:, 2].sum(), 2.0 * moment, far, near)))


class Touch:
    """Result of one evaluation of all contacts, for half a clip."""

    def __init__(self, size, contacts, results):
        self.places, self.forces, stiffs, self.states = zip(*results)
        self.force, self.by_middle, self.of_out, self.blocks = np.zeros(size), np.zeros(size), np.zeros(size), []
        for contact, force, stiff in zip(contacts, self.forces, stiffs):
            face = contact.face

            def spread(values):
                local = np.einsum("pa,epi->eai", face.shape, values)
                return np.bincount(face.unknowns.ravel(), local.ravel(), minlength=size)

            self.force += spread(force)
            # Moving the barrel up is moving all points down: minus the derivative of the residual by the middle's height,
            # and the derivative of the force out.
            self.by_middle += spread(stiff[..., 1])
            self.of_out += spread(stiff[..., 1, :])
            block = np.einsum("pa,pb,epij->eaibj", face.shape, face.shape, stiff, optimize=True)
            self.blocks.append(block.reshape(-1, 27, 27))
        self.out = sum(force[..., 1].sum() for force in self.forces)
        self.steepness = sum(stiff[..., 1, 1].sum() for stiff in stiffs)


@dataclass
class TiltedClip:
    """A clip and its barrel; the fields are the first columns of the table. Lengths mm, angles in degrees."""

    id: str
    seat_mm: float
    wall_mm: float
    half_wrap_deg: float
    pad_deg: float
    barrel_mm: float
    nu: float
    mu: float
    length_mm: float
    slices: int

    def at_rest(self):
        """Solver with the barrel at rest, where friction begins."""
        solver = TiltSolver(self, self.length_mm, self.slices)
        interference = self.barrel_mm - self.seat_mm
        # Just clear of the floor.
        height = 1.2 * interference
        solver.barrel = Barrel(self.seat_mm, height, 0.0)
        for step in range(1, GROWTH_STEPS + 1):
            solver.move_to(Barrel(self.seat_mm + interference * step / GROWTH_STEPS, height, 0.0))
        solver.move_to(solver.barrel, 0.0)
        for contact in solver.contacts:
            contact.friction, contact.surface = self.mu, None
        # The places on the barrel's surface at rest are stored.
        solver.move_to(solver.barrel, 0.0)
        return solver

    def pull(self):
        """Poses of a straight pull, until past its peak; the first one is rest."""
        solver = self.at_rest()
        rest = solver.barrel.middle_mm
        poses = [solver.move_to(solver.barrel, 0.0)]
        while not is_past([pose.force for pose in poses]):
            height = rest + len(poses) * self.wall_mm / STEPS
            poses.append(solver.move_to(Barrel(self.barrel_mm, height, 0.0)))
        return poses

    def tilt(self):
        """Poses of a tilt, until past the greatest moment and the greatest pull at the far end; the first one is rest."""
        solver = self.at_rest()
        poses = [solver.move_to(solver.barrel, 0.0)]
        while not (is_past([pose.moment for pose in poses]) and is_past([pose.far for pose in poses])):
            tilt = len(poses) * self.wall_mm / (STEPS * self.length_mm)
            poses.append(solver.move_to(Barrel(self.barrel_mm, solver.barrel.middle_mm, tilt), 0.0))
        return poses

    def solve(self):
        """Result for the table."""
        pull = self.pull()
        heights = [pose.barrel.middle_mm - pull[0].barrel.middle_mm for pose in pull]
        travel, force = peak(heights, [pose.force for pose in pull])
        tilt = self.tilt()
        tilts, moments = [pose.barrel.tilt_rad for pose in tilt], [pose.moment for pose in tilt]
        outward = [pose.far_travel_mm(self.length_mm) - tilt[0].barrel.middle_mm for pose in tilt]
        onset, _ = peak(tilts, [pose.far for pose in tilt])
        return Peeling(
            force / self.length_mm,
            travel,
            float(np.interp(onset, tilts, moments)),
            float(np.interp(travel, outward, moments)),
            peak(tilts, moments)[1],
        )


@dataclass
class Peeling:
    """Result for a clip; the fields are columns of the table."""

    pull_peak_N_per_mm: float
    pull_travel_mm: float
    peels_Nmm: float
    peels_by_travel_Nmm: float
    greatest_Nmm: float


RESULTS = [field.name for field in fields(Peeling)]


def is_past(values):
    """True if the greatest value lies behind."""
    if len(values) > MOST_STEPS:
        raise NoSolution("no peak")
    return values[-1] < PAST * max(values) and len(values) > 3


def peak(places, values):
    """Place and size of the greatest value, on the parabola through it and its neighbours."""
    i = min(max(int(np.argmax(values)), 1), len(values) - 2)
    curve = np.polynomial.Polynomial.fit(places[i - 1 : i + 2], values[i - 1 : i + 2], 2)
    place = float(curve.deriv().roots()[0])
    return place, float(curve(place))


EVEN = (8.0, 1.6, 115.0, 25.0, 8.24, 0.38)
CLIPS = [
    TiltedClip("even-10", *EVEN, 0.2, 10.0, 4),
    TiltedClip("even-10-slippery", *EVEN, 0.0, 10.0, 4),
    TiltedClip("even-16", *EVEN, 0.2, 16.0, 4),
    TiltedClip("even-16-fine", *EVEN, 0.2, 16.0, 8),
    TiltedClip("even-16-slippery", *EVEN, 0.0, 16.0, 4),
    TiltedClip("even-24", *EVEN, 0.2, 24.0, 6),
    TiltedClip("even-24-slippery", *EVEN, 0.0, 24.0, 6),
    TiltedClip("even-32", *EVEN, 0.2, 32.0, 8),
    TiltedClip("deep-24", 6.0, 1.0, 120.0, 28.0, 6.12, 0.36, 0.3, 24.0, 8),
]


def row(clip, found):
    """One row of the table."""
    return {name: figure(value) for name, value in {**asdict(clip), **asdict(found)}.items()}


def main():
    """Entry point."""
    rows = []
    for clip in CLIPS:
        rows.append(row(clip, clip.solve()))
        print(rows[-1], flush=True)
    with Path(sys.argv[1]).open("w", newline="") as out:
        out.write(HEAD.format(library=version("scikit-fem"), young=YOUNG_MPA))
        table = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
        table.writeheader()
        table.writerows(rows)


if __name__ == "__main__":
    main()
