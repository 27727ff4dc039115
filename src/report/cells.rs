//! Tables as CSV, safe to open in a spreadsheet: one writer for every table, and the mark by
//! which text that looks like a formula stays text.
//!
//! A spreadsheet runs what begins like a formula, also from a CSV file and out of quotes.
//! Source: OWASP, "CSV Injection". Such text goes out behind an apostrophe, which spreadsheets
//! know as the sign of a text; coming back it is taken off again.

use crate::error::Error;

/// What makes a formula at the beginning of a cell, in both widths; also what spreadsheets skip
/// before it.
const SUSPECT: [char; 11] = ['=', '+', '-', '@', '＝', '＋', '－', '＠', '\t', '\r', '\n'];

/// A table with its head: RFC 4180 with line feeds, no cell a formula.
///
/// # Errors
/// [`Error::Work`] when a row is not as long as the head.
pub(super) fn csv_text<H, R, C>(head: H, rows: R) -> Result<String, Error>
where
    H: IntoIterator<Item = C>,
    R: IntoIterator<Item: IntoIterator<Item = C>>,
    C: AsRef<str>,
{
    let broken =
        |error: &dyn std::fmt::Display| Error::Work(format!("a table could not be made: {error}"));
    let mut writer = csv::Writer::from_writer(Vec::new());
    let mut write = |row: &mut dyn Iterator<Item = C>| {
        writer.write_record(row.map(|cell| guarded(cell.as_ref()))).map_err(|error| broken(&error))
    };
    write(&mut head.into_iter())?;
    for row in rows {
        write(&mut row.into_iter())?;
    }
    let bytes = writer.into_inner().map_err(|error| broken(&error))?;
    String::from_utf8(bytes).map_err(|error| broken(&error))
}

/// A cell as it is written: a number as it is, what begins like a formula behind an apostrophe.
fn guarded(cell: &str) -> String {
    if is_suspect(cell) && !is_number(cell) { format!("'{cell}") } else { cell.to_owned() }
}

/// A cell as it was before [`csv_text`] wrote it.
pub(super) fn unguarded(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(text) if is_suspect(text) => text,
        _ => cell,
    }
}

/// Apostrophes before it count as part of it, so that taking one off brings back what was there.
fn is_suspect(text: &str) -> bool {
    let text = text.trim_start_matches('\'');
    let skipped = text.trim_start_matches(|c: char| c.is_whitespace() || c.is_control());
    text.starts_with(SUSPECT) || skipped.starts_with(SUSPECT)
}

/// Digits with a minus before them, a point and an exponent: nothing that could be run.
fn is_number(cell: &str) -> bool {
    let digits = cell.strip_prefix('-').unwrap_or(cell);
    digits.starts_with(|c: char| c.is_ascii_digit()) && digits.parse::<f64>().is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn what_a_spreadsheet_would_run_stays_text() {
        let run =
            ["=1+1", "+1", "-1+cmd|' /C calc'!A0", "@SUM(A1)", "\t=1", " =1", "＝1", "-A", "-"];
        for cell in run {
            assert_eq!(guarded(cell), format!("'{cell}"));
        }
        for cell in ["-3.5", "-2e-6", "27/11", "", "Ada", "O'Neil", "'tis", "1:27/11=2.45 A+D"] {
            assert_eq!(guarded(cell), cell);
        }
        let text = csv_text(["a", "b"], [["=HYPERLINK(\"x\",1)", "-4"]]).unwrap();
        assert_eq!(text, "a,b\n\"'=HYPERLINK(\"\"x\"\",1)\",-4\n");
    }

    proptest! {
        #[test]
        fn a_cell_comes_back_as_it_was(cell in "['=+@ \t-]{0,4}\\PC{0,6}") {
            let written = guarded(&cell);
            prop_assert_eq!(unguarded(&written), &cell);
            prop_assert!(!written.starts_with(SUSPECT) || is_number(&written));
        }
    }
}
