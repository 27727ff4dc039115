//! Work that is stopped ends soon, whatever it is at: requests of hours, stopped before they
//! begin and at the first sign of work. What hears no stop hangs here.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use crate::common::exam::brief as exam_brief;
use coaxle::brief::{Brief, ReductionBrief, StudyBrief, no_list};
use coaxle::problem::Level;
use coaxle::search::{Course, Limits, NoLedger};
use coaxle::study::NoStudyLedger;
use coaxle::{Controls, CoreFamily, Error, Mistake, Progress, Quiet, Record, doors};

/// Every set of 6 to 500 teeth: a catalogue of minutes.
const ALL_TEETH: &str = "[teeth]\nsun = [6, 500]\nplanet = [6, 500]\nring = [20, 500]\n";

/// Sets the stop flag at the first tick of a phase, and counts those that come after it.
struct AtFirstTick {
    phase: &'static str,
    is_there: AtomicBool,
    stop: AtomicBool,
    later: AtomicUsize,
}

impl Progress for AtFirstTick {
    fn phase(&self, name: &str, _total: u64) {
        self.is_there.store(name.contains(self.phase), Ordering::Relaxed);
    }

    fn tick(&self, _by: u64) {
        let counts = self.is_there.load(Ordering::Relaxed);
        if counts && self.stop.swap(true, Ordering::Relaxed) {
            self.later.fetch_add(1, Ordering::Relaxed);
        }
    }
}

impl AtFirstTick {
    fn of<T>(phase: &'static str, work: impl FnOnce(&Controls<'_>) -> T) -> T {
        let (is_there, stop, later) = Default::default();
        let told = Self { phase, is_there, stop, later };
        let result = work(&Controls { threads: Some(2), stop: &told.stop, progress: &told });
        assert!(told.stop.load(Ordering::Relaxed), "there was no tick");
        let later = told.later.load(Ordering::Relaxed);
        assert!(later <= 200, "{later} ticks after the stop");
        result
    }
}

/// With the stop flag set before anything is done.
fn at_once<T>(work: impl FnOnce(&Controls<'_>) -> T) -> T {
    let stop = AtomicBool::new(true);
    work(&Controls { threads: Some(2), stop: &stop, progress: &Quiet })
}

/// What a brief with a limit of time makes, which nobody else stops.
fn limited<B>(
    text: &str,
    read: impl Fn(&str, &str) -> Result<B, Mistake>,
    work: impl Fn(&B, &Controls<'_>) -> Result<Record, Error>,
) -> Record {
    let stop = AtomicBool::new(false);
    let controls = Controls { threads: Some(2), stop: &stop, progress: &Quiet };
    work(&read(text, "limited").unwrap(), &controls).unwrap()
}

#[test]
fn a_search() {
    let space = "[space]\nsets = 4\nshafts = 8\nelements = 6\n[gears]\nforward = 9\n";
    let wide = Brief::parse(&format!("{space}{ALL_TEETH}"), "wide").unwrap();
    let stopped = at_once(|controls| doors::search(&wide, controls));
    assert!(matches!(stopped, Err(Error::Interrupted(_))));
    let limit = "[effort]\ntime_limit = 0.05\n";
    let record = limited(&format!("{space}{ALL_TEETH}{limit}"), Brief::parse, doors::search);
    assert!(!record.complete && record.stopped == "time limit" && record.space.layouts == 0);
    assert!(record.coverage[0].starts_with("NOT COMPLETE"), "{:?}", record.coverage);
    assert_eq!(record.coverage.len(), 1, "nothing is said of what was not looked at");
    let usual = Brief::parse(space, "usual").unwrap();
    let record = AtFirstTick::of("searching", |controls| doors::search(&usual, controls));
    let record = record.unwrap();
    assert!(!record.complete && record.stopped == "interrupted");
}

#[test]
fn a_census() {
    for shafts in [9, 12] {
        let family = CoreFamily::plain(4, shafts);
        let stopped = at_once(|controls| doors::census(family, controls));
        assert!(matches!(stopped, Err(Error::Interrupted(_))), "{stopped:?}");
    }
    let family = CoreFamily::plain(3, 9);
    let stopped = AtFirstTick::of("counting", |controls| doors::census(family, controls));
    assert!(matches!(stopped, Err(Error::Interrupted(_))), "{stopped:?}");
}

#[test]
fn a_reduction() {
    let asked = "[ratio]\ntarget = 577.3\ntolerance = 0.0001\n[train]\nsets = [3, 4]\n\
               [room]\nmodules = [0.5, 1.0, 1.5]\n[effort]\ntries = 2000\n";
    let wide = ReductionBrief::parse(&format!("{asked}{ALL_TEETH}"), "wide", no_list).unwrap();
    let stopped = at_once(|controls| doors::reduce(&wide, controls));
    assert!(matches!(stopped, Err(Error::Interrupted(_))));
    let ask = asked.to_owned() + "time_limit = 0.05\n";
    let read = |text: &str, name: &str| ReductionBrief::parse(text, name, no_list);
    let record = limited(&format!("{ask}{ALL_TEETH}"), read, doors::reduce);
    assert!(!record.complete && record.stopped == "time limit" && record.candidates.is_empty());
    assert!(record.coverage[0].starts_with("NOT COMPLETE"), "{:?}", record.coverage);
    let usual = ReductionBrief::parse(asked, "usual", no_list).unwrap();
    let record = AtFirstTick::of("3 sets", |controls| doors::reduce(&usual, controls));
    let record = record.unwrap();
    assert!(!record.complete && record.stopped == "interrupted");
    assert!(record.coverage.iter().all(|told| !told.contains("complete and proved")));
}

#[test]
fn an_exam() {
    let mut brief = exam_brief(Level::Workshop, 4000);
    let stopped = at_once(|controls| doors::exam(&brief, controls));
    assert!(matches!(stopped, Err(Error::Interrupted(_))));
    let stopped = AtFirstTick::of("making items", |controls| doors::exam(&brief, controls));
    assert!(matches!(stopped, Err(Error::Interrupted(_))));
    // A limit of time that is over says so, and names its key.
    brief.forms.seconds = 1e-6;
    let stop = AtomicBool::new(false);
    let controls = Controls { threads: None, stop: &stop, progress: &Quiet };
    let Err(Error::Work(text)) = doors::exam(&brief, &controls) else { panic!("it was chosen") };
    assert!(text.contains("forms.seconds") && text.contains("mend:"), "{text}");
}

#[test]
fn a_study() {
    let brief = StudyBrief::embedded();
    let stopped = at_once(|controls| doors::study(&brief, controls, &mut NoStudyLedger));
    assert!(matches!(stopped, Err(Error::Interrupted(_))));
    let record =
        AtFirstTick::of("searching", |controls| doors::study(&brief, controls, &mut NoStudyLedger));
    let record = record.unwrap();
    assert!(!record.complete && record.stopped == "interrupted");
}

#[test]
fn too_little_memory_is_refused_before_the_work() {
    let stop = AtomicBool::new(false);
    let controls = Controls { threads: Some(1), stop: &stop, progress: &Quiet };
    let limits = Limits::from_now(None, Some(1));
    let course = Course { units: None, limits, ledger: &mut NoLedger };
    let refused = doors::search_course(&Brief::embedded(), &controls, course);
    let Err(Error::Request(mistake)) = refused else { panic!("it was begun") };
    assert_eq!(mistake.key, "--limit-memory");
    assert!(mistake.problem.contains("is 1 MiB"), "{mistake}");
}
