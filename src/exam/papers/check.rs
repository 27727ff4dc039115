//! Papers held against the wish, apart from the model: plain counting.

use std::collections::BTreeSet;

use super::target;
use crate::brief::{Bounds, FormsWish, Parallel};
use crate::problem::{Form, Item};

/// The deviation of `papers`, places in `pool`, from what `wish` wants.
///
/// # Errors
/// The first bound or rule that is broken, in words.
pub fn check(papers: &[Vec<usize>], pool: &[Item], wish: &FormsWish) -> Result<u32, String> {
    if papers.len() != wish.forms {
        return Err(format!("{} papers instead of {}", papers.len(), wish.forms));
    }
    let mut marks = BTreeSet::new();
    let mut taken = BTreeSet::new();
    for (number, paper) in papers.iter().enumerate() {
        let items: Vec<&Item> = paper.iter().map(|&item| &pool[item]).collect();
        check_paper(&items, wish).map_err(|broken| format!("paper {}: {broken}", number + 1))?;
        for (&place, item) in paper.iter().zip(&items) {
            let once = taken.insert(place);
            if !once || !item.marks.iter().all(|mark| marks.insert(mark.clone())) {
                return Err(format!("{} shares layout or numbers with another item", item.id));
            }
        }
    }
    if wish.parallel == Parallel::SamePlan {
        check_plan(papers, pool)?;
    }
    let wanted = target(pool, wish);
    let deviation = |paper: &Vec<usize>| {
        let all: Vec<u32> = paper.iter().map(|&item| pool[item].difficulty()).collect();
        let sum: u32 = all.iter().sum();
        let n = wish.items as u32;
        let spread: u32 = all.iter().map(|d| (n * d).abs_diff(wanted)).sum();
        let off = wish.spread.map_or(0, |spread_wanted| spread.abs_diff(n * spread_wanted) / n);
        off.max(sum.abs_diff(wanted))
    };
    Ok(papers.iter().map(deviation).max().unwrap_or(0))
}

/// Problem by problem the same in all papers, whatever the order: counted on the items, apart
/// from the classes of the model.
fn check_plan(papers: &[Vec<usize>], pool: &[Item]) -> Result<(), String> {
    let plan = |paper: &Vec<usize>| {
        let mut lines: Vec<String> = paper.iter().map(|&item| line(&pool[item])).collect();
        lines.sort_unstable();
        lines
    };
    for (number, paper) in papers.iter().enumerate().skip(1) {
        let (first, other) = (plan(&papers[0]), plan(paper));
        if let Some((one, two)) = first.iter().zip(&other).find(|(one, two)| one != two) {
            return Err(format!("paper {} has {two} where paper 1 has {one}", number + 1));
        }
    }
    Ok(())
}

/// What the plan of a paper says of an item.
fn line(item: &Item) -> String {
    let topics: Vec<&str> = item.topics.iter().map(|topic| topic.word()).collect();
    let answers: Vec<&str> = item.parts.iter().map(|part| Form::word(part.answer.form())).collect();
    format!(
        "{} of {} ({}), {} points, {} min, difficulty {}",
        item.kind.word(),
        topics.join(" and "),
        answers.join(", "),
        item.points(),
        item.minutes(),
        item.difficulty()
    )
}

/// One paper by itself: every bound and rule but marks.
pub(super) fn check_paper(items: &[&Item], wish: &FormsWish) -> Result<(), String> {
    if items.len() != wish.items {
        return Err(format!("{} items instead of {}", items.len(), wish.items));
    }
    let within = |what: &str, sum: u32, bounds: &Bounds| {
        if (bounds.least..=bounds.most).contains(&sum) {
            Ok(())
        } else {
            Err(format!("{what}: {sum} is not from {} to {}", bounds.least, bounds.most))
        }
    };
    let count =
        |test: &dyn Fn(&Item) -> bool| items.iter().filter(|item| test(item)).count() as u32;
    if let Some(bounds) = &wish.points {
        within("points", items.iter().map(|item| item.points()).sum(), bounds)?;
    }
    if let Some(bounds) = &wish.minutes {
        within("minutes", items.iter().map(|item| item.minutes()).sum(), bounds)?;
    }
    for (topic, bounds) in &wish.topics {
        within(topic.word(), count(&|item| item.topics.contains(topic)), bounds)?;
    }
    for (kind, bounds) in &wish.kinds {
        within(kind.word(), count(&|item| item.kind == *kind), bounds)?;
    }
    for (form, bounds) in &wish.answers {
        within(form.word(), count(&|item| item.form() == *form), bounds)?;
    }
    for (one, other) in &wish.enemies {
        if count(&|item| item.kind == *one) > 0 && count(&|item| item.kind == *other) > 0 {
            return Err(format!("{} and {} are enemies", one.word(), other.word()));
        }
    }
    let skeletons: BTreeSet<&str> = items.iter().map(|item| item.skeleton.as_str()).collect();
    if skeletons.len() < items.len() {
        return Err("a question stands twice".to_owned());
    }
    Ok(())
}
