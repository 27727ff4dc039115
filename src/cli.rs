//! Words in, words out: the command line. The only room that prints.
//!
//! Answers go to stdout, everything else to stderr. With `--json` an answer is JSON and
//! nothing else. The exit status is 0 done, 1 failed while working, 2 the request is
//! wrong, 3 nothing meets the request, 130 interrupted.

mod args;
mod bar;
mod census;
mod check;
mod exam;
mod folder;
mod input;
mod interrupt;
mod look;
mod manual;
mod reduce;
mod search;
mod show;
mod study;
mod voice;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::Parser as _;

use crate::error::Error;
use args::{Cli, Command};
use voice::Voice;

/// Runs the program with its arguments, the name of the program first.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let cli = match Cli::try_parse_from(arguments) {
        Ok(cli) => cli,
        // Help and version come this way too. A reader that is gone needs no help.
        Err(told) => {
            let _ = told.print();
            return ExitCode::from(u8::try_from(told.exit_code()).unwrap_or(2));
        }
    };
    // Before anything else, so that Ctrl-C means the same at every instant.
    match &cli.command {
        Some(Command::Show(_)) => interrupt::at_once(),
        Some(Command::Exam(args)) if args.mark.is_some() => interrupt::at_once(),
        _ => _ = interrupt::watched(),
    }
    let done = match &cli.command {
        Some(Command::Search(args)) => search::run(args),
        Some(Command::Reduce(args)) => reduce::run(args),
        Some(Command::Exam(args)) => exam::run(args),
        Some(Command::Study(args)) => study::run(args),
        Some(Command::Show(args)) => show::run(args),
        Some(Command::Census(args)) => census::run(args),
        Some(Command::Check(args)) => check::run(args),
        None => manual::run(&cli),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            Voice::default().error(&error.to_string());
            ExitCode::from(status(&error))
        }
    }
}

fn status(error: &Error) -> u8 {
    match error {
        Error::Work(_) => 1,
        Error::Request(_) => 2,
        Error::Nothing(_) => 3,
        Error::Interrupted(_) => 130,
    }
}

/// An answer as JSON, indented, with a line end.
fn json(answer: &impl serde::Serialize) -> Result<String, Error> {
    let text = serde_json::to_string_pretty(answer);
    text.map(|text| text + "\n").map_err(|error| Error::Work(format!("no JSON: {error}")))
}
