//! What is read back to mark an exam: its items, and the table of answers.

use std::path::Path;

use super::class_table::{ClassTable, class_table};
use super::encoding::decoded;
use crate::error::{Error, Mistake};
use crate::exam::Exam;
use crate::train::{read_bytes, read_text};

/// The exam that a results folder holds.
///
/// # Errors
/// [`Error::Request`] where `folder` has no `items.json` of an exam.
pub fn read_exam(folder: &Path) -> Result<Exam, Error> {
    let path = folder.join("items.json");
    if !path.is_file() {
        let mend = "name the folder that coaxle exam wrote, such as results/workshop-exam";
        return Err(Mistake::at("--mark", "has no items.json", mend).in_file(folder).into());
    }
    let text = read_text(&path)?;
    serde_json::from_str(&text).map_err(|error| {
        let mend = "make the exam again with the same brief and seed: its files will be the same";
        Mistake::at("", format!("does not read: {error}"), mend).in_file(&path).into()
    })
}

/// Scripts of a class from a table: columns `student`, `paper`, one for each place as in the
/// `answers.csv` of the exam, and `hand-` and the name of a place for points that a person
/// gives. Commas, semicolons or tabs part them. Empty lines are left out.
///
/// A column `number` tells students of one name apart; without it their lines do.
///
/// Nothing that is not understood is passed over: a line that is not understood is named with
/// its reason and not marked, a table whose columns are not is refused as a whole.
///
/// # Errors
/// [`Error::Request`] with the line, the column and what would be right.
pub fn read_answers(path: &Path, exam: &Exam) -> Result<ClassTable, Error> {
    let bytes = read_bytes(path)?;
    let table = decoded(&bytes).and_then(|text| class_table(&text, exam));
    let table = table.map_err(|mistake| mistake.in_file(path))?;
    let refused = table.refused.into_iter().map(|line| {
        let why = line.why.in_file(path);
        super::RefusedLine { why, ..line }
    });
    Ok(ClassTable { refused: refused.collect(), ..table })
}
