//! The program at the terminal: every command, killed, crowded and interrupted too.

#[path = "../common/program.rs"]
mod program;
#[path = "../common/small.rs"]
mod small;
#[path = "../common/verdicts.rs"]
mod verdicts;

mod census;
mod check;
mod exam;
mod faults;
mod folders;
mod manual;
mod reduce;
mod resume;
mod search;
mod show;
mod show_inside;
mod show_json;
mod study;
