//! The runs kept in results/reference are what the program finds today, and its layouts are
//! what they say.
//!
//! After a change that is meant to change them, run the commands in results/README.md.

use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

use coaxle::brief::Brief;
use coaxle::motion::solve_state;
use coaxle::report::{Record, Rows, table};
use coaxle::search::{
    Controls, CoreFamily, Course, Limits, NoLedger, Quiet, UNIT_CORES, run_course,
};
use coaxle::train::{canonical, read_layout};
use rstest::rstest;

fn kept(brief: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("results/reference").join(brief)
}

fn searched(brief: &str) -> Record {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("configs/{brief}.toml"));
    let stop = AtomicBool::new(false);
    let controls = Controls { threads: None, stop: &stop, progress: &Quiet };
    coaxle::doors::search(&Brief::read(&path).unwrap(), &controls).unwrap()
}

/// Rows of a table as cells, the header first.
fn rows(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    let row = |row: csv::StringRecord| row.iter().map(str::to_owned).collect();
    reader.records().map(|record| row(record.unwrap())).collect()
}

#[rstest]
#[case("railcar-4")]
#[case("railcar-6")]
fn the_front_is_the_kept_one(#[case] brief: &str) {
    let record = searched(brief);
    assert!(record.complete);
    let now = rows(&table(&record, Rows::Front).unwrap());
    let then = rows(&std::fs::read_to_string(kept(brief).join("front.csv")).unwrap());
    assert_eq!(now[0], then[0]);
    assert_eq!(now.len(), then.len(), "the kept front is another: see results/README.md");
    for (now, then) in now.iter().zip(&then) {
        for (column, (a, b)) in now.iter().zip(then).enumerate() {
            // Logarithms may differ in their last place between machines.
            let near = a.parse().ok().zip(b.parse().ok());
            let same = near.map_or(a == b, |(a, b): (f64, f64)| (a - b).abs() <= 2e-6);
            assert!(same, "{} of {}: {a}, kept is {b}", then[column], then[0]);
        }
    }
}

#[rstest]
#[case("railcar-4")]
#[case("railcar-6")]
#[case("railcar-8")]
fn the_kept_layouts_are_what_the_kept_table_says(#[case] brief: &str) {
    let table = rows(&std::fs::read_to_string(kept(brief).join("front.csv")).unwrap());
    assert_eq!(&table[0][..3], ["id", "canonical", "gears"]);
    for row in &table[1..] {
        let path = kept(brief).join(format!("layouts/{}.toml", row[0]));
        let layout = read_layout(&path).unwrap();
        let told: Vec<&str> = row[2].split("; ").collect();
        assert_eq!(layout.gears.len(), told.len());
        for (gear, told) in layout.gears.iter().zip(told) {
            let ratio = solve_state(&layout, gear.engaged).ratio.unwrap();
            assert!(told.starts_with(&format!("{}:{ratio}=", gear.name)), "{told}, is {ratio}");
        }
    }
    let files = std::fs::read_dir(kept(brief).join("layouts")).unwrap().count();
    assert_eq!(files, table.len() - 1);
}

/// The whole of railcar-8 takes minutes: of its front, what the first and the last layout's
/// units give.
#[test]
fn the_kept_front_of_eight_gears_is_found_where_it_lies() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("configs/railcar-8.toml");
    let brief = Brief::read(&path).unwrap();
    let stop = AtomicBool::new(false);
    let controls = Controls { threads: None, stop: &stop, progress: &Quiet };
    let cores = CoreFamily::plain(4, 8).cores();
    let table = rows(&std::fs::read_to_string(kept("railcar-8").join("front.csv")).unwrap());
    for row in [&table[1], &table[table.len() - 1]] {
        let layout = read_layout(&kept("railcar-8").join(format!("layouts/{}.toml", row[0])));
        let core = canonical(&layout.unwrap().wiring().0, &[]).core;
        let unit = cores.binary_search(&core).expect("every core is listed") / UNIT_CORES;
        let (limits, ledger) = (Limits::default(), &mut NoLedger);
        let course = Course { units: Some(unit..unit + 1), limits, ledger };
        let findings = run_course(&brief, &controls, course).unwrap();
        let is_it = |finding: &coaxle::search::Finding| {
            finding.canonical == row[1] || finding.twins.contains(&row[1])
        };
        assert!(findings.findings.iter().any(is_it), "{} is not found again", row[0]);
        // Alone, the unit's front is held against itself: within the gap it does as well.
        let (log_spread, deviation) = brief.effort.gap;
        let [spread, worst]: [f64; 2] = [3, 4].map(|column| row[column].parse().unwrap());
        let does_as_well = |finding: &coaxle::search::Finding| {
            let [own, off] = [0, 1].map(|place| finding.scores[place].unwrap());
            (own / spread).ln() >= -log_spread - 1e-6 && off <= worst + deviation + 1e-6
        };
        assert!(findings.findings.iter().any(does_as_well), "{}: nothing as good", row[0]);
    }
}
