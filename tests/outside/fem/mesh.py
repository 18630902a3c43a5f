"""Meshes of nine-node quadrilaterals for a strip and its cap, with nodes on the exact faces.

Refinement is nested: a mesh with twice the elements through the wall has every vertex of the coarse one, so that results
of two meshes can be extrapolated.
"""

from dataclasses import dataclass

import numpy as np
from skfem import CellBasis, ElementQuad2, MeshQuad, MeshQuad2

from .shape import unit

# The coarsest mesh; other counts through the wall are multiples of it.
COARSE = 6
# Direction of the inner block's corner in the cap, and of the arc's point that it is joined to.
CORNER = np.array([0.53, 0.48])
CORNER_ANGLE = np.arctan2(CORNER[1], CORNER[0])


@dataclass
class ClipMesh:
    """A mesh, with the nodes of its named faces as triples (end, end, middle)."""

    mesh: MeshQuad2
    basis: CellBasis
    contact: np.ndarray
    inner: np.ndarray
    clamped: np.ndarray
    axis: np.ndarray
    tip_section: np.ndarray
    tip: int | None
    # Edges of the contact that lie on the clamped part.
    floor: int
    # Outer face beyond the clamped part.
    outer: np.ndarray


def graded(piece, height):
    """Positions of the element ends along a piece, for the coarse mesh."""
    first, last = piece.first * height, piece.last * height
    rate = np.log(last / first)
    if abs(rate) < 1e-9:
        count = max(2, round(piece.length_mm / first))
        return lambda u: u, count
    count = max(2, round(piece.length_mm * rate / (last - first)))
    return lambda u: np.expm1(rate * u) / np.expm1(rate), count


def cap_blocks(cap, refine):
    """Five-block half disc: maps of (u, v) in the unit square, their counts, and which side is the arc."""
    base = 2.0 / 3.0

    def place(flat):
        """Half disc (x from the inner side to the outer, y away from the strip) to the cap."""
        reach = np.hypot(flat[..., 0], flat[..., 1])
        angle = np.arctan2(np.maximum(flat[..., 1], 0.0), flat[..., 0])
        return cap.centre + cap.radius_mm * reach[..., None] * unit(cap.start + angle * cap.sweep / np.pi)

    def top_edge(u):
        return np.stack([CORNER[0] * (2.0 * u - 1.0), CORNER[1] + 0.56 * u * (1.0 - u)], axis=-1)

    def core(u, v):
        low = np.stack([base * (2.0 * u - 1.0), 0.0 * u], axis=-1)
        return place(low + v[..., None] * (top_edge(u) - low))

    def crown(u, v):
        arc = unit(np.pi - CORNER_ANGLE - u * (np.pi - 2.0 * CORNER_ANGLE))
        return place(top_edge(u) + v[..., None] * (arc - top_edge(u)))

    def flank(side):
        def point(u, v):
            inside = np.array([base, 0.0]) + u[..., None] * (CORNER - np.array([base, 0.0]))
            flat = inside + v[..., None] * (unit(CORNER_ANGLE * u) - inside)
            return place(flat * np.array([side, 1.0]))

        return point

    yield core, 4 * refine, 2 * refine, False
    yield flank(-1.0), 2 * refine, refine, True
    yield crown, 4 * refine, refine, True
    yield flank(1.0), 2 * refine, refine, True


def grid(point, along, through):
    """Nodes of every element of one block in the library's order; shape (along, through, 9, 2)."""
    u, v = np.meshgrid(np.arange(2 * along + 1) / (2 * along), np.arange(2 * through + 1) / (2 * through), indexing="ij")
    nodes = point(u, v)
    i, j = np.meshgrid(2 * np.arange(along), 2 * np.arange(through), indexing="ij")
    offsets = [(0, 0), (2, 0), (2, 2), (0, 2), (1, 0), (2, 1), (1, 2), (0, 1), (1, 1)]
    return np.stack([nodes[i + a, j + b] for a, b in offsets], axis=2)


def weld(places):
    """Joins elements at common nodes. Returns mesh, basis and the nodes of the elements; `places` as from `grid`."""
    corners = places[:, :4].reshape(-1, 2)
    # Adding zero turns negative zeros into positive ones.
    _, first, same = np.unique(np.round(corners, 7) + 0.0, axis=0, return_index=True, return_inverse=True)
    straight = MeshQuad(corners[first].T.copy(), same.reshape(-1, 4).T.copy())
    # The mesh is a disc without holes: duplicate corners would form a crack.
    if straight.nvertices - straight.nfacets + straight.nelements != 1:
        raise ValueError("the blocks of the mesh do not meet")
    dofs = CellBasis(straight, ElementQuad2()).element_dofs
    nodes = np.empty((2, dofs.max() + 1))
    nodes[:, dofs] = places.transpose(2, 1, 0)
    mesh = MeshQuad2(nodes, straight.t)
    # Three Gauss points in each direction: full integration for this element.
    return mesh, CellBasis(mesh, ElementQuad2(), intorder=5), dofs


def build(shape, through):
    """Meshes a shape with `through` elements through the wall."""
    refine, rest = divmod(through, COARSE)
    if rest or refine < 1:
        raise ValueError(f"{through} elements through the wall; a multiple of {COARSE} is needed")
    height = shape.wall_mm / COARSE
    elements, contact, inner, outer, clamped, axis, last = [], [], [], [], [], [], []
    count, floor = 0, 0
    # Sides of an element by local vertices and middle node.
    low, high, back, front = (0, 1, 4), (3, 2, 6), (0, 3, 7), (1, 2, 5)

    def side(numbers, local):
        return [(number, local) for number in numbers]

    for index, piece in enumerate(shape.pieces):
        place, along = graded(piece, height)
        block = grid(lambda u, v, p=piece, g=place: p.point(g(u), v), along * refine, through)
        number = count + np.arange(along * refine * through).reshape(along * refine, through)
        elements.append(block.reshape(-1, 9, 2))
        count += number.size
        contact += side(number[:, 0], low)
        inner += side(number[:, 0], low) if piece.seat else []
        clamped += side(number[:, -1], high) if piece.clamped else []
        outer += [] if piece.clamped else side(number[:, -1], high)
        floor += len(number) if piece.clamped else 0
        axis += side(number[0], back) if index == 0 else []
        last = side(number[-1], front)
    for point, along, through_block, on_arc in cap_blocks(shape.cap, refine) if shape.cap else []:
        number = count + np.arange(along * through_block).reshape(along, through_block)
        elements.append(grid(point, along, through_block).reshape(-1, 9, 2))
        count += number.size
        contact += side(number[:, -1], high) if on_arc else []
    places = np.concatenate(elements)
    mesh, basis, dofs = weld(places)
    nodes = mesh.doflocs

    def triples(sides):
        return np.array([dofs[list(local), number] for number, local in sides], dtype=int).reshape(-1, 3)

    tip = None
    if shape.cap:
        tip = int(np.argmin(np.linalg.norm(nodes - shape.cap.centre[:, None], axis=0)))
    return ClipMesh(mesh, basis, triples(contact), triples(inner), np.unique(triples(clamped)), np.unique(triples(axis)),
                  triples(last), tip, floor, triples(outer))

