"""Checks STEP files with an independent kernel: no message, validity, names, volume, surfaces, seat, draft."""

import math

import kernel

# Permitted kinds of surfaces.
PLAIN_SURFACES = {"plane", "cylinder", "cone"}
# Relative tolerance between two exact integrations of a volume.
VOLUME_SHARE = 1e-6
CENTROID_MM = 1e-6
# The seat is written as sized: the tolerance covers the rounding of one division and one multiplication.
SEAT_MM = 1e-9
DRAFT_DEG = 0.01
# A taper is the arc tangent of a written number: the tolerance covers rounding.
TAPER_DEG = 1e-6
# Faces whose tolerance the kernel enlarged beyond the file's own uncertainty do not fit together.
TOLERANCE_MM = 1.001e-6
# Side faces are steeper than this; chamfers, caps and floors are flatter.
SIDE_DEG = 25.0
# A short web between pads of very different length has steep ends: two caps and their four chamfers, all plane.
STEEP_WEB_FACES = 6


def check_file(report, path, entry):
    """Compares one file with its entry in the program's list of files."""
    reading = kernel.read_step(path)
    name = path.name
    report.check(f"{name} reads without a word", not reading.messages, "; ".join(reading.messages[:3]) or "silent")
    wanted = [part["name"] for part in entry["parts"]]
    found = [product.name for product in reading.products]
    report.check(f"{name} names its parts", sorted(found) == sorted(wanted), f"{len(found)} of {len(wanted)}: {found[:4]}")
    counts = [len(kernel.solids(product.shape)) for product in reading.products]
    report.check(f"{name} holds one solid per part", counts == [1] * len(wanted), f"{sum(counts)} solids")
    shapes = {product.name: product.shape for product in reading.products}
    for part in entry["parts"]:
        if part["name"] in shapes:
            check_part(report, name, part, shapes[part["name"]])


def check_part(report, file_name, part, shape):
    """Checks one solid."""
    title = f"{file_name} {part['name']}"
    valid = kernel.is_valid(shape)
    tolerance = kernel.greatest_tolerance(shape)
    report.check(f"{title} is valid", valid and tolerance <= TOLERANCE_MM, f"greatest gap {tolerance:.1e} mm")
    _check_mass(report, title, part, shape)
    # The seat has its radius in the parting plane, or in the middle of a drafted clip beside that plane.
    parting = part.get("seat_height_mm", part.get("parting_plane_mm", 0.0))
    axis = tuple(part.get("seat_axis", (0.0, 0.0, 1.0)))
    facts = [kernel.face_facts(face, parting, axis) for face in kernel.faces(shape)]
    kinds = sorted({fact.kind for fact in facts})
    # An oblique cone has no entity of its own in STEP.
    allowed = PLAIN_SURFACES | ({"bsplinesurface"} if part.get("tapers_unevenly") else set())
    report.check(f"{title} has plain surfaces", set(kinds) <= allowed, f"{len(facts)} faces: {', '.join(kinds)}")
    _check_seat(report, title, part, facts)
    _check_draft(report, title, part, facts)


def _check_mass(report, title, part, shape):
    volume, centroid = kernel.volume(shape)
    share = abs(volume / part["volume_mm3"] - 1.0)
    report.check(f"{title} volume", share <= VOLUME_SHARE, f"{volume:.6f} mm3, off by {share:.1e}")
    if "centroid_mm" in part:
        distance = math.dist(centroid, part["centroid_mm"])
        report.check(f"{title} centroid", distance <= CENTROID_MM, f"off by {distance:.1e} mm")
    if "area_mm2" in part:
        share = abs(kernel.area(shape) / part["area_mm2"] - 1.0)
        report.check(f"{title} area", share <= VOLUME_SHARE, f"off by {share:.1e}")


def _check_seat(report, title, part, facts):
    """Checks that the seat is a cylinder or cone along the tool's axis with the sized radius in the parting plane."""
    seat = part.get("seat_radius_mm")
    if seat is None:
        return
    radii = [fact.radius_mm for fact in facts if fact.about_axis and not math.isnan(fact.radius_mm)]
    off = min((abs(radius - seat) for radius in radii), default=math.inf)
    report.check(f"{title} seat radius {seat}", off <= SEAT_MM, f"nearest is off by {off:.1e} mm")


def _check_draft(report, title, part, facts):
    """Checks that every side face is upright or inclined by the draft; with draft, some must be inclined."""
    draft = part.get("draft_deg")
    if draft is None:
        return
    taper = part.get("taper_deg", 0.0)
    if part.get("tapers_unevenly"):
        # Its faces follow the sides of the body, each by its own angle: check_taper compares them with the body's sections.
        return
    if taper > 0.0:
        _check_taper(report, title, taper, facts)
    # A web that is extruded across has fillets and chamfers about x; such parts have no draft, and their clips may lean.
    if part.get("web_across") and draft <= DRAFT_DEG:
        strange = [fact for fact in facts if fact.kind != "plane" and not (fact.about_axis or fact.about_z or fact.about_x)]
        report.check(f"{title} has round faces about its axes alone", not strange, f"{len(strange)} about others")
        return
    plain = [fact for fact in facts if fact.kind in PLAIN_SURFACES]
    leaning = [fact.tilt_deg for fact in plain if abs(fact.tilt_deg - draft) <= DRAFT_DEG and draft > DRAFT_DEG]
    strangers = [fact for fact in plain if not _is_expected(fact.tilt_deg, draft, taper)]
    only_web = len(strangers) <= STEEP_WEB_FACES and all(fact.kind == "plane" for fact in strangers)
    worst = max((abs(tilt - draft) for tilt in leaning), default=0.0)
    holds = only_web and (bool(leaning) or draft <= DRAFT_DEG)
    figure = f"{len(leaning)} faces lean {draft} deg, off by {worst:.1e} deg; {len(strangers)} lean otherwise"
    report.check(f"{title} draft", holds, figure)


def _check_taper(report, title, taper, facts):
    """Checks that cones along the axis and planes have the taper of the body, to rounding."""
    cones = [fact for fact in facts if fact.kind == "cone" and fact.about_z and fact.tilt_deg < SIDE_DEG]
    off = max((abs(fact.tilt_deg - taper) for fact in cones), default=math.inf)
    report.check(f"{title} seat tapers by {taper:.4f} deg", off <= TAPER_DEG, f"{len(cones)} cones, off by {off:.1e} deg")


def _is_expected(tilt, draft, taper):
    return tilt > SIDE_DEG or any(abs(tilt - angle) <= DRAFT_DEG for angle in (0.0, draft, taper))
