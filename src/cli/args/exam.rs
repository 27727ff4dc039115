//! Arguments of `coaxle exam`.

use std::path::PathBuf;

use clap::Args;

/// Make parallel exam papers with worked keys, or mark what a class wrote.
///
/// A brief says what is asked, at what level, and how equal the papers shall be. Items are made
/// by search for numbers that come out; their answers are exact; papers are chosen by a
/// mixed-integer model. The folder then holds for each paper the questions and the key as HTML,
/// Markdown and Typst (and PDF where Coaxle is built with the feature papers), figures, a QTI
/// package for learning platforms, items.json, a blueprint, and the head of a table of answers.
#[derive(Args)]
#[command(max_term_width = 100, after_help = EXAM_EXAMPLES)]
pub struct ExamArgs {
    /// Brief (TOML); configs/every-exam-key.toml describes every key
    #[arg(value_name = "BRIEF")]
    pub brief: Option<PathBuf>,
    /// Mark a table of answers against the exam in FOLDER: points a student and place, and a
    /// report of what the class got wrong
    #[arg(long, num_args = 2, value_names = ["FOLDER", "ANSWERS"], conflicts_with_all = ["brief", "seed"])]
    pub mark: Option<Vec<PathBuf>>,
    /// Take another seed than the brief's: other numbers of the same difficulty
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(0..=1 << 53))]
    pub seed: Option<u64>,
    /// Folder for the results [default: results/ and the name of the brief; with --mark the
    /// folder of the exam]
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Have results of another brief in the folder replaced, or write beside files of other
    /// people. What coaxle did not write, or what was changed since, always stays
    #[arg(long)]
    pub force: bool,
    /// Print JSON instead of tables: the papers with their items, or the class report
    #[arg(long)]
    pub json: bool,
    /// Print nothing but errors
    #[arg(long, short)]
    pub quiet: bool,
}

const EXAM_EXAMPLES: &str = "\
Examples:
  coaxle exam configs/workshop-exam.toml
  coaxle exam configs/workshop-exam.toml --seed 2027 --out next-year
  coaxle exam --mark results/workshop-exam class.csv

A brief, short:
  [exam]
  level = \"workshop\"                     # or \"course\"
  [forms]
  forms = 4                              # parallel papers
  items = 6

A table of answers has the columns of answers.csv in the folder of the exam: student, paper, then
a place each, such as q03 or q04b or q05-02 (the second cell to fill). Points that a person gives
stand in a column hand-q04b beside the answers, and count whatever the answer is; drawings and
derivations wait for them. The table is CSV in UTF-8 or UTF-16, parted by commas, semicolons or
tabs; a table with a line or a column that is not understood is refused as a whole.";
