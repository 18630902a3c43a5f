"""Draws the invented section of the magnifier's arm, once as DXF and once as SVG, beside this script.

    python draw.py

An egg of two circles and their common tangents: radius 13 mm about (0, -4) and 8 mm about (0, 9). The centres are 13 mm
apart and the radii differ by 5 mm, so that the tangents touch at the directions (12, 5)/13 and (-12, 5)/13.
"""

import math
from pathlib import Path

LARGE, SMALL = (0.0, -4.0, 13.0), (0.0, 9.0, 8.0)
ANGLE = math.degrees(math.atan2(5.0, 12.0))


def touch(circle, side):
    """Where the tangent on a side touches a circle."""
    x, y, radius = circle
    return (x + side * radius * 12.0 / 13.0, y + radius * 5.0 / 13.0)


def dxf():
    """Two arcs and two lines, millimetres."""

    def arc(circle, start, end):
        x, y, radius = circle
        return ["0", "ARC", "8", "0", "10", x, "20", y, "30", 0.0, "40", radius, "50", start, "51", end]

    def line(a, b):
        return ["0", "LINE", "8", "0", "10", a[0], "20", a[1], "30", 0.0, "11", b[0], "21", b[1], "31", 0.0]

    pairs = ["0", "SECTION", "2", "HEADER", "9", "$ACADVER", "1", "AC1009", "9", "$INSUNITS", "70", "4", "0", "ENDSEC"]
    pairs += ["0", "SECTION", "2", "ENTITIES"]
    pairs += arc(LARGE, 180.0 - ANGLE, ANGLE) + line(touch(LARGE, 1.0), touch(SMALL, 1.0))
    pairs += arc(SMALL, ANGLE, 180.0 - ANGLE) + line(touch(LARGE, -1.0), touch(SMALL, -1.0))
    pairs += ["0", "ENDSEC", "0", "EOF"]
    return "".join(f"{p:.9f}\n" if isinstance(p, float) else f"{p}\n" for p in pairs)


def svg():
    """One path in tenths of millimetres, y downward, inside a group that scales it."""

    def at(point):
        return f"{10.0 * point[0]:.7f} {-10.0 * point[1]:.7f}"

    large, small = 10.0 * LARGE[2], 10.0 * SMALL[2]
    data = f"M {at(touch(LARGE, 1.0))} L {at(touch(SMALL, 1.0))} A {small} {small} 0 0 0 {at(touch(SMALL, -1.0))} "
    data += f"L {at(touch(LARGE, -1.0))} A {large} {large} 0 1 0 {at(touch(LARGE, 1.0))} Z"
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="-20 -20 40 40">'
    style = 'fill="none" stroke="black" stroke-width="2"'
    return f'{head}\n  <g transform="scale(0.1)">\n    <path {style} d="{data}"/>\n  </g>\n</svg>\n'


def main():
    """Entry point."""
    folder = Path(__file__).parent
    (folder / "magnifier-arm.dxf").write_text(dxf())
    (folder / "magnifier-arm.svg").write_text(svg())


if __name__ == "__main__":
    main()
