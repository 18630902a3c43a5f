"""Internal force and tangent of a St Venant–Kirchhoff solid, plane strain, total Lagrangian.

Mesh, shape functions, mapping and quadrature are those of the library. The sums over its points are vectorised here,
because a stroke needs hundreds of assemblies.
"""

import numpy as np
from scipy.sparse import csc_matrix


class Solid:
    """Forces in N and stiffness in N/mm, both for one mm of length."""

    def __init__(self, meshed, young_mpa, poisson):
        basis = meshed.basis
        self.nodes = meshed.mesh.doflocs.T.copy()
        self.element_dofs = basis.element_dofs
        # Gradients by element, point, shape function, direction.
        self.gradient = np.stack([function[0].grad for function in basis.basis]).transpose(2, 3, 0, 1).copy()
        self.weight = basis.dx
        shear = young_mpa / (2.0 * (1.0 + poisson))
        lame = young_mpa * poisson / ((1.0 + poisson) * (1.0 - 2.0 * poisson))
        self.modulus = np.array([[lame + 2.0 * shear, lame, 0.0], [lame, lame + 2.0 * shear, 0.0], [0.0, 0.0, shear]])
        nodes = self.element_dofs.T
        self.unknowns = np.stack([2 * nodes, 2 * nodes + 1], axis=2).reshape(len(nodes), 18)

    @property
    def size(self):
        """Number of unknowns."""
        return 2 * len(self.nodes)

    def assemble(self, displacement):
        """Internal force, and the elements' tangents (element, 18, 18)."""
        moved = displacement.reshape(-1, 2)[self.element_dofs.T]
        deformation = np.einsum("eai,eqak->eqik", moved, self.gradient, optimize=True)
        deformation[..., 0, 0] += 1.0
        deformation[..., 1, 1] += 1.0
        stretch = deformation.swapaxes(-1, -2) @ deformation
        strain = np.stack(
            [0.5 * (stretch[..., 0, 0] - 1.0), 0.5 * (stretch[..., 1, 1] - 1.0), stretch[..., 0, 1]], axis=-1
        )
        stress = strain @ self.modulus
        elements, points = self.weight.shape
        # Derivative of the strain by the nodes' displacement.
        change = np.empty((elements, points, 3, 9, 2))
        for i in range(2):
            change[:, :, 0, :, i] = deformation[:, :, i, 0, None] * self.gradient[..., 0]
            change[:, :, 1, :, i] = deformation[:, :, i, 1, None] * self.gradient[..., 1]
            change[:, :, 2, :, i] = (
                deformation[:, :, i, 0, None] * self.gradient[..., 1]
                + deformation[:, :, i, 1, None] * self.gradient[..., 0]
            )
        change = change.reshape(elements, points, 3, 18)
        weighted = stress * self.weight[..., None]
        force = np.einsum("eqsa,eqs->ea", change, weighted, optimize=True)
        material = (self.modulus @ change) * self.weight[..., None, None]
        flat = change.reshape(elements, points * 3, 18)
        tangent = flat.swapaxes(1, 2) @ material.reshape(elements, points * 3, 18)
        tensor = np.empty((elements, points, 2, 2))
        tensor[..., 0, 0], tensor[..., 1, 1] = weighted[..., 0], weighted[..., 1]
        tensor[..., 0, 1] = tensor[..., 1, 0] = weighted[..., 2]
        pulled = (self.gradient @ tensor).swapaxes(2, 3).reshape(elements, points * 2, 9)
        gradient = self.gradient.swapaxes(2, 3).reshape(elements, points * 2, 9)
        geometric = pulled.swapaxes(1, 2) @ gradient
        tangent[:, 0::2, 0::2] += geometric
        tangent[:, 1::2, 1::2] += geometric
        total = np.bincount(self.unknowns.ravel(), force.ravel(), minlength=self.size)
        return total, tangent


class Pattern:
    """Sparse matrix over the free unknowns, filled from blocks at fixed positions."""

    def __init__(self, size, free, blocks):
        """`blocks` lists the unknowns of each kind of block, shape (count, width)."""
        place = np.full(size, -1)
        place[free] = np.arange(len(free))
        rows, columns = [], []
        for unknowns in blocks:
            local = place[unknowns]
            width = unknowns.shape[1]
            rows.append(np.repeat(local, width, axis=1).ravel())
            columns.append(np.tile(local, (1, width)).ravel())
        row, column = np.concatenate(rows), np.concatenate(columns)
        self.kept = (row >= 0) & (column >= 0)
        key = column[self.kept].astype(np.int64) * len(free) + row[self.kept]
        keys, self.target = np.unique(key, return_inverse=True)
        self.indices = (keys % len(free)).astype(np.int32)
        self.pointers = np.searchsorted(keys, np.arange(len(free) + 1, dtype=np.int64) * len(free)).astype(np.int32)
        self.shape = (len(free), len(free))

    def matrix(self, blocks):
        """Sum of the blocks, each of shape (count, width, width)."""
        values = np.concatenate([block.ravel() for block in blocks])[self.kept]
        data = np.bincount(self.target, values, minlength=len(self.indices))
        return csc_matrix((data, self.indices, self.pointers), shape=self.shape)
