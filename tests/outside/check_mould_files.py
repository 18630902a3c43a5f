"""Checks the files of moulds, made by the program from a demo of every way to part, with the independent kernel.

    python check_mould_files.py --program target/release/gripwright --work target/outside/mould-files
"""

import argparse
import json
import subprocess
import sys
from pathlib import Path

import trimesh

import kernel
from report import Report

DEMOS = Path(__file__).resolve().parents[2] / "demo-specs"
# Demo of each way to part.
MOULDS = {"end": "dispensing-arm", "cut": "wire-cutter", "middle": "magnifier-arm"}
# Volumes of both kernels agree to this share.
SAME_VOLUME = 1e-9


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
    for path in sorted(folder.glob("*.step")):
        for product in kernel.read_step(path).products:
            claim = f"{parting} {path.name} {product.name}"
            report.check(f"{claim} is valid", kernel.is_valid(product.shape), "BRepCheck")
            if product.name in volumes:
                off = abs(kernel.volume(product.shape)[0] / volumes[product.name] - 1.0)
                report.check(f"{claim} has its volume", off < SAME_VOLUME, f"off by {off:.1e}")
    for path in sorted(folder.glob("*.stl")):
        mesh = trimesh.load(path)
        report.check(f"{parting} {path.name} is watertight", mesh.is_watertight, len(mesh.faces))
    left = sum(len(master["pockets_left"]) for master in stated["masters"])
    report.check(f"{parting} leaves no air", left == 0, left)


if __name__ == "__main__":
    main()
