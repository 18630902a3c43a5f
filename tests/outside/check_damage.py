"""Checks the checks: damaged copies of good files must be detected.

One kind of damage is not detected here: the kernel silently reverses a face of the wrong orientation. Orientation is
therefore checked in the Rust tests, where every edge must be used once in each direction.
"""

import re
import tempfile
import zipfile
from pathlib import Path

import trimesh

import check_step
import check_three_mf
import kernel


def check_step_damage(report, path):
    """Makes four kinds of damage to a STEP file; the independent reader must report each or find the part invalid."""
    text = path.read_text()
    damages = {
        "a reference to nowhere": re.sub(r"(ADVANCED_FACE\('',\(#\d+(?:,#\d+)*\),)#\d+", r"\g<1>#999999", text, count=1),
        "an unknown entity": text.replace("=PLANE(", "=PLAIN(", 1),
        "a face left out": re.sub(r"(CLOSED_SHELL\('',\()#\d+,", r"\g<1>", text, count=1),
        "a vertex moved by 0.01 mm": _moved_vertex(text),
    }
    for name, damaged in damages.items():
        if damaged == text:
            report.check(f"{path.name} with {name} is noticed", False, "the damage found nothing to change")
            continue
        with tempfile.TemporaryDirectory() as folder:
            copy = Path(folder) / "damaged.step"
            copy.write_text(damaged)
            reading = kernel.read_step(copy)
        shapes = [product.shape for product in reading.products]
        valid = all(kernel.is_valid(shape) and len(kernel.solids(shape)) == 1 for shape in shapes)
        gap = max((kernel.greatest_tolerance(shape) for shape in shapes), default=0.0)
        noticed = bool(reading.messages) or not valid or gap > check_step.TOLERANCE_MM
        figure = f"{len(reading.messages)} lines, {'valid' if valid else 'invalid'}, greatest gap {gap:.1e} mm"
        report.check(f"{path.name} with {name} is noticed", noticed, figure)


def _moved_vertex(text):
    """Moves the point of the first vertex by 0.01 mm, so that no curve ends there any more."""
    vertex = re.search(r"#\d+=VERTEX_POINT\('',#(\d+)\);", text)
    point = re.search(rf"#{vertex[1]}=CARTESIAN_POINT\('',\(([^,]*),([^)]*)\)\);\n", text)
    moved = f"#999999=CARTESIAN_POINT('',({float(point[1]) + 0.01!r},{point[2]}));\n"
    return text.replace(vertex[0], moved + vertex[0].replace(f"#{vertex[1]})", "#999999)"), 1)


def check_stl_damage(report, path):
    """Removes the last triangle of an STL file; it must count as open."""
    data = bytearray(path.read_bytes())
    count = int.from_bytes(data[80:84], "little") - 1
    data[80:84] = count.to_bytes(4, "little")
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "damaged.stl"
        copy.write_bytes(data[:-50])
        mesh = trimesh.load_mesh(str(copy))
    report.check(f"{path.name} without a triangle is noticed", not mesh.is_watertight, f"{count} triangles left")


def check_three_mf_damage(report, path):
    """Makes three kinds of damage to a 3MF file; the reference library must refuse each, warn, or find an open part."""
    with zipfile.ZipFile(path) as package:
        entries = {info.filename: package.read(info) for info in package.infolist()}
    part = next(name for name in entries if name.endswith(".model"))
    text = entries[part].decode()
    damages = {
        "a triangle turned over": re.sub(r'<triangle v1="(\d+)" v2="(\d+)"', r'<triangle v1="\2" v2="\1"', text, count=1),
        "an item of no object": re.sub(r'<item objectid="\d+"', '<item objectid="9999"', text, count=1),
        "a text that is not escaped": text.replace("</metadata>", " & more</metadata>", 1),
    }
    for name, damaged in damages.items():
        with tempfile.TemporaryDirectory() as folder:
            copy = Path(folder) / "damaged.3mf"
            with zipfile.ZipFile(copy, "w") as package:
                for entry, data in entries.items():
                    package.writestr(entry, damaged.encode() if entry == part else data)
            try:
                model, warnings = check_three_mf.read(copy)
                objects, closed = model.GetMeshObjects(), True
                while objects.MoveNext():
                    closed = closed and objects.GetCurrentMeshObject().IsManifoldAndOriented()
                figure, noticed = f"{len(warnings)} warnings, {'closed' if closed else 'open'}", bool(warnings) or not closed
            except check_three_mf.Refused as error:
                figure, noticed = str(error), True
        report.check(f"{path.name} with {name} is noticed", damaged != text and noticed, figure)
