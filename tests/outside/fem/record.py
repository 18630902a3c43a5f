"""The table of results: computes, writes and reads rows.

    python -m fem.record TABLE [ID ...]     computes the named cases, or all, from the folder above this one
"""

import csv
import sys
import time
from importlib.metadata import version
from pathlib import Path

from .cases import CASES, YOUNG_MPA
from .mesh import COARSE
from .stroke import STEPS, StrokeSolver, push_and_pull

FINE = 2 * COARSE

HEAD = f"""\
# Own finite-element study of clips and mounts beyond the even round clip; invented geometry. No measurement, no product.
# Made by tests/outside/fem with scikit-fem {{library}} (mesh, nine-node elements, mapping, quadrature) and SciPy's sparse
# solver. Two-dimensional, plane strain, total Lagrangian, St Venant-Kirchhoff; right half by symmetry about the mouth's
# axis; rigid circle, rounded rectangle or hexagonal bar pushed from first touch to the seat and out again in {STEPS} steps each way;
# penalty at points of the edges, Coulomb friction by return mapping.
# Where steep flanks hold a hexagonal bar short of the floor, it is pushed on until faces that look up (normal of the bar
# below -0.3) carry a twentieth of all normal forces; the push does not count what the held floor bears.
# Held: outer face up to the angle gamma from the floor, seen from the seat's centre; mounts: outer floor up to the half
# width. wrap = twice the turn of the seat's normal; lip_wall empty = even wall; tool y = the tool's axis above the seat's
# centre. Forces per mm of length of the whole clip; grip = sum of all normal forces at the seat on the way in.
# eps_inner_max_insertion: greatest Green-Lagrange strain along the inner face of the seat over the insertion, from the
# angle gamma + 0.35 t/Rc on (mounts: 0.35 t beyond the held width), Rc = Ri + t/2. tip_open: greatest sideways way of the
# lip round's centre. snaps_in: the tool is pulled in before it is seated. Seat: where the push is zero again, else on the
# floor. The held edge is a singular corner, where forces converge with the element size: plain columns come from the finer
# mesh, _coarse from one with half the elements through the wall, _extrap is linear to an element size of zero.
# For an even clip, 12 and 24 elements through the wall extrapolate to forces 0.06 % from those of 6 and 12.
# Without interference the grip is next to nothing, and rounding decides it. Where friction nearly balances the lips, as in
# body-tall and high-friction, the seat and the grip there hang on little differences: compare peaks first.
"""


def run(case, through):
    """Computes one case on one mesh."""
    solver = StrokeSolver(case.shape(), case.rigid(), YOUNG_MPA, case.nu, case.mu, through)
    return push_and_pull(solver, home=case.kind == "hexagon")


def row(case, coarse, fine):
    """One row of the table."""
    return {
        **case.inputs(),
        "ins_peak_N_per_mm": fine.ins_peak,
        "ret_peak_N_per_mm": fine.ret_peak,
        "grip_normal_total_N_per_mm": fine.grip,
        "eps_inner_max_insertion": fine.strain,
        "tip_open_max_mm": fine.tip_open_mm,
        "snaps_in": int(fine.snaps_in),
        "seat_tool_y_mm": fine.seat_y_mm,
        "ins_peak_extrap_N_per_mm": 2.0 * fine.ins_peak - coarse.ins_peak,
        "ret_peak_extrap_N_per_mm": 2.0 * fine.ret_peak - coarse.ret_peak,
        "grip_extrap_N_per_mm": 2.0 * fine.grip - coarse.grip,
        "ins_peak_coarse_N_per_mm": coarse.ins_peak,
        "ret_peak_coarse_N_per_mm": coarse.ret_peak,
        "grip_coarse_N_per_mm": coarse.grip,
        "eps_coarse": coarse.strain,
        "elements_through_wall": FINE,
    }


def figure(value):
    """Text of one cell."""
    if value is None:
        return ""
    return value if isinstance(value, str) else f"{value:.6g}"


def read(path):
    """Rows by identity; cells stay text."""
    if not path.exists():
        return {}
    lines = [line for line in path.read_text().splitlines() if not line.startswith("#")]
    return {line["id"]: line for line in csv.DictReader(lines)}


def write(path, rows):
    """Writes the table in the order of the cases."""
    ordered = [rows[case.id] for case in CASES if case.id in rows]
    with path.open("w", newline="") as out:
        out.write(HEAD.format(library=version("scikit-fem")))
        # Older rows lack columns of kinds of cases that were added later.
        fullest = max(ordered, key=len)
        table = csv.DictWriter(out, list(fullest), lineterminator="\n")
        table.writeheader()
        table.writerows(ordered)


def main():
    """Entry point."""
    path, wanted = Path(sys.argv[1]), sys.argv[2:]
    for case in CASES:
        if wanted and case.id not in wanted:
            continue
        start = time.monotonic()
        coarse, fine = run(case, COARSE), run(case, FINE)
        line = row(case, coarse, fine)
        print(f"{case.id} ({time.monotonic() - start:.0f} s): push {fine.ins_peak:.5g}, pull {fine.ret_peak:.5g}", flush=True)
        # Read again each time: another run may have added rows in the meantime.
        write(path, {**read(path), case.id: {name: figure(value) for name, value in line.items()}})


if __name__ == "__main__":
    main()
