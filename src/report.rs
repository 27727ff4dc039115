//! A record of a run, and its writers: JSON, CSV, layout files, pictures, a page; and the
//! files that a folder of results holds.
//!
//! Files are written by way of `folder` alone. It computes nothing about gears: what a writer says
//! stands in the record.

mod answer;
mod cautions;
mod cells;
mod exam;
mod layouts;
mod ledger;
mod number;
mod packed;
mod page;
mod pictures;
mod points;
mod read_search;
mod record;
mod results;
mod sources;
mod study;
mod summary;
mod table;
mod told;
mod workshop_files;

pub use answer::{picture_files, write_answer};
pub use cautions::CAUTIONS;
pub use exam::{
    ClassFile, ClassTable, ExamRecord, RefusedLine, exam_claim, marks_claim, read_answers,
    read_exam, write_exam, write_marks,
};
pub use layouts::layout_file;
pub use ledger::{Earlier, LEDGER, LedgerFile};
pub use page::{page, teeth_cell};
pub use pictures::{Pictures, funnel, ladder, matrix, parallel, scatter, steps};
pub use read_search::read_results;
pub use record::{Candidate, FrontProof, GearRow, Kind, ProvedGap, Record, SpaceCount, Stage};
pub use results::{results_claim, write_results};
pub use study::{StudyLedgerFile, study_claim, write_study};
pub use summary::summary;
pub use table::{Rows, gears_cell, table};
