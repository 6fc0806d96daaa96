//! The search against a general solver.

mod cases;

use truing::search::{Effort, Ending};

/// Relative: the solver's own tolerance of feasibility is 1e-6.
const WITHIN: f64 = 1e-5;

/// Source: validation/turns-by-scip/SOURCE.md.
#[test]
fn whole_turns_are_never_worse_than_a_general_solver_finds() {
    let all = cases::all();
    assert_eq!(all.len(), 11);
    for case in all {
        let (problem, number) = (&case.problem, &case.number);
        assert_eq!(problem.nipples(), case.nipples, "case {number}");
        assert_eq!(problem.limits.len(), case.limits, "case {number}");
        let found = problem.solve(&mut Effort {
            nodes: cases::NODES,
            gap: 0.0,
            stop: &mut || false,
        });
        assert_eq!(found.ending, Ending::Optimal, "case {number}");
        assert!(
            found.steps.is_some_and(|steps| problem.keeps(&steps)),
            "case {number}"
        );
        let both = format!("case {number}: {} {}", found.value, case.value);
        assert!(found.value <= case.value * (1.0 + WITHIN), "{both}");
        if case.is_proven {
            assert!(case.value <= found.value * (1.0 + WITHIN), "{both}");
        }
    }
}
