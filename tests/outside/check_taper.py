"""The seat of a mount on a body that tapers, as an independent kernel reads it: it follows the body at both ends.

The body's outline at the middle of the mount and its slope stand in the program's document; here the outline is moved
along the body and compared with the radii of the seat's cones at both ends of the mount.
"""

import math

import kernel
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_SurfaceType

# What two ways to the same radius may differ by.
RADIUS_MM = 1e-6
# Axes this near to each other are one axis.
AXIS_MM = 1e-6


def check_seats(report, folder, document):
    """Compares the cones of every holder's mount with the body of the document."""
    mount, body = document["mount"], document.get("body")
    if not mount.get("taper") or not body:
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
        # Lips taper as the seat does and lie about axes of their own.
        lips = len(found) - len(on_arcs)
        worst = max(on_arcs, default=math.inf)
        figure = f"{len(on_arcs)} cones off by {worst:.1e} mm, {lips} of lips"
        report.check(f"{title} seat follows the body to both ends", worst <= RADIUS_MM and len(on_arcs) >= 4, figure)


def _cones(shape, taper_deg):
    """Axis and radius by height of the cones along z that lean by the taper."""
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
    """How far the cone is off the arc of the body about whose axis it lies, at the worse end; none for other cones."""
    (x, y), radius, growth = cone
    offs = []
    for arc in arcs:
        if math.dist((x, y), arc["centre"]) > AXIS_MM:
            continue
        ends = [abs(radius + growth * z - (arc["radius"] + gap - slope * z)) for z in (-half, half)]
        offs.append(max(ends))
    return min(offs, default=None)
