"""Recomputes clips under a force and a moment: the same force curves, with SciPy's integration and an own search.

    python check_load_path.py --dump target/release/examples/load_path_dump [--count 200]

The clip is a row of springs along its length, each with the force curve of the contact solver. A load that grows in
proportion is followed through its tilts, and its factor is read where the far end reaches the peak of the curve, and
where the factor is greatest.
"""

import argparse
import json
import subprocess
import sys

import numpy
from scipy.integrate import cumulative_simpson
from scipy.optimize import brentq, minimize_scalar

from report import Report

# Greatest difference between both programs.
SHARE = 0.01
# Springs along the length; where the floor begins within it, their spacing limits the accuracy.
SPRINGS = 8001


def spring(case):
    """Travels of the force curve, and its force per length as a function of travel out of rest."""
    points = {0.0: 0.0}
    points.update({travel: force for travel, force in case["points"] if travel * force > 0.0})
    travels = numpy.array(sorted(points))
    forces = numpy.array([points[t] for t in travels])
    slope = (forces[1] - forces[0]) / (travels[1] - travels[0])
    return travels, forces, lambda w: numpy.interp(w, travels, forces, right=0.0) + slope * numpy.minimum(w - travels[0], 0.0)


def load(force_at, length, middle, tilt):
    """Force and moment about the middle for a travel at the middle and a tilt."""
    z = numpy.linspace(-0.5 * length, 0.5 * length, SPRINGS)
    p = force_at(middle + tilt * z)
    return cumulative_simpson(p, x=z)[-1], cumulative_simpson(p * z, x=z)[-1]


def factor_at(case, force_at, far):
    """Factor of the load at which the far end has a travel; None if it never has."""
    length, force, moment = case["length_mm"], case["force_n"], abs(case["moment_nmm"])

    def side(tilt):
        found = load(force_at, length, far - 0.5 * tilt * length, tilt)
        return found[0] * moment - found[1] * force

    # Tilts from even to far beyond what the floor allows, finer at the beginning.
    tilts = numpy.concatenate([[0.0], numpy.geomspace(1e-5, 1e3, 160)])
    last = side(tilts[0])
    for low, high in zip(tilts, tilts[1:]):
        value = side(high)
        if value <= 0.0:
            tilt = brentq(side, low, high, xtol=1e-14) if last > 0.0 else low
            found = load(force_at, length, far - 0.5 * tilt * length, tilt)
            size = numpy.hypot(force, moment / length)
            factor = (found[0] * force + found[1] * moment / length**2) / size**2
            return factor if factor > 0.0 else None
        last = value
    return None


def greatest(case, force_at, peak, end):
    """Greatest factor over the travels of the far end from the peak on."""
    travels = numpy.linspace(peak, end, 25)
    factors = [factor_at(case, force_at, far) or 0.0 for far in travels]
    best = int(numpy.argmax(factors))
    if 0 < best < len(travels) - 1:
        refined = minimize_scalar(
            lambda far: -(factor_at(case, force_at, far) or 0.0),
            bounds=(travels[best - 1], travels[best + 1]),
            method="bounded",
            options={"xatol": 1e-3 * (end - peak)},
        )
        return max(factors[best], -refined.fun)
    return factors[best]


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--dump", required=True)
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--greatest", type=int, default=20, help="cases whose greatest factor is searched as well")
    arguments = parser.parse_args()
    dump = json.loads(subprocess.run([arguments.dump, str(arguments.count)], capture_output=True, check=True).stdout)
    report = Report()
    worst, pressed = {"peels": 0.0, "lets_go": 0.0}, 0
    for number, case in enumerate(dump["cases"]):
        travels, forces, force_at = spring(case)
        peak = travels[numpy.argmax(forces)]
        wanted = factor_at(case, force_at, peak)
        found = case["peels"]
        if wanted is None or found is None:
            pressed += 1
            report.check(f"case {number} only presses", wanted is None and found is None, f"{found} against {wanted}")
            continue
        off = abs(found / wanted - 1.0)
        worst["peels"] = max(worst["peels"], off)
        report.check(f"case {number} peels", off < SHARE, f"{found:.5g} against {wanted:.5g}")
        if number < arguments.greatest:
            wanted = greatest(case, force_at, peak, travels[-1])
            off = abs(case["lets_go"] / wanted - 1.0)
            worst["lets_go"] = max(worst["lets_go"], off)
            report.check(f"case {number} lets go", off < SHARE, f"{case['lets_go']:.5g} against {wanted:.5g}")
    figures = f"peeling {100 * worst['peels']:.3f} %, letting go {100 * worst['lets_go']:.3f} %"
    report.check("enough cases peel", len(dump["cases"]) - pressed > 0.8 * len(dump["cases"]), f"{pressed} only press; {figures}")
    return report.finish()


if __name__ == "__main__":
    sys.exit(main())
