"""Writes expected.csv: correlated computations by the PyPI packages uncertainties and GTC, from sources.csv."""

import csv
from pathlib import Path

import GTC
import numpy
import uncertainties
from uncertainties import umath

HERE = Path(__file__).parent
CURVE_COVARIANCE = [[4.0, -0.03, 0.02], [-0.03, 0.0009, -0.0001], [0.02, -0.0001, 0.0016]]
CURVE_VALUES = [-180.0, 11.5, 0.85]
CURVE_DEGREES_OF_FREEDOM = 9


def with_uncertainties(sources):
    made = {label: uncertainties.ufloat(value, u) for label, value, u, _ in sources}
    curve = uncertainties.correlated_values(CURVE_VALUES, numpy.array(CURVE_COVARIANCE))
    return made, curve, umath


def with_gtc(sources):
    made = {label: GTC.ureal(value, u, nu, label) for label, value, u, nu in sources}
    u = [CURVE_COVARIANCE[i][i] ** 0.5 for i in range(3)]
    curve = GTC.multiple_ureal(CURVE_VALUES, u, CURVE_DEGREES_OF_FREEDOM)
    for i in range(3):
        for j in range(i):
            GTC.set_correlation(CURVE_COVARIANCE[i][j] / (u[i] * u[j]), curve[i], curve[j])
    return made, curve, GTC


def outputs(made, curve, math):
    """The computations; the same stand in the test."""
    zero, slope, bend = curve

    def force(reading):
        return made["scale"] * (zero + slope * reading + bend * reading * reading / 100) + made["offset"]

    bare = [force(made[f"bare {i}"]) for i in range(1, 7)]
    tyred = [force(made[f"tyred {i}"]) for i in range(1, 7)]
    mean_bare, mean_tyred = sum(bare) / 6, sum(tyred) / 6
    angle = made["angle"]
    return {
        "first_bare": bare[0],
        "mean_bare": mean_bare,
        "mean_tyred": mean_tyred,
        "drop": 1 - mean_tyred / mean_bare,
        "ratio_of_two": bare[1] / bare[2],
        "difference_of_two": bare[1] - bare[2],
        "power": made["scale"] ** bend * slope**3 / math.sqrt(mean_bare),
        "waves": math.exp(-slope / 10) * math.sin(angle) + math.cos(angle) * math.log(mean_tyred),
        "turned": math.atan(math.tan(angle) * slope / 10) + math.asin(angle / 2) - math.acos(bend / 3),
    }


def main():
    with open(HERE / "sources.csv", encoding="utf-8") as file:
        sources = [(r["label"], float(r["value"]), float(r["u"]), float(r["degrees_of_freedom"])) for r in csv.DictReader(file)]
    rows = []
    values = outputs(*with_uncertainties(sources))
    for name, value in values.items():
        rows.append(("uncertainties", name, "value", value.nominal_value))
        rows.append(("uncertainties", name, "u", value.std_dev))
    joint = uncertainties.covariance_matrix(list(values.values()))
    for i, one in enumerate(values):
        for j, two in enumerate(values):
            if i < j:
                rows.append(("uncertainties", one, f"covariance:{two}", joint[i][j]))
    values = outputs(*with_gtc(sources))
    for name, value in values.items():
        rows.append(("GTC", name, "value", value.x))
        rows.append(("GTC", name, "u", value.u))
        rows.append(("GTC", name, "degrees_of_freedom", value.df))
    with open(HERE / "expected.csv", "w", newline="", encoding="utf-8") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["package", "output", "quantity", "computed"])
        out.writerows((package, name, quantity, repr(float(value))) for package, name, quantity, value in rows)


main()
