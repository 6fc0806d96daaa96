"""Whole turns by SCIP, a general solver of mixed-integer programs: writes problems.csv and expected.csv.

    python make_expected.py [DIRECTORY]

The problems are shaped like truing: nipples evenly round a ring, sides in turn; each pulls the rim sideways and inward in
smooth bumps, changes its own pull and takes from its neighbours'. What is made small is the rim's deviation at twice as
many places, the unevenness of pulls and their mean. Errors come from a small generator written out here, so that the
problems are the same everywhere. SCIP gets the triangle of the same sum of squares, bounds and limits, and a limit of
nodes; what it has by then, and the bound it has proven, is written.
"""

import csv
import math
import sys
from pathlib import Path

import numpy as np
from pyscipopt import Model, quicksum

NODES = 150
# nipples, most steps either way, limit of a pull above its target in units of the pull's scale (0: none)
CASES = [(6, 4, 0.0), (8, 3, 1.2), (10, 6, 0.0), (12, 4, 1.2), (16, 2, 1.0), (20, 8, 1.0), (24, 8, 0.0), (28, 3, 1.0),
         (32, 8, 1.0), (36, 8, 0.0), (36, 3, 1.0)]


class Generator:
    """Lehmer's multiplicative generator, modulus 2^31 - 1, multiplier 48271; normal values by twelve of them."""

    def __init__(self, seed):
        self.state = seed

    def unit(self):
        self.state = self.state * 48271 % 2147483647
        return self.state / 2147483647

    def normal(self):
        return sum(self.unit() for _ in range(12)) - 6.0


def bump(apart, waves, size):
    return sum(size / (1 + (wave / waves) ** 4) * math.cos(wave * apart) for wave in range(0, 13))


def problem(nipples, reach, limit, seed):
    draws = Generator(seed)
    seats = [2 * math.pi * place / nipples for place in range(nipples)]
    places = [math.pi * place / nipples for place in range(2 * nipples)]
    side = [1 if place % 2 == 0 else -1 for place in range(nipples)]
    step = 0.0567  # mm in an eighth of a turn
    lateral = np.array([[side[j] * bump(a - seats[j], 2.0, 0.25) for j in range(nipples)] for a in places]) * step
    radial = np.array([[-bump(a - seats[j], 5.0, 0.05) for j in range(nipples)] for a in places]) * step
    pull = np.zeros((nipples, nipples))
    for i in range(nipples):
        for j in range(nipples):
            own = 1.0 if i == j else 0.0
            apart = seats[i] - seats[j]
            pull[i, j] = 2000 * step * (own - 0.12 * side[i] * side[j] * bump(apart, 2.0, 0.25) * 4
                                        - 0.95 * bump(apart, 5.0, 0.05) * 4)
    errors = np.array([5 * draws.normal() for _ in range(nipples)])
    shape = np.array([[0.1 / wave * draws.normal() for _ in range(4)] for wave in range(1, 7)])
    waves = lambda a, c: sum(shape[w - 1][c] * math.cos(w * a) + shape[w - 1][c + 1] * math.sin(w * a) for w in range(1, 7))
    rows, target = [], []

    def add(values, now, scale):
        rows.append(np.asarray(values) / scale)
        target.append(-now / scale)

    for matrix, shift in ((lateral, 0), (radial, 2)):
        now = matrix @ errors + np.array([waves(a, shift) for a in places])
        matrix, now = matrix - matrix.mean(axis=0), now - now.mean()
        for row, value in zip(matrix, now):
            add(row, value, 0.1 * math.sqrt(2 * nipples))
    now = pull @ errors
    for which in (1, -1):
        members = [i for i in range(nipples) if side[i] == which]
        mean, mean_now = pull[members].mean(axis=0), now[members].mean()
        for i in members:
            add(pull[i] - mean, now[i] - mean_now, 50 * math.sqrt(len(members) - 1))
        add(mean, mean_now, 30)
    limits = []
    if limit:
        for i in range(nipples):
            # At the end within the limit, or no further over it than at the start.
            limits.append((pull[i], max(limit * 100, now[i]) - now[i]))
    return condensed(np.array(rows), np.array(target)), reach, [(rounded(slope), rounded(bound)) for slope, bound in limits]


def rounded(values):
    """To ten digits, so that the written problem is the one that is solved."""
    return np.vectorize(lambda value: float(f"{value:.9e}"))(values)


def condensed(matrix, target):
    """As many rows as nipples, and one for what no turns take away."""
    q, r = np.linalg.qr(matrix)
    signs = np.sign(np.diag(r))
    y = q.T @ target
    beyond = math.sqrt(max(0.0, target @ target - y @ y))
    size = matrix.shape[1]
    rows = np.vstack([np.triu(r * signs[:, None]), np.zeros((1, size))])
    return rounded(rows), rounded(np.append(y * signs, beyond))


def solve(matrix, target, reach, limits):
    """SCIP's best whole turns, their value and the bound it has proven."""
    size = matrix.shape[1]
    r, y, beyond = matrix[:size], target[:size], target[size] ** 2
    model = Model()
    model.hideOutput()
    turns = [model.addVar(vtype="I", lb=-reach, ub=reach) for _ in range(size)]
    rest = [model.addVar(vtype="C", lb=None) for _ in range(size)]
    for row in range(size):
        model.addCons(rest[row] == quicksum(r[row, j] * turns[j] for j in range(row, size)) - y[row])
    value = model.addVar(vtype="C", lb=0)
    model.addCons(quicksum(one * one for one in rest) <= value)
    for slope, bound in limits:
        model.addCons(quicksum(float(s) * t for s, t in zip(slope, turns)) <= float(bound))
    model.setObjective(value, "minimize")
    model.setParam("limits/nodes", NODES)
    model.setParam("randomization/randomseedshift", 1)
    model.optimize()
    best = [round(model.getVal(one)) for one in turns]
    found = float(np.sum((matrix @ np.array(best) - target) ** 2))
    return found, model.getDualbound() + beyond, model.getStatus(), model.getSolvingTime()


def main():
    directory = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(".")
    with open(directory / "problems.csv", "w", newline="") as problems, open(directory / "expected.csv", "w", newline="") as expected:
        written, answers = csv.writer(problems, lineterminator="\n"), csv.writer(expected, lineterminator="\n")
        written.writerow(["case", "row", "bound_or_target", "slopes"])
        answers.writerow(["case", "nipples", "reach", "limits", "value", "proven"])
        for case, (nipples, reach, limit) in enumerate(CASES):
            (matrix, target), reach, limits = problem(nipples, reach, limit, 1000 + case)
            for row, value in zip(matrix, target):
                written.writerow([case, "square", f"{value:.9e}", " ".join(f"{v:.9e}" if v else "0" for v in row)])
            for slope, bound in limits:
                written.writerow([case, "limit", f"{bound:.9e}", " ".join(f"{v:.9e}" for v in slope)])
            found, bound, status, seconds = solve(matrix, target, reach, limits)
            answers.writerow([case, nipples, reach, len(limits), repr(found), "yes" if status == "optimal" else "no"])
            print(f"case {case}: {nipples} nipples, {found:.6f}, {status}, bound {bound:.6f}, {seconds:.1f} s")


if __name__ == "__main__":
    main()
