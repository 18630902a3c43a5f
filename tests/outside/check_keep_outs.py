"""Checks holders whose web has a pocket for a lever with an independent mesh library. The lever is built from dense
samples of its positions and offset by the clearance; it must not intersect the holder. The gap between holder and lever
must equal the clearance that the program reports.

    python check_keep_outs.py --dump target/release/examples/keep_out_dump --work target/outside/sweeps --count 200
"""

import argparse
import json
import math
import subprocess
import sys
from pathlib import Path

import manifold3d
import numpy as np
import shapely
import trimesh

from report import Report

# Greatest distance of the holder's triangles from its true faces, with an allowance for the polygons of the lever, mm.
MESH_MM = 0.0125
# Distance of the lever's tip between two samples, mm: the error between two samples is below 0.002 mm.
STEP_MM = 0.1
# Tolerance between the reported clearance and that of the mesh library, mm.
GAP_MM = 0.05
# Tolerance for merging collinear points, mm: it saves the mesh library thousands of corners.
SIMPLER_MM = 3e-4
# Corners of a quarter circle.
QUARTER = 48
# Steps of the quarter turn from the lever's side view to its side.
EDGE_STEPS = 4


def side_view(entry, grow):
    """Union of all positions of the lever in side view (y to the right, z up), offset by `grow`."""
    half = 0.5 * entry["thickness_mm"]
    reach = entry["reach_mm"] - half
    turn = math.radians(entry["to_deg"] - entry["from_deg"])
    count = max(2, math.ceil(turn * (entry["reach_mm"] + grow) / STEP_MM) + 1)
    y, z = entry["pivot_mm"]
    # Zero degrees is along +z, ninety along +y.
    angles = np.radians(np.linspace(entry["from_deg"], entry["to_deg"], count))
    bars = [shapely.LineString([(y, z), (y + reach * math.sin(a), z + reach * math.cos(a))]) for a in angles]
    union = shapely.unary_union([line.buffer(half + grow, quad_segs=QUARTER) for line in bars])
    return union.simplify(SIMPLER_MM)


def lever_prism(entry, grow, out):
    """The lever offset by `out` at its sides and by `grow` in side view."""
    shape = manifold3d.CrossSection([np.asarray(side_view(entry, grow).exterior.coords)[:-1]], manifold3d.FillRule.NonZero)
    width = entry["width_mm"] + 2.0 * out
    across = entry["across_mm"] - 0.5 * width
    return shape.extrude(width).transform(np.array([[0.0, 0.0, 1.0, across], [1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 0.0, 0.0]]))


def overlap_volume(holder, entry, grow):
    """Volume of a holder within `grow` of the lever: the largest over prisms that together fill the rounded offset body."""
    leans = [0.5 * math.pi * k / EDGE_STEPS for k in range(EDGE_STEPS)]
    return max((holder ^ lever_prism(entry, grow * math.cos(a), grow * math.sin(a))).volume() for a in leans)


def read_solid(path):
    """Reads a holder's triangles as a closed body."""
    mesh = trimesh.load(path)
    body = manifold3d.Manifold(
        manifold3d.Mesh(np.asarray(mesh.vertices, dtype=np.float32), np.asarray(mesh.faces, dtype=np.uint32))
    )
    return body, mesh


def check_holder(report, folder, entry, worst):
    """Checks one holder."""
    name = entry["path"]
    holder, mesh = read_solid(folder / name)
    sound = holder.status() == manifold3d.Error.NoError and mesh.is_watertight
    if not report.check(f"{name} is closed", sound, f"{holder.status()}, {holder.volume():.0f} mm³"):
        return
    inside = overlap_volume(holder, entry, max(entry["clearance_mm"] - MESH_MM, 0.0))
    touching = overlap_volume(holder, entry, entry["clearance_mm"])
    # Loss of clearance by the chords of pockets, along both sides and the tip of the lever.
    skin = MESH_MM * entry["web_width_mm"] * (2.0 * entry["reach_mm"] + math.pi * entry["thickness_mm"] + 20.0)
    clear = inside < 1e-6 and touching < skin
    report.check(f"{name} leaves its lever free", clear, f"{inside:.2e} mm³ inside, {touching:.3f} of {skin:.2f} mm³ at the faces")
    gap = holder.min_gap(lever_prism(entry, 0.0, 0.0), entry["after_mm"] + 5.0)
    off = gap - entry["after_mm"]
    right = abs(off) < GAP_MM and entry["after_mm"] > entry["clearance_mm"] - 0.003
    report.check(f"{name} reports its clearance", right, f"{entry['after_mm']:.4f} mm at the {entry['part']}, here {gap:.4f} mm")
    worst["inside"] = max(worst["inside"], inside)
    worst["touching"] = max(worst["touching"], touching)
    worst["off"] = max(worst["off"], abs(off))


def check_detection(report, folder, entry):
    """Checks the check: it must detect a lever that is thicker than the one that the holder was made for."""
    thicker = {**entry, "thickness_mm": entry["thickness_mm"] + 2.0 * (entry["after_mm"] - entry["clearance_mm"]) + 0.2}
    holder, _ = read_solid(folder / entry["path"])
    volume = overlap_volume(holder, thicker, entry["clearance_mm"])
    report.check("a lever that is 0.1 mm too thick is noticed", volume > 0.1, f"{volume:.3f} mm³")


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--dump", type=Path, required=True)
    parser.add_argument("--work", type=Path, required=True)
    parser.add_argument("--count", type=int, default=12)
    options = parser.parse_args()
    report = Report()
    ended = subprocess.run([options.dump.resolve(), options.work, str(options.count)], capture_output=True, text=True)
    report.check("random levers were made", ended.returncode == 0, ended.stderr.strip()[:200] or "0")
    lines = [json.loads(line) for line in ended.stdout.splitlines()]
    made = [line for line in lines if "path" in line]
    relieved = sum(line["relieved"] for line in made)
    enough = len(made) == options.count and relieved >= 0.8 * options.count
    refused = sum("seed" in line for line in lines)
    report.check("most webs really gave way", enough, f"{relieved} of {len(made)}, {refused} specs were refused")
    lightened = sum(line["windows"] > 0 for line in made)
    report.check("some webs have windows", lightened >= options.count // 8, f"{lightened} of {len(made)}")
    worst = {"inside": 0.0, "touching": 0.0, "off": 0.0}
    for entry in made:
        check_holder(report, options.work, entry, worst)
    if made:
        check_detection(report, options.work, made[0])
    figures = f"inside {worst['inside']:.2e} mm³, at the faces {worst['touching']:.3f} mm³, clearance off {worst['off']:.4f} mm"
    report.note("worst of all", figures)
    sys.exit(report.finish())


if __name__ == "__main__":
    main()
