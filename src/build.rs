//! Can it be built: the nesting test.
