"""The time of general-purpose packages for a curve through twelve points uncertain in both variables,
beside the time that criterion has just measured for the project's own fit: the points of
`hyperbola_12_points_3_parameters` in fit.rs, from the same start.

    python time_odr.py TARGET/criterion
"""

import json
import sys
import time
import warnings
from pathlib import Path

import numpy as np
import odrpack

warnings.simplefilter("ignore", DeprecationWarning)
from scipy import odr  # noqa: E402

MIDDLE = 900.0
X = 250.0 + 113.0 * np.arange(12)
U_X, U_Y = 4.0, 0.08
DEVIATIONS = np.array([(0.6, -0.5), (-1.1, 0.8), (0.3, 1.2), (0.9, -0.9), (-0.4, 0.2), (-0.8, -1.4), (1.3, 0.6),
                       (0.1, 1.0), (-0.6, -0.3), (0.7, -0.7), (-1.2, 0.5), (0.4, 0.1)])
TRUTH = np.array([22.4, 7.6, 0.42])
START = np.array([20.0, 5.0, 0.1])


def curve(x, p):
    excess = x / MIDDLE - 1
    return p[0] + p[1] * excess / (1 + p[2] * excess)


def median_seconds(fit, repeats=200):
    fit()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        fit()
        times.append(time.perf_counter() - start)
    return float(np.median(times))


def main():
    x = X + U_X * DEVIATIONS[:, 0]
    y = curve(X, TRUTH) + U_Y * DEVIATIONS[:, 1]
    data = odr.RealData(x, y, sx=np.full(12, U_X), sy=np.full(12, U_Y))
    model = odr.Model(lambda p, at: curve(at, p))
    times = {
        "scipy.odr": median_seconds(lambda: odr.ODR(data, model, beta0=START).run()),
        "odrpack": median_seconds(lambda: odrpack.odr_fit(curve, x, y, START, weight_x=np.full(12, U_X**-2),
                                                          weight_y=np.full(12, U_Y**-2))),
    }
    for name, seconds in times.items():
        print(f"{name}: {seconds * 1e6:.0f} us a fit")
    for estimate in sorted(Path(sys.argv[1]).glob("*/new/estimates.json")):
        if estimate.parts[-3] in ("calibration_of_twelve_points",) or "hyperbola" in estimate.parts[-3]:
            own = json.loads(estimate.read_text())["median"]["point_estimate"] * 1e-9
            ratios = ", ".join(f"{own / seconds:.4f} of {name}" for name, seconds in times.items())
            print(f"{estimate.parts[-3]}: {own * 1e6:.1f} us, {ratios}")


if __name__ == "__main__":
    main()
