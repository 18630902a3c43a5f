"""A round clip on its pad with the rounding between pad and arms, which the study of clips replaces by a rigid pad.

    python -m fem.fillet TABLE      computes the table, from the folder above this one

The strip runs along the flat of the pad, which is held, up the side of the neck, round the fillet and along the arm.
"""

import csv
import sys
import time
from dataclasses import asdict, dataclass, fields
from importlib.metadata import version
from pathlib import Path

import numpy as np

from .cases import YOUNG_MPA
from .mesh import COARSE
from .record import FINE, figure
from .rigid import Circle
from .shape import Cap, Piece, Shape, across, ray
from .stroke import STEPS, StrainGauge, StrokeSolver, push_and_pull

HEAD = f"""\
# Own finite-element study of the fillet between pad and arms of a round clip; invented geometry. No measurement, no product.
# Made by tests/outside/fem/fillet.py with scikit-fem {{library}}; method as in fem-clips.csv. The flat of the pad is held, at
# the given depth below the floor or as far as the fillets need; {STEPS} steps in.
# eps_inner: greatest Green-Lagrange strain along the inner face of the seat over the insertion. eps_root: greatest
# compression along fillet and arm back. Without a fillet the inner corner is singular, and eps_root grows with the mesh.
"""
RESULTS = ("ins_peak_N_per_mm", "grip_N_per_mm", "eps_inner", "eps_root")


@dataclass
class FilletClip:
    """One geometry; lengths mm, angle in degrees."""

    id: str
    fillet: float
    ri: float = 8.0
    t: float = 2.4
    wrap: float = 225.0
    half_width: float = 2.5
    depth: float = 1.0
    rt: float = 8.12
    mu: float = 0.25
    nu: float = 0.38

    def shape(self):
        """Right half of the clip on its pad."""
        outer = self.ri + self.t
        reach = outer + self.fillet
        side = self.half_width + self.fillet
        contact = np.arcsin(side / reach)
        centre = np.array([side, -np.sqrt(reach**2 - side**2)])
        flat = min(-outer - self.depth, centre[1])
        half_wrap = 0.5 * np.radians(self.wrap)
        # Rulings lean, so that elements at the neck are not too sharp.
        lean = 0.25 * contact
        neck = centre[1] - flat
        # The fillet turns from the neck's side to the arm's back.
        turn = 0.5 * np.pi - contact
        length = neck + self.fillet * turn

        def pad(u, n):
            u = np.asarray(u, dtype=float)
            foot = np.stack([self.half_width * u, flat + 0.0 * u], axis=-1)
            return across(self.ri * ray(lean * u), foot, n)

        def root(u, n):
            u = np.asarray(u, dtype=float)
            run = length * u
            angle = np.pi - np.clip((run - neck) / max(self.fillet, 1e-9), 0.0, turn)
            on_neck = np.stack([self.half_width + 0.0 * u, flat + run], axis=-1)
            on_arc = centre + self.fillet * np.stack([np.cos(angle), np.sin(angle)], axis=-1)
            foot = np.where((run < neck)[..., None], on_neck, on_arc)
            return across(self.ri * ray(lean + (contact - lean) * u), foot, n)

        def arm(u, n):
            angle = contact + (half_wrap - contact) * np.asarray(u, dtype=float)
            return across(self.ri * ray(angle), outer * ray(angle), n)

        central = self.ri + 0.5 * self.t
        end = ray(half_wrap)
        pieces = [
            Piece(pad, self.half_width, 1.0, 0.6, clamped=True),
            Piece(root, length, 0.5, 0.4),
            Piece(arm, central * (half_wrap - contact), 0.4, 1.5),
        ]
        cap = Cap(central * end, 0.5 * self.t, np.arctan2(end[1], end[0]), np.pi)
        return Shape(pieces, cap, self.t, self.t / central, 0.0)

    def solve(self, through):
        """Results of the way in, by name."""
        solver = StrokeSolver(self.shape(), Circle(self.rt), YOUNG_MPA, self.nu, self.mu, through)
        # Edges of the outer face beyond the pad: neck, fillet, arm back.
        root = StrainGauge(solver.solid.nodes, solver.outer, 0.0)
        greatest = [0.0]
        read = solver.gauge.read

        def both(displacement):
            greatest[0] = max(greatest[0], -float(root.profile(displacement).min()))
            return read(displacement)

        solver.gauge.read = both
        found = push_and_pull(solver, out=False)
        return dict(zip(RESULTS, (found.ins_peak, found.grip, found.strain, greatest[0])))


CLIPS = [
    FilletClip("sharp", 0.0),
    FilletClip("millimetre", 1.0),
    FilletClip("wall-60", 1.44),
    FilletClip("thin", 1.0, t=1.6),
    FilletClip("narrow", 1.0, half_width=1.6),
    FilletClip("deep", 1.0, depth=3.0),
    FilletClip("small", 1.0, ri=5.0, t=1.0, half_width=2.0, rt=5.08),
    FilletClip("thick", 1.0, ri=12.7, t=4.0, half_width=3.0, rt=12.9),
    FilletClip("thick-wall-60", 2.4, ri=12.7, t=4.0, half_width=3.0, rt=12.9),
]


def columns(mesh):
    """Names of the results on one mesh."""
    return [f"{name}{mesh}" for name in RESULTS]


def main():
    """Entry point."""
    rows = []
    for clip in CLIPS:
        start = time.monotonic()
        coarse, fine = clip.solve(COARSE), clip.solve(FINE)
        print(f"{clip.id} ({time.monotonic() - start:.0f} s): {coarse}, {fine}", flush=True)
        rows.append([*asdict(clip).values(), *fine.values(), *coarse.values()])
    with Path(sys.argv[1]).open("w", newline="") as out:
        out.write(HEAD.format(library=version("scikit-fem")))
        table = csv.writer(out, lineterminator="\n")
        table.writerow([*(field.name for field in fields(FilletClip)), *columns(""), *columns("_coarse")])
        table.writerows([figure(value) for value in row] for row in rows)


if __name__ == "__main__":
    main()
