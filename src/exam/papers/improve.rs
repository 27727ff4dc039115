//! A paper made nearer by exchanging one or two of its items: a quick way to what the model
//! would prove. It only ever keeps what meets every bound.

use super::check::check_paper;
use super::model::Rules;
use crate::problem::Item;

/// The paper with items exchanged for others of `left` until it is within `enough` of what is
/// wanted or no exchange of one or two items brings it nearer. `left` are items that share
/// nothing with other papers.
pub(super) fn improved(
    rules: &Rules<'_>,
    mut paper: Vec<usize>,
    left: &[usize],
    enough: u32,
) -> Vec<usize> {
    while rules.off(&paper).0 > enough && !(rules.stopped)() {
        let Some(nearer) = one(rules, &paper, left).or_else(|| two(rules, &paper, left)) else {
            break;
        };
        paper = nearer;
    }
    paper
}

/// The nearest paper by one exchange, if it is nearer.
fn one(rules: &Rules<'_>, paper: &[usize], left: &[usize]) -> Option<Vec<usize>> {
    let places = 0..paper.len();
    let all = places.flat_map(|place| left.iter().map(move |&item| (place, item)));
    let exchanged = all.map(|(place, item)| {
        let mut other = paper.to_vec();
        other[place] = item;
        other
    });
    nearest(rules, paper, exchanged)
}

/// Exchanges of two items that are tried for one that is nearer: in a large pool there are more
/// than anybody can wait for, and the model decides what is left.
const MOST_PAIRS: usize = 20_000_000;

/// The first nearer paper by two exchanges.
fn two(rules: &Rules<'_>, paper: &[usize], left: &[usize]) -> Option<Vec<usize>> {
    let pairs = (0..paper.len()).flat_map(|a| (a + 1..paper.len()).map(move |b| (a, b)));
    let now = rules.off(paper);
    let (mut other, mut tried) = (paper.to_vec(), 0);
    for (a, b) in pairs {
        for (index, &first) in left.iter().enumerate() {
            if tried >= MOST_PAIRS || (rules.stopped)() {
                return None;
            }
            tried += left.len() - index;
            for &second in &left[index + 1..] {
                (other[a], other[b]) = (first, second);
                if rules.off(&other) < now && stands(rules, &other) {
                    return Some(other);
                }
            }
        }
        (other[a], other[b]) = (paper[a], paper[b]);
    }
    None
}

fn nearest(
    rules: &Rules<'_>,
    paper: &[usize],
    others: impl Iterator<Item = Vec<usize>>,
) -> Option<Vec<usize>> {
    let (mut best, mut now) = (None, rules.off(paper));
    for other in others {
        let off = rules.off(&other);
        if off < now && stands(rules, &other) {
            (best, now) = (Some(other), off);
        }
    }
    best
}

/// Whether a paper meets every bound and shares nothing within itself.
fn stands(rules: &Rules<'_>, paper: &[usize]) -> bool {
    let items: Vec<&Item> = paper.iter().map(|&item| &rules.pool[item]).collect();
    let apart = |(index, &item): (usize, &usize)| {
        paper[index + 1..].iter().all(|&other| !rules.share(item, other))
    };
    check_paper(&items, rules.wish).is_ok() && paper.iter().enumerate().all(apart)
}
