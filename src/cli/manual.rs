//! What the program tells of itself: help, pages of the manual, completions for shells. All of
//! it is made from the one description of commands and options in `args`.

use clap::{Command, CommandFactory as _};
use clap_complete::Shell;
use clap_mangen::Man;
use itertools::Itertools as _;

use super::args::Cli;
use super::voice::Voice;
use crate::error::{Error, Mistake};
use crate::program::VERSION;

/// Answers a call without a command.
pub fn run(cli: &Cli) -> Result<(), Error> {
    let text = match (&cli.completions, &cli.man) {
        (Some(shell), _) => completions(*shell),
        (None, Some(command)) => page(command.as_deref())?,
        (None, None) => Cli::command().render_help().to_string(),
    };
    Voice::default().answer(&text)
}

fn completions(shell: Shell) -> String {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "coaxle", &mut script);
    String::from_utf8_lossy(&script).into_owned()
}

/// The page of the program, or of one of its commands, as roff.
fn page(command: Option<&str>) -> Result<String, Error> {
    let mut program = Cli::command();
    // Gives the commands their full names, which stand at the head of their pages.
    program.build();
    let about = match command {
        None => program,
        Some(name) => program.find_subcommand(name).cloned().ok_or_else(|| none(&program, name))?,
    };
    let mut roff = Vec::new();
    let page =
        Man::new(about).manual("Coaxle").source(format!("coaxle {VERSION}")).render(&mut roff);
    page.map_err(|error| Error::Work(format!("the manual page could not be made: {error}")))?;
    Ok(String::from_utf8_lossy(&roff).into_owned())
}

fn none(program: &Command, name: &str) -> Error {
    let commands = program.get_subcommands().map(Command::get_name).join(", ");
    let problem = format!("there is no command \"{name}\"");
    Mistake::at("--man", problem, format!("name one of {commands}, or none")).into()
}
