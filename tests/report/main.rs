//! What people and machines read: results folders, pages, papers, explanations.

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/program.rs"]
mod program;

mod data;
mod exam_package;
mod exam_words;
mod explain;
mod folder;
mod made;
mod markdown;
mod page;
mod policy;
mod report;
mod study_claims;
mod workshop;
mod workshop_strength;
