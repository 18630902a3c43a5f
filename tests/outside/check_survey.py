"""Surveys drawings and scans that independent libraries wrote. Every representation of one outline must give it within
2 µm, and sections of scans must have the area that a mesh library computes.

    python check_survey.py --dump target/release/examples/survey_dump --work target/outside/survey
"""

import argparse
import json
import math
import shutil
import subprocess
import sys
from pathlib import Path

import ezdxf
import numpy
import shapely
import svgpathtools
import trimesh
from ezdxf.math import BSpline, ConstructionArc, Vec3
from shapely.geometry import LinearRing

from check_outline import polyline
from report import Report

NEAR_MM = 0.002
AREA_SHARE = 1e-3

# An egg of two circles and their common tangents, as in demo-specs/drawings/draw.py, but inclined: centres 13 mm apart,
# radii 13 and 8 mm, rotated about the origin so that no end lies on an axis.
TURN = 0.3
LARGE, SMALL = (-4.0, 13.0), (9.0, 8.0)
SIDE = math.atan2(5.0, 12.0)


def place(y, radius, angle):
    """A point of a circle about (0, y), in the inclined drawing."""
    x, y = radius * math.cos(angle), y + radius * math.sin(angle)
    return (x * math.cos(TURN) - y * math.sin(TURN), x * math.sin(TURN) + y * math.cos(TURN))


def centre(y):
    """Centre of a circle in the inclined drawing."""
    return place(y, 0.0, 0.0)


def egg():
    """Dense points of the exact outline."""
    points = [place(*LARGE, a) for a in numpy.linspace(math.pi - SIDE, 2.0 * math.pi + SIDE, 4000)]
    points += [place(*SMALL, a) for a in numpy.linspace(SIDE, math.pi - SIDE, 4000)]
    return numpy.array(points)


CORNERS = [place(*LARGE, math.pi - SIDE), place(*LARGE, SIDE), place(*SMALL, SIDE), place(*SMALL, math.pi - SIDE)]
SWEEPS = [math.pi + 2.0 * SIDE, None, math.pi - 2.0 * SIDE, None]


def save(work, name, units, draw):
    """Writes a DXF."""
    document = ezdxf.new(units=units)
    draw(document)
    document.saveas(work / f"{name}.dxf")
    return work / f"{name}.dxf"


def arcs(layout, scale=1.0):
    """Arcs and lines."""
    for (y, radius), (start, end) in ((LARGE, (math.pi - SIDE, SIDE)), (SMALL, (SIDE, math.pi - SIDE))):
        x, y = centre(y)
        layout.add_arc((x * scale, y * scale), radius * scale, math.degrees(start + TURN), math.degrees(end + TURN))
    for a, b in ((1, 2), (0, 3)):
        layout.add_line([c * scale for c in CORNERS[a]], [c * scale for c in CORNERS[b]])


def bulges(scale=1.0, clockwise=False):
    """Corners with the bulge of the side after each."""
    rows = [(x * scale, y * scale, math.tan(0.25 * s) if s else 0.0) for (x, y), s in zip(CORNERS, SWEEPS)]
    if not clockwise:
        return rows
    back = rows[::-1]
    return [(x, y, -back[(i + 1) % 4][2]) for i, (x, y, _) in enumerate(back)]


def splines(layout):
    """Rational splines for the arcs, splines of degree one for the sides."""
    for (y, radius), (start, end) in ((LARGE, (math.pi - SIDE, SIDE)), (SMALL, (SIDE, math.pi - SIDE))):
        arc = ConstructionArc(centre(y), radius, math.degrees(start + TURN), math.degrees(end + TURN))
        layout.add_spline().apply_construction_tool(BSpline.from_arc(arc))
    for a, b in ((1, 2), (3, 0)):
        layout.add_spline().apply_construction_tool(BSpline([Vec3(CORNERS[a]), Vec3(CORNERS[b])], order=2))


def block(document):
    """The egg at half its size and rotated, in nested blocks that undo this."""
    inner = document.blocks.new("inner")
    arcs(inner, 0.5)
    outer = document.blocks.new("outer", base_point=(5.0, 7.0))
    outer.add_blockref("inner", (5.0, 7.0), dxfattribs={"rotation": 30.0, "xscale": 4.0, "yscale": 4.0, "zscale": 4.0})
    attributes = {"rotation": -30.0, "xscale": 0.5, "yscale": 0.5, "zscale": 0.5}
    document.modelspace().add_blockref("outer", (0.0, 0.0), dxfattribs=attributes)


def mirrored(document):
    """A polyline seen from behind: its own x axis points to the left."""
    rows = [(-x, y, b) for x, y, b in bulges(clockwise=True)]
    rows = [(x, y, -b) for x, y, b in rows]
    line = document.modelspace().add_lwpolyline(rows, format="xyb", close=True)
    line.dxf.extrusion = (0.0, 0.0, -1.0)


def drawings(work):
    """Writes all DXF drawings of the egg; returns name, file and unit in mm of each."""
    inch = 25.4
    line = {"format": "xyb", "close": True}
    yield "arcs and lines", save(work, "arcs", 4, lambda d: arcs(d.modelspace())), 1.0
    yield "arcs in inches", save(work, "inches", 1, lambda d: arcs(d.modelspace(), 1.0 / inch)), inch
    yield "light polyline", save(work, "light", 4, lambda d: d.modelspace().add_lwpolyline(bulges(), **line)), 1.0
    clockwise = bulges(1.0, True)
    yield "clockwise", save(work, "clockwise", 4, lambda d: d.modelspace().add_lwpolyline(clockwise, **line)), 1.0
    yield "old polyline", save(work, "old", 4, lambda d: d.modelspace().add_polyline2d(bulges(), **line)), 1.0
    yield "splines", save(work, "splines", 4, lambda d: splines(d.modelspace())), 1.0
    yield "blocks", save(work, "blocks", 4, block), 1.0
    yield "seen from behind", save(work, "behind", 4, mirrored), 1.0
    yield from svgs(work)


def svgs(work):
    """The same in SVG, where y points down."""
    corner = [complex(x, -y) for x, y in CORNERS]
    parts, cubic = [], []
    for i, sweep in enumerate(SWEEPS):
        start, end = corner[i], corner[(i + 1) % 4]
        if sweep:
            radius = LARGE[1] if i == 0 else SMALL[1]
            parts.append(svgpathtools.Arc(start, radius * (1 + 1j), 0, sweep > math.pi, False, end))
            cubic += beziers(LARGE if i == 0 else SMALL, i == 0)
        else:
            parts.append(svgpathtools.Line(start, end))
            cubic.append(svgpathtools.Line(start, end))
    for name, path in (("arcs", parts), ("cubics", cubic)):
        whole = svgpathtools.Path(*path)
        for way, turned in (("", whole), (" backwards", whole.reversed())):
            file = work / f"{name}{way.strip()}.svg"
            file.write_text(page(f'<path d="{turned.d()}"/>'))
            yield f"SVG {name}{way}", file, 1.0
    # The inverse of the three group transforms, outermost first: a reader that applies them in another order fails clearly.
    small = svgpathtools.Path(*parts).scaled(1.0 / 25.4, 1.0 / 25.4, 0j)
    small = small.translated(-(0.3 + 0.1j)).rotated(-40.0, 0j).scaled(2.0, 2.0, 0j)
    file = work / "nested.svg"
    inner = f'<g transform="matrix(0.5 0 0 0.5 0 0)"><path d="{small.d()}"/></g>'
    file.write_text(page(f'<g transform="translate(0.3 0.1)"><g transform="rotate(40)">{inner}</g></g>'))
    yield "SVG in inches with nested transforms", file, 25.4


def beziers(circle, large):
    """Cubics for 64 parts of an arc by the usual formula, whose error decreases with the sixth power of the angle."""
    y, radius = circle
    start, end = (math.pi - SIDE, 2.0 * math.pi + SIDE) if large else (SIDE, math.pi - SIDE)
    angles = numpy.linspace(start, end, 65)
    handle = 4.0 / 3.0 * math.tan((angles[1] - angles[0]) / 4.0)
    out = []
    for a, b in zip(angles[:-1], angles[1:]):
        ends = [complex(*place(y, radius, t)).conjugate() for t in (a, b)]
        ways = [complex(math.cos(t + TURN + math.pi / 2), -math.sin(t + TURN + math.pi / 2)) * radius * handle for t in (a, b)]
        out.append(svgpathtools.CubicBezier(ends[0], ends[0] + ways[0], ends[1] - ways[1], ends[1]))
    return out


def page(inner):
    """An SVG file around an element."""
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-20 -20 40 40">{inner}</svg>'


def dump(program, *arguments):
    """Surveys a file with the program; returns the outline."""
    ended = subprocess.run([program.resolve(), *map(str, arguments)], capture_output=True, text=True)
    return json.loads(ended.stdout) if ended.returncode == 0 else {"error": ended.stderr.strip()}


def check_drawings(report, program, work):
    """Compares every drawing with the exact outline, in both directions."""
    exact = egg()
    ring = LinearRing(exact)
    for name, file, unit in drawings(work):
        found = dump(program, file, unit)
        if "error" in found:
            report.check(f"drawing: {name}", False, found["error"])
            continue
        points = polyline(found["segments"], 400)
        there = shapely.distance(ring, shapely.points(points)).max()
        back = shapely.distance(LinearRing(points), shapely.points(exact)).max()
        worst = max(float(there), float(back))
        report.check(f"drawing: {name}", worst <= NEAR_MM, f"{len(found['segments'])} segments, off by {worst:.5f} mm")


def check_scans(report, program, work):
    """Checks sections of an ellipsoid and of an oblique prism, in binary and ASCII."""
    ellipsoid = trimesh.creation.icosphere(subdivisions=6)
    ellipsoid.apply_scale((18.0, 12.0, 25.0))
    prism = trimesh.creation.cylinder(radius=10.0, height=40.0, sections=720)
    prism.apply_transform([[1.4, 0.0, 0.2, 0.0], [0.0, 0.8, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0], [0.0, 0.0, 0.0, 1.0]])
    axes = {"x": (1, 0, 0), "y": (0, 1, 0), "z": (0, 0, 1)}
    for name, mesh, cuts in (
        ("ellipsoid", ellipsoid, (("x", 3.0), ("y", -4.0), ("z", 7.3), ("z", 0.0))),
        ("slanted prism", prism, (("z", 6.5), ("z", -11.0))),
    ):
        for kind in ("stl", "stl_ascii"):
            file = work / f"{name.replace(' ', '-')}-{kind}.stl"
            mesh.export(file, file_type=kind)
            for axis, height in cuts:
                origin = numpy.array(axes[axis], dtype=float) * height
                theirs = mesh.section(plane_origin=origin, plane_normal=axes[axis]).to_2D()[0].area
                found = dump(program, file, 1.0, axis, height)
                share = abs(found.get("area_mm2", 0.0) / theirs - 1.0)
                figure = found.get("error") or f"{theirs:.3f} mm2, off by {share:.1e}"
                report.check(f"section of the {name} ({kind}) at {axis} = {height}", share <= AREA_SHARE, figure)


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--dump", type=Path, required=True)
    parser.add_argument("--work", type=Path, required=True)
    options = parser.parse_args()
    shutil.rmtree(options.work, ignore_errors=True)
    options.work.mkdir(parents=True)
    report = Report()
    check_drawings(report, options.dump, options.work)
    check_scans(report, options.dump, options.work)
    sys.exit(report.finish())


if __name__ == "__main__":
    main()
