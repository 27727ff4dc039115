//! The words that the program understands, and its help.

mod check;
mod exam;
mod study;

use std::path::PathBuf;

pub use check::CheckArgs;
pub use exam::ExamArgs;
pub use study::StudyArgs;

use crate::draw::InputSpeeds;
use crate::program::FACTS;
use clap::{Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;

/// Searches the design space of coaxial planetary gearboxes.
///
/// A gearbox here is one to four planetary gear sets on one axis, joined to shafts, with
/// brakes and clutches between them. Coaxle takes one apart (show), counts how many there
/// are (census), finds those that serve a request best (search), and makes reductions of
/// one ratio, with parts to cut or print (reduce), exam papers with keys (exam), a study of
/// what several sets buy (study), and a second judgement of what a search found (check).
#[derive(Parser)]
#[command(
    name = "coaxle",
    version,
    long_version = FACTS.as_str(),
    max_term_width = 100,
    args_conflicts_with_subcommands = true,
    disable_help_subcommand = true,
    after_help = MAIN_EXAMPLES
)]
pub struct Cli {
    #[command(subcommand)]
    pub command: Option<Command>,
    /// Print completions of commands and options for a shell
    #[arg(long, value_name = "SHELL", value_enum)]
    pub completions: Option<Shell>,
    /// Print the manual page of a command [default: of the program] in the language of man
    #[arg(long, value_name = "COMMAND", num_args = 0..=1, conflicts_with = "completions")]
    pub man: Option<Option<String>>,
}

const MAIN_EXAMPLES: &str = "\
Examples:
  coaxle search                          find six gears with the brief that is built in
  coaxle show railcar.toml               what a gearbox does in every gear
  coaxle census --sets 3 --shafts 6      how many such gearboxes there are
  coaxle reduce turntable.toml           a reduction from a wish to its parts
  coaxle exam workshop-exam.toml         parallel exam papers with worked keys
  coaxle study                           why several sets? searched, drawn and told
  coaxle check results/railcar-6         judge the results of a search again
  coaxle COMMAND --help                  all options of a command, with an example
  coaxle --completions bash              what the Tab key needs, to be sourced by the shell
  coaxle --man search | man -l -         the same help as a page of the manual

Exit status:
  0 done   1 failed while working   2 the request is wrong
  3 nothing meets the request   130 interrupted; what was done is kept where it can be

Colours appear on a terminal only, and never where NO_COLOR is set.";

#[derive(Subcommand)]
pub enum Command {
    Search(SearchArgs),
    Show(ShowArgs),
    Census(CensusArgs),
    Reduce(ReduceArgs),
    Exam(ExamArgs),
    Study(StudyArgs),
    Check(CheckArgs),
}

/// Find the gearboxes that serve a request best.
///
/// A request is a brief: how many sets, shafts and elements, what gears, what teeth, what
/// counts. All interconnections of its families are searched; what is exact, sampled and
/// proved is told in the report. Results are summary.json, front.csv, candidates.csv, a
/// layout file for each gearbox on the front, pictures (pareto.svg, pareto.png, matrix.svg,
/// parallel.svg, steps.svg, funnel.svg) and report.html.
/// Every file is written whole or not at all, and a whole result stays until the next is whole.
/// A folder belongs to one command and one brief: .coaxle.json lists what was written there.
#[derive(Args)]
#[command(max_term_width = 100, after_help = SEARCH_EXAMPLES)]
pub struct SearchArgs {
    /// Brief (TOML) [default: the one that is built in, six gears from three sets]
    #[arg(value_name = "BRIEF")]
    pub brief: Option<PathBuf>,
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
    /// Go on with an unfinished run in the folder. This is done without the option too;
    /// with it, a note says so where there is none
    #[arg(long)]
    pub resume: bool,
    /// Drop what an unfinished run in the folder has done, and begin anew
    #[arg(long, conflicts_with = "resume")]
    pub afresh: bool,
    /// Search only these units of work, A and up to but without B (the note at the
    /// beginning of a long run tells how many there are)
    #[arg(long, value_name = "A..B", value_parser = unit_range)]
    pub units: Option<std::ops::Range<usize>>,
    /// Stop after so long; what was found is written, and a later run goes on
    #[arg(long, value_name = "SECONDS", value_parser = seconds)]
    pub limit_time: Option<std::time::Duration>,
    /// Stop when the program takes so much memory
    #[arg(long, value_name = "MIB", value_parser = clap::value_parser!(u64).range(1..=1_000_000_000))]
    pub limit_memory: Option<u64>,
    /// Begin even where the estimate is more than a day
    #[arg(long)]
    pub yes: bool,
    /// Print summary.json instead of the closing tables
    #[arg(long)]
    pub json: bool,
    /// Show no progress and no closing tables; errors only
    #[arg(long, short)]
    pub quiet: bool,
}

fn input_speeds(text: &str) -> Result<InputSpeeds, String> {
    let ends = text.split_once("..").and_then(|(a, b)| Some((a.parse().ok()?, b.parse().ok()?)));
    match ends {
        Some((least, most)) if 0.0 < least && least < most && most <= 1e6 => {
            Ok(InputSpeeds::Rpm(least, most))
        }
        _ => Err("write a range of rpm such as 1000..2800, the first less than the second".into()),
    }
}

fn unit_range(text: &str) -> Result<std::ops::Range<usize>, String> {
    let ends = text.split_once("..").and_then(|(a, b)| Some((a.parse().ok()?, b.parse().ok()?)));
    match ends {
        Some((start, end)) if start < end => Ok(start..end),
        _ => Err("write a range of units such as 0..100, the first less than the second".into()),
    }
}

fn seconds(text: &str) -> Result<std::time::Duration, String> {
    let seconds = text.parse().ok().filter(|s: &f64| *s > 0.0 && *s <= 1e9);
    let time = seconds.and_then(|s| std::time::Duration::try_from_secs_f64(s).ok());
    time.ok_or_else(|| "write seconds, above 0 and at most 1e9".into())
}

const SEARCH_EXAMPLES: &str = "\
Examples:
  coaxle search
  coaxle search configs/railcar-4.toml --out railcar --threads 2

A brief, short (configs/every-key.toml has every key with its unit and default):
  [space]
  sets = 2                               # planetary sets
  shafts = 5
  elements = 4                           # brakes and clutches
  [gears]
  forward = 3
  reverse = 1

Ctrl-C stops at the next good place; what was found until then is written, and the same
command goes on with the rest. So it does after a power cut: every finished unit of work is
kept in the folder.";

/// Tell all about one gearbox: gears, teeth, speeds, torques, power, losses, faults, shifts.
///
/// Ratios, speeds, lossless torques and powers are exact fractions from the tooth counts.
/// Efficiencies are estimates from 0.990 for an external mesh and 0.995 for an internal
/// one, unless a brief says otherwise. Teeth that cannot be assembled are computed all the
/// same, and every broken condition is named.
#[derive(Args)]
#[command(max_term_width = 100, after_help = SHOW_EXAMPLES)]
pub struct ShowArgs {
    /// Layout file (TOML): sets with teeth, shafts, elements and, if wanted, gears
    #[arg(value_name = "LAYOUT")]
    pub layout: PathBuf,
    /// Print JSON instead of tables: speeds per input speed, torques per input torque,
    /// powers per input power, exact numbers as texts such as "27/11"
    #[arg(long)]
    pub json: bool,
    /// Print only the table of gears
    #[arg(long, short)]
    pub quiet: bool,
    /// Print only these sections, in this order
    #[arg(long, value_name = "SECTION,…", value_enum, value_delimiter = ',',
        conflicts_with_all = ["json", "quiet"])]
    pub only: Vec<Section>,
    /// Explain every gear to a learner: who drives, what to expect, the laws row by row,
    /// superposition, levers, torques, usual mistakes. With --out also as FOLDER/explain.html
    #[arg(long, value_name = "DEPTH", value_enum, num_args = 0..=1, require_equals = true,
        default_missing_value = "course", conflicts_with_all = ["json", "quiet", "only"])]
    pub explain: Option<ExplainDepth>,
    /// Take mesh efficiencies, tooth limits and progression from this brief
    #[arg(long, value_name = "BRIEF")]
    pub brief: Option<PathBuf>,
    /// Write the JSON to FOLDER/show.json as well
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Write pictures into FOLDER as SVG: ladder, saw-tooth, speeds, levers of every gear,
    /// stick drawings and power where it nests, every set from in front
    #[arg(long, value_name = "FOLDER")]
    pub draw: Option<PathBuf>,
    /// Input speeds of the saw-tooth, in revolutions a minute [default: from 40 % of the
    /// highest to the highest]
    #[arg(long, value_name = "A..B", value_parser = input_speeds, requires = "draw")]
    pub input_speeds: Option<InputSpeeds>,
    /// Write the pictures as PNG too
    #[arg(long, requires = "draw")]
    pub png: bool,
}

/// How much `show --explain` tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ExplainDepth {
    /// Who does what, and what to expect before any number
    FirstLook,
    /// Also laws, superposition, levers, torques and mistakes
    Course,
    /// Also power, losses and planets
    Full,
}

/// A part of what `show` prints.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Section {
    /// Ratios, steps, efficiencies and formulas
    Gears,
    /// The formulas in base ratios and in teeth, also as LaTeX
    Formulas,
    /// How the ratio of every gear follows, step by step
    Derivation,
    /// Teeth and their conditions, shafts and who sits on them
    Teeth,
    /// Speeds, slips and torques
    Speeds,
    /// Where the power goes, splits and runs round, what is lost, what drives back
    Power,
    /// The largest loads and speeds, and in which gear
    Largest,
    /// What every element that fails leaves of the gears
    Faults,
    /// What is released and applied from gear to gear, and which speeds change
    Shifts,
    /// States that are no gears
    States,
    /// Every criterion
    Scores,
    /// Whether it can be drawn without crossings, and in which order
    Nesting,
}

const SHOW_EXAMPLES: &str = "\
Examples:
  coaxle show railcar.toml
  coaxle show railcar.toml --only power,faults
  coaxle show railcar.toml --explain=first-look
  coaxle show railcar.toml --json | jq .spread.exact

A layout file, short:
  [[sets]]
  sun = 30                               # teeth
  ring = 66                              # teeth; also planet, planets, kind = \"paired\"
  [shafts]                               # every member exactly once
  input = []
  output = [\"C1\"]
  sun-shaft = [\"S1\"]
  ring-shaft = [\"R1\"]
  [elements]
  A = { clutch = [\"input\", \"ring-shaft\"] }
  B = { brake = \"sun-shaft\" }
  [gears]                                # optional
  1 = [\"A\", \"B\"]";

/// Count the gearboxes of a family, exactly.
///
/// Counts cores (sets and joints with input and output chosen, up to renumbering the
/// sets), then all their states: every choice of shafts − sets − 1 of the brakes and
/// clutches that can be. A state is determinate when all speeds follow from the input's
/// at generic base ratios, and live when the output then turns. Polynomials are counted
/// as vanishing when they vanish identically, so nothing is sampled or rounded.
#[derive(Args)]
#[command(max_term_width = 100, after_help = CENSUS_EXAMPLES)]
pub struct CensusArgs {
    /// Planetary gear sets, 1 to 4
    #[arg(long, value_name = "N")]
    pub sets: u8,
    /// Shafts, the housing not counted; from sets + 1 to three a set
    #[arg(long, value_name = "M")]
    pub shafts: u8,
    /// Count cores with members that are held in the housing permanently
    #[arg(long)]
    pub held: bool,
    /// Count cores whose input is a shaft without members, reached by clutches only; it
    /// is one of the M shafts
    #[arg(long)]
    pub bare_input: bool,
    /// Begin even where more than a day of work is foreseen
    #[arg(long)]
    pub yes: bool,
    /// Print JSON instead of a table
    #[arg(long)]
    pub json: bool,
    /// Show no progress
    #[arg(long, short)]
    pub quiet: bool,
    /// Write the JSON to FOLDER/census.json as well
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Threads to use [default: all of the machine's]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub threads: Option<u16>,
}

/// Find the reductions of a wanted ratio, and write their parts.
///
/// A request is a brief: the ratio, the room it has, the load it bears, what it may be made
/// of. One to four sets are joined in every way with members held; all choices of teeth are
/// tried, and what is exact, sampled and proved is told in the report. Results are those of
/// a search (summary.json, front.csv, candidates.csv, layout files, pictures, report.html)
/// and for the first of the front its parts: outlines to cut, solids to print, drawing
/// sheets, tooth data, a bill of parts and the order of assembly.
/// Where nothing meets the request, the limits are told that would have to give way, and by
/// how much.
#[derive(Args)]
#[command(max_term_width = 100, after_help = REDUCE_EXAMPLES)]
pub struct ReduceArgs {
    /// Brief (TOML); configs/every-reduction-key.toml describes every key
    #[arg(value_name = "BRIEF")]
    pub brief: PathBuf,
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
    /// Begin even where more than a day of work is foreseen
    #[arg(long)]
    pub yes: bool,
    /// Print summary.json instead of the closing tables
    #[arg(long)]
    pub json: bool,
    /// Show no progress and no closing tables; errors only
    #[arg(long, short)]
    pub quiet: bool,
}

const REDUCE_EXAMPLES: &str = "\
Examples:
  coaxle reduce configs/turntable.toml
  coaxle reduce configs/telescope.toml --out telescope

A brief, short:
  [ratio]
  target = 57.6                          # or a fraction in quotes, such as \"288/5\"
  tolerance = 0.005
  [room]
  bore = 90                              # mm
  [load]
  output_torque = 40                     # N m";

const CENSUS_EXAMPLES: &str = "\
Examples:
  coaxle census --sets 2 --shafts 5
  coaxle census --sets 3 --shafts 6 --bare-input --json";
