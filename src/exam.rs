//! Exams: items made by search for clean numbers, pools of them, parallel papers chosen by a
//! mixed-integer model, and marking.
//!
//! Reads no files, clocks or threads; all chance comes from the seed of the brief.

mod chance;
mod clean;
mod deck;
mod layouts;
mod mark;
mod one_set;
mod options;
mod papers;
mod pool;
mod shop;
mod sitting;

pub use mark::{ClassReport, ItemReport, Mark, Script, StudentMarks, class_report, mark, worth};
pub use papers::{Clash, NoPapers, Papers, check, choose, choose_unless, target};
pub use pool::{Pool, pool, pool_unless};
pub use sitting::{Exam, ExamPaper, HAND, Place, part_letter};
