"""Writes data.csv and expected.csv: curves of a gauge's shape, fitted by general-purpose packages.

Needs odrpack 0.7, scipy 1.17 (its odr and optimize modules) and numpy from the Python package index.
"""

import csv
import warnings

import numpy as np
import odrpack
from scipy import optimize

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from scipy import odr

MIDDLE = 900.0  # abscissa the hyperbola is centred on
HALF_SPAN = 0.05  # of the tensioned beam


def hyperbola(beta, x):
    """r + b (k - 1)/(1 + psi (k - 1)), k = x/middle."""
    shift = x / MIDDLE - 1.0
    return beta[0] + beta[1] * shift / (1.0 + beta[2] * shift)


def beam(beta, x):
    """z + A/(K(x; B) + s), K the stiffness of an infinite tensioned beam between three knife edges."""
    zero, scale, spring, bending = beta
    kappa = np.sqrt(x / bending)
    fade = np.exp(-kappa * HALF_SPAN)
    compliance = (HALF_SPAN - (1.0 - fade) * (3.0 - fade) / (2.0 * kappa)) / (2.0 * x)
    return zero + scale / (1.0 / compliance + spring)


def complex_derivatives(curve, beta, x):
    """Derivatives by x and by each parameter, by a complex step: exact to rounding."""
    by_x = np.imag(curve(beta, x + 1e-30j)) / 1e-30
    columns = []
    for j in range(len(beta)):
        moved = np.array(beta, dtype=complex)
        moved[j] += 1e-30j
        columns.append(np.imag(curve(moved, x)) / 1e-30)
    return by_x, np.array(columns)


def points(curve, beta, x, u_x, u_y, pattern_x, pattern_y):
    """Measured points: truth plus a fixed pattern of deviations, rounded as an instrument would."""
    return np.round(x + u_x * pattern_x, 1), np.round(curve(beta, x) + u_y * pattern_y, 2)


PATTERN_X = np.array([0.6, -1.1, 0.3, 0.9, -0.4, -0.8, 1.3, 0.1, -0.6, 0.7, -1.2, 0.4])
PATTERN_Y = np.array([-0.5, 0.8, 1.2, -0.9, 0.2, -1.4, 0.6, 1.0, -0.3, -0.7, 0.5, 0.1])
FORCES = np.array([250.0, 370, 480, 590, 700, 810, 920, 1030, 1150, 1270, 1390, 1500])

CASES = {
    # name: curve, truth, u_x, u_y, start, priors (parameter, value, u)
    "fine": (hyperbola, [22.4, 7.6, 0.42], 2.0 + 0.002 * FORCES, 0.08 + 0 * FORCES, [20.0, 5.0, 0.1], []),
    "coarse": (hyperbola, [22.4, 7.6, 0.42], 30.0 + 0.02 * FORCES, 0.25 + 0 * FORCES, [20.0, 5.0, 0.1], []),
    "falling": (hyperbola, [1.9, -0.8, 0.55], 5.0 + 0 * FORCES, 0.02 + 0 * FORCES, [1.5, -0.5, 0.2], []),
    "beam": (
        beam,
        [1.5, 3.0e6, 4.0e4, 0.15],
        2.0 + 0.002 * FORCES,
        0.05 + 0 * FORCES,
        [0.0, 2.0e6, 3.0e4, 0.12],
        [(2, 4.2e4, 4.0e3), (3, 0.145, 0.015)],
    ),
}


def full_residuals(curve, x, u_x, y, u_y, priors, size):
    """The whole problem, true abscissas and all, as one list of residuals."""

    def residuals(unknown):
        beta, truth = unknown[:size], x + u_x * unknown[size:]
        rows = [(curve(beta, truth) - y) / u_y, unknown[size:]]
        rows += [[(beta[j] - value) / u] for j, value, u in priors]
        return np.concatenate(rows)

    def jacobian(unknown):
        beta, truth = unknown[:size], x + u_x * unknown[size:]
        by_x, by_beta = complex_derivatives(curve, beta, truth)
        n = len(x)
        matrix = np.zeros((2 * n + len(priors), size + n))
        matrix[:n, :size] = (by_beta / u_y).T
        matrix[:n, size:] = np.diag(by_x * u_x / u_y)
        matrix[n : 2 * n, size:] = np.eye(n)
        for row, (j, _, u) in enumerate(priors):
            matrix[2 * n + row, j] = 1.0 / u
        return matrix

    return residuals, jacobian


def whole(curve, x, u_x, y, u_y, priors, start):
    """scipy.optimize on the whole problem, finished by undamped steps through the pseudo-inverse."""
    size = len(start)
    residuals, jacobian = full_residuals(curve, x, u_x, y, u_y, priors, size)
    unknown = np.concatenate([start, np.zeros(len(x))])
    found = optimize.least_squares(
        residuals, unknown, jacobian, x_scale="jac", method="lm", ftol=1e-15, xtol=1e-15, gtol=1e-15
    ).x
    for _ in range(20):
        matrix = jacobian(found)
        scale = np.linalg.norm(matrix, axis=0)
        found = found - np.linalg.lstsq(matrix / scale, residuals(found), rcond=None)[0] / scale
    scale = np.linalg.norm(jacobian(found), axis=0)
    _, triangle = np.linalg.qr(jacobian(found) / scale)
    inverse = np.linalg.inv(triangle)
    covariance = (inverse @ inverse.T / np.outer(scale, scale))[:size, :size]
    return found[:size], covariance, np.sum(residuals(found) ** 2), x + u_x * found[size:]


def by_odrpack(curve, x, u_x, y, u_y, start):
    found = odrpack.odr_fit(
        lambda x, beta: curve(beta, x),
        x,
        y,
        np.array(start),
        weight_x=1 / u_x**2,
        weight_y=1 / u_y**2,
        jac_beta=lambda x, beta: complex_derivatives(curve, beta, x)[1],
        jac_x=lambda x, beta: complex_derivatives(curve, beta, x)[0],
        sstol=1e-15,
        partol=1e-15,
        maxit=1000,
    )
    return found.beta, found.cov_beta, found.sum_square, found.xplusd


def by_scipy_odr(curve, x, u_x, y, u_y, start):
    model = odr.Model(
        curve,
        fjacb=lambda beta, x: complex_derivatives(curve, beta, x)[1],
        fjacd=lambda beta, x: complex_derivatives(curve, beta, x)[0],
    )
    job = odr.ODR(odr.RealData(x, y, sx=u_x, sy=u_y), model, start, sstol=1e-15, partol=1e-15, maxit=1000)
    job.set_job(deriv=3)
    found = job.run()
    return found.beta, found.cov_beta, found.sum_square, found.xplus


def main():
    with open("data.csv", "w") as data, open("expected.csv", "w") as expected:
        data = csv.writer(data, lineterminator="\n")
        expected = csv.writer(expected, lineterminator="\n")
        data.writerow(["case", "x", "u_x", "y", "u_y"])
        expected.writerow(["case", "package", "name", "value"])
        for case, (curve, truth, u_x, u_y, start, priors) in CASES.items():
            u_x = np.round(u_x, 6)
            x, y = points(curve, truth, FORCES, u_x, u_y, PATTERN_X, PATTERN_Y)
            for row in zip(x, u_x, y, u_y):
                data.writerow([case, *[repr(float(v)) for v in row]])
            answers = {"scipy.optimize": whole(curve, x, u_x, y, u_y, priors, start)}
            if not priors:
                answers["odrpack"] = by_odrpack(curve, x, u_x, y, u_y, start)
                answers["scipy.odr"] = by_scipy_odr(curve, x, u_x, y, u_y, start)
            for package, (beta, covariance, total, abscissas) in answers.items():
                for j, value in enumerate(beta):
                    expected.writerow([case, package, f"p{j}", f"{value:.15e}"])
                for i in range(len(beta)):
                    for j in range(i + 1):
                        expected.writerow([case, package, f"c{i}{j}", f"{covariance[i][j]:.15e}"])
                expected.writerow([case, package, "chi_squared", f"{total:.15e}"])
                for j, value in enumerate(abscissas):
                    expected.writerow([case, package, f"x{j}", f"{value:.15e}"])
                print(case, package, beta, np.sqrt(np.diag(covariance)), total)


main()
