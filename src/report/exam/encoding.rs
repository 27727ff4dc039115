//! Text as spreadsheets save it: UTF-8, or UTF-16 that says so at its beginning.
//!
//! Nothing is guessed: an older code page would read without a complaint, with other letters.

use crate::error::Mistake;

const SAVE: &str = "in the spreadsheet, save as CSV with the character set UTF-8 (called \
                    \"CSV UTF-8\" or chosen among the options of CSV)";

/// The text of a file.
///
/// # Errors
/// A [`Mistake`] for a workbook, or where the text is neither UTF-8 nor marked as UTF-16.
pub(super) fn decoded(bytes: &[u8]) -> Result<String, Mistake> {
    let refused = |problem: String| Mistake::at("", problem, SAVE);
    // Workbooks are zip files, or the compound files of older programs.
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]) {
        return Err(refused("is a workbook, not a table of text".to_owned()));
    }
    let text = match bytes {
        [0xFF, 0xFE, rest @ ..] => wide(rest, u16::from_le_bytes),
        [0xFE, 0xFF, rest @ ..] => wide(rest, u16::from_be_bytes),
        _ => {
            let text = String::from_utf8(bytes.to_vec());
            text.map_err(|error| error.utf8_error().valid_up_to())
        }
    };
    let text = text.map_err(|at| {
        let line = bytes[..at].iter().filter(|byte| **byte == b'\n').count() + 1;
        refused(format!("is not UTF-8 text (line {line}, byte {at})"))
    })?;
    // UTF-16 without its mark is valid UTF-8, with a NUL in every letter.
    if text.contains('\0') {
        return Err(refused("is no text: it has NUL characters".to_owned()));
    }
    Ok(text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text))
}

/// UTF-16, or the place of what is none.
fn wide(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> Result<String, usize> {
    let (pairs, odd) = bytes.as_chunks::<2>();
    let text = String::from_utf16(&pairs.iter().map(|pair| unit(*pair)).collect::<Vec<_>>());
    if odd.is_empty() { text.map_err(|_| 0) } else { Err(bytes.len()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_spreadsheets_save_is_read_and_nothing_guessed() {
        let text = "student,paper\nÁda,A\n";
        let wide = |unit: fn(u16) -> [u8; 2]| -> Vec<u8> {
            let marked = std::iter::once('\u{feff}').chain(text.chars()).collect::<String>();
            marked.encode_utf16().flat_map(unit).collect()
        };
        let marked = format!("\u{feff}{text}").into_bytes();
        for bytes in [text.into(), marked, wide(u16::to_le_bytes), wide(u16::to_be_bytes)] {
            assert_eq!(decoded(&bytes).unwrap(), text);
        }
        let unmarked: Vec<u8> = wide(u16::to_le_bytes)[2..].to_vec();
        let cases: [(&[u8], &str); 5] = [
            (b"student,paper\n\xC1da,A\n", "line 2, byte 14"),
            (b"PK\x03\x04rest", "workbook"),
            (&unmarked, "UTF-8"),
            (b"a\0b", "NUL"),
            (&[0xFF, 0xFE, 0x41], "not UTF-8"),
        ];
        for (bytes, problem) in cases {
            let mistake = decoded(bytes).unwrap_err();
            assert!(mistake.problem.contains(problem), "{mistake}");
            assert!(mistake.mend.contains("CSV UTF-8"));
        }
    }
}
