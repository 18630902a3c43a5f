"""Measures engraved identities on the triangles of the plates with a 2D polygon library (shapely). Strokes must be at
least 0.6 mm wide and 0.4 mm deep, with sufficient walls to edges, to each other and to the opposite side."""

import itertools

import numpy as np
import shapely

import check_three_mf

# Least width and depth that a person can read and a printer can make: the project's own requirement.
STROKE_MM = 0.6
DEPTH_MM = 0.4
# Walls between strokes: one line of a common nozzle, the project's own requirement (`crates/solid/src/letters.rs`).
BETWEEN_MM = 0.4
# Chord error of the triangles, which turn round ends into polygons, with the rounding of single precision.
CHORD_MM = 0.01
FLAT_MM = 1e-4
# Tolerance when a disc of the stroke's width rolls along its outline, mm: chords form corners at the round ends.
UNREACHED_MM = 0.03


def check_file(report, path, entry):
    """Checks all coupons of one plate; prints the worst value of each figure."""
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
    """Measures one coupon, mm."""
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
    # Opening by a disc of the least width: places that it does not reach are narrower.
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
    """Union of flat triangles, without the slivers that single precision leaves between neighbours."""
    flat = shapely.set_precision(shapely.polygons(corners[:, :, :2]), 1e-4)
    return shapely.union_all(flat, grid_size=1e-4)
