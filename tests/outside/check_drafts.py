"""Compares the draft and undercut of every face of random holders with the normals of an independent kernel.

    python check_drafts.py --dump target/release/examples/draft_dump --work target/outside/drafts --count 6
"""

import argparse
import json
import math
import subprocess
import sys
from pathlib import Path

import kernel
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_Orientation
from report import Report

DRAFT_DEG = 0.01
AREA_SHARE = 1e-6
# Samples along either parameter of a face before its extremes are refined. All faces are straight along one of them.
SAMPLES = 48
GOLDEN = 0.5 * (math.sqrt(5.0) - 1.0)


class FaceNormals:
    """Outward normals of a face of the kernel over its parameters."""

    def __init__(self, face):
        self.surface = BRepAdaptor_Surface(face, True)
        self.sign = -1.0 if face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED else 1.0
        self.u = (self.surface.FirstUParameter(), self.surface.LastUParameter())
        self.v = (self.surface.FirstVParameter(), self.surface.LastVParameter())
        self.is_plane = str(self.surface.GetType()).endswith("Plane")

    def draft_deg(self, s, t, pull):
        """Angle between the face and the pull at shares of both parameters; positive draws clear."""
        point, along_u, along_v = gp_Pnt(), gp_Vec(), gp_Vec()
        u, v = (low + share * (high - low) for (low, high), share in ((self.u, s), (self.v, t)))
        self.surface.D1(u, v, point, along_u, along_v)
        normal = along_u.Crossed(along_v)
        x, y, z = (self.sign * c / normal.Magnitude() for c in (normal.X(), normal.Y(), normal.Z()))
        along = x * pull[0] + y * pull[1] + z * pull[2]
        across = math.sqrt((y * pull[2] - z * pull[1]) ** 2 + (z * pull[0] - x * pull[2]) ** 2 + (x * pull[1] - y * pull[0]) ** 2)
        return -math.degrees(math.atan2(along, across))

    def range_deg(self, pull):
        """Least and greatest draft."""
        if self.is_plane:
            draft = self.draft_deg(0.5, 0.5, pull)
            return draft, draft
        least, greatest = math.inf, -math.inf
        for along_u in (True, False):
            for other in (0.0, 1.0):
                def value(share, along_u=along_u, other=other):
                    return self.draft_deg(*((share, other) if along_u else (other, share)), pull)

                least = min(least, _least(value))
                greatest = max(greatest, -_least(lambda share: -value(share)))
        return least, greatest


def _least(value):
    """Least value between 0 and 1: the best of the samples, refined by golden section."""
    samples = [value(k / SAMPLES) for k in range(SAMPLES + 1)]
    best = min(range(SAMPLES + 1), key=samples.__getitem__)
    low, high = max(best - 1, 0) / SAMPLES, min(best + 1, SAMPLES) / SAMPLES
    for _ in range(40):
        a, b = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
        low, high = (low, b) if value(a) < value(b) else (a, high)
    return min(samples[best], value(0.5 * (low + high)))


def check_pull(report, title, normals, areas, entry):
    """Compares all faces for one pull."""
    ours = {face: figures for face, *figures in entry["faces"]}
    worst, area, undercuts, missing = 0.0, 0.0, [0.0, 0.0], 0
    for index, face in enumerate(normals):
        least, greatest = face.range_deg(entry["pull"])
        if index not in ours:
            # Only the end at which the part leaves the half: it faces along the pull.
            missing += greatest > -90.0 + DRAFT_DEG
            continue
        our_least, our_greatest, our_area, depth = ours[index]
        worst = max(worst, abs(our_least - least), abs(our_greatest - greatest))
        area = max(area, abs(our_area / areas[index] - 1.0))
        if (depth > 0.0) != (our_least < 0.0):
            missing += 1
        undercuts[0] += areas[index] if least < -DRAFT_DEG else 0.0
        undercuts[1] += our_area if our_least < -DRAFT_DEG else 0.0
    report.check(f"{title} draft", worst <= DRAFT_DEG and missing == 0, f"{len(ours)} faces, off by {worst:.1e} deg, {missing} missing")
    off = abs(undercuts[0] - undercuts[1])
    report.check(f"{title} areas", area <= AREA_SHARE and off <= AREA_SHARE * max(1.0, undercuts[0]), f"undercut {undercuts[1]:.2f} mm2, off by {area:.1e}")


def check_entry(report, folder, entry):
    """Compares one holder."""
    reading = kernel.read_step(folder / entry["path"])
    faces = kernel.faces(reading.products[0].shape)
    if not report.check(f"{entry['path']} has its faces", len(faces) == entry["faces"], f"{len(faces)} of {entry['faces']}"):
        return
    areas = [kernel.area(face) for face in faces]
    normals = [FaceNormals(face) for face in faces]
    for pull in entry["pulls"]:
        direction = ", ".join(f"{c:g}" for c in pull["pull"])
        check_pull(report, f"{entry['path']} pulled along {direction}:", normals, areas, pull)


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--dump", type=Path, required=True)
    parser.add_argument("--work", type=Path, required=True)
    parser.add_argument("--count", type=int, default=6)
    options = parser.parse_args()
    report = Report()
    command = [options.dump.resolve(), options.work, str(options.count)]
    entries = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
    report.check("holders were made", len(entries) == options.count, f"{len(entries)} of {options.count}")
    for entry in entries:
        check_entry(report, options.work, entry)
    sys.exit(report.finish())


if __name__ == "__main__":
    main()
