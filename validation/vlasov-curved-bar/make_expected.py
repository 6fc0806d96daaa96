"""A wheel whose rim warps about an offset shear centre, by Vlasov's curved bar: writes expected.csv.

    python make_expected.py [DIRECTORY]

Small displacements, no tension. The bar's unknowns are those of its shear-centre line (radius R + y): shifts u outward,
v along, w to the right, spins o1, o2, o3 about the same axes, the rate of twist k2, and what is conjugate to them by
virtual work. Between the seats the equations are those of the energy

    1/2 int (EA e^2 + EIp k3^2 + EIl k1^2 + GJ k2^2 + ECw k2'^2) R da

under du/da = v - R o3, dv/da = R e - u, dw/da = (R + y) o1, do1/da = o2 + R k1, do2/da = R k2 - o1, do3/da = R k3.
Each arc carries its start to its end by scipy's matrix exponential; all arcs are closed round the wheel at once.
"""

import csv
import sys
from pathlib import Path

import numpy as np
from scipy.linalg import expm

RADIUS = 0.3  # m, centroid
AXIAL, IN_PLANE, LATERAL, TORSION = 8e6, 200.0, 180.0, 12.0  # N, N m2
SPOKES = 12
HUB_RADIUS, HUB_OFFSET, SWING = 0.022, 0.03, 0.6  # m, m, rad; sides in turn, right first, forward then back
SEAT_RADIUS, SEAT_OFFSET = 0.291, -0.002  # m
SPOKE_AXIAL = 4e5  # N
CASES = {  # warping N m4, shear centre outward m
    "warping": (0.05, 0.0),
    "shear-centre": (0.0, 0.012),
    "both": (0.05, 0.012),
    "inward": (0.5, -0.01),
}
LOADS = {"lateral": (0.0, 0.0, 1.0), "radial": (-1.0, 0.0, 0.0), "tangential": (0.0, 1.0, 0.0)}
ARC = 2 * np.pi / SPOKES


def spoke(place):
    """Pull of a seat's movement on a spoke's length per unknown (u, v, w, o1, o2, o3) at the centroid, and its rate."""
    angle = ARC * place
    side = 1 if place % 2 == 0 else -1
    hub_angle = angle + (SWING if place // 2 % 2 == 0 else -SWING)
    hub = np.array([HUB_RADIUS * np.cos(hub_angle), HUB_RADIUS * np.sin(hub_angle), side * HUB_OFFSET])
    axes = np.array([[np.cos(angle), np.sin(angle), 0], [-np.sin(angle), np.cos(angle), 0], [0, 0, 1]])
    bar = np.array([SEAT_RADIUS, 0, SEAT_OFFSET]) - axes @ hub
    length = np.linalg.norm(bar)
    along = bar / length
    arm = np.array([SEAT_RADIUS - RADIUS, 0, SEAT_OFFSET])
    return np.concatenate([along, np.cross(arm, along)]), SPOKE_AXIAL / length


def field(warping, beside):
    """The matrix of one arc's equations, per share of the arc."""
    u, v, w, o1, o2, o3, q, n, s, m1, m2, m3, k2, b = range(14)
    size = 14 if warping else 12
    matrix = np.zeros((14, 14))
    matrix[u, [v, o3]] = 1, -RADIUS
    matrix[v, [n, u]] = RADIUS / AXIAL, -1
    matrix[w, o1] = RADIUS + beside
    matrix[o1, [o2, m1]] = 1, RADIUS / LATERAL
    matrix[o2, o1] = -1
    matrix[o3, m3] = RADIUS / IN_PLANE
    matrix[q, n] = 1
    matrix[n, q] = -1
    matrix[m1, [m2, s]] = 1, -(RADIUS + beside)
    matrix[m2, m1] = -1
    matrix[m3, q] = RADIUS
    if warping:
        matrix[o2, k2] = RADIUS
        matrix[k2, b] = RADIUS / warping
        matrix[b, [k2, m2]] = RADIUS * TORSION, -RADIUS
    else:
        matrix[o2, m2] = RADIUS / TORSION
    return ARC * matrix[:size, :size]


def solved(warping, beside, load):
    """The unknowns at all seats and the changes of tension, per newton."""
    arc = expm(field(warping, beside))
    size = len(arc)
    # What the shear centre's unknowns move of the centroid: w + y o2.
    to_centroid = np.eye(6)
    to_centroid[2, 4] = beside
    whole = np.zeros((size * SPOKES, size * SPOKES))
    side = np.zeros(size * SPOKES)
    bars = []
    for place in range(SPOKES):
        first, last = size * place, size * ((place - 1) % SPOKES)
        whole[first : first + size, first : first + size] += np.eye(size)
        whole[first : first + size, last : last + size] -= arc
        reach, rate = spoke(place)
        pull = to_centroid.T @ reach
        bars.append((pull, rate))
        # The jump of the forces is minus the load: the spoke's is -rate (pull . q) pull.
        whole[first + 6 : first + 12, first : first + 6] -= rate * np.outer(pull, pull)
    side[6:12] = -to_centroid.T @ np.concatenate([np.array(load), np.zeros(3)])
    seats = np.linalg.solve(whole, side).reshape(SPOKES, size)
    shifts = seats[:, :6] @ to_centroid.T
    return shifts, [rate * pull @ seats[place, :6] for place, (pull, rate) in enumerate(bars)]


def main():
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    with open(folder / "expected.csv", "w", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["case", "warping_n_m4", "shear_centre_m", "load", "quantity", "spoke", "value"])
        for case, (warping, beside) in CASES.items():
            for load, force in LOADS.items():
                shifts, tensions = solved(warping, beside, force)
                shift = {"lateral": shifts[0, 2], "radial": -shifts[0, 0], "tangential": shifts[0, 1]}[load]
                head = [case, warping, beside, load]
                writer.writerow([*head, "stiffness_n_per_mm", 1, f"{1e-3 / shift:.9g}"])
                for place, tension in enumerate(tensions):
                    writer.writerow([*head, "tension_change_n_per_n", place + 1, f"{tension:.9g}"])


if __name__ == "__main__":
    main()
