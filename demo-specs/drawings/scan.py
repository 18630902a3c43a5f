"""Makes the invented scan of a hot-air pencil's grip as a binary STL, beside this script.

    python scan.py

The section is pear-shaped and shrinks evenly along z. Its support function, the distance of the tangent from the axis in the
direction a, is 13.5 + 1.3 cos 2a - 0.6 sin 3a - 0.021 z mm: no circle, ellipse, rounded rectangle or flatted bar. Every
point is off by noise of 0.015 mm (standard deviation) along the normal, as a good hand-held scanner is; the seed is fixed.
"""

import math
import random
import struct
from pathlib import Path

AROUND, RINGS, LENGTH_MM = 96, 22, 72.0
SLOPE, NOISE_MM = 0.021, 0.015


def point(angle, height, noise):
    """Point of the surface whose normal has the given direction."""
    support = 13.5 + 1.3 * math.cos(2.0 * angle) - 0.6 * math.sin(3.0 * angle) - SLOPE * height + noise
    turned = -2.6 * math.sin(2.0 * angle) - 1.8 * math.cos(3.0 * angle)
    cos, sin = math.cos(angle), math.sin(angle)
    return (support * cos - turned * sin, support * sin + turned * cos, height)


def triangles():
    """Sides from ring to ring, and a fan on either end."""
    dice = random.Random(4)
    rings = []
    for ring in range(RINGS + 1):
        height = LENGTH_MM * ring / RINGS
        places = range(AROUND)
        rings.append([point(2.0 * math.pi * i / AROUND, height, dice.gauss(0.0, NOISE_MM)) for i in places])
    for low, high in zip(rings, rings[1:]):
        for i in range(AROUND):
            j = (i + 1) % AROUND
            yield (low[i], low[j], high[j])
            yield (low[i], high[j], high[i])
    for i in range(AROUND):
        j = (i + 1) % AROUND
        yield (rings[0][j], rings[0][i], (0.0, 0.0, 0.0))
        yield (rings[-1][i], rings[-1][j], (0.0, 0.0, LENGTH_MM))


def main():
    """Entry point."""
    listed = list(triangles())
    head = b"invented grip of a hot-air pencil, mm".ljust(80) + struct.pack("<I", len(listed))
    body = b"".join(struct.pack("<12fH", 0.0, 0.0, 0.0, *(c for p in t for c in p), 0) for t in listed)
    (Path(__file__).parent / "hot-air-grip.stl").write_bytes(head + body)


if __name__ == "__main__":
    main()
