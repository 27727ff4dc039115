//! Every command, killed: before each of its changes of the disk and at random instants, with a
//! disk that takes no more, with few open files, twice at once. The same command then ends in the
//! bytes of a run that nothing happened to, and nothing is refused.
//!
//! `COAXLE_FAULTS=all` kills before each change; without it, before some thirty of each command.

#![cfg(unix)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::Instant;

use crate::program::{contents, sample, text};
use crate::small::{EXAM, REDUCTION, SEARCH, STUDY};
use rand::prelude::*;
use rand_pcg::Pcg64;
use rstest::rstest;

/// The step at which the program ends as if it were killed.
const DIE: &str = "COAXLE_DIE_AT_STEP";

/// A command in a folder of its own.
struct Job {
    place: tempfile::TempDir,
    words: Vec<String>,
}

impl Job {
    fn of(command: &str) -> Self {
        let place = tempfile::tempdir().unwrap();
        let brief = |text: &str| {
            let path = place.path().join("brief.toml");
            std::fs::write(&path, text).unwrap();
            path.to_str().unwrap().to_owned()
        };
        let layout = sample("two-sets.toml").to_str().unwrap().to_owned();
        let words: Vec<String> = match command {
            "search" => vec!["search".into(), brief(SEARCH), "--threads".into(), "1".into()],
            "reduce" => vec!["reduce".into(), brief(REDUCTION), "--threads".into(), "1".into()],
            "exam" => vec!["exam".into(), brief(EXAM)],
            "study" => vec!["study".into(), brief(STUDY), "--threads".into(), "1".into()],
            "show" => vec!["show".into(), layout],
            "explain" => vec!["show".into(), layout, "--explain".into()],
            "census" => ["census", "--sets", "2", "--shafts", "4"].map(str::to_owned).into(),
            "mark" => Self::mark(place.path(), brief(EXAM)),
            other => panic!("{other}"),
        };
        Self { place, words }
    }

    /// Marks of one student who answered nothing right.
    fn mark(place: &Path, brief: String) -> Vec<String> {
        let exam = place.join("exam");
        let out = exam.to_str().unwrap().to_owned();
        let made = coaxle(&["exam".into(), brief, "--quiet".into(), "--out".into(), out.clone()]);
        assert!(made.status.success(), "{}", text(&made.stderr));
        let head = std::fs::read_to_string(exam.join("answers.csv")).unwrap();
        let places = head.matches(',').count() - 1;
        let answers = place.join("class.csv");
        std::fs::write(&answers, format!("{head}Ada,A{}\n", ",".repeat(places))).unwrap();
        vec!["exam".into(), "--mark".into(), out, answers.to_str().unwrap().to_owned()]
    }

    fn out(&self, name: &str) -> PathBuf {
        self.place.path().join(name)
    }

    fn command(&self, out: &str) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_coaxle"));
        command.args(&self.words).arg("--out").arg(self.out(out));
        if !self.words.contains(&"--explain".to_owned()) {
            command.arg("--quiet");
        }
        command.stdout(Stdio::null()).stderr(Stdio::piped());
        // No step has this number; a program that counts does not wait for the disk.
        command.env(DIE, "0");
        command
    }

    fn run(&self, out: &str) {
        let ended = self.command(out).output().unwrap();
        assert_eq!(ended.status.code(), Some(0), "{:?}: {}", self.words, text(&ended.stderr));
    }

    /// A run under limits of the shell.
    fn limited(&self, limits: &str, out: &str) -> Output {
        let script = format!("{limits}; exec \"$0\" \"$@\"");
        let command = self.command(out);
        let words = [command.get_program()].into_iter().chain(command.get_args());
        Command::new("bash").args(["-c", &script]).args(words).output().unwrap()
    }

    /// Ends the program before one of its changes of the disk; whether it came so far.
    fn die_at(&self, out: &str, step: u64) -> bool {
        let ended = self.command(out).env(DIE, step.to_string()).output();
        let ended = ended.unwrap();
        assert!(ended.status.code().is_none_or(|code| code == 0), "{}", text(&ended.stderr));
        ended.status.code().is_none()
    }

    /// How many changes of the disk a run makes.
    fn steps(&self) -> u64 {
        let (mut low, mut high) = (1, 4096);
        assert!(self.die_at("steps", low), "the switch that ends the program does nothing");
        while high - low > 1 {
            let middle = (low + high) / 2;
            let _ = std::fs::remove_dir_all(self.out("steps"));
            if self.die_at("steps", middle) { low = middle } else { high = middle }
        }
        low
    }

    fn assert_same(&self, out: &str, whole: &[(PathBuf, Vec<u8>)], when: &str) {
        let now = contents(&self.out(out));
        let names = |all: &[(PathBuf, Vec<u8>)]| -> Vec<PathBuf> {
            all.iter().map(|(name, _)| name.clone()).collect()
        };
        assert_eq!(names(&now), names(whole), "{:?}, {when}", self.words);
        for ((name, now), (_, then)) in now.iter().zip(whole) {
            assert!(now == then, "{:?}, {when}: {}", self.words, name.display());
        }
    }
}

fn coaxle(words: &[String]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_coaxle")).args(words).output().unwrap()
}

#[rstest]
fn a_kill_before_any_change_of_the_disk_is_gone_on_from(
    #[values("search", "reduce", "exam", "mark", "study", "show", "explain", "census")] name: &str,
) {
    let job = Job::of(name);
    job.run("whole");
    let whole = contents(&job.out("whole"));
    let steps = job.steps();
    let every = match std::env::var("COAXLE_FAULTS") {
        Ok(_) => 1,
        Err(_) => steps.div_ceil(30),
    };
    for step in (1..=steps).filter(|step| step % every == 0 || *step < 8 || steps - step < 8) {
        let _ = std::fs::remove_dir_all(job.out("killed"));
        assert!(job.die_at("killed", step), "{name} was over before step {step} of {steps}");
        job.run("killed");
        job.assert_same("killed", &whole, &format!("killed before step {step} of {steps}"));
    }
}

#[rstest]
fn a_kill_at_any_instant_is_gone_on_from(
    #[values("search", "reduce", "exam", "mark", "study", "show", "explain", "census")] name: &str,
) {
    let job = Job::of(name);
    let started = Instant::now();
    job.run("whole");
    let longest = started.elapsed();
    let whole = contents(&job.out("whole"));
    let mut rng = Pcg64::seed_from_u64(7);
    let mut hits = 0;
    for kill in 0..20 {
        let mut run = job.command("killed").spawn().unwrap();
        std::thread::sleep(longest.mul_f64(rng.random_range(0.0..1.0)));
        run.kill().unwrap();
        hits += u32::from(run.wait().unwrap().code().is_none());
        if kill % 5 == 4 {
            job.run("killed");
            job.assert_same("killed", &whole, &format!("killed {hits} times"));
            std::fs::remove_dir_all(job.out("killed")).unwrap();
        }
    }
    assert!(hits > 2, "only {hits} of 20 kills of {name} hit a run");
}

/// A limit on the size of files stands for a full disk: what is larger cannot be written.
#[rstest]
fn what_cannot_be_written_is_told_and_gone_on_from(
    #[values("search", "reduce", "exam", "study")] name: &str,
) {
    let job = Job::of(name);
    job.run("whole");
    let whole = contents(&job.out("whole"));
    let full = job.limited("trap '' XFSZ; ulimit -f 8", "full");
    let told = text(&full.stderr);
    assert_eq!(full.status.code(), Some(1), "{told}");
    assert!(told.contains("could not write") && told.contains("full"), "{told}");
    assert!(!job.out("full").join("summary.json").exists());
    job.run("full");
    job.assert_same("full", &whole, "after a disk that took no more");
}

/// Files are closed as they are written.
#[rstest]
fn few_open_files_are_enough(
    #[values("search", "reduce", "exam", "mark", "study", "show")] name: &str,
) {
    let job = Job::of(name);
    job.run("whole");
    let whole = contents(&job.out("whole"));
    let few = job.limited("ulimit -n 24", "few");
    assert_eq!(few.status.code(), Some(0), "{}", text(&few.stderr));
    job.assert_same("few", &whole, "with few open files");
}

/// Two at once into one folder: one is refused, or both come one after the other; never a
/// mixture.
#[rstest]
fn two_at_once_do_not_mix(#[values("search", "reduce", "exam", "study")] name: &str) {
    let job = Job::of(name);
    job.run("whole");
    let whole = contents(&job.out("whole"));
    for _ in 0..4 {
        let _ = std::fs::remove_dir_all(job.out("both"));
        let runs = [(); 2].map(|()| job.command("both").spawn().unwrap());
        let ended = runs.map(|run| run.wait_with_output().unwrap());
        let codes = ended.each_ref().map(|run| run.status.code());
        assert!(codes.contains(&Some(0)), "{codes:?}");
        for run in ended.iter().filter(|run| run.status.code() != Some(0)) {
            assert_eq!(run.status.code(), Some(2));
            assert!(text(&run.stderr).contains("another run is at work"), "{}", text(&run.stderr));
        }
        job.assert_same("both", &whole, "two at once");
    }
}
