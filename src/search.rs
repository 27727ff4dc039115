//! Cores, sift, gears, solve, run.
