"""How far a tensioned wire gives under three points, by finite elements: writes expected.csv.

    python make_expected.py [DIRECTORY]

A round wire of 280 mm (600 mm up to 500 N, so that its ends lie far enough off) with pinned ends is cut
into Euler-Bernoulli elements with the consistent geometric stiffness of its tension. +F acts in the middle,
-F/2 at 50 mm to either side; the answer is the middle's deflection against the two places.
"""

import csv
import math
import sys
from pathlib import Path

import numpy as np
from scipy.linalg import solveh_banded

MODULUS = 193e9  # Pa
HALF_SPAN = 0.050  # m
LOAD = 10.0  # N
ELEMENT = 0.25e-3  # m
CASES = [(2.0, 500), (2.0, 1000), (2.0, 1500), (1.8, 1000), (1.5, 500), (1.5, 1000), (1.5, 1500), (2.0, 100),
         (1.2, 2500)]


def deflection(diameter, tension):
    """Deflection in metres."""
    bending = MODULUS * math.pi * diameter**4 / 64
    half = 0.3 if tension <= 500 else 0.14
    count = 2 * round(half / ELEMENT)
    h = 2 * half / count
    bend = bending / h**3 * np.array([[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                                      [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]])
    string = tension / (30 * h) * np.array([[36, 3 * h, -36, 3 * h], [3 * h, 4 * h * h, -3 * h, -h * h],
                                            [-36, -3 * h, 36, -3 * h], [3 * h, -h * h, -3 * h, 4 * h * h]])
    element = bend + string
    size = 2 * (count + 1)
    band = np.zeros((4, size))  # upper form
    for first in range(0, 2 * count, 2):
        for row in range(4):
            for column in range(row, 4):
                band[3 + row - column, first + column] += element[row, column]
    for end in (0, size - 2):  # pinned
        band[3, end] += 1e6 * band[3].max()
    middle = count // 2
    step = round(HALF_SPAN / h)
    load = np.zeros(size)
    load[2 * middle] = LOAD
    for place in (middle - step, middle + step):
        load[2 * place] -= LOAD / 2
    moved = solveh_banded(band, load)
    return moved[2 * middle] - (moved[2 * (middle - step)] + moved[2 * (middle + step)]) / 2


def main():
    place = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    with open(place / "expected.csv", "w", newline="") as out:
        rows = csv.writer(out, lineterminator="\n")
        rows.writerow(["wire_mm", "tension_n", "bending_n_m2", "deflection_mm"])
        for wire_mm, tension in CASES:
            bending = MODULUS * math.pi * (wire_mm * 1e-3)**4 / 64
            rows.writerow([wire_mm, tension, repr(bending), f"{deflection(wire_mm * 1e-3, tension) * 1e3:.9g}"])


if __name__ == "__main__":
    main()
