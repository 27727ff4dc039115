//! The house itself: its order, its libraries, what its documents promise, what its readers bear.

#[path = "../common/program.rs"]
mod program;

mod corpus;
mod crates;
mod readme;
mod tidy;
