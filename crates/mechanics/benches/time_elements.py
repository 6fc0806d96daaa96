"""The time of two general-purpose finite-element codes for one wheel of 32 spokes, beside the time that criterion
has just measured for the project's own model of the same wheel (the group "32 spokes" of structure.rs).

    python time_elements.py TARGET/criterion

The wheel is `dished` of validation/wheels-by-finite-elements, in the pieces of at most 1 degree that the committed
values were made with (buckling: 3 degrees). What is counted is in favour of the codes: their tangent is ready and
only factored and solved for influence and stiffness, and making the stressed state is left out of everything but
buckling, which finds its equilibria on the way.
"""

import json
import math
import sys
import time
from pathlib import Path

import numpy as np
from scipy.sparse.linalg import splu

sys.path.insert(0, str(Path(__file__).parents[3] / "validation/wheels-by-finite-elements"))
import make_expected as elements  # noqa: E402

RIDDEN = 6  # contact angles that are solved of the 72; their mean stands for all
RADIAL_N, LATERAL_N = 700.0, 70.0


def seconds(work, repeats):
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return float(np.median(times))


def corotational(wheel):
    """Times of the corotational code, by the name of what criterion measured."""
    kratos = elements.Tensioned(wheel)
    kratos.tension_to(wheel.tension)
    tangent = kratos.matrix().tocsc()
    columns = np.eye(tangent.shape[0])[:, : len(wheel.axial)].copy()
    places = columns[:, :5].copy()

    def ride(angle):
        axes = elements.local(angle)
        force = RADIAL_N * axes["radial"] + LATERAL_N * axes["lateral"]
        for share in [0.5, 1.0]:
            kratos.put({wheel.node_at(kratos.ring, angle): share * force})
            if not kratos.solve():
                raise RuntimeError("no equilibrium")
        kratos.put({})
        kratos.solve()

    def some_rides():
        for step in range(RIDDEN):
            ride(2 * math.pi * step / RIDDEN)

    return {
        "influence, runout at 72 angles": seconds(lambda: splu(tangent).solve(columns), 20),
        "all stiffnesses, both states": 2 * seconds(lambda: splu(tangent).solve(places), 20),
        "turn of 72 angles, shape followed": seconds(some_rides, 1) * 72 / RIDDEN,
        "buckling": seconds(lambda: elements.buckling(wheel), 1),
    }


def main():
    wheel = elements.Wheel("dished")
    linear = seconds(lambda: elements.at_zero_tension(wheel), 1)
    theirs = corotational(wheel)
    print(f"linear frame code, all answers about zero tension: {linear * 1e3:.0f} ms")
    for name, their in theirs.items():
        measured = Path(sys.argv[1]) / "32 spokes" / name.replace("/", "_") / "new/estimates.json"
        if not measured.is_file():
            print(f"{name}: {their * 1e3:.1f} ms by elements; ours was not measured in this run")
            continue
        ours = json.loads(measured.read_text())["median"]["point_estimate"] * 1e-9
        print(f"{name}: {ours * 1e3:.3f} ms beside {their * 1e3:.1f} ms, 1/{their / ours:.0f} of it")


if __name__ == "__main__":
    main()
