"""Engraved identities, measured on the triangles of the plates with a 2D polygon library (shapely): strokes at least
0.6 mm wide and 0.4 mm deep, never so near to an edge, to each other or to the far side that a wall gets too thin."""

import itertools

import numpy as np
import shapely

import check_three_mf

# What a person can read and a printer can draw: the project's own claim, of its issue on legibility.
STROKE_MM = 0.6
DEPTH_MM = 0.4
# Walls between strokes: one line of a common nozzle, the project's own claim (`solid/letters.rs`).
BETWEEN_MM = 0.4
# Greatest distance of the triangles from the surface, which makes round ends into polygons, and of coordinates read back
# in single precision.
CHORD_MM = 0.01
FLAT_MM = 1e-4
# How far a disc as wide as the stroke may stay off its outline, mm: chords make corners of the round ends.
UNREACHED_MM = 0.03


def check_file(report, path, entry):
    """All coupons of one plate; one line for each kind of figure, with the worst of it."""
    model, _ = check_three_mf.read(path)
    objects, worst = model.GetMeshObjects(), []
    while objects.MoveNext():
        mesh = objects.GetCurrentMeshObject()
        worst.append((mesh.GetName(), measure(*check_three_mf.arrays(mesh))))
    name, wall = path.name, entry["least_wall_mm"]
    least = lambda key: min((figures[key], coupon) for coupon, figures in worst)
    claims = [
        ("unreached", "strokes let a disc of 0.6 mm pass everywhere", -UNREACHED_MM, "mm"),
        ("depth", "strokes are deep", DEPTH_MM - FLAT_MM, "mm"),
        ("between", "strokes stay apart", BETWEEN_MM - CHORD_MM, "mm"),
        ("edge", "a wall stays round the strokes", wall - CHORD_MM, "mm"),
        ("below", "a wall stays under the strokes", wall - FLAT_MM, "mm"),
    ]
    for key, claim, bound, unit in claims:
        figure, coupon = least(key)
        report.check(f"{name} {claim}", figure >= bound, f"least {figure:.3f} {unit} ({coupon})")
    missing = [coupon for coupon, figures in worst if figures["strokes"] < 4]
    report.check(f"{name} every coupon carries its identity", not missing, f"{missing or len(worst)}")


def measure(vertices, triangles):
    """Figures of one coupon, mm."""
    corners = vertices[triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    height = corners[:, :, 2]
    up = (np.ptp(height, axis=1) < FLAT_MM) & (normal[:, 2] > 0.0)
    top = vertices[:, 2].max()
    cap = union(corners[up & (abs(height[:, 0] - top) < FLAT_MM)])
    strokes = [shapely.Polygon(ring) for part in shapely.get_parts(cap) for ring in part.interiors]
    edge = shapely.MultiLineString([part.exterior for part in shapely.get_parts(cap)])
    floors = corners[up & (height[:, 0] < top - FLAT_MM)]
    middles = shapely.points(floors[:, :, :2].mean(axis=1))
    levels = [floors[shapely.contains(stroke, middles)][:, 0, 2] for stroke in strokes]
    deepest = min((level.min() for level in levels if len(level)), default=-np.inf)
    shallowest = max((level.max() for level in levels if len(level)), default=np.inf)
    floored = all(len(level) for level in levels)
    half = 0.5 * STROKE_MM - CHORD_MM
    # A disc of the width, rolled inside: what it does not reach is narrower than it.
    opened = [stroke.buffer(-half, quad_segs=32).buffer(half, quad_segs=32) for stroke in strokes]
    unreached = [stroke.hausdorff_distance(disc) if not disc.is_empty else np.inf for stroke, disc in zip(strokes, opened)]
    return {
        "strokes": len(strokes),
        "unreached": -max(unreached, default=np.inf),
        "depth": top - shallowest if floored else -np.inf,
        "between": min((a.distance(b) for a, b in itertools.combinations(strokes, 2)), default=np.inf),
        "edge": min((stroke.distance(edge) for stroke in strokes), default=-np.inf),
        "below": deepest - vertices[:, 2].min(),
    }


def union(corners):
    """The area of flat triangles, without the slivers between neighbours that single precision leaves."""
    flat = shapely.set_precision(shapely.polygons(corners[:, :, :2]), 1e-4)
    return shapely.union_all(flat, grid_size=1e-4)
