"""Checks the arrangement of coupons on plates with an independent 2D polygon library (shapely): no overlap, no coupon
outside the bed, and sufficient gaps between neighbours and to the edges.

    python check_plates.py --dump target/release/examples/plate_dump --count 200
"""

import argparse
import collections
import json
import subprocess
import sys
from pathlib import Path

import shapely

from report import Report

# The project's own requirements (`crates/sizing/src/coupons/plates.rs`): gaps between neighbours and along the edges, mm.
GAP_MM = 3.0
EDGE_MM = 5.0
ROUNDING_MM = 1e-9


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--dump", type=Path, required=True)
    parser.add_argument("--count", type=int, default=200)
    options = parser.parse_args()
    report = Report()
    command = [options.dump.resolve(), str(options.count)]
    families = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
    check_families(report, families, options.count)
    sys.exit(report.finish())


def check_families(report, families, count):
    """Checks each requirement over all families."""
    worst = collections.defaultdict(lambda: (float("inf"), "none"))
    faults, plates, coupons = [], 0, 0
    for family in families:
        name = f"seed {family['seed']}"
        bed = shapely.box(0.0, 0.0, *family["bed_mm"])
        seen = [item["coupon"] for plate in family["plates"] for item in plate]
        if sorted(seen) != sorted(set(seen)) or len(seen) != family["coupons"] or not all(family["plates"]):
            faults.append(name)
        for plate in family["plates"]:
            shapes = [shapely.Polygon(item["outline_mm"]) for item in plate]
            if not all(shape.is_valid and shape.area > 0.0 for shape in shapes):
                faults.append(name)
            note(worst, "edge", min(shape.distance(bed.exterior) if bed.covers(shape) else -1.0 for shape in shapes), name)
            note(worst, "gap", least_gap(shapes), name)
            plates, coupons = plates + 1, coupons + len(shapes)
    # Chords of concave arcs lie outside the true outline, by at most their error on both sides.
    slack = 2.0 * max((family["chord_mm"] for family in families), default=0.0) + ROUNDING_MM
    several = sum(len(family["plates"]) > 1 for family in families)
    report.check("random families were made", len(families) == count, f"{len(families)} of {count}, {coupons} coupons on {plates} plates")
    report.check("some need several plates", several > 0, f"{several}")
    report.check("every coupon lies on one plate and has a sound outline", not faults, f"{faults or 'all'}")
    report.check("no coupon leaves the bed or its edge", worst["edge"][0] >= EDGE_MM - slack, f"least {worst['edge']}")
    report.check("no coupon overlaps or crowds another", worst["gap"][0] >= GAP_MM - slack, f"least {worst['gap']}")


def least_gap(shapes):
    """Least distance between two shapes; -1 if they overlap."""
    tree = shapely.STRtree(shapes)
    least = float("inf")
    for index, shape in enumerate(shapes):
        for other in tree.query(shape, predicate="dwithin", distance=4.0 * GAP_MM):
            if other > index:
                distance = shape.distance(shapes[other])
                least = min(least, distance if distance > 0.0 else -1.0)
    return least


def note(worst, key, figure, name):
    """Keeps the least value with the name of its family."""
    if figure < worst[key][0]:
        worst[key] = (figure, name)


if __name__ == "__main__":
    main()
