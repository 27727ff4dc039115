//! What spreadsheets make of answers: dates, times, errors, powers of ten. An answer that may be
//! one of these is not marked, but asked back.

const DATE: &str = "looks like a date that a spreadsheet made of the answer";
const TIME: &str = "looks like a time that a spreadsheet made of the answer";
const ERROR: &str = "is an error of a spreadsheet, not an answer";

const MONTHS: [&str; 12] =
    ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

/// Why a cell, normalised, is not what a student wrote; `None` where it may well be.
pub(super) fn suspicion(text: &str) -> Option<&'static str> {
    let lower = text.to_lowercase();
    if lower.starts_with('#') || lower.starts_with("err:") {
        return Some(ERROR);
    }
    if is_time(&lower) {
        return Some(TIME);
    }
    (is_date(&lower) || has_month(&lower)).then_some(DATE)
}

/// As [`suspicion`] for a list of numbers such as teeth, of which `24/16/56` is none: only what
/// no list of teeth looks like.
pub(super) fn suspicion_of_list(text: &str) -> Option<&'static str> {
    let odd = |number: &str| number.len() > 3 || number.len() > 1 && number.starts_with('0');
    let mut numbers = text.split(|c: char| !c.is_ascii_digit()).filter(|part| !part.is_empty());
    let lower = text.to_lowercase();
    if lower.starts_with('#') || lower.starts_with("err:") {
        return Some(ERROR);
    }
    (numbers.any(odd) || has_month(&lower)).then_some(DATE)
}

/// `2026-04-03`, `03/04/2026`, `3.4.26`, with a time or without.
fn is_date(text: &str) -> bool {
    let day = text.split([' ', 't']).next().unwrap_or_default();
    ['-', '/', '.'].into_iter().any(|mark| {
        let parts: Vec<&str> = day.split(mark).collect();
        let digits = |part: &&str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
        if !parts.iter().all(digits) {
            return false;
        }
        match parts[..] {
            // 1.234.567 is a number.
            [a, b, c] => {
                (a.len() == 4 && b.len() <= 2 && c.len() <= 2)
                    || (a.len() <= 2 && b.len() <= 2 && (c.len() == 2 || c.len() == 4))
            }
            // A fraction or a negative number begins with no 0.
            [a, b] => {
                mark == '/' && [a, b].iter().any(|part| part.len() > 1 && part.starts_with('0'))
            }
            _ => false,
        }
    })
}

/// `02:03:00`, `2:03 pm`.
fn is_time(text: &str) -> bool {
    let clock = text.ends_with("am") || text.ends_with("pm");
    let digits = text.starts_with(|c: char| c.is_ascii_digit());
    digits && (text.matches(':').count() == 2 || clock && text.contains(':'))
}

/// A day beside the name of a month: `27-Nov`, `3. April`, `Nov 27`, `Apr-26`.
fn has_month(text: &str) -> bool {
    let words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    let (mut month, mut day, mut other) = (false, false, false);
    for word in words {
        let letters = word.chars().all(char::is_alphabetic);
        let begins = word.chars().count() >= 3 && MONTHS.iter().any(|name| word.starts_with(name));
        match word.bytes().all(|b| b.is_ascii_digit()) {
            true => day = true,
            false if letters && begins => month = true,
            false => other = true,
        }
    }
    month && day && !other
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_times_and_errors_are_suspected_and_answers_are_not() {
        for cell in [
            "2026-04-03",
            "2026-04-03 00:00:00",
            "2026-04-03T00:00:00",
            "03/04/2026",
            "3.4.26",
            "04/03",
            "27-Nov",
            "3. Apr",
            "Nov 27",
            "Apr-26",
            "27/11/26",
            "02:03:00",
            "2:03 PM",
            "#VALUE!",
            "#NAME?",
            "Err:508",
        ] {
            assert!(suspicion(cell).is_some(), "{cell}");
        }
        for cell in [
            "27/11",
            "-27/11",
            "2.45",
            "1.234.567",
            "27:11",
            "440 rpm",
            "A, C",
            "same",
            "x",
            "none",
            "1 may 2 x",
            "24",
            "1 500",
            "marked",
            "n = 3/4",
        ] {
            assert_eq!(suspicion(cell), None, "{cell}");
        }
        assert_eq!(suspicion_of_list("24/16/56"), None);
        for cell in ["2056-12-24", "24/12/2056", "24/09/56", "24-Dec-56", "#REF!"] {
            assert!(suspicion_of_list(cell).is_some(), "{cell}");
        }
    }
}
