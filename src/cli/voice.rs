//! Where words go: answers to stdout, notes and errors to stderr.

use std::io::{ErrorKind, IsTerminal, Write};

use itertools::Itertools as _;

use super::look::name;
use crate::error::Error;

/// An error that is longer or wider than this quotes noise.
const MOST_LINES: usize = 40;
const MOST_COLUMNS: usize = 600;

/// How much is said besides answers and errors.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Voice {
    #[default]
    Plain,
    Quiet,
}

impl Voice {
    pub fn of(quiet: bool) -> Self {
        if quiet { Self::Quiet } else { Self::Plain }
    }

    /// Prints an answer. A reader that has heard enough and is gone (`| head`) is no error.
    ///
    /// # Errors
    /// [`Error::Work`] when stdout cannot be written otherwise, such as to a full disk.
    pub fn answer(self, text: &str) -> Result<(), Error> {
        let mut out = std::io::stdout().lock();
        let ending = if text.ends_with('\n') { "" } else { "\n" };
        let written = out
            .write_all(text.as_bytes())
            .and_then(|()| out.write_all(ending.as_bytes()))
            .and_then(|()| out.flush());
        match written {
            Err(error) if error.kind() != ErrorKind::BrokenPipe => {
                Err(Error::Work(format!("could not write the answer: {error}")))
            }
            _ => Ok(()),
        }
    }

    /// Says something by the way, unless quiet.
    pub fn note(self, text: &str) {
        if self == Self::Plain {
            let _ = writeln!(std::io::stderr(), "{text}");
        }
    }

    /// Says, also when quiet, what was left out of what was done. Texts are cleaned as those of
    /// [`Voice::error`].
    pub fn warning(self, text: &str) {
        let text = text.lines().take(MOST_LINES).map(|line| name(line, MOST_COLUMNS)).join("\n");
        let _ = writeln!(std::io::stderr(), "warning: {text}");
    }

    /// Says what went wrong. Texts quote what a file or an argument holds, so they are cut
    /// and cleaned of what would play with the terminal.
    pub fn error(self, text: &str) {
        let text = text.lines().take(MOST_LINES).map(|line| name(line, MOST_COLUMNS)).join("\n");
        let mut stderr = std::io::stderr();
        let word = if coloured(&stderr) { "\u{1b}[1;31merror:\u{1b}[0m" } else { "error:" };
        let _ = writeln!(stderr, "{word} {text}");
    }
}

/// Whether colours belong on `stream`: a terminal that knows them, and a user who has not
/// set NO_COLOR (<https://no-color.org>).
pub fn coloured(stream: &impl IsTerminal) -> bool {
    let forbidden = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
    stream.is_terminal() && !forbidden && !dumb
}
