//! The model of one or several papers, for the solver.

use std::collections::BTreeMap;

use good_lp::{Expression, SolverModel as _, Variable, microlp, variable, variables};

use super::twins::Twins;
use crate::brief::{Bounds, FormsWish, Parallel};
use crate::num::Solved;
use crate::problem::{Form, Item, Kind, Topic};
use crate::search::solve_unless;

/// A bound that a brief can loosen, or a rule that it cannot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Group {
    Points,
    Minutes,
    Topic(Topic),
    Kind(Kind),
    Answers(Form),
    Enemies,
    /// No question twice on a paper.
    Skeletons,
    /// No layout and no numbers twice in all papers.
    Marks,
    /// All papers of one plan.
    Plan,
}

/// An end of a bound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Least,
    Most,
}

/// One bound: what it sums, and over which items.
pub(super) struct BoundRow {
    pub group: Group,
    pub bounds: Bounds,
    /// What each item of the pool counts.
    pub counts: Vec<u32>,
}

/// The pool and the wish as numbers.
pub(super) struct Rules<'a> {
    pub pool: &'a [Item],
    pub wish: &'a FormsWish,
    pub target: u32,
    pub difficulty: Vec<u32>,
    pub bounds: Vec<BoundRow>,
    /// Items by skeleton and by mark.
    skeletons: Vec<Vec<usize>>,
    marks: Vec<Vec<usize>>,
    /// Items that may stand for each other in papers of one plan.
    pub twins: Twins,
    /// Asked by all that can last.
    pub stopped: &'a dyn Fn() -> bool,
}

/// What a model gave.
pub(super) enum Found {
    Papers(Vec<Vec<usize>>),
    /// Proved: there are none.
    None,
    /// The work was done, or it was stopped.
    Undecided,
}

impl<'a> Rules<'a> {
    pub fn of(
        pool: &'a [Item],
        wish: &'a FormsWish,
        target: u32,
        stopped: &'a dyn Fn() -> bool,
    ) -> Self {
        let counts = |count: &dyn Fn(&Item) -> u32| pool.iter().map(count).collect::<Vec<u32>>();
        let row = |group, bounds, counts| BoundRow { group, bounds, counts };
        let mut bounds = Vec::new();
        bounds.extend(wish.points.map(|b| row(Group::Points, b, counts(&Item::points))));
        bounds.extend(wish.minutes.map(|b| row(Group::Minutes, b, counts(&Item::minutes))));
        bounds.extend(wish.topics.iter().map(|&(topic, b)| {
            row(Group::Topic(topic), b, counts(&|item| u32::from(item.topics.contains(&topic))))
        }));
        bounds.extend(wish.kinds.iter().map(|&(kind, b)| {
            row(Group::Kind(kind), b, counts(&|item| u32::from(item.kind == kind)))
        }));
        bounds.extend(wish.answers.iter().map(|&(form, b)| {
            row(Group::Answers(form), b, counts(&|item| u32::from(item.form() == form)))
        }));
        let skeleton = |item: &Item| vec![item.skeleton.clone()];
        Self {
            pool,
            wish,
            target,
            difficulty: pool.iter().map(Item::difficulty).collect(),
            bounds,
            skeletons: grouped(pool, skeleton),
            marks: grouped(pool, |item| item.marks.clone()),
            twins: Twins::of(pool),
            stopped,
        }
    }

    pub fn all(&self) -> Vec<usize> {
        (0..self.pool.len()).collect()
    }

    /// A deviation that no paper exceeds.
    pub fn widest(&self) -> u32 {
        let most = self.difficulty.iter().max().copied().unwrap_or(0);
        most * self.wish.items as u32 + self.target + self.wish.spread.unwrap_or(0)
    }

    /// Whether two items are the same or have a mark in common.
    pub fn share(&self, a: usize, b: usize) -> bool {
        let (a_marks, b_marks) = (&self.pool[a].marks, &self.pool[b].marks);
        a == b || a_marks.iter().any(|mark| b_marks.contains(mark))
    }

    /// n times how far an item's difficulty is from the mean that is wanted: whole numbers.
    pub fn distance(&self, item: usize) -> u32 {
        (self.wish.items as u32 * self.difficulty[item]).abs_diff(self.target)
    }

    /// How far the worst paper is from what is wanted, in whole difficulty points.
    pub fn deviation(&self, papers: &[Vec<usize>]) -> u32 {
        papers.iter().map(|paper| self.off(paper).0).max().unwrap_or(0)
    }

    /// How far a paper is from what is wanted: in whole difficulty points, and in n-ths of
    /// them all that is off, difficulty and spread together.
    pub fn off(&self, paper: &[usize]) -> (u32, u32) {
        let n = self.wish.items as u32;
        let sum: u32 = paper.iter().map(|&item| self.difficulty[item]).sum();
        let sum = sum.abs_diff(self.target);
        let spread = self.wish.spread.map_or(0, |wanted| {
            let spread: u32 = paper.iter().map(|&item| self.distance(item)).sum();
            spread.abs_diff(wanted * n)
        });
        (sum.max(spread / n), n * sum + spread)
    }

    /// Whether all papers are to have one plan.
    pub fn is_plan(&self) -> bool {
        self.wish.parallel == Parallel::SamePlan && self.wish.forms > 1
    }

    /// Easy items first, then by kind: papers of one plan have twins at each place.
    pub fn in_order(&self, mut paper: Vec<usize>) -> Vec<usize> {
        paper.sort_by_key(|&item| {
            let one = &self.pool[item];
            let twins = self.twins.class(item);
            (self.difficulty[item], one.kind, twins, one.skeleton.clone(), one.id.clone())
        });
        paper
    }

    /// Every rule and bound there is, in the order in which they are tried for a clash.
    pub fn groups(&self) -> Vec<Group> {
        let mut all: Vec<Group> = self.bounds.iter().map(|row| row.group).collect();
        if !self.wish.enemies.is_empty() {
            all.push(Group::Enemies);
        }
        all.extend([Group::Skeletons, Group::Marks]);
        if self.is_plan() {
            all.push(Group::Plan);
        }
        all
    }
}

/// Items of each value that `key` gives them; values of one item only bind nothing.
fn grouped(pool: &[Item], keys: impl Fn(&Item) -> Vec<String>) -> Vec<Vec<usize>> {
    let mut groups: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (index, item) in pool.iter().enumerate() {
        for key in keys(item) {
            groups.entry(key).or_default().push(index);
        }
    }
    groups.into_values().collect()
}

/// Some papers from some items under some of the rules.
pub(super) struct Model<'a> {
    rules: &'a Rules<'a>,
    items: &'a [usize],
    papers: usize,
    /// Most deviation, if it matters.
    within: Option<u32>,
    /// Rules that do not hold.
    without: &'a [Group],
    /// A bound that may be missed on one side by a slack, which is then made as small as can
    /// be.
    loose: Option<(Group, Side)>,
}

impl<'a> Model<'a> {
    pub fn of(
        rules: &'a Rules<'a>,
        items: &'a [usize],
        papers: usize,
        within: Option<u32>,
    ) -> Self {
        Self { rules, items, papers, within, without: &[], loose: None }
    }

    pub fn without(self, without: &'a [Group]) -> Self {
        Self { without, ..self }
    }

    pub fn loose(self, group: Group, side: Side) -> Self {
        Self { loose: Some((group, side)), ..self }
    }

    fn holds(&self, group: Group) -> bool {
        !self.without.contains(&group)
    }

    /// Whether papers exist; with a loose bound those that miss it least.
    pub fn solve(&self) -> Found {
        let mut vars = variables!();
        let x: Vec<Vec<Variable>> = (0..self.papers)
            .map(|_| self.items.iter().map(|_| vars.add(variable().binary())).collect())
            .collect();
        let slack = vars.add(variable().min(0.0));
        let enemies: Vec<Vec<Variable>> = (0..self.papers)
            .map(|_| {
                self.rules.wish.enemies.iter().map(|_| vars.add(variable().binary())).collect()
            })
            .collect();
        let objective = if self.loose.is_some() { Expression::from(slack) } else { 0.into() };
        let mut model = vars.minimise(objective).using(microlp);
        for (paper, enemies) in x.iter().zip(&enemies) {
            for row in self.paper_rows(paper, enemies, slack) {
                model.add_constraint(row);
            }
        }
        for row in self.shared_rows(&x) {
            model.add_constraint(row);
        }
        match solve_unless(&model, self.rules.wish.work, self.rules.stopped) {
            Solved::Optimal(values) => self.papers_of(&values),
            Solved::Infeasible => Found::None,
            // When its work is done the solver hands out what it has: that is not the best.
            Solved::Feasible(_) | Solved::Undecided => Found::Undecided,
        }
    }

    /// The papers that these values of the variables make, which begin with x.
    fn papers_of(&self, values: &[f64]) -> Found {
        let taken = |paper: &[f64]| -> Vec<usize> {
            let pairs = self.items.iter().zip(paper);
            pairs.filter(|(_, x)| **x > 0.5).map(|(&item, _)| item).collect()
        };
        let papers: Vec<Vec<usize>> =
            values.chunks(self.items.len()).take(self.papers).map(taken).collect();
        match papers.iter().all(|paper| paper.len() == self.rules.wish.items) {
            true => Found::Papers(papers),
            false => Found::Undecided,
        }
    }

    /// Σ count · x over the items of the model.
    fn sum(&self, paper: &[Variable], count: impl Fn(usize) -> u32) -> Expression {
        let terms = self.items.iter().zip(paper).map(|(&item, &x)| (f64::from(count(item)), x));
        terms.filter(|(count, _)| *count != 0.0).map(|(count, x)| count * x).sum()
    }

    /// What each paper must keep by itself.
    fn paper_rows(
        &self,
        paper: &[Variable],
        enemies: &[Variable],
        slack: Variable,
    ) -> Vec<good_lp::Constraint> {
        let (rules, wish) = (self.rules, self.rules.wish);
        let n = wish.items as f64;
        let mut rows = vec![self.sum(paper, |_| 1).eq(n)];
        for row in rules.bounds.iter().filter(|row| self.holds(row.group)) {
            let sum = self.sum(paper, |item| row.counts[item]);
            let slack = |side| -> Expression {
                if self.loose == Some((row.group, side)) { slack.into() } else { 0.into() }
            };
            rows.push((sum.clone() - slack(Side::Most)).leq(f64::from(row.bounds.most)));
            rows.push((sum + slack(Side::Least)).geq(f64::from(row.bounds.least)));
        }
        if self.holds(Group::Enemies) {
            for (&(one, other), &which) in wish.enemies.iter().zip(enemies) {
                let of = |kind: Kind| self.sum(paper, |i| u32::from(rules.pool[i].kind == kind));
                rows.push((of(one) + n * which).leq(n));
                rows.push((of(other) - n * which).leq(0.0));
            }
        }
        if self.holds(Group::Skeletons) {
            rows.extend(self.at_most_one(&rules.skeletons, &[paper]));
        }
        if let Some(within) = self.within {
            rows.extend(self.target_rows(paper, f64::from(within)));
        }
        rows
    }

    fn target_rows(&self, paper: &[Variable], within: f64) -> Vec<good_lp::Constraint> {
        let rules = self.rules;
        let target = f64::from(rules.target);
        let sum = self.sum(paper, |item| rules.difficulty[item]);
        let mut rows = vec![sum.clone().leq(target + within), sum.geq(target - within)];
        if let Some(spread) = rules.wish.spread {
            let n = rules.wish.items as f64;
            let sum = self.sum(paper, |item| rules.distance(item));
            let wanted = n * f64::from(spread);
            // Less than a whole point is none.
            let within = n * within + n - 1.0;
            rows.push(sum.clone().leq(wanted + within));
            rows.push(sum.geq(wanted - within));
        }
        rows
    }

    /// What the papers must keep together.
    fn shared_rows(&self, x: &[Vec<Variable>]) -> Vec<good_lp::Constraint> {
        let papers: Vec<&[Variable]> = x.iter().map(Vec::as_slice).collect();
        let mut rows = Vec::new();
        if self.papers > 1 {
            let each: Vec<Vec<usize>> = self.items.iter().map(|&item| vec![item]).collect();
            rows.extend(self.at_most_one(&each, &papers));
        }
        if self.holds(Group::Marks) {
            rows.extend(self.at_most_one(&self.rules.marks, &papers));
        }
        if self.rules.is_plan() && self.holds(Group::Plan) {
            rows.extend(self.plan_rows(&papers));
        }
        rows
    }

    /// As many items of each class of twins in every paper as in the first.
    fn plan_rows(&self, papers: &[&[Variable]]) -> Vec<good_lp::Constraint> {
        let classes = self.rules.twins.classes();
        let sum = |paper: &[Variable], class: &[usize]| -> Expression {
            let places = class.iter().filter_map(|item| self.items.binary_search(item).ok());
            places.map(|place| paper[place]).sum()
        };
        let pairs = papers.iter().skip(1).flat_map(|paper| {
            classes.iter().map(|class| (sum(paper, class) - sum(papers[0], class)).eq(0.0))
        });
        pairs.collect()
    }

    /// At most one item of each group in these papers together.
    fn at_most_one(
        &self,
        groups: &[Vec<usize>],
        papers: &[&[Variable]],
    ) -> Vec<good_lp::Constraint> {
        let place = |item: &usize| self.items.binary_search(item).ok();
        let rows = groups.iter().filter_map(|group| {
            let places: Vec<usize> = group.iter().filter_map(place).collect();
            let binds = places.len() * papers.len() > 1;
            let all = papers.iter().flat_map(|paper| places.iter().map(|&place| paper[place]));
            binds.then(|| all.sum::<Expression>().leq(1.0))
        });
        rows.collect()
    }
}
