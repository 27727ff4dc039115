//! The request: as written, then as understood and checked.
