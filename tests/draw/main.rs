//! Pictures, drawing sheets, and parts as solids and files.

#[path = "../report/made.rs"]
mod made;
#[path = "../common/program.rs"]
mod program;
#[path = "../common/sight.rs"]
mod sight;

mod part_files;
mod parts;
mod pictures;
mod portraits;
mod sheets;
