//! Mixed-integer models solved within counted work, so that what comes out is the same on
//! every machine, however busy.
//!
//! The solver has a limit in seconds too. It is not used: what a run had proved by then would
//! depend on what else the machine does, and a step that is cut and gone on with takes another
//! way than one that is not.

use microlp::{Error, Problem, ResumeOptions, SolveOptions, SolveOutcome};

/// What came of a model. Values stand in the order in which variables were added.
#[derive(Clone, Debug, PartialEq)]
pub enum Solved {
    /// No values are better: proved.
    Optimal(Vec<f64>),
    /// Values that keep every row; the work was done before more was known.
    Feasible(Vec<f64>),
    /// No values keep every row: proved.
    Infeasible,
    /// The work was done before any values were found or excluded, the solver failed, or it
    /// was stopped.
    Undecided,
}

/// Nodes of branch and bound between two questions whether to go on. A constant: a pause
/// ends a dive, so where pauses are shows in which of equal values are found.
const BETWEEN_QUESTIONS: u64 = 256;

/// Solves a model with at most `nodes` nodes of branch and bound, at least one; the
/// relaxation at the root comes before them. What it gives depends on the model and `nodes`
/// alone, unless `stopped` ends it.
pub fn solve_within(problem: &Problem, nodes: u64, stopped: &dyn Fn() -> bool) -> Solved {
    let mut left = nodes.max(1);
    let mut options = SolveOptions::default();
    options.node_limit = Some(left.min(BETWEEN_QUESTIONS));
    let mut outcome = problem.solve_with(options);
    loop {
        let paused = match outcome {
            Err(Error::Infeasible) => return Solved::Infeasible,
            Err(_) => return Solved::Undecided,
            Ok(done) if done.is_optimal() => {
                return values(&done).map_or(Solved::Undecided, Solved::Optimal);
            }
            Ok(paused) => paused,
        };
        left -= left.min(BETWEEN_QUESTIONS);
        if left == 0 || stopped() {
            return values(&paused).map_or(Solved::Undecided, Solved::Feasible);
        }
        let mut options = ResumeOptions::default();
        options.node_limit = Some(left.min(BETWEEN_QUESTIONS));
        outcome = paused.resume_with(options);
    }
}

fn values(outcome: &SolveOutcome) -> Option<Vec<f64>> {
    outcome.solution().map(|solution| solution.iter().map(|(_, value)| value).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use microlp::{ComparisonOp, OptimizationDirection};

    /// Odd sums of even numbers: no whole values, but each node leaves two more to look at.
    fn parity(variables: usize) -> Problem {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let all: Vec<_> = (0..variables).map(|_| problem.add_binary_var(0.0)).collect();
        let row: Vec<_> = all.iter().map(|&variable| (variable, 2.0)).collect();
        problem.add_constraint(&row[..], ComparisonOp::Eq, variables as f64);
        problem
    }

    #[test]
    fn the_work_decides_and_nothing_else() {
        let hard = parity(15);
        assert_eq!(solve_within(&hard, 1, &|| false), Solved::Undecided);
        assert_eq!(solve_within(&hard, 1_000_000, &|| false), Solved::Infeasible);
        assert_eq!(solve_within(&hard, 1_000_000, &|| true), Solved::Undecided);
    }

    #[test]
    fn the_best_values_come_in_the_order_of_the_variables() {
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let [a, b] = [3.0, 2.0].map(|value| problem.add_integer_var(value, (0, 9)));
        problem.add_constraint([(a, 2.0), (b, 1.0)], ComparisonOp::Le, 7.0);
        problem.add_constraint([(a, 1.0), (b, 3.0)], ComparisonOp::Le, 9.0);
        let solved = solve_within(&problem, 1000, &|| false);
        assert_eq!(solved, Solved::Optimal(vec![3.0, 1.0]));
        assert_eq!(solved, solve_within(&problem, 1000, &|| false));
    }
}
