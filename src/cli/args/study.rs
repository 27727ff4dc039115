//! Arguments of `coaxle study`.

use std::path::PathBuf;

use clap::Args;

/// Answer why several sets are needed, by a series of complete searches.
///
/// For one to four sets and three to six shift elements the largest number of usable forward
/// gears is searched, the widest spread and the most even ladder, with and without single
/// swaps, the nesting test and a reverse. Results are a page to read (study.html), its facts
/// (study.json), and a layout file for each layout that it names. What is exact, sampled and
/// proved is told in all of them.
#[derive(Args)]
#[command(max_term_width = 100, after_help = STUDY_EXAMPLES)]
pub struct StudyArgs {
    /// Brief (TOML) [default: the one that is built in]; configs/every-study-key.toml
    /// describes every key
    #[arg(value_name = "BRIEF")]
    pub brief: Option<PathBuf>,
    /// Leave nothing out: search the largest families too, and every number of gears. May
    /// take hours
    #[arg(long)]
    pub thorough: bool,
    /// Folder for the results [default: results/ and the name of the brief]
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Have results of another brief in the folder replaced, or write beside files of other
    /// people. What coaxle did not write, or what was changed since, always stays
    #[arg(long)]
    pub force: bool,
    /// Threads to use; the results are the same for any number [default: all of the
    /// machine's]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
    /// Go on with an unfinished study in the folder. This is done without the option too;
    /// with it, a note says so where there is none
    #[arg(long)]
    pub resume: bool,
    /// Drop what an unfinished study in the folder has done, and begin anew
    #[arg(long, conflicts_with = "resume")]
    pub afresh: bool,
    /// Begin even where more than a day of work is foreseen
    #[arg(long)]
    pub yes: bool,
    /// Print the facts as JSON instead of tables
    #[arg(long)]
    pub json: bool,
    /// Show no progress and no closing tables; errors only
    #[arg(long, short)]
    pub quiet: bool,
}

const STUDY_EXAMPLES: &str = "\
Examples:
  coaxle study
  coaxle study --thorough --out thorough

A brief, short:
  [study]
  sets = [1, 3]                          # fewest, most
  elements = [3, 5]
  [band]                                 # what a usable gear is
  first = [2.5, 6.0]
  step = [1.1, 1.8]

Ctrl-C stops; what was finished is kept, and the same command goes on with the rest.";
