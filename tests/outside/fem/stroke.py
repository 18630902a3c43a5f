"""Pushes a rigid tool into a clip and pulls it out again; the height of the tool is prescribed."""

from dataclasses import dataclass, field

import numpy as np
from scipy.sparse.linalg import splu

from .contact import Contact
from .mesh import build
from .solid import Pattern, Solid

# Stiffness of the penalty relative to the clip: the overlap stays near a thousandth of the opening. Doubling the
# stiffness, the points or the steps changed the peaks of three cases by at most 0.04 %, and their grips by at most 0.1 %.
PENALTY = 3600.0
# Steps of each direction; contact points on an edge times elements through the wall.
STEPS = 100
POINTS = 288
# Share of the normal forces on upward faces at which the seat begins to carry, and least upward component of a face.
CARRIED = 0.05
STEEP = -0.3


class NoSolution(Exception):
    """Newton's method failed even for the shortest step."""


@dataclass
class SolvedStep:
    """One solved step. Forces of the whole clip, N per mm."""

    tool_y_mm: float
    push: float
    normal: float
    tip_x_mm: float
    strain: float
    # Force of a hand on the floor, and whether the seat carries.
    on_floor: float
    carries: bool


@dataclass
class Stroke:
    """Result of one insertion and one pull-out."""

    ins_peak: float = 0.0
    ret_peak: float = 0.0
    grip: float = 0.0
    strain: float = 0.0
    tip_open_mm: float = 0.0
    snaps_in: bool = False
    seat_y_mm: float = 0.0
    way_in: list = field(default_factory=list)
    way_out: list = field(default_factory=list)


class StrokeSolver:
    """Solver for a clip and a tool, with its current state. `penalty` is a ratio and `points` a count, as above."""

    def __init__(self, shape, rigid, young_mpa, poisson, friction, through, penalty=PENALTY, points=POINTS):
        meshed = build(shape, through)
        self.solid = Solid(meshed, young_mpa, poisson)
        plane = young_mpa / (1.0 - poisson**2)
        stiffness = penalty * plane * shape.slenderness**3 / shape.wall_mm
        count = max(4, round(points / through))
        self.contact = Contact(
            self.solid.nodes, meshed.contact, rigid, friction, stiffness, 1e-4 * shape.wall_mm, count,
            (meshed.floor, len(meshed.inner), STEEP),
        )
        held = np.concatenate([2 * meshed.clamped, 2 * meshed.clamped + 1, 2 * meshed.axis])
        self.free = np.setdiff1d(np.arange(self.solid.size), held)
        self.pattern = Pattern(self.solid.size, self.free, [self.solid.unknowns, self.contact.unknowns])
        self.gauge = StrainGauge(self.solid.nodes, meshed.inner, shape.strain_from_mm)
        self.tip, self.axis_nodes, self.clamped_nodes, self.outer = meshed.tip, meshed.axis, meshed.clamped, meshed.outer
        self.wall_mm = shape.wall_mm
        self.floor_mm = -float(self.solid.nodes[meshed.axis, 1].max())
        # Below this the internal force is mere rounding.
        self.least_force = 1e-5 * plane
        self.displacement = np.zeros(self.solid.size)
        self.tool_y, self.touch = None, None
        self.last_move = None

    def save(self):
        """Returns the state for `restore`."""
        return (self.displacement, self.tool_y, self.contact.shear, self.contact.along, self.touch, self.last_move)

    def restore(self, state):
        """Goes back to a saved state."""
        self.displacement, self.tool_y, self.contact.shear, self.contact.along, self.touch, self.last_move = state

    def residual(self, displacement, tool_y):
        """Unbalanced force, with the tangents and the contact for the next correction."""
        internal, tangents = self.solid.assemble(displacement)
        touch = self.contact.evaluate(displacement, tool_y)
        return (touch.force - internal)[self.free], tangents, touch

    def least_gap(self, displacement, tool_y):
        """Least gap in a trial state; negative is overlap."""
        return self.contact.least_gap(displacement, tool_y)

    def share_until(self, start, change, tool_y, gap):
        """Largest share of `change` (at most 1) that keeps at least `gap`, if the start has it."""
        if self.least_gap(start + change, tool_y) >= gap or self.least_gap(start, tool_y) < gap:
            return 1.0
        low, high = 0.0, 1.0
        for _ in range(20):
            middle = 0.5 * (low + high)
            clear = self.least_gap(start + middle * change, tool_y) >= gap
            low, high = (middle, high) if clear else (low, middle)
        return high

    def guess(self, way, tool_y):
        """Extrapolates the last move as far as keeps the previous overlap of the tool."""
        if self.last_move is None or way * self.last_move[0] <= 0.0:
            return self.displacement
        # Searched up to 1.5 times the plain extrapolation.
        change = 1.5 * self.last_move[1] * (way / self.last_move[0])
        overlap = min(self.least_gap(self.displacement, self.tool_y), 0.0)
        parts = np.linspace(0.0, 1.0, 25)
        gaps = [self.least_gap(self.displacement + part * change, tool_y) for part in parts]
        crossings = [
            parts[i] + (parts[i + 1] - parts[i]) * (overlap - gaps[i]) / (gaps[i + 1] - gaps[i])
            for i in range(len(parts) - 1)
            if (gaps[i] - overlap) * (gaps[i + 1] - overlap) < 0.0
        ]
        part = min(crossings, key=lambda part: abs(part - 2.0 / 3.0), default=2.0 / 3.0)
        return self.displacement + part * change

    def newton(self, start, tool_y):
        """Equilibrium at `tool_y` from the displacement `start`, or None."""
        displacement = start.copy()
        unbalanced, tangents, touch = self.residual(displacement, tool_y)
        deepest = 2.0 * min(self.least_gap(self.displacement, self.tool_y), -self.contact.blend)
        for _ in range(25):
            size = np.linalg.norm(unbalanced)
            if size <= 1e-7 * max(np.linalg.norm(touch.force), self.least_force):
                return displacement, touch
            matrix = self.pattern.matrix([tangents, -touch.blocks])
            change = np.zeros_like(displacement)
            change[self.free] = splu(matrix, permc_spec="COLAMD").solve(unbalanced)
            if not np.isfinite(change).all():
                return None
            # An arm that has lost the tool springs back: limit the step to where it meets the tool again.
            whole = part = self.share_until(displacement, change, tool_y, deepest)
            while True:
                tried = self.residual(displacement + part * change, tool_y)
                if np.linalg.norm(tried[0]) < (1.0 - 1e-3 * part) * size:
                    break
                part *= 0.5
                if part < 0.02 * whole:
                    return None
            displacement = displacement + part * change
            unbalanced, tangents, touch = tried
        return None

    def begin(self, tool_y):
        """Places the tool clear of the clip."""
        self.touch = self.contact.evaluate(self.displacement, tool_y)
        self.contact.commit(self.touch)
        self.tool_y = tool_y
        return self.solved_step()

    def move_to(self, tool_y, depth=0):
        """Moves the tool and stores the friction; halves the step if Newton's method fails."""
        way = tool_y - self.tool_y
        starts = [self.guess(way, tool_y), self.displacement]
        for start in starts:
            found = self.newton(start, tool_y)
            if found is None:
                continue
            displacement, touch = found
            self.last_move = (way, displacement - self.displacement)
            self.displacement, self.tool_y, self.touch = displacement, tool_y, touch
            self.contact.commit(touch)
            return self.solved_step()
        if depth > 7:
            raise NoSolution(f"tool at {tool_y:.4f} mm")
        self.last_move = None
        self.move_to(self.tool_y + 0.5 * way, depth + 1)
        return self.move_to(tool_y, depth + 1)

    def solved_step(self):
        """The current state as a step, for the whole clip."""
        touch = self.touch
        return SolvedStep(
            self.tool_y,
            2.0 * touch.push,
            2.0 * touch.normal_total,
            float(self.displacement[2 * self.tip]),
            self.gauge.read(self.displacement),
            2.0 * touch.on_floor,
            touch.support > CARRIED * touch.normal_total,
        )

    def first_touch(self):
        """Greatest height at which the tool meets the undeformed clip, mm."""
        rest = np.zeros(self.solid.size)
        reach = float(self.contact.nodes[:, 1].max()) + self.contact.rigid.bottom_mm + 0.1
        heights = np.linspace(reach, 0.0, 200)
        gaps = [self.contact.least_gap(rest, y) for y in heights]
        hit = next((i for i, gap in enumerate(gaps) if gap < 0.0), None)
        if hit is None or hit == 0:
            raise NoSolution("the tool touches nothing on its way")
        high, low = heights[hit - 1], heights[hit]
        for _ in range(40):
            middle = 0.5 * (high + low)
            high, low = (middle, low) if self.contact.least_gap(rest, middle) > 0.0 else (high, middle)
        return high


class StrainGauge:
    """Green–Lagrange strain along the inner face from a given length on, at the points of highest accuracy."""

    def __init__(self, nodes, edges, from_mm):
        place = np.array([-1.0, 1.0]) / np.sqrt(3.0)
        self.slope = np.stack([place - 0.5, place + 0.5, -2.0 * place], axis=1)
        self.edges, self.nodes, self.from_mm = edges, nodes, from_mm
        tangent = np.einsum("pa,eai->epi", self.slope, nodes[edges])
        self.square = (tangent**2).sum(axis=2)
        half = np.sqrt(self.square).mean(axis=1)
        ends = np.cumsum(2.0 * half)
        self.along = ((ends - half)[:, None] + half[:, None] * place).ravel()

    def profile(self, displacement):
        """Strain at every point of the face."""
        moved = (self.nodes + displacement.reshape(-1, 2))[self.edges]
        tangent = np.einsum("pa,eai->epi", self.slope, moved)
        return (0.5 * ((tangent**2).sum(axis=2) / self.square - 1.0)).ravel()

    def read(self, displacement):
        """Greatest strain from `from_mm` on."""
        strain = self.profile(displacement)
        beyond = strain[self.along >= self.from_mm]
        return float(max(np.interp(self.from_mm, self.along, strain), beyond.max(initial=-1.0)))


def find_seat(solver, before, state, after):
    """Finds the height of zero push between two steps.

    It uses the Illinois method (false position): the curve is steep and bends sharply where the tool meets the floor.
    """
    high, low = (before.tool_y_mm, before.push), (after.tool_y_mm, after.push)
    at, side = after, 0
    for _ in range(60):
        y = high[0] - high[1] * (low[0] - high[0]) / (low[1] - high[1])
        solver.restore(state)
        at = solver.move_to(y)
        if abs(at.push) < 1e-5 * max(at.normal, 1e-4) or high[0] - low[0] < 1e-11:
            break
        if at.push >= 0.0:
            low = (y, at.push)
            high = (high[0], 0.5 * high[1]) if side == 1 else high
            side = 1
        else:
            high = (y, at.push)
            low = (low[0], 0.5 * low[1]) if side == -1 else low
            side = -1
    return at


def find_carrying_height(solver, before, state, after):
    """Finds the height at which the seat begins to carry, between two steps."""
    high, low, at = before.tool_y_mm, after.tool_y_mm, after
    while high - low > 1e-5 * solver.contact.rigid.bottom_mm:
        middle = 0.5 * (high + low)
        solver.restore(state)
        at = solver.move_to(middle)
        high, low = (high, middle) if at.carries else (middle, low)
    return at


def push_and_pull(solver, steps=STEPS, out=True, home=False):
    """One insertion from first touch to the seat, and one pull-out.

    If the clip does not pull the tool in, the tool is pushed to the floor. With `home`, it is also pushed on where steep
    flanks hold it short, until upward faces of the seat begin to carry. Otherwise it stays where it is held.
    """
    result = Stroke()
    top = solver.first_touch()
    floor = solver.contact.rigid.bottom_mm - solver.floor_mm
    step = (top - floor) / steps
    # Just clear of the clip, so that the first step starts without force.
    before, state, pulled, short = solver.begin(top + 8.0 * solver.contact.blend), solver.save(), False, False
    result.way_in.append(before)
    end = floor - 0.05 * solver.wall_mm
    y = top
    while True:
        last = end if pulled or home else floor
        y = max(y - step, last)
        now = solver.move_to(y)
        if home and (short or not pulled) and now.carries and y < 0.5 * solver.contact.rigid.bottom_mm:
            now = find_carrying_height(solver, before, state, now)
            break
        if pulled and not short and now.push >= 0.0:
            now = find_seat(solver, before, state, now)
            result.way_in.append(now)
            peak = max(m.push for m in result.way_in)
            short = home and now.normal > CARRIED * peak and not now.carries
            if not short:
                break
            before, state, y = now, solver.save(), now.tool_y_mm
            continue
        result.way_in.append(now)
        peak = max(m.push for m in result.way_in)
        pulled = pulled or now.push < -1e-4 * peak
        if y <= last:
            break
        before, state = now, solver.save()
    result.snaps_in = pulled and not short
    result.seat_y_mm, result.grip = now.tool_y_mm, now.normal
    result.ins_peak = max(m.push - m.on_floor for m in result.way_in)
    result.strain = max(m.strain for m in result.way_in)
    step = (top - now.tool_y_mm) / steps
    y = now.tool_y_mm
    while out and y < top + 20 * step:
        y += step
        now = solver.move_to(y)
        result.way_out.append(now)
        if now.normal == 0.0:
            break
    result.ret_peak = max((-m.push for m in result.way_out), default=0.0)
    result.tip_open_mm = max(m.tip_x_mm for m in result.way_in + result.way_out)
    return result
