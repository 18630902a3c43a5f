"""Checks 3MF files with the standard's reference library (lib3mf, of the 3MF Consortium) in strict mode: no warning,
millimetres, names, part numbers, one closed object for each part, inside the bed, of the right volume."""

import json
import subprocess
import zipfile

import lib3mf
import numpy as np
import trimesh
from lib3mf import get_wrapper

# Exception of the library for a refused file.
Refused = lib3mf.Lib3MF.ELib3MFException

WRAPPER = get_wrapper()
# Coordinates are written to 1e-6 mm; the library stores them in single precision, with half a unit in the last place.
GRID_MM = 1e-6
ROUNDING_SHARE = 2.0**-24
# Bytes 10 to 13 of a ZIP entry: time 0, date 1980-01-01, independent of the clock.
FIRST_DATE = (1980, 1, 1, 0, 0, 0)


def check_file(report, path, entry):
    """Compares one file with its entry in the program's list of files."""
    name = path.name
    with zipfile.ZipFile(path) as package:
        dates = {info.date_time for info in package.infolist()}
        report.check(f"{name} is a sound package without a date", package.testzip() is None and dates == {FIRST_DATE}, f"{sorted(dates)}")
    model, warnings = read(path)
    report.check(f"{name} read in strict mode without warning", not warnings, f"{warnings or 'none'}")
    report.check(f"{name} is in millimetres", model.GetUnit() == lib3mf.Lib3MF.ModelUnit.MilliMeter, f"{model.GetUnit()}")
    texts = {meta: model.GetMetaDataGroup().GetMetaDataByKey("", meta).GetValue() for meta in ("Title", "Description")}
    wanted = {"Title": entry["title"], "Description": entry["description"]}
    report.check(f"{name} says what it is", texts == wanted, f"{texts}")

    items = model.GetBuildItems()
    placed = []
    while items.MoveNext():
        placed.append(items.GetCurrent())
    parts = entry["parts"]
    report.check(f"{name} has an item for each part", len(placed) == len(parts) == model.GetMeshObjects().Count(), f"{len(placed)}")
    numbers = [item.GetPartNumber() for item in placed]
    report.check(f"{name} numbers its items", numbers == [part["part_number"] for part in parts], f"{numbers}")
    for item, part in zip(placed, parts):
        mesh = model.GetMeshObjectByID(item.GetObjectResourceID())
        _check_object(report, name, (item, mesh), part, entry)


def _check_object(report, name, placed, part, entry):
    """Checks name, number, validity, position and volume of one object."""
    title = f"{name} {part['name']}"
    item, mesh = placed
    called = (mesh.GetName(), mesh.GetPartNumber())
    report.check(f"{title} is named and numbered", called == (part["name"], part["part_number"]), f"{called}")
    vertices, triangles = arrays(mesh)
    closed = trimesh.Trimesh(vertices, triangles, process=False)
    sound = mesh.IsManifoldAndOriented() and mesh.IsValid() and closed.is_watertight and closed.is_winding_consistent
    report.check(f"{title} is a closed surface, wound outward", sound and closed.volume > 0.0, f"{len(triangles)} triangles")
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    width, depth = entry["bed_mm"]
    flat = abs(low[2]) <= GRID_MM and low[0] >= 0.0 and low[1] >= 0.0 and high[0] <= width and high[1] <= depth
    report.check(f"{title} lies flat on the bed", flat and not item.HasObjectTransform(), f"{low.round(3)} to {high.round(3)}")
    reach = float(abs(vertices).max()) * 3.0**0.5 * ROUNDING_SHARE + GRID_MM
    bound, off = part["area_mm2"] * (entry["chord_tolerance_mm"] + reach), abs(closed.volume - part["volume_mm3"])
    report.check(f"{title} volume of the mesh", off <= bound, f"off by {off:.4f} of at most {bound:.4f} mm3")


def read(path):
    """Reads a file in strict mode; returns the model and the warnings."""
    model = WRAPPER.CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    return model, [reader.GetWarning(index) for index in range(reader.GetWarningCount())]


def arrays(mesh):
    """Vertices and triangles of a mesh object as arrays."""
    vertices = np.array([list(vertex.Coordinates) for vertex in mesh.GetVertices()], dtype=float)
    triangles = np.array([list(triangle.Indices) for triangle in mesh.GetTriangleIndices()], dtype=int)
    return vertices, triangles


def check_names(report, program, spec, folder):
    """Checks that a holder's name with characters reserved in XML is read back unchanged; its coupons have long identities."""
    name, shown = r'R & D <\"one\"> Größe', 'R & D <"one"> Größe'
    lines = [f'name = "{name}"' if line.startswith("name =") else line for line in spec.read_text().split("[body]")[0].splitlines()]
    folder.mkdir(parents=True, exist_ok=True)
    copy = folder / "named.toml"
    copy.write_text("\n".join(lines) + "\n[body]" + spec.read_text().split("[body]", 1)[1] + "\n[coupons]\nclip_steps = [-0.125, 0.0, 0.375]\nmount_steps = [-0.125, 0.0]\n")
    ended = subprocess.run([program.resolve(), "coupons", copy, "--out", folder / "out", "--json"], capture_output=True, text=True)
    if not report.check("a name of reserved characters is taken", ended.returncode == 0, ended.stderr.strip()[:200] or "0"):
        return None
    entry = next(entry for entry in json.loads(ended.stdout)["files"] if entry["kind"] == "3mf")
    model, warnings = read(folder / "out" / entry["path"])
    title = model.GetMetaDataGroup().GetMetaDataByKey("", "Title").GetValue()
    report.check("a name of reserved characters comes back", not warnings and title.startswith(shown), f"{title!r}")
    return folder / "out" / entry["path"], entry
