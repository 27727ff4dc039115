//! The words of `coaxle check`.

use std::path::PathBuf;
use std::time::Duration;

use clap::Args;

/// Judge the results of a search again, and try to find what it missed.
///
/// A sceptic's tool. Ratios, steps, windows and teeth of the front are worked out again by plain
/// code that shares nothing with the engine, layouts are counted once more, cores are sifted again,
/// and the rest of the time is spent on beating the front. What looks better is judged in exact
/// fractions before it counts. Each line tells what was tried, and whether that was exact, complete
/// or sampled.
#[derive(Args)]
#[command(max_term_width = 100, after_help = CHECK_EXAMPLES)]
pub struct CheckArgs {
    /// Folder that coaxle search wrote: summary.json, front.csv, candidates.csv where it is there,
    /// layouts
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
    /// Time to spend. What is written is judged whatever that takes, the rest of the time goes to
    /// seeking, which ends sooner where every case was tried or something better was found
    #[arg(long, value_name = "SECONDS", value_parser = super::seconds, default_value = "60")]
    pub time: Duration,
    /// Threads to use [default: all of the machine's]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    /// Folder for counterexample.toml, a layout that the front has no answer to [default: where you
    /// are]
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Print JSON instead of tables
    #[arg(long)]
    pub json: bool,
    /// Show no progress, and only the conclusion
    #[arg(long, short)]
    pub quiet: bool,
}

const CHECK_EXAMPLES: &str = "\
Examples:
  coaxle check results/railcar-6
  coaxle check results/railcar-6 --time 600 --json

Exit status 0 where nothing was found against the folder, 1 where something was: every discrepancy is
named with its file, row, what is written and what was found; a better layout is kept as
counterexample.toml.";
