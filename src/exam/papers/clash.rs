//! Which bounds clash where there are no papers, and what would help: found by leaving out.

use super::model::{Found, Group, Model, Rules, Side};
use crate::brief::FormsWish;
use crate::problem::Kind;

/// Bounds and rules that cannot all hold; without any one of them the others can.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// Keys of the brief, with what each asks and what would help.
    pub bounds: Vec<ClashingBound>,
    /// Whether already a single paper cannot be.
    pub single: bool,
    /// The most papers that can be, all else kept, where a single one can.
    pub papers: Option<usize>,
}

/// One bound of a clash.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClashingBound {
    /// As it stands in the brief, such as `forms.points`; rules without a key are told in
    /// words.
    pub key: String,
    /// What it asks for, such as "30 to 34".
    pub asks: String,
    /// The nearest value with which papers exist, all else kept.
    pub helps: Option<u32>,
}

impl Clash {
    /// One line a bound, for people.
    pub fn lines(&self) -> Vec<String> {
        let line = |bound: &ClashingBound| {
            let helps = match bound.helps {
                Some(value) => format!("; {value} would do, all else kept"),
                None => String::new(),
            };
            format!("{}: {}{helps}", bound.key, bound.asks)
        };
        let more = self.papers.map(|papers| match papers {
            1 => "forms.forms: one paper is possible".to_owned(),
            _ => format!("forms.forms: {papers} papers are possible"),
        });
        self.bounds.iter().map(line).chain(more).collect()
    }
}

/// The clash of a wish that has no papers; `None` where the work is done before it is found.
pub(super) fn clash(rules: &Rules<'_>, wish: &FormsWish) -> Option<Clash> {
    let exists = |papers: usize, without: &[Group]| -> Option<bool> {
        let all = rules.all();
        match Model::of(rules, &all, papers, None).without(without).solve() {
            Found::Papers(_) => Some(true),
            Found::None => Some(false),
            Found::Undecided => None,
        }
    };
    let single = !exists(1, &[])?;
    let papers = if single { 1 } else { wish.forms };
    // Each rule that is not needed for the clash is left out for good; those that are left
    // clash, and without any of them the others do not.
    let mut without: Vec<Group> = Vec::new();
    for group in rules.groups() {
        without.push(group);
        if exists(papers, &without)? {
            without.pop();
        }
    }
    let clashing = rules.groups().into_iter().filter(|group| !without.contains(group));
    let bounds = clashing.map(|group| told(rules, group, papers)).collect();
    let fewer = (1..wish.forms).rev().find(|&papers| exists(papers, &[]) == Some(true));
    Some(Clash { bounds, single, papers: fewer.filter(|_| !single) })
}

fn told(rules: &Rules<'_>, group: Group, papers: usize) -> ClashingBound {
    let row = rules.bounds.iter().find(|row| row.group == group);
    let asks = match (row, group) {
        (Some(row), _) if row.bounds.least == row.bounds.most => {
            format!("asks for {}", row.bounds.least)
        }
        (Some(row), _) => format!("asks for {} to {}", row.bounds.least, row.bounds.most),
        (None, Group::Enemies) => "keeps kinds apart".to_owned(),
        (None, Group::Skeletons) => {
            "a paper has no question twice; more kinds or a larger pool give more questions"
                .to_owned()
        }
        (None, Group::Plan) => {
            "\"same-plan\" asks for twins of every problem; a larger pool or fewer kinds give more, \
             and \"same-difficulty\" does without"
                .to_owned()
        }
        (None, _) => {
            "no two items share layouts or teeth; a larger pool or wider teeth help".to_owned()
        }
    };
    let all = rules.all();
    let helps = row.and_then(|row| {
        // One side at a time, because a brief that widens both asks for less than it must.
        let value = |side| match Model::of(rules, &all, papers, None).loose(group, side).solve() {
            Found::Papers(found) => {
                let sums =
                    found.iter().map(|paper| paper.iter().map(|&i| row.counts[i]).sum::<u32>());
                if side == Side::Least { sums.min() } else { sums.max() }
            }
            _ => None,
        };
        let off = |value: &u32| {
            row.bounds.least.saturating_sub(*value).max(value.saturating_sub(row.bounds.most))
        };
        [Side::Least, Side::Most]
            .into_iter()
            .filter_map(value)
            .filter(|v| off(v) > 0)
            .min_by_key(off)
    });
    ClashingBound { key: key(group), asks, helps }
}

/// Where a bound stands in the brief.
fn key(group: Group) -> String {
    let of = |table: &str, word: &str| format!("forms.{table}.{word}");
    match group {
        Group::Points => "forms.points".to_owned(),
        Group::Minutes => "forms.minutes".to_owned(),
        Group::Topic(topic) => of("topics", topic.word()),
        Group::Kind(kind) => of("kinds", Kind::word(kind)),
        Group::Answers(form) => of("answers", form.word()),
        Group::Enemies => "forms.enemies".to_owned(),
        Group::Skeletons => "exam.kinds".to_owned(),
        Group::Marks => "exam.pool".to_owned(),
        Group::Plan => "forms.parallel".to_owned(),
    }
}
