"""A split ring that was slid on a barrel larger than its bore, without friction around the barrel and free along its
plane of symmetry. The ends touch the barrel with their rounded edges, the back over some angle.

    python -m fem.ring TABLE     computes the table of all rings, from the folder above this one
"""

import csv
import sys
from dataclasses import asdict, dataclass
from importlib.metadata import version
from pathlib import Path

import numpy as np

from .cases import YOUNG_MPA
from .mesh import COARSE

from .rigid import Circle
from .shape import split_ring
from .stroke import NoSolution, StrokeSolver

# Initial softness of the barrel relative to the penalty, and the steps in which it becomes hard.
SOFTEST = 1e4
STEPS = 25
FINE = 2 * COARSE

HEAD = """\
# Own finite-element study of split rings slid on barrels; invented geometry. No measurement, no product.
# Made by tests/outside/fem/ring.py with scikit-fem {library} and SciPy's sparse solver: two-dimensional, plane strain, total
# Lagrangian, St Venant-Kirchhoff, nine-node elements; half a ring, held across its plane of symmetry and free along it, on a
# rigid circle without friction. E = {young:g} MPa. wrap = twice the angle from the back to the slit's face, edge = the round of
# the slit's edges at the bore, of which the last third is cut off (it touches nothing).
# Per mm of length of the whole ring: grip = sum of all normal forces. strain: greatest Green-Lagrange strain along the bore.
# stands_off: greatest distance of the bore from the barrel. slit_opens: how much wider the slit stands at the edges' centres.
# Plain columns from {fine} elements through the wall, _coarse from {coarse}; nothing is singular, and they differ by 0.05 %
# (the slit by 1.3 %, because the node nearest to the centre is read).
"""


@dataclass
class Ring:
    """One ring and its barrel; the fields are the first columns of the table."""

    id: str
    bore_radius_mm: float
    wall_mm: float
    wrap_2alpha_deg: float
    edge_mm: float
    barrel_radius_mm: float
    nu: float

    def solve(self, through):
        """Computes the ring on one mesh."""
        half_wrap = 0.5 * np.radians(self.wrap_2alpha_deg)
        ring = (self.bore_radius_mm, self.wall_mm, half_wrap, self.edge_mm)
        return slide_on_barrel(*ring, self.barrel_radius_mm, YOUNG_MPA, self.nu, through)


RINGS = [
    Ring("pen", 5.9, 1.5, 330.0, 0.3, 6.0, 0.38),
    Ring("pin", 3.0, 1.4, 330.0, 0.3, 3.1, 0.35),
    Ring("stout", 8.0, 2.0, 330.0, 0.3, 8.25, 0.4),
    Ring("open", 10.0, 1.2, 300.0, 0.3, 10.2, 0.35),
]


@dataclass
class RingOnBarrel:
    """Result for a ring. Forces are those of the whole ring, N per mm."""

    grip_N_per_mm: float
    strain: float
    stands_off_mm: float
    slit_opens_mm: float


def slide_on_barrel(bore, wall, half_wrap, edge, barrel, young_mpa, poisson, through):
    """Slides a ring on a barrel; lengths in mm, radii of bore and barrel."""
    shape, edge_centre = split_ring(bore, wall, half_wrap, edge)
    solver = StrokeSolver(shape, Circle(bore), young_mpa, poisson, 0.0, through)
    nodes, solver.tool_y = solver.solid.nodes, 0.0
    contact, touch = solver.contact, None
    contact.rigid = Circle(barrel)
    hard, sharp = contact.stiffness, contact.blend
    # From a soft barrel that touches everywhere to a hard one that touches only back and ends.
    for soft in np.geomspace(SOFTEST, 1.0, STEPS):
        contact.stiffness, contact.blend = hard / soft, sharp * np.sqrt(soft)
        found = solver.newton(solver.displacement, 0.0)
        if found is None:
            raise NoSolution(f"barrel {soft:.0f} times softer than the penalty")
        solver.displacement, touch = found
    moved = solver.displacement.reshape(-1, 2)
    # The faces away from the slit's round.
    bore_face = solver.contact.edges[np.linalg.norm(nodes[solver.contact.edges[:, 2]], axis=1) < bore + 1e-6]
    places = (nodes + moved)[np.unique(bore_face)]
    at_edge = int(np.argmin(np.linalg.norm(nodes - edge_centre, axis=1)))
    return RingOnBarrel(
        2.0 * touch.normal_total,
        solver.gauge.read(solver.displacement),
        float(np.linalg.norm(places, axis=1).max() - barrel),
        2.0 * float(moved[at_edge, 0]),
    )


def table_row(ring, coarse, fine):
    """One row of the table."""
    found = {**asdict(fine), **{f"{name}_coarse": value for name, value in asdict(coarse).items()}}
    return {name: value if isinstance(value, str) else f"{value:.6g}" for name, value in {**asdict(ring), **found}.items()}


def main():
    """Entry point."""
    rows = [table_row(ring, ring.solve(COARSE), ring.solve(FINE)) for ring in RINGS]
    with Path(sys.argv[1]).open("w", newline="") as out:
        out.write(HEAD.format(library=version("scikit-fem"), young=YOUNG_MPA, fine=FINE, coarse=COARSE))
        table = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
        table.writeheader()
        table.writerows(rows)


if __name__ == "__main__":
    main()
