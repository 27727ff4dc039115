//! Twins: items that ask the same with other numbers, so that papers of one plan can have one
//! each; and papers filled with them.

use std::collections::BTreeMap;

use super::model::Rules;
use crate::problem::{Form, Item, Kind, Topic};

/// What twins have in common: kind, topics, form and points of each part, minutes, difficulty.
type Likeness = (u32, Kind, Vec<Topic>, Vec<(Form, u32)>, u32);

fn likeness(item: &Item) -> Likeness {
    let parts = item.parts.iter().map(|part| (part.answer.form(), part.points())).collect();
    (item.difficulty(), item.kind, item.topics.clone(), parts, item.minutes())
}

/// The pool in classes of twins.
pub(super) struct Twins {
    /// Of each item its class.
    class: Vec<usize>,
    /// Items of each class, in the order of the pool.
    classes: Vec<Vec<usize>>,
    /// Marks of each item by number, and how many marks there are.
    marks: Vec<Vec<usize>>,
    count: usize,
}

impl Twins {
    pub fn of(pool: &[Item]) -> Self {
        let mut alike: BTreeMap<Likeness, Vec<usize>> = BTreeMap::new();
        for (index, item) in pool.iter().enumerate() {
            alike.entry(likeness(item)).or_default().push(index);
        }
        let classes: Vec<Vec<usize>> = alike.into_values().collect();
        let mut class = vec![0; pool.len()];
        for (number, items) in classes.iter().enumerate() {
            items.iter().for_each(|&item| class[item] = number);
        }
        let mut numbers: BTreeMap<&str, usize> = BTreeMap::new();
        let marks = pool.iter().map(|item| {
            let number = |mark| {
                let next = numbers.len();
                *numbers.entry(mark).or_insert(next)
            };
            item.marks.iter().map(String::as_str).map(number).collect()
        });
        let marks = marks.collect();
        Self { class, classes, marks, count: numbers.len() }
    }

    pub fn class(&self, item: usize) -> usize {
        self.class[item]
    }

    pub fn classes(&self) -> &[Vec<usize>] {
        &self.classes
    }

    /// Items that have twins enough for every paper: no other can stand in papers of one plan.
    pub fn enough(&self, papers: usize) -> Vec<usize> {
        let fits = |item: &usize| self.classes[self.class[*item]].len() >= papers;
        (0..self.class.len()).filter(fits).collect()
    }
}

/// Steps of the search for twins before it is given up: what is left is asked of the model.
const MOST_STEPS: usize = 50_000;

/// Papers of the plan of `first`, which is the first or near it; `None` where a counted search
/// finds none, which is no proof that there are none.
pub(super) fn filled(rules: &Rules<'_>, first: &[usize]) -> Option<Vec<Vec<usize>>> {
    let twins = &rules.twins;
    let mut slots = first.to_vec();
    // Where there is little choice first.
    slots.sort_by_key(|&item| (twins.classes[twins.class(item)].len(), item));
    let papers = rules.wish.forms;
    let mut filling = Filling {
        rules,
        slots: &slots,
        papers: vec![Vec::new(); papers],
        used: vec![false; twins.count],
        taken: vec![false; rules.pool.len()],
        steps: 0,
    };
    filling.from(0).then_some(filling.papers)
}

/// Papers as they fill up, slot by slot and in each slot paper by paper.
struct Filling<'a> {
    rules: &'a Rules<'a>,
    slots: &'a [usize],
    papers: Vec<Vec<usize>>,
    used: Vec<bool>,
    taken: Vec<bool>,
    steps: usize,
}

impl Filling<'_> {
    /// Fills all cells from `cell` on; leaves the papers as they were where it cannot.
    fn from(&mut self, cell: usize) -> bool {
        let forms = self.papers.len();
        let Some(&wanted) = self.slots.get(cell / forms) else { return true };
        let paper = cell % forms;
        for item in self.candidates(wanted) {
            self.steps += 1;
            if self.steps > MOST_STEPS || (self.rules.stopped)() {
                return false;
            }
            if self.fits(item, paper) {
                self.put(item, paper, true);
                if self.from(cell + 1) {
                    return true;
                }
                self.put(item, paper, false);
            }
        }
        false
    }

    /// Twins of an item, itself first, then those of its question.
    fn candidates(&self, wanted: usize) -> Vec<usize> {
        let (twins, pool) = (&self.rules.twins, self.rules.pool);
        let mut all = twins.classes[twins.class(wanted)].clone();
        all.sort_by_key(|&item| {
            (item != wanted, pool[item].skeleton != pool[wanted].skeleton, item)
        });
        all
    }

    fn fits(&self, item: usize, paper: usize) -> bool {
        let pool = self.rules.pool;
        let asked = |&other: &usize| pool[other].skeleton == pool[item].skeleton;
        let marks = &self.rules.twins.marks[item];
        !self.taken[item]
            && !marks.iter().any(|&mark| self.used[mark])
            && !self.papers[paper].iter().any(asked)
    }

    fn put(&mut self, item: usize, paper: usize, there: bool) {
        self.taken[item] = there;
        for &mark in &self.rules.twins.marks[item] {
            self.used[mark] = there;
        }
        match there {
            true => self.papers[paper].push(item),
            false => _ = self.papers[paper].pop(),
        }
    }
}
