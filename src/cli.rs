//! Words in, words out; the only room that prints.
