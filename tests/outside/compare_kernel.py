"""Makes the holder of the benchmark with an independent kernel and prints the ratio of the times.

    python compare_kernel.py --ours target/release/examples/holder_benchmark --work target/outside/benchmark

The kernel makes wires of exact lines and arcs for each level, lofts them with ruled sides into mount, clip and web, and
fuses the three. It meshes the part at the same chord tolerance and writes STEP and STL. The libraries are loaded before,
and the first round does not count. The volumes are compared to show that both made the same part.
"""

import argparse
import json
import statistics
import subprocess
import sys
import time
from pathlib import Path

from OCP.BRepAlgoAPI import BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeWire
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepOffsetAPI import BRepOffsetAPI_ThruSections
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Pnt
from OCP.STEPControl import STEPControl_StepModelType, STEPControl_Writer
from OCP.StlAPI import StlAPI_Writer

import kernel
from report import Report

VOLUME_SHARE = 1e-6


def placed(point, turn, shift, height):
    """Transforms a point of a level into the holder: optional half turn, shift along y, height."""
    return gp_Pnt(turn * point[0], turn * point[1] + shift, height)


def wire(level, turn, shift, height):
    """The outline of a level as a closed wire."""
    builder = BRepBuilderAPI_MakeWire()
    segments = level["segments"]
    corners = [placed(segment["start"], turn, shift, height) for segment in segments]
    for index, segment in enumerate(segments):
        start, end = corners[index], corners[(index + 1) % len(segments)]
        if segment["kind"] == "line":
            edge = BRepBuilderAPI_MakeEdge(start, end).Edge()
        else:
            middle = placed(segment["middle"], turn, shift, height)
            edge = BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(start, middle, end).Value()).Edge()
        builder.Add(edge)
    return builder.Wire()


def loft(wires):
    """Lofts a solid with ruled sides through wires."""
    maker = BRepOffsetAPI_ThruSections(True, True)
    maker.CheckCompatibility(False)
    for section in wires:
        maker.AddWire(section)
    maker.Build()
    return maker.Shape()


def pad_wire(levels, turn, shift):
    """Wire around the face of a part's pad: up one side, down the other."""
    sides = []
    for level in levels:
        segment = next(segment for segment in level["segments"] if segment["role"] == "pad")
        sides.append([placed(segment[end], turn, shift, level["height_mm"]) for end in ("start", "end")])
    if turn < 0:
        sides = [side[::-1] for side in sides]
    points = [side[0] for side in sides] + [side[1] for side in reversed(sides)]
    builder = BRepBuilderAPI_MakeWire()
    for index, point in enumerate(points):
        builder.Add(BRepBuilderAPI_MakeEdge(point, points[(index + 1) % len(points)]).Edge())
    return builder.Wire()


def both_sides(levels):
    """Adds the levels above the parting plane by mirroring those below it."""
    return levels + [dict(level, height_mm=-level["height_mm"]) for level in reversed(levels) if level["height_mm"] < 0.0]


def build(mount, clip, offset):
    """Builds the holder: mount, web and clip, fused."""
    mount_solid = loft([wire(level, -1.0, 0.0, level["height_mm"]) for level in mount])
    clip_solid = loft([wire(level, 1.0, offset, level["height_mm"]) for level in clip])
    web = loft([pad_wire(mount, -1.0, 0.0), pad_wire(clip, 1.0, offset)])
    return BRepAlgoAPI_Fuse(BRepAlgoAPI_Fuse(mount_solid, web).Shape(), clip_solid).Shape()


def write(shape, tolerance, folder):
    """Meshes the shape and writes both files."""
    BRepMesh_IncrementalMesh(shape, tolerance, False, 0.5, False)
    writer = STEPControl_Writer()
    writer.Transfer(shape, STEPControl_StepModelType.STEPControl_AsIs)
    writer.Write(str(folder / "kernel.step"))
    mesh_writer = StlAPI_Writer()
    mesh_writer.ASCIIMode = False
    mesh_writer.Write(shape, str(folder / "kernel.stl"))


def split_levels(levels):
    """Splits the levels into those of the mount and those of the clip: heights start again at the clip."""
    heights = [level["height_mm"] for level in levels]
    second = next(index for index in range(1, len(heights)) if heights[index] < heights[index - 1])
    return both_sides(levels[:second]), both_sides(levels[second:])


def time_kernel(document, folder, rounds):
    """Median time in ms, and the shape of the last round."""
    mount, clip = split_levels(document["levels"])
    times, shape = [], None
    for _ in range(rounds + 1):
        start = time.perf_counter()
        shape = build(mount, clip, document["offset_mm"])
        write(shape, document["tolerance_mm"], folder)
        times.append((time.perf_counter() - start) * 1000.0)
    return statistics.median(times[1:]), shape


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--ours", type=Path, required=True)
    parser.add_argument("--work", type=Path, required=True)
    parser.add_argument("--rounds", type=int, default=7)
    options = parser.parse_args()
    options.work.mkdir(parents=True, exist_ok=True)
    report = Report()
    command = [options.ours, options.work, str(20 * options.rounds)]
    document = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
    messages = []
    with kernel.captured_output(messages):
        theirs, shape = time_kernel(document, options.work, options.rounds)
    volume, _ = kernel.volume(shape)
    share = abs(volume / document["volume_mm3"] - 1.0)
    report.check("benchmark: both made the same part", share <= VOLUME_SHARE, f"volumes differ by {share:.1e}")
    ratio = theirs / document["median_ms"]
    figure = f"{ratio:.1f} times: {document['median_ms']:.2f} ms here, {theirs:.1f} ms in the kernel (medians)"
    report.note("benchmark: faster", figure)
    sys.exit(report.finish())


if __name__ == "__main__":
    main()
