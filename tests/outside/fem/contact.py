"""Contact of the clip's face with a rigid outline: penalty method at points of the edges, Coulomb friction by return
mapping."""

import copy

import numpy as np


class Contact:
    """Points on the contact edges, with their weights and the friction state of the last converged step."""

    def __init__(self, nodes, edges, rigid, friction, stiffness, blend_mm, points, seat):
        """`stiffness` in MPa per mm of overlap; over ±`blend_mm` about touching, the ramp is a parabola.

        Of the edges, the first `seat[0]` are the floor's and the first `seat[1]` the seat's; they look up where the
        tool's normal there is below `seat[2]`.
        """
        self.rigid, self.friction, self.stiffness, self.blend = rigid, friction, stiffness, blend_mm
        place, weight = np.polynomial.legendre.leggauss(points)
        # Shape functions of a three-node edge (end, end, middle) and their derivative.
        self.shape = np.stack([0.5 * place * (place - 1.0), 0.5 * place * (place + 1.0), 1.0 - place**2], axis=1)
        slope = np.stack([place - 0.5, place + 0.5, -2.0 * place], axis=1)
        self.edges = edges
        self.nodes = nodes
        tangent = np.einsum("pa,eai->epi", slope, nodes[edges])
        self.weight = np.linalg.norm(tangent, axis=2) * weight
        self.unknowns = np.stack([2 * edges, 2 * edges + 1], axis=2).reshape(len(edges), 6)
        self.size = 2 * len(nodes)
        self.shear = np.zeros(self.weight.size)
        self.along = None
        self.floor_points, self.seat_points, self.steep = seat[0] * points, seat[1] * points, seat[2]

    def places(self, displacement):
        """Positions of the points, mm; shape (edges × points, 2)."""
        moved = self.nodes[self.edges] + displacement.reshape(-1, 2)[self.edges]
        return np.einsum("pa,eai->epi", self.shape, moved).reshape(-1, 2)

    def least_gap(self, displacement, tool_y):
        """Least distance between face and tool, mm."""
        return self.rigid.at(self.places(displacement) - [0.0, tool_y])[0].min()

    def pressure(self, gap):
        """Pressure and its derivative by the gap."""
        blend = self.blend
        inside = np.clip(blend - gap, 0.0, 2.0 * blend)
        ramp = inside**2 / (4.0 * blend) + np.maximum(-gap - blend, 0.0)
        return self.stiffness * ramp, -self.stiffness * inside / (2.0 * blend)

    def evaluate(self, displacement, tool_y):
        """Force on the clip, tangents of the edges, and the friction state to store once the step has converged."""
        gap, normal, curvature, along, worth = self.rigid.at(self.places(displacement) - [0.0, tool_y])
        pressure, change = self.pressure(gap)
        tangent = np.stack([-normal[:, 1], normal[:, 0]], axis=1)
        # Sticking has the stiffness of the penalty: the slips of a step are far longer than its elastic length.
        before = along if self.along is None else self.along
        trial = self.shear + self.stiffness * (along - before)
        bound = self.friction * pressure
        slips = np.abs(trial) >= bound
        sense = np.sign(trial)
        shear = np.where(slips, sense * bound, trial)
        # Force on the clip: along the normal, and friction against its slip over the tool.
        force = pressure[:, None] * normal - shear[:, None] * tangent
        # d(normal)/dx = curvature t⊗t, d(tangent)/dx = −curvature n⊗t.
        by_normal = change[:, None] * normal - np.where(slips, sense * self.friction * change, 0.0)[:, None] * tangent
        by_tangent = (pressure * curvature)[:, None] * tangent + (shear * curvature)[:, None] * normal
        by_tangent -= np.where(slips, 0.0, self.stiffness * worth)[:, None] * tangent
        stiffness = by_normal[:, :, None] * normal[:, None, :] + by_tangent[:, :, None] * tangent[:, None, :]
        edges, points = self.weight.shape
        weighted = self.weight[..., None] * force.reshape(edges, points, 2)
        weighted_y = weighted[..., 1].ravel()
        local = np.einsum("pa,epi->eai", self.shape, weighted)
        total = np.bincount(self.unknowns.ravel(), local.ravel(), minlength=self.size)
        weighted = self.weight[..., None, None] * stiffness.reshape(edges, points, 2, 2)
        blocks = np.einsum("pa,pb,epij->eaibj", self.shape, self.shape, weighted, optimize=True).reshape(edges, 6, 6)
        normal_total = float((self.weight.ravel() * pressure).sum())
        # A point that loses contact starts without shear when it returns.
        kept = np.where(pressure > 0.0, shear, 0.0)
        looks_up = (normal[:, 1] < self.steep) & (np.arange(normal.shape[0]) < self.seat_points)
        support = float(-(self.weight.ravel() * pressure * normal[:, 1])[looks_up].sum())
        on_floor = -float(weighted_y[: self.floor_points].sum())
        return ContactResult(total, blocks, normal_total, (support, on_floor), kept, along)

    def copy(self):
        """Returns a contact in the same state, which goes its own way from here on."""
        return copy.copy(self)

    def commit(self, touch):
        """Stores the friction state of a converged step."""
        self.shear, self.along = touch.shear, touch.along


class ContactResult:
    """Result of one evaluation of the contact, N per mm of length, for the right arm."""

    def __init__(self, force, blocks, normal_total, support, shear, along):
        self.force, self.blocks, self.normal_total = force, blocks, normal_total
        # Component along the mouth's axis of the normal forces on upward faces of the seat, without the lips; and the force
        # on the fixed floor.
        self.support, self.on_floor = support
        self.shear, self.along = shear, along
        # Positive if the tool pushes the clip down.
        self.push = -float(force[1::2].sum())
