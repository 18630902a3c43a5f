"""Compares outlines of lines and arcs with a 2D polygon library on dense polylines: area, length, distances, offsets.

    python check_outline.py --dump target/release/examples/outline_dump
"""

import argparse
import json
import subprocess
import sys
from pathlib import Path

import numpy
import shapely
from shapely.geometry import Polygon

from report import Report

# Chords of each arc. The chord error of a full circle is r (2π/4000)² / 8 = 3e-7 r.
CHORDS = 4000
SHARE = 2e-6
DISTANCE_MM = 1e-5
# Chords of each arc for the library's own offset. With 1000 and more the library loses a region of 2.6 mm2 of one mount,
# although every point of it lies deeper than the offset; with 400 and fewer it does not.
OFFSET_CHORDS = 400
# The chord error of a full circle is r (2π/400)² / 8 = 3e-5 r on each side.
OFFSET_MM = 2e-4


def polyline(segments, chords=CHORDS):
    """Returns dense points along a closed chain."""
    points = []
    for segment in segments:
        if segment["kind"] == "line":
            points.append(numpy.array([segment["start"]]))
        else:
            angles = segment["start_angle"] + segment["sweep"] * numpy.arange(chords) / chords
            ring = numpy.column_stack([numpy.cos(angles), numpy.sin(angles)])
            points.append(numpy.array(segment["centre"]) + segment["radius"] * ring)
    return numpy.vstack(points)


def check_shape(report, shape, inset_mm):
    """Checks one outline."""
    name = f"outline of {shape['name']}"
    points = polyline(shape["segments"])
    polygon = Polygon(points)
    report.check(f"{name} does not cross itself", polygon.is_valid, f"{len(shape['segments'])} segments")
    share = max(abs(polygon.area / shape["area_mm2"] - 1.0), abs(polygon.length / shape["perimeter_mm"] - 1.0))
    report.check(f"{name} area and length", share <= SHARE, f"{shape['area_mm2']:.4f} mm2, off by {share:.1e}")

    table = numpy.array(shape["distances"])
    places = shapely.points(table[:, :2])
    distances = shapely.distance(polygon.exterior, places) * numpy.where(shapely.contains(polygon, places), -1.0, 1.0)
    gap = float(numpy.abs(distances - table[:, 2]).max())
    report.check(f"{name} signed distances", gap <= DISTANCE_MM, f"{len(table)} points, off by {gap:.1e} mm")
    check_offset(report, name, shape, polygon, inset_mm)


def check_offset(report, name, shape, polygon, inset_mm):
    """Checks that the inset keeps its distance everywhere and encloses the same area as the library's own offset."""
    smaller = polyline(shape["inset_segments"], OFFSET_CHORDS)
    distances = shapely.distance(polygon.exterior, shapely.points(smaller))
    # Corners that stay sharp lie farther off than the sides; no point may lie nearer.
    nearest, median = float(distances.min()), float(numpy.median(distances))
    holds = nearest >= inset_mm - DISTANCE_MM and abs(median - inset_mm) <= DISTANCE_MM
    report.check(f"{name} offset distance", holds, f"least {nearest:.6f}, median {median:.6f} of {inset_mm} mm")
    coarse = Polygon(polyline(shape["segments"], OFFSET_CHORDS))
    theirs = coarse.buffer(-inset_mm, join_style="mitre", mitre_limit=10.0).area
    bound = polygon.length * OFFSET_MM
    off = abs(theirs - shape["inset_area_mm2"])
    report.check(f"{name} offset area", off <= bound, f"off by {off:.5f} of at most {bound:.5f} mm2")


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--dump", type=Path, required=True)
    options = parser.parse_args()
    document = json.loads(subprocess.run([options.dump], check=True, capture_output=True, text=True).stdout)
    report = Report()
    report.check("outlines were dumped", len(document["shapes"]) > 0, f"{len(document['shapes'])}")
    for shape in document["shapes"]:
        check_shape(report, shape, document["inset_mm"])
    sys.exit(report.finish())


if __name__ == "__main__":
    main()
