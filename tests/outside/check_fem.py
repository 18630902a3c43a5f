"""Checks the finite-element study of clips and mounts, with which the program's estimates are validated: first its code,
then that its table can be reproduced.

    python check_fem.py --data crates/mechanics/tests/data [--all]

Without --all, three cases, a ring, a displacement, a fillet and a tilted clip are recomputed on the coarse mesh. With it, every case
is recomputed on both meshes, which takes about an hour. `python -m fem.record TABLE ID …`
in this folder renews rows of the table.
"""

import argparse
import sys
import time
from dataclasses import asdict
from pathlib import Path

import numpy as np

from fem import displaced, fillet, record, ring, selfcheck, tilting
from fem.cases import CASES
from fem.mesh import COARSE
from report import Report

# Tolerance for the same program on another machine: only rounding may differ.
REPEAT = 1e-3
# Tolerance between two programs with different meshes and element types.
STUDIES = 0.015
# A round clip and other shapes, all with interference, so that the grip is not mere rounding.
SAMPLE = ("taper-tight", "body-wide", "bar-even-corner")
# The ring that takes least time.
RING = "pin"
# Of the loads, those that are a force and that which is a moment.
PARTS = (slice(0, 2), slice(2, 3))
# The displacement that is recomputed.
WAY = displaced.Displacement("body-wide", 0.25, 0.0, 0.7, 4.0)
# The tilted clip that is recomputed, and the same on a finer mesh.
TILTED, TILTED_FINE = "even-16", "even-16-fine"
# The clip on its pad that is recomputed, and the one whose root is singular.
FILLET, SHARP = "millimetre", "sharp"
# The mount whose pull peaks within the first step of the study; nothing is compared with that pull.
STEEP = "body-sharper"
COARSE_COLUMNS = {
    "ins_peak_coarse_N_per_mm": "ins_peak",
    "ret_peak_coarse_N_per_mm": "ret_peak",
    "grip_coarse_N_per_mm": "grip",
    "eps_coarse": "strain",
}
FINE_COLUMNS = {
    "ins_peak_N_per_mm": "ins_peak",
    "ret_peak_N_per_mm": "ret_peak",
    "eps_inner_max_insertion": "strain",
    "tip_open_max_mm": "tip_open_mm",
}


def check_near(report, name, found, wanted, share):
    """Checks that two figures agree within a share of the expected one."""
    error = abs(found - wanted) / abs(wanted)
    report.check(name, error <= share, f"{found:.6g} against {wanted:.6g}, {100 * error:.3f} % apart, at most {100 * share:g} %")


def check_code(report, folder, both):
    """Compares the code with results from other sources."""
    check_near(report, "cantilever of large deflection", selfcheck.large_deflection(), selfcheck.MATTIASSON, 1e-3)
    error = selfcheck.area_error()
    report.check("areas of the meshes", error < 1e-5, f"{error:.2g}")
    error = selfcheck.tangent_error()
    report.check("tangent against differences", error < 1e-6, f"{error:.2g}")
    for identity in ("1", "13"):
        wanted = selfcheck.earlier_row(folder / "round-clips.csv", identity)
        found = selfcheck.even_clip(wanted, COARSE)
        push, pull = found.ins_peak, found.ret_peak
        if both:
            fine = selfcheck.even_clip(wanted, record.FINE)
            push, pull = 2.0 * fine.ins_peak - push, 2.0 * fine.ret_peak - pull
        check_near(report, f"push of even clip {identity}", push, wanted["ins_peak_extrap_N_per_mm"], STUDIES)
        check_near(report, f"pull of even clip {identity}", pull, wanted["ret_peak_extrap_N_per_mm"], STUDIES)
        if wanted["mu"] == 0.0:
            spent = selfcheck.push_work([m for m in found.way_in if m.push > 0.0])
            share = abs(selfcheck.push_work(found.way_in + found.way_out)) / spent
            report.check("no energy is lost without friction", share < 1e-4, f"{share:.2g} of the work of pushing")


def check_inputs(report, name, inputs, row):
    """Checks that a row of a table holds the inputs of its case."""
    wrong = [column for column, value in inputs.items() if row[column] != record.figure(value)]
    report.check(f"inputs of {name}", not wrong, ", ".join(wrong) or "as in the list")


def check_table(report, rows):
    """Checks that the table holds every case with its inputs, and that its columns are consistent."""
    report.check("every case has its row", set(rows) == {case.id for case in CASES}, f"{len(rows)} rows, {len(CASES)} cases")
    for case in CASES:
        row = rows.get(case.id)
        if row is None:
            continue
        check_inputs(report, case.id, case.inputs(), row)
        for force in ("ins_peak", "ret_peak"):
            fine, coarse = float(row[f"{force}_N_per_mm"]), float(row[f"{force}_coarse_N_per_mm"])
            check_near(report, f"{force} of {case.id} on two meshes", coarse, fine, 0.04 if case.id == STEEP else 0.02)
            check_near(report, f"{force} of {case.id} extrapolated", float(row[f"{force}_extrap_N_per_mm"]), 2 * fine - coarse, 1e-4)


def check_case(report, case, row, through, columns):
    """Recomputes one case."""
    start = time.monotonic()
    found = record.run(case, through)
    report.note(f"{case.id}, {through} elements through the wall", f"{time.monotonic() - start:.0f} s")
    for column, field in columns.items():
        wanted = float(row[column])
        # The grip of a clip without interference is nearly zero and therefore dominated by rounding.
        if field == "grip" and wanted < 0.1 * float(row["ins_peak_N_per_mm"]):
            continue
        check_near(report, f"{column} of {case.id}", getattr(found, field), wanted, REPEAT)


def check_rings(report, rows, both):
    """Checks the table of the rings; recomputes one of them, or all."""
    report.check("every ring has its row", set(rows) == {case.id for case in ring.RINGS}, f"{len(rows)} rows")
    for case in ring.RINGS:
        row = rows.get(case.id)
        if row is None:
            continue
        for name in ("grip_N_per_mm", "strain", "stands_off_mm"):
            check_near(report, f"{name} of ring {case.id} on two meshes", float(row[f"{name}_coarse"]), float(row[name]), 2e-3)
        if both or case.id == RING:
            found = case.solve(COARSE)
            for name in ("grip_N_per_mm", "strain", "stands_off_mm"):
                check_near(report, f"{name} of ring {case.id}", getattr(found, name), float(row[f"{name}_coarse"]), REPEAT)


def check_displacements(report, rows, both):
    """Checks the table of displacements from rest; recomputes one of them, or all."""
    report.check("every displacement has its rows", set(rows) == {way.id for way in displaced.DISPLACEMENTS}, f"{len(rows)} ways")
    for way in displaced.DISPLACEMENTS:
        for row in rows.get(way.id, []):
            check_inputs(report, f"{way.id} at {row['share']}", way.inputs(), row)
            meshes = [np.array([float(row[name]) for name in displaced.columns(mesh)]) for mesh in ("_coarse", "")]
            force, turn = (np.linalg.norm((meshes[0] - meshes[1])[part]) / np.linalg.norm(meshes[1][part]) for part in PARTS)
            report.check(f"{way.id} at {row['share']} on two meshes", max(force, turn) < 0.02, f"{force:.2g} and {turn:.2g}")
    start = time.monotonic()
    ways = displaced.DISPLACEMENTS if both else [WAY]
    for mesh, through in (("_coarse", COARSE), ("", displaced.FINE)) if both else (("_coarse", COARSE),):
        for identity, curve in displaced.compute(ways, through).items():
            for row, loads in zip(rows[identity], displaced.sample(curve)):
                for column, found in zip(displaced.columns(mesh), (loads.across, loads.out, loads.turn)):
                    check_near(report, f"{column} of {identity} at {row['share']}", found, float(row[column]), REPEAT)
    report.note("displacements", f"{time.monotonic() - start:.0f} s")


def check_tilting(report, rows, both):
    """Checks the table of tilted clips; recomputes one of them, or all."""
    error = selfcheck.tilted_tangent_error()
    report.check("tangent in three dimensions against differences", error < 1e-6, f"{error:.2g}")
    report.check("every tilted clip has its row", set(rows) == {clip.id for clip in tilting.CLIPS}, f"{len(rows)} rows")
    if TILTED in rows and TILTED_FINE in rows:
        for column in tilting.RESULTS:
            check_near(report, f"{column} of {TILTED} on two meshes", float(rows[TILTED][column]), float(rows[TILTED_FINE][column]), 0.02)
    for clip in tilting.CLIPS:
        row = rows.get(clip.id)
        if row is None:
            continue
        check_inputs(report, clip.id, asdict(clip), row)
        if both or clip.id == TILTED:
            start = time.monotonic()
            found = clip.solve()
            report.note(f"{clip.id}, {clip.slices} elements along the length", f"{time.monotonic() - start:.0f} s")
            for column in tilting.RESULTS:
                check_near(report, f"{column} of {clip.id}", getattr(found, column), float(row[column]), REPEAT)


def check_fillets(report, rows, both):
    """Checks the table of fillets at the pad; recomputes one of them, or all."""
    report.check("every fillet has its row", set(rows) == {clip.id for clip in fillet.CLIPS}, f"{len(rows)} rows")
    for clip in fillet.CLIPS:
        row = rows.get(clip.id)
        if row is None:
            continue
        check_inputs(report, f"fillet {clip.id}", asdict(clip), row)
        for name in fillet.RESULTS:
            if name != "eps_root" or clip.id != SHARP:
                check_near(report, f"{name} of fillet {clip.id} on two meshes", float(row[f"{name}_coarse"]), float(row[name]), 0.03)
        if both or clip.id == FILLET:
            for name, found in clip.solve(COARSE).items():
                check_near(report, f"{name} of fillet {clip.id}", found, float(row[f"{name}_coarse"]), REPEAT)


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--all", action="store_true")
    options = parser.parse_args()
    report = Report()
    check_code(report, options.data, options.all)
    rows = record.read(options.data / "fem-clips.csv")
    check_table(report, rows)
    for case in CASES:
        if case.id in rows and (options.all or case.id in SAMPLE):
            check_case(report, case, rows[case.id], COARSE, COARSE_COLUMNS)
            if options.all:
                check_case(report, case, rows[case.id], record.FINE, FINE_COLUMNS)
    check_rings(report, record.read(options.data / "fem-rings.csv"), options.all)
    check_displacements(report, displaced.read(options.data / "fem-displacements.csv"), options.all)
    check_fillets(report, record.read(options.data / "fem-fillets.csv"), options.all)
    check_tilting(report, record.read(options.data / "fem-tilting.csv"), options.all)
    sys.exit(report.finish())


if __name__ == "__main__":
    main()
