"""Checks the seat of a mount on a tapered body with an independent kernel: it must follow the body at both ends.

The program's document has the outline of the body at the middle of the mount, and its slope. The outline is moved along
the body and compared with the radii of the seat's cones at both ends of the mount.

For a body that tapers unevenly the kernel cuts the holder at both ends and in the middle. The gripping faces are compared
with the section of the body there. The sections themselves are checked for invented specs, with figures computed by hand.
"""

import math

import kernel
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepAlgoAPI import BRepAlgoAPI_Section
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

# Tolerance between two ways to compute the same radius.
RADIUS_MM = 1e-6
# Tolerance between gripping faces and the section of the body, in a cut.
SECTION_MM = 1e-4
# Distance of the cuts from the ends: the faces still exist there, and chamfers of the back do not matter.
INSIDE_MM = 1e-3
# Axes nearer to each other than this are the same axis.
AXIS_MM = 1e-6


def check_seats(report, folder, document):
    """Compares the cones of every holder's mount with the body in the document."""
    mount, body = document["mount"], document.get("body")
    if not mount.get("taper"):
        return
    if mount["taper"].get("uneven"):
        check_uneven(report, folder, document)
        return
    if not body:
        return
    arcs = [segment for segment in body["outline"] if segment["kind"] == "arc"]
    slope, gap = mount["taper"]["slope"], mount["clearance_mm"]
    half = 0.5 * mount["length_mm"]
    files = {part["name"]: entry["path"] for entry in document["files"] if entry["kind"] == "step" for part in entry["parts"]}
    for holder in document["holders"]:
        title = f"{files[holder['name']]} {holder['name']}"
        reading = kernel.read_step(folder / files[holder["name"]])
        shape = next(product.shape for product in reading.products if product.name == holder["name"])
        found = [_on_arc(cone, arcs, slope, gap, half) for cone in _cones(shape, abs(math.degrees(math.atan(slope))))]
        on_arcs = [off for off in found if off is not None]
        # Lips have the taper of the seat but axes of their own.
        lips = len(found) - len(on_arcs)
        worst = max(on_arcs, default=math.inf)
        figure = f"{len(on_arcs)} cones off by {worst:.1e} mm, {lips} of lips"
        report.check(f"{title} seat follows the body to both ends", worst <= RADIUS_MM and len(on_arcs) >= 4, figure)


def _cones(shape, taper_deg):
    """Axis and radius by height of the cones along z whose half angle is the taper."""
    for face in kernel.faces(shape):
        surface = BRepAdaptor_Surface(face, True)
        if surface.GetType() != GeomAbs_SurfaceType.GeomAbs_Cone:
            continue
        cone = surface.Cone()
        direction, place = cone.Axis().Direction(), cone.Location()
        if math.hypot(direction.X(), direction.Y()) > 1e-12:
            continue
        if abs(abs(math.degrees(cone.SemiAngle())) - taper_deg) < 1e-6:
            growth = math.tan(cone.SemiAngle()) / direction.Z()
            yield (place.X(), place.Y()), cone.RefRadius() - growth * place.Z(), growth


def _on_arc(cone, arcs, slope, gap, half):
    """Largest deviation at the ends of a cone from the arc of the body about the same axis; None for other cones."""
    (x, y), radius, growth = cone
    offs = []
    for arc in arcs:
        if math.dist((x, y), arc["centre"]) > AXIS_MM:
            continue
        ends = [abs(radius + growth * z - (arc["radius"] + gap - slope * z)) for z in (-half, half)]
        offs.append(max(ends))
    return min(offs, default=None)


# Invented bodies: section in the middle of the mount, second section, its position, and widths and heights 9 mm to either
# side, computed by hand (linear between the two sections and beyond).
UNEVEN = {
    "rectangle": (
        'shape = "rounded-rectangle", width = 40.0, height = 20.0, corner = 5.0',
        'shape = "rounded-rectangle", width = 34.0, height = 19.0, corner = 4.0',
        45.0,
        [(41.2, 20.2), (38.8, 19.8)],
    ),
    "ellipse": ('shape = "ellipse", width = 28.0, height = 20.0', 'shape = "ellipse", width = 27.0, height = 17.5', 36.0, [(28.25, 20.625), (27.75, 19.375)]),
    "oval to round": (
        'shape = "rounded-rectangle", width = 26.0, height = 20.0, corner = 9.5',
        'shape = "circle", diameter = 21.0',
        -30.0,
        [(24.5, 20.3), (27.5, 19.7)],
    ),
    "traced": ('shape = "traced", file = "near.svg", unit = "mm"', 'shape = "traced", file = "far.svg", unit = "mm"', 40.0, None),
}
# Closed drawings in mm: a pebble of four corners, and an ellipse.
DRAWINGS = {
    "near.svg": "M -6 -10 L 9 -10 A 5 5 0 0 1 14 -5 L 14 3 A 7 7 0 0 1 7 10 L -10 10 A 4 4 0 0 1 -14 6 L -14 -2 A 8 8 0 0 1 -6 -10 Z",
    "far.svg": "M -13.3 0 A 13.3 9.3 0 0 1 13.3 0 A 13.3 9.3 0 0 1 -13.3 0 Z",
}


def spec_text(name, near, far, at):
    """An invented spec on a body that tapers unevenly."""
    return (
        f'[holder]\nname = "Invented {name}"\n[body]\nprofile = {{ {near} }}\nfar = {{ at = {at}, profile = {{ {far} }} }}\n'
        "spread = 0.02\nmount_length = 18.0\n[[tools]]\nname = \"rod\"\ndiameter = { min = 9.9, max = 10.1 }\n"
        'working_load = { along = "1 N", across = "1 N" }\n[layout]\noffset = 36.0\nstations = [-8.0, 8.0]\nlengths = [7.0, 7.0]\n'
        '[fit]\nload_path = "report"\nsnap_on = { at_most = "90 N" }\nhold = { safety = 1.2 }\n[material]\nprint = "petg"\n[finish]\nchamfer = 0.4\n'
    )


def check_uneven(report, folder, document):
    """Cuts every holder at both ends and in the middle of its mount."""
    mount = document["mount"]
    gap, half = mount["clearance_mm"], 0.5 * mount["length_mm"]
    sections = mount["taper"]["uneven"]["sections"]
    files = {part["name"]: entry["path"] for entry in document["files"] if entry["kind"] == "step" for part in entry["parts"]}
    for holder in document["holders"]:
        title = f"{files[holder['name']]} {holder['name']}"
        reading = kernel.read_step(folder / files[holder["name"]])
        shape = next(product.shape for product in reading.products if product.name == holder["name"])
        oblique = sum(BRepAdaptor_Surface(face, True).GetType() == GeomAbs_SurfaceType.GeomAbs_BSplineSurface for face in kernel.faces(shape))
        report.check(f"{title} has oblique cones", oblique >= 4, f"{oblique} of them")
        for section in sections:
            # At the lower end, which lies on the printer's bed, the seat has a chamfer.
            chamfer = holder["chamfer_mm"] if section["at_mm"] < 0.0 and holder["seat_chamfer_mm"]["mount"] > 0.0 else 0.0
            inside = -math.copysign(INSIDE_MM + chamfer, section["at_mm"]) if abs(section["at_mm"]) >= half - INSIDE_MM else 0.0
            height = section["at_mm"] + inside
            outline = _between(section["outline"], sections[1]["outline"], abs(inside) / half)
            distances = [_outside(point, outline) for point in _cut_points(shape, height)]
            grips = [abs(distance - gap) for distance in distances if abs(distance - gap) < 0.02]
            worst = max(grips, default=math.inf)
            figure = f"{len(grips)} points at {height:.3f} mm off by {worst:.1e} mm"
            report.check(f"{title} seat follows the body at {section['at_mm']:.1f} mm", len(grips) >= 60 and worst <= SECTION_MM, figure)


def _between(outline, other, share):
    """Section at a share of the way between two: lines, centres and radii move evenly, and angles stay."""

    def mix(name, a, b):
        if isinstance(a, list):
            return [(1.0 - share) * x + share * y for x, y in zip(a, b)]
        return (1.0 - share) * a + share * b if name == "radius" else a

    return [{name: mix(name, value, b[name]) for name, value in a.items()} for a, b in zip(outline, other)]


def _cut_points(shape, height):
    """Points along the edges of a section of a shape, in its plane."""
    plane = gp_Pln(gp_Pnt(0.0, 0.0, height), gp_Dir(0.0, 0.0, 1.0))
    cut = BRepAlgoAPI_Section(shape, plane, False)
    cut.Approximation(False)
    cut.Build()
    explorer = TopExp_Explorer(cut.Shape(), TopAbs_ShapeEnum.TopAbs_EDGE)
    while explorer.More():
        curve = BRepAdaptor_Curve(TopoDS.Edge(explorer.Current()))
        first, last = curve.FirstParameter(), curve.LastParameter()
        for k in range(17):
            point = curve.Value(first + (last - first) * k / 16)
            yield point.X(), point.Y()
        explorer.Next()


def _outside(point, outline):
    """Signed distance of a point from a convex outline of lines and arcs; negative inside."""
    nearest = math.inf
    for segment in outline:
        if segment["kind"] == "line":
            (x0, y0), (x1, y1) = segment["start"], segment["end"]
            dx, dy = x1 - x0, y1 - y0
            t = max(0.0, min(1.0, ((point[0] - x0) * dx + (point[1] - y0) * dy) / (dx * dx + dy * dy)))
            away = (point[0] - x0 - t * dx, point[1] - y0 - t * dy)
            side = (point[0] - x0) * dy - (point[1] - y0) * dx
            distance = math.copysign(math.hypot(*away), side)
        else:
            (cx, cy), radius = segment["centre"], segment["radius"]
            turn = (math.atan2(point[1] - cy, point[0] - cx) - segment["start_angle"]) % math.tau
            if turn > segment["sweep"]:
                continue
            distance = math.dist(point, (cx, cy)) - radius
        if abs(distance) < abs(nearest):
            nearest = distance
    return nearest


def check_bodies(report, options, make, check_file):
    """Makes holders for bodies that taper unevenly and compares their sections with figures computed by hand."""
    folder = options.work / "uneven"
    folder.mkdir(parents=True, exist_ok=True)
    for name, path in DRAWINGS.items():
        drawing = f'<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="-20 -15 40 30"><path d="{path}"/></svg>'
        (folder / name).write_text(drawing, encoding="utf-8")
    for name, (near, far, at, sizes) in UNEVEN.items():
        spec = folder / f"{name.replace(' ', '-')}.toml"
        spec.write_text(spec_text(name, near, far, at), encoding="utf-8")
        document = make(report, options.program, spec, folder / spec.stem)
        if document is None:
            continue
        check_uneven(report, folder / spec.stem, document)
        for entry in document["files"]:
            if entry["kind"] == "step" and entry["path"].startswith("holder"):
                check_file(report, folder / spec.stem / entry["path"], entry)
        ends = [section["outline"] for section in document["mount"]["taper"]["uneven"]["sections"][::2]]
        for outline, wanted in zip(ends, sizes or []):
            found = _size(outline)
            off = max(abs(a - b) for a, b in zip(found, wanted))
            report.check(f"{name} is {wanted[0]} x {wanted[1]} mm at an end", off <= 0.005, f"off by {off:.1e} mm")


def _size(outline):
    """Width and height of an outline."""
    points = []
    for segment in outline:
        if segment["kind"] == "line":
            points += [segment["start"], segment["end"]]
        else:
            for k in range(201):
                angle = segment["start_angle"] + segment["sweep"] * k / 200
                points.append([c + segment["radius"] * f(angle) for c, f in zip(segment["centre"], (math.cos, math.sin))])
    return tuple(max(p[i] for p in points) - min(p[i] for p in points) for i in (0, 1))
