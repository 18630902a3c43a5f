"""Checks STL files with an independent mesh library: closed, consistently wound, one body per part, the right volume."""

import math

import trimesh

# Single precision moves each vertex by up to half a unit in its last place; 100 mm has 24 bits.
ROUNDING_SHARE = 2.0**-24


def check_file(report, path, entry):
    """Compares one file with its entry in the program's list of files."""
    name = path.name
    size = path.stat().st_size
    head = path.read_bytes()[:84]
    count = int.from_bytes(head[80:84], "little")
    report.check(f"{name} layout", size == 84 + 50 * count and not head.startswith(b"solid"), f"{count} triangles")

    mesh = trimesh.load_mesh(str(path))
    report.check(f"{name} is watertight", mesh.is_watertight, f"{len(mesh.faces)} faces, {len(mesh.vertices)} vertices")
    report.check(f"{name} is wound one way", mesh.is_winding_consistent, f"volume {mesh.volume:.3f} mm3")
    flat = int((trimesh.triangles.area(mesh.triangles) <= 0.0).sum())
    report.check(f"{name} has no triangle without area", flat == 0 and len(mesh.faces) == count, f"{flat} of {count}")

    bodies = mesh.split(only_watertight=False)
    wanted = entry["parts"]
    report.check(f"{name} holds one body per part", len(bodies) == len(wanted), f"{len(bodies)} of {len(wanted)}")
    if len(bodies) == len(wanted):
        _check_volumes(report, name, entry, bodies)


def _check_volumes(report, name, entry, bodies):
    """The mesh lies within the chord tolerance of the surface, so its volume lies within area times tolerance.

    Parts are matched by volume: bodies come out of the mesh without names.
    """
    tolerance = entry["chord_tolerance_mm"]
    parts = sorted(entry["parts"], key=lambda part: part["volume_mm3"])
    for part, body in zip(parts, sorted(bodies, key=lambda body: body.volume)):
        reach = float(abs(body.bounds).max()) * math.sqrt(3.0) * ROUNDING_SHARE
        bound = part["area_mm2"] * (tolerance + reach)
        off = abs(body.volume - part["volume_mm3"])
        title = f"{name} {part['name']} volume of the mesh"
        report.check(title, body.is_watertight and off <= bound, f"off by {off:.4f} of at most {bound:.4f} mm3")
