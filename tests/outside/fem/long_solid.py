"""Internal force and tangent of a St Venant–Kirchhoff solid, total Lagrangian: a plane section of nine-node elements that
is extruded to 27-node elements. Forces in N, stiffness in N/mm."""

import numpy as np

from .mesh import weld


class LongSolid:
    """St Venant–Kirchhoff solid of a section that is extruded along z; 27-node elements."""

    def __init__(self, places, length_mm, slices, young_mpa, poisson):
        mesh, basis, dofs = weld(places)
        flat = mesh.doflocs.T
        levels = np.linspace(-0.5, 0.5, 2 * slices + 1) * length_mm
        self.section, self.count, self.levels = dofs.T, len(flat), levels
        self.nodes = np.concatenate([np.column_stack([flat, np.full(len(flat), z)]) for z in levels])
        # Nodes of the elements: by slice, then element; node index 9 * level + node of the section.
        self.elements = np.concatenate([
            np.concatenate([self.section + (2 * s + level) * self.count for level in range(3)], axis=1) for s in range(slices)
        ])
        place, weight = np.polynomial.legendre.leggauss(3)
        height = length_mm / slices
        along, slope = quadratic(place), quadratic_slope(place) * 2.0 / height
        value = np.stack([function[0].value for function in basis.basis])
        value = np.broadcast_to(value, (9, *basis.dx.shape)) if value.ndim < 3 else value
        gradient = np.stack([function[0].grad for function in basis.basis])
        # Shape (element, point of section, point of length, level, node of section).
        by_x, by_y = (np.einsum("aeq,pl->eqpla", gradient[:, axis], along) for axis in (0, 1))
        by_z = np.einsum("aeq,pl->eqpla", value, slope)
        stacked = np.stack([by_x, by_y, by_z], axis=-1)
        elements, points = stacked.shape[0], stacked.shape[1] * stacked.shape[2]
        self.gradient = np.tile(stacked.reshape(elements, points, 27, 3), (slices, 1, 1, 1))
        volume = np.einsum("eq,p->eqp", basis.dx, 0.5 * height * weight).reshape(elements, points)
        self.weight = np.tile(volume, (slices, 1))
        shear = young_mpa / (2.0 * (1.0 + poisson))
        lame = young_mpa * poisson / ((1.0 + poisson) * (1.0 - 2.0 * poisson))
        self.modulus = np.diag([2.0 * shear] * 3 + [shear] * 3)
        self.modulus[:3, :3] += lame
        self.unknowns = (3 * self.elements[:, :, None] + np.arange(3)).reshape(len(self.elements), 81)
        self.size = 3 * len(self.nodes)

    def assemble(self, displacement):
        """Internal force, and the elements' tangents (element, 81, 81)."""
        moved = displacement.reshape(-1, 3)[self.elements]
        deformation = np.einsum("eai,eqak->eqik", moved, self.gradient, optimize=True) + np.eye(3)
        stretch = deformation.swapaxes(-1, -2) @ deformation
        pairs = ((0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1))
        strain = np.stack([stretch[..., a, b] if a != b else 0.5 * (stretch[..., a, b] - 1.0) for a, b in pairs], axis=-1)
        stress = strain @ self.modulus
        elements, points = self.weight.shape
        change = np.empty((elements, points, 6, 27, 3))
        for row, (a, b) in enumerate(pairs):
            first = deformation[:, :, None, :, a] * self.gradient[..., b, None]
            if a != b:
                first = first + deformation[:, :, None, :, b] * self.gradient[..., a, None]
            change[:, :, row] = first
        change = change.reshape(elements, points * 6, 81)
        weighted = stress * self.weight[..., None]
        force = np.einsum("esa,es->ea", change, weighted.reshape(elements, -1), optimize=True)
        material = (self.modulus @ change.reshape(elements, points, 6, 81)) * self.weight[..., None, None]
        tangent = change.swapaxes(1, 2) @ material.reshape(elements, points * 6, 81)
        tensor = np.empty((elements, points, 3, 3))
        for row, (a, b) in enumerate(pairs):
            tensor[..., a, b] = tensor[..., b, a] = weighted[..., row]
        pulled = (self.gradient @ tensor).swapaxes(2, 3).reshape(elements, points * 3, 27)
        gradient = self.gradient.swapaxes(2, 3).reshape(elements, points * 3, 27)
        geometric = pulled.swapaxes(1, 2) @ gradient
        for axis in range(3):
            tangent[:, axis::3, axis::3] += geometric
        total = np.bincount(self.unknowns.ravel(), force.ravel(), minlength=self.size)
        return total, tangent


def quadratic(place):
    """Values of the three shape functions on (−1, 0, 1); shape (points, 3)."""
    return np.stack([0.5 * place * (place - 1.0), 1.0 - place**2, 0.5 * place * (place + 1.0)], axis=1)


def quadratic_slope(place):
    """Their derivatives."""
    return np.stack([place - 0.5, -2.0 * place, place + 0.5], axis=1)
