//! A record of a run, and its writers: JSON, CSV, layout files, pictures, a page; and the
//! results folder that holds them.
//!
//! The only room that writes files. It computes nothing about gears: what a writer says
//! stands in the record.

mod answer;
mod cautions;
mod cells;
mod exam;
mod folder;
mod layouts;
mod ledger;
mod number;
mod packed;
mod page;
mod pictures;
mod points;
mod record;
mod sources;
mod study;
mod summary;
mod table;
mod told;
mod workshop_files;

pub use answer::{write_answer, write_picture};
pub use cautions::CAUTIONS;
pub use exam::{ExamRecord, read_answers, read_exam, write_exam, write_marks};
pub use folder::{Overwrite, may_write, write_folder};
pub use layouts::layout_file;
pub use ledger::{Earlier, LedgerFile, unlimited_text};
pub use page::{page, teeth_cell};
pub use pictures::{Pictures, funnel, ladder, matrix, parallel, scatter, steps};
pub use record::{Candidate, GearRow, Kind, Record, SpaceCount, Stage};
pub use study::{StudyLedgerFile, write_study};
pub use summary::summary;
pub use table::{Rows, gears_cell, table};
