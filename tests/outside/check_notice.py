"""Checks the checks: damaged copies of good files must be noticed, or silence would prove nothing."""

import re
import tempfile
from pathlib import Path

import trimesh

import kernel


def check_step_damage(report, path):
    """Three kinds of damage to a STEP file, each of which the independent reader must report or find invalid."""
    text = path.read_text()
    damages = {
        "a reference to nowhere": re.sub(r"(ADVANCED_FACE\('',\(#\d+(?:,#\d+)*\),)#\d+", r"\g<1>#999999", text, count=1),
        "an unknown entity": text.replace("=PLANE(", "=PLAIN(", 1),
        "a face turned over": _turned_face(text),
    }
    for name, damaged in damages.items():
        if damaged == text:
            report.check(f"{path.name} with {name} is noticed", False, "the damage found nothing to change")
            continue
        with tempfile.TemporaryDirectory() as folder:
            copy = Path(folder) / "damaged.step"
            copy.write_text(damaged)
            reading = kernel.read_step(copy)
        valid = all(kernel.is_valid(product.shape) for product in reading.products)
        same_volume = _volumes(reading) == _volumes(kernel.read_step(path))
        noticed = bool(reading.messages) or not valid or not same_volume
        figure = f"{len(reading.messages)} lines, {'valid' if valid else 'invalid'}, volume {'kept' if same_volume else 'changed'}"
        report.check(f"{path.name} with {name} is noticed", noticed, figure)


def _turned_face(text):
    """The first face moved to the other side of its surface by turning all its bounds over."""
    return re.sub(r"(FACE_OUTER_BOUND\('',#\d+,)\.T\.", r"\g<1>.F.", text, count=1)


def _volumes(reading):
    return [round(kernel.volume(product.shape)[0], 6) for product in reading.products]


def check_stl_damage(report, path):
    """An STL file that lacks its last triangle must count as open."""
    data = bytearray(path.read_bytes())
    count = int.from_bytes(data[80:84], "little") - 1
    data[80:84] = count.to_bytes(4, "little")
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "damaged.stl"
        copy.write_bytes(data[:-50])
        mesh = trimesh.load_mesh(str(copy))
    report.check(f"{path.name} without a triangle is noticed", not mesh.is_watertight, f"{count} triangles left")
