//! Dominance and the Pareto front.
