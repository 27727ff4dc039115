//! The record of a run: counts as they come, the funnel, the front.

use std::cmp::Ordering;
use std::ops::Range;

use rustc_hash::FxHashSet;

use super::rounds::{Contender, Proof};
use super::settle::Finding;
use super::sift::SiftCount;
use super::unit::{Spent, UnitRecord};
use super::watch::Stop;
use crate::brief::Brief;
use crate::front::{covering, distances_to_first, pareto};
use crate::score::{Better, Criterion};
use crate::teeth::Catalogue;

/// What a run found, and the record of how.
#[derive(Clone, Debug)]
pub struct Findings {
    pub stop: Stop,
    pub units: UnitCount,
    pub spent: Spent,
    pub cores: u64,
    pub layouts: u64,
    pub states: u64,
    /// The funnel, in order.
    pub passages: Vec<Passage>,
    /// Classes of twins left undecided because the effort of the brief was spent.
    pub undecided: u64,
    /// Of these, classes that are too many to be held against the front.
    pub uncounted: u64,
    /// What is proved of the front.
    pub proof: Proof,
    /// Classes solved over all teeth of the catalogue, and by a pattern search over them.
    pub solved: (u64, u64),
    /// Teeth: sets in the catalogue and their different base ratios.
    pub catalogue: (usize, usize),
    /// Front first; the rest from the evenest to the least even.
    pub findings: Vec<Finding>,
    /// How many of `findings` are the front.
    pub front: usize,
    /// How many findings there were before the brief's `keep` cut them.
    pub found: usize,
}

/// Units of work: those asked for and all that the brief makes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnitCount {
    pub asked: Range<usize>,
    pub all: usize,
    /// Of those asked for, how many were finished, the first ones.
    pub done: usize,
}

impl UnitCount {
    /// Whether only a part was asked for.
    pub fn is_part(&self) -> bool {
        self.asked.len() < self.all
    }
}

/// One test of the funnel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Passage {
    pub test: &'static str,
    pub entered: u64,
    pub left: u64,
    pub why: &'static str,
}

impl Findings {
    /// Of a run that was stopped before it had a plan.
    pub fn before_the_plan(stop: Stop) -> Self {
        Self {
            stop,
            units: UnitCount { asked: 0..0, all: 0, done: 0 },
            spent: Spent::default(),
            cores: 0,
            layouts: 0,
            states: 0,
            passages: Vec::new(),
            undecided: 0,
            uncounted: 0,
            proof: Proof::default(),
            solved: (0, 0),
            catalogue: (0, 0),
            findings: Vec::new(),
            front: 0,
            found: 0,
        }
    }

    /// Whether the run was stopped before it had a plan, and so has searched nothing.
    pub fn has_no_plan(&self) -> bool {
        self.units.all == 0
    }
}

/// Test that all fell at which came to their end without teeth or gears that serve.
pub const NO_TEETH: &str = "ladder and limits";

/// Counts as they come.
#[derive(Default)]
pub struct Tally {
    cores: u64,
    states: u64,
    sifted: SiftCount,
    no_ladder: u64,
    no_teeth: u64,
    not_nested: u64,
    /// Layouts of classes in which nothing is better than the front, and that were not given
    /// teeth before.
    behind: u64,
    not_reached: u64,
    undecided: u64,
    /// Marks of the undecided classes, with their families.
    undecided_classes: FxHashSet<(usize, u64)>,
    /// Undecided classes of which more is known, the contest's.
    left_open: u64,
    /// Layouts, and classes of them.
    solved: (u64, u64),
    /// Classes solved over all teeth of the catalogue.
    complete: u64,
    /// Layouts whose class gave at least one finding, and classes.
    served: (u64, u64),
}

impl Tally {
    /// `new_cores`: whether the cores of the unit were not counted yet for another number
    /// of elements.
    pub fn unit(&mut self, record: &UnitRecord, family: usize, new_cores: bool) {
        self.sifted.add(&record.sifted);
        self.no_ladder += record.no_ladder;
        self.no_teeth += record.no_teeth;
        self.not_nested += record.not_nested;
        self.not_reached += record.not_reached;
        self.undecided += record.undecided;
        let marks = record.undecided_classes.iter();
        self.undecided_classes.extend(marks.map(|&mark| (family, mark)));
        if new_cores {
            self.cores += record.cores;
            self.states += record.states;
        }
    }

    /// A class of all units together. `served`: whether it gave a finding, `None` where the
    /// run was stopped before that was known.
    pub fn class(&mut self, contender: &Contender<'_>, served: Option<bool>) {
        let Contender { class, found, .. } = contender;
        let ended = contender.ended();
        let layouts = class.members.len() as u64;
        let Some(served) = served else {
            self.not_reached += layouts;
            return;
        };
        if !served && ended {
            self.behind += layouts;
            return;
        }
        if class.solutions.is_empty() && found.is_empty() {
            self.undecided += layouts;
            self.left_open += 1;
            return;
        }
        let count = |(layouts, classes): &mut (u64, u64)| {
            *layouts += class.members.len() as u64;
            *classes += 1;
        };
        count(&mut self.solved);
        if served {
            count(&mut self.served);
        }
        self.complete += u64::from(class.complete || ended);
    }

    pub fn close(
        self,
        brief: &Brief,
        mut findings: Vec<Finding>,
        catalogue: &Catalogue,
        units: UnitCount,
        stop: Stop,
        proof: Proof,
    ) -> Findings {
        let mut passages = self.passages(findings.is_empty());
        let last = passages[passages.len() - 1].left;
        let found = findings.len();
        passages.push(Passage {
            test: "teeth and gears",
            entered: last,
            left: found as u64,
            why: "each class of twins once, with each of its best tooth counts (may be several)",
        });
        let front = order_by_front(brief, &mut findings);
        show_first(brief, &mut findings, front);
        passages.push(Passage {
            test: "front",
            entered: found as u64,
            left: front as u64,
            why: "no other is at least as good in every objective and better in one",
        });
        keep_nearest(brief, &mut findings, front);
        Findings {
            stop,
            units,
            spent: Spent::default(),
            cores: self.cores,
            layouts: self.sifted.layouts,
            states: self.states,
            passages,
            solved: (self.complete, self.solved.1 - self.complete),
            undecided: self.undecided_classes.len() as u64 + self.left_open,
            uncounted: self.undecided_classes.len() as u64,
            proof,
            catalogue: (catalogue.entries().len(), catalogue.len()),
            findings,
            front,
            found,
        }
    }

    /// The funnel of layouts, then of classes. `nothing`: whether nothing at all was found.
    fn passages(&self, nothing: bool) -> Vec<Passage> {
        let mut left = self.sifted.layouts;
        let falls = self.fallen_in_sift().into_iter().chain(self.fallen_later(nothing));
        let passage = |(test, fallen, why): Fall| {
            let entered = left;
            left -= fallen.min(left);
            Passage { test, entered, left, why }
        };
        let mut passages: Vec<Passage> = falls.map(passage).collect();
        let seldom = ["not reached", "limits", "one axis", "the front", NO_TEETH];
        passages.retain(|p| p.entered != p.left || !seldom.contains(&p.test));
        passages
    }

    /// What fell before any teeth were looked for.
    fn fallen_in_sift(&self) -> [Fall; 4] {
        [
            (
                "different useful ratios",
                self.sifted.too_few,
                "as many different live ratio functions as gears are wanted, each of which may be \
                 a gear somewhere in the catalogue; exact algebra, proved bounds",
            ),
            (
                "mirror images",
                self.sifted.mirrored,
                "one of each set that a symmetry of the core maps on another; exact",
            ),
            (
                "directions and windows",
                self.sifted.windows,
                "some cell of base ratios gives every gear a state within its window; proved by \
                 bounds",
            ),
            (
                "one axis",
                self.not_nested,
                "sets, shafts and elements can be put on one axis without crossings (the nesting \
                 test: necessary, not sufficient); exact",
            ),
        ]
    }

    fn fallen_later(&self, nothing: bool) -> [Fall; 7] {
        // Without a front to be behind, nothing at all may be in these.
        let (test, why) = match nothing {
            true => (
                NO_TEETH,
                "some base ratios of the catalogue and some choice of gears make the ladder and keep \
                 the limits; proved by bounds and trial",
            ),
            false => (
                "the front",
                "whatever base ratios of the catalogue these had, the front would be at least as \
                 good in spread, steps and counts of parts (within the gap that is told); proved by \
                 bounds and trial; whether any serve was not asked",
            ),
        };
        let (limits, twins) = (self.solved.0 - self.served.0, self.served.0 - self.served.1);
        [
            ("not reached", self.not_reached, "the run stopped before these were tried"),
            (
                "ladder in a cell",
                self.no_ladder,
                "some cell of base ratios can hold the ladder of gears; proved by bounds",
            ),
            (
                "ladder in the catalogue",
                self.no_teeth,
                "some base ratios of the catalogue give the ladder; proved by bounds and trial",
            ),
            ("undecided", self.undecided, "teeth were found before the effort was spent"),
            (test, self.behind, why),
            (
                "limits",
                limits,
                "exact ratios meet the ladder and the scores meet the brief's limits",
            ),
            ("twins", twins, "one of each class with the same ratio in every state"),
        ]
    }
}

/// A test of the funnel, how many fell at it, and what it asks.
type Fall = (&'static str, u64, &'static str);

/// Sorts the front to the beginning and returns its length.
///
/// A layout with an element that no gear uses is never on the front while there are
/// others: without that element it does the same. Of several with the same objectives one is.
fn order_by_front(brief: &Brief, findings: &mut Vec<Finding>) -> usize {
    let points: Vec<Vec<f64>> = findings.iter().map(|f| objectives_of(brief, f)).collect();
    let useful = findings.iter().any(|finding| !finding.spare_element);
    let eligible: Vec<usize> =
        (0..findings.len()).filter(|&i| !(useful && findings[i].spare_element)).collect();
    let eligible_points: Vec<Vec<f64>> = eligible.iter().map(|&i| points[i].clone()).collect();
    let mut on_front = vec![false; findings.len()];
    for place in pareto(&eligible_points) {
        on_front[eligible[place]] = true;
    }
    let mut order: Vec<usize> = (0..findings.len()).collect();
    order.sort_by(|&a, &b| {
        let by_objectives = points[a].iter().zip(&points[b]).map(|(x, y)| x.total_cmp(y));
        on_front[b]
            .cmp(&on_front[a])
            .then_with(|| by_objectives.fold(Ordering::Equal, Ordering::then))
            .then_with(|| findings[a].canonical.cmp(&findings[b].canonical))
            .then_with(|| a.cmp(&b))
    });
    // Of those that do the same, the first stands for all; a study counts each.
    let front = on_front.iter().filter(|on| **on).count();
    let held = if brief.effort.contest { front } else { 0 };
    for place in 1..held {
        let (before, this) = (order[place - 1], order[place]);
        on_front[this] = points[before] != points[this];
    }
    order.sort_by_key(|&index| !on_front[index]);
    let mut slots: Vec<Option<Finding>> = std::mem::take(findings).into_iter().map(Some).collect();
    findings.extend(order.iter().filter_map(|&index| slots[index].take()));
    on_front.into_iter().filter(|on| *on).count()
}

/// Puts those of the front first that a reader is shown: its ends, and of the rest those that
/// cover it evenly. Both parts stay in the order of the front.
fn show_first(brief: &Brief, findings: &mut [Finding], front: usize) {
    let points: Vec<Vec<f64>> =
        findings[..front].iter().map(|finding| objectives_of(brief, finding)).collect();
    let mut hidden = vec![true; front];
    covering(&points, brief.show).into_iter().for_each(|index| hidden[index] = false);
    let mut places: Vec<usize> = (0..front).collect();
    places.sort_by_key(|&place| hidden[place]);
    let ordered: Vec<Finding> = places.iter().map(|&place| findings[place].clone()).collect();
    findings[..front].clone_from_slice(&ordered);
}

/// Drops what lies farthest from the front, the first `front` findings, until no more are
/// left than the brief keeps; the order stays.
fn keep_nearest(brief: &Brief, findings: &mut Vec<Finding>, front: usize) {
    let kept = brief.effort.keep.max(front);
    if findings.len() <= kept {
        return;
    }
    let points: Vec<Vec<f64>> = findings.iter().map(|f| objectives_of(brief, f)).collect();
    let distances = distances_to_first(&points, front);
    let mut nearest: Vec<usize> = (0..findings.len()).collect();
    // The front comes first also where others have the same scores.
    nearest.sort_by(|&a, &b| {
        (a >= front).cmp(&(b >= front)).then(distances[a].total_cmp(&distances[b])).then(a.cmp(&b))
    });
    let mut keep = vec![false; findings.len()];
    nearest[..kept].iter().for_each(|&index| keep[index] = true);
    let mut keep = keep.into_iter();
    findings.retain(|_| keep.next().unwrap_or(false));
}

/// The brief's objectives, lower being better, rounded to the six decimals that tables print;
/// infinite where a score does not apply.
fn objectives_of(brief: &Brief, finding: &Finding) -> Vec<f64> {
    let objective = |criterion: &Criterion| {
        let place = Criterion::ALL.iter().position(|other| other == criterion);
        let score = place.and_then(|place| finding.scores[place]);
        let sign = if criterion.better() == Better::Higher { -1.0 } else { 1.0 };
        score.map_or(f64::INFINITY, |score| (sign * score * 1e6).round() / 1e6)
    };
    brief.objectives.iter().map(objective).collect()
}
