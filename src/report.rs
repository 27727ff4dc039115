//! A record of a run, and its writers.
