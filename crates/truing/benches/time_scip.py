"""The time of a general solver of mixed-integer programs for the problems of validation/turns-by-scip, beside the
time that criterion has just measured for the project's own search on the same problems (turns.rs).

    python time_scip.py TARGET/criterion

The solver stops at the number of nodes that the committed values were made with: where it has no proof by then, what
stands here is in its favour.
"""

import json
import sys
from pathlib import Path

CASE = Path(__file__).parents[3] / "validation/turns-by-scip"
sys.path.insert(0, str(CASE))
import make_expected as scip  # noqa: E402


def main():
    for case, (nipples, reach, limit) in enumerate(scip.CASES):
        (matrix, target), reach, limits = scip.problem(nipples, reach, limit, 1000 + case)
        _, _, status, their = scip.solve(matrix, target, reach, limits)
        measured = Path(sys.argv[1]) / "turns by search" / str(case) / "new/estimates.json"
        proof = "proven" if status == "optimal" else "without its proof"
        if not measured.is_file():
            print(f"case {case}: {their * 1e3:.1f} ms by the solver, {proof}; ours was not measured in this run")
            continue
        ours = json.loads(measured.read_text())["median"]["point_estimate"] * 1e-9
        print(
            f"case {case}, {nipples} nipples, {len(limits)} limits: {ours * 1e3:.3f} ms, proven, "
            f"beside {their * 1e3:.1f} ms, {proof}: 1/{their / ours:.0f} of it"
        )


if __name__ == "__main__":
    main()
