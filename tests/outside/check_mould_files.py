"""Checks the files of moulds, made by the program from a demo of every way to part, with the independent kernel.

    python check_mould_files.py --program target/release/gripwright --work target/outside/mould-files
"""

import argparse
import json
import math
import subprocess
import sys
from pathlib import Path

import shapely
import trimesh

import kernel
from check_mould import body, holes
from report import Report

DEMOS = Path(__file__).resolve().parents[2] / "demo-specs"
# Demo of each way to part.
MOULDS = {"end": "dispensing-arm", "cut": "wire-cutter", "middle": "magnifier-arm"}
# Volumes of both kernels agree to this share.
SAME_VOLUME = 1e-9
# Gap of pegs in their holes, over both sides, and depth of the holes, mm.
GAP_MM, DEPTH_MM = 0.2, 2.0
# Chord error of the meshes, mm.
CHORD_MM = 0.01


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--program", type=Path, required=True)
    parser.add_argument("--work", type=Path, required=True)
    options = parser.parse_args()
    options.work.mkdir(parents=True, exist_ok=True)
    report = Report()
    for parting, demo in MOULDS.items():
        check(report, parting, make(options, demo))
    sys.exit(report.finish())


def make(options, demo):
    """Runs the program and returns its output folder."""
    folder = options.work / demo
    command = [options.program.resolve(), "mould", DEMOS / f"{demo}.toml", "--out", folder, "--quiet"]
    subprocess.run(command, check=True)
    return folder


def check(report, parting, folder):
    """Every boundary is valid, every mesh is closed, and the stated volumes of the masters are those of the kernel."""
    stated = json.loads((folder / "mould.json").read_text(encoding="utf-8"))
    report.check(f"{folder.name} parts as the table says", stated["parting"] == parting, stated["parting"])
    volumes = {master["name"]: master["volume_mm3"] for master in stated["masters"]}
    files = {}
    for path in sorted(folder.glob("*.step")):
        for product in kernel.read_step(path).products:
            files[product.name] = path
            claim = f"{parting} {path.name} {product.name}"
            report.check(f"{claim} is valid", kernel.is_valid(product.shape), "BRepCheck")
            if product.name in volumes:
                off = abs(kernel.volume(product.shape)[0] / volumes[product.name] - 1.0)
                report.check(f"{claim} has its volume", off < SAME_VOLUME, f"off by {off:.1e}")
    for path in sorted(folder.glob("*.stl")):
        mesh = trimesh.load(path)
        report.check(f"{parting} {path.name} is watertight", mesh.is_watertight, len(mesh.faces))
    check_pegs(report, parting, files, stated)
    left = sum(len(master["pockets_left"]) for master in stated["masters"])
    report.check(f"{parting} leaves no air", left == 0, left)


def check_pegs(report, parting, files, stated):
    """Every master has the hole that the peg of its sprue needs, with the gap all round."""
    places = stated["box"]["places"]
    pegs = {places[o["place"]]["master"]: o["peg_mm"] for o in stated["box"]["openings"] if o["kind"] == "sprue"}
    pegged = [name for name, peg in pegs.items() if peg]
    # Rods are glued to a block where its web is not level.
    report.check(f"{parting} has pegs", bool(pegged) or parting == "cut", f"{len(pegged)} of {len(pegs)} masters")
    for master in stated["masters"]:
        peg = pegs[master["name"]]
        length, width = (size + GAP_MM for size in peg) if peg else (0.0, 0.0)
        hole = ((length - width) * width + math.pi * width**2 / 4) * DEPTH_MM
        taken = master["cavity_mm3"] - master["volume_mm3"]
        report.check(f"{parting} {master['name']} loses its hole", abs(taken - hole) < 1e-6, f"{taken:.6f} mm³")
    for name in pegged:
        mesh = trimesh.load(files[name].with_suffix(".stl"))
        section = body(mesh).slice(float(mesh.bounds[0][2]) + DEPTH_MM / 2).to_polygons()
        (ring,) = [shapely.Polygon(ring) for ring in holes(section)]
        x, y = ring.minimum_rotated_rectangle.exterior.coords.xy
        sides = sorted(math.hypot(x[k + 1] - x[k], y[k + 1] - y[k]) for k in range(2))
        wanted = sorted(size + GAP_MM for size in pegs[name])
        off = max(abs(a - b) for a, b in zip(sides, wanted))
        report.check(f"{parting} {name} has room for its peg", off < 2 * CHORD_MM, f"{sides[1]:.3f} × {sides[0]:.3f} mm")


if __name__ == "__main__":
    main()
