"""Checks the tool's axis of each holder with an independent kernel: inclination, position and stations."""

import math

import kernel

# Tolerances of the axis and of the tool's tip of a pitched holder.
ANGLE_DEG = 0.001
POINT_MM = 0.001
SEAT_MM = 1e-9


def check_holders(report, folder, document):
    """Compares every holder's seats with the tool's axis in the program's document."""
    sizes = {size["size"]: size for size in document["sizes"]}
    files = {part["name"]: entry["path"] for entry in document["files"] if entry["kind"] == "step" for part in entry["parts"]}
    for holder in document["holders"]:
        path = folder / files[holder["name"]]
        title = f"{path.name} {holder['name']}"
        drafted = holder["draft_rad"] > 0.0 and holder["gripping_faces"] == "drafted"
        if drafted or sizes[holder["size"]].get("form", "round") != "round":
            report.skip(f"{title} axis", "its seat is no cylinder")
            continue
        shape = next(product.shape for product in kernel.read_step(path).products if product.name == holder["name"])
        _check(report, title, holder, shape, sizes[holder["size"]]["seat_radius_mm"])


def _check(report, title, holder, shape, seat_mm):
    axis = holder["tool_axis"]
    stations = holder["stations"]
    pitch = math.radians(axis["pitch_deg"])
    direction = (0.0, math.sin(pitch), math.cos(pitch))
    # Cylinders of the seat's radius with their axis in the plane of symmetry, the best aligned first.
    seats = sorted(
        (math.degrees(_angle(turned, direction)), point, turned)
        for radius, point, turned in kernel.cylinders(shape)
        if abs(radius - seat_mm) <= SEAT_MM and abs(point[0]) <= POINT_MM and abs(turned[0]) <= 1e-9
    )[: len(stations)]
    angle = max((seat[0] for seat in seats), default=math.inf)
    holds = len(seats) == len(stations) and angle <= ANGLE_DEG
    figure = f"{len(seats)} seats for {len(stations)} stations, off by {angle:.1e} deg"
    report.check(f"{title} leans {axis['pitch_deg']:.3f} deg", holds, figure)
    # The spec states the tip's position along the axis, from the point above the mount's middle.
    points = {"axis": (0.0, 0.0, 0.0), "tip": axis["tip_mm"], "stop": axis["stop_mm"]}
    points["axis"] = (0.0, holder["offset_mm"], 0.0)
    for name, point in points.items():
        if point is not None:
            off = max((_distance(point, seat[1], seat[2]) for seat in seats), default=math.inf)
            report.check(f"{title} {name} lies on the axis of its seats", off <= POINT_MM, f"off by {off:.1e} mm")
    for station in stations:
        along = station["at_mm"]
        wanted = tuple(p + along * d for p, d in zip((0.0, holder["offset_mm"], 0.0), direction))
        off = math.dist(wanted, station["middle_mm"])
        report.check(f"{title} station {along} mm", off <= POINT_MM, f"off by {off:.1e} mm")


def _angle(a, b):
    cross = (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
    angle = math.atan2(math.hypot(*cross), sum(x * y for x, y in zip(a, b)))
    return min(angle, math.pi - angle)


def _distance(point, through, direction):
    offset = tuple(p - q for p, q in zip(point, through))
    along = sum(o * d for o, d in zip(offset, direction))
    return math.hypot(*(o - along * d for o, d in zip(offset, direction)))
