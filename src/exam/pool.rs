//! The pool: as many items as a brief asks for, kind after kind, each made for itself.

use std::collections::BTreeMap;

use rustc_hash::FxHashSet;

use super::shop::Shop;
use super::{layouts, one_set};
use crate::brief::ExamBrief;
use crate::problem::{Item, Kind, Level};
use crate::teeth::Catalogue;

/// Proposals in a row of which none comes out clean, before a kind gives up.
const PROPOSALS: usize = 200;

/// Items and what became of the kinds.
#[derive(Clone, Debug)]
pub struct Pool {
    /// By rounds over the kinds; names are the kind and a number from 1.
    pub items: Vec<Item>,
    /// Kinds that the numbers of the brief leave no more items of, with how many they gave.
    pub exhausted: Vec<(Kind, usize)>,
}

type Make = fn(&mut Shop<'_>) -> Option<Item>;

/// The generators of a kind at a level, which take turns; none where the brief allows too few
/// sets.
fn generators(kind: Kind, level: Level, sets: u8) -> Vec<Make> {
    use crate::problem::Level::Course;
    let one: Option<Make> = match kind {
        Kind::SixWays => Some(one_set::six_ways),
        Kind::Ratio => Some(one_set::ratio),
        Kind::TwoDriven => Some(one_set::two_driven),
        Kind::Torque => Some(one_set::torque),
        Kind::PlanetSpeed => Some(one_set::planet_speed),
        Kind::Assembly => Some(one_set::assembly),
        Kind::FindTeeth => Some(one_set::find_teeth),
        Kind::LeverDrawing => Some(one_set::lever),
        Kind::Recognise => Some(one_set::recognise),
        Kind::Derive => Some(one_set::derive),
        _ => None,
    };
    let several: Option<Make> = match kind {
        Kind::ShiftTable => Some(layouts::shift_table),
        Kind::FindEngaged => Some(layouts::engaged),
        Kind::CoupledSets => Some(layouts::coupled),
        Kind::Fault => Some(layouts::fault),
        Kind::Efficiency => Some(layouts::efficiency),
        Kind::Ladder => Some(layouts::ladder),
        Kind::Torque if level == Course => Some(layouts::torque),
        Kind::LeverDrawing if level == Course => Some(layouts::lever),
        Kind::Recognise if level == Course => Some(layouts::recognise),
        Kind::Derive if level == Course => Some(layouts::derive),
        _ => None,
    };
    one.into_iter().chain(several.filter(|_| sets > 1)).collect()
}

/// Makes the pool of a brief: one item of each kind in turn until there are enough. No two
/// items say the same.
pub fn pool(brief: &ExamBrief) -> Pool {
    pool_unless(brief, &|| {}, &|| false).expect("nobody stops it")
}

/// As [`pool`], with `tick` called after every item; `None` as soon as `stopped`, which is asked
/// for every proposal, says so.
pub fn pool_unless(brief: &ExamBrief, tick: &dyn Fn(), stopped: &dyn Fn() -> bool) -> Option<Pool> {
    let catalogue = Catalogue::build_unless(&brief.numbers.teeth, stopped)?;
    let bench = |&kind: &Kind| {
        let makes = generators(kind, brief.level, brief.numbers.sets);
        (kind, makes, Shop::new(brief, &catalogue, kind as u64))
    };
    let mut benches: Vec<_> = brief.kinds.iter().map(bench).collect();
    let mut pool = Pool { items: Vec::new(), exhausted: Vec::new() };
    let mut made: BTreeMap<Kind, usize> = BTreeMap::new();
    let mut known = FxHashSet::default();
    while pool.items.len() < brief.pool && !benches.is_empty() {
        benches.retain_mut(|(kind, makes, shop)| {
            if pool.items.len() >= brief.pool {
                return true;
            }
            let count = made.entry(*kind).or_default();
            let fits = |item: &Item| item.topics.iter().any(|topic| brief.topics.contains(topic));
            // Without a generator nothing is proposed, and the kind is exhausted at once.
            let proposals = if makes.is_empty() { 0 } else { PROPOSALS };
            let fresh = (0..proposals)
                .take_while(|_| !stopped())
                .filter_map(|proposal| makes[(*count + proposal) % makes.len()](shop))
                .find(|item| fits(item) && known.insert(fingerprint(item)));
            let Some(item) = fresh else {
                pool.exhausted.push((*kind, *count));
                return false;
            };
            tick();
            *count += 1;
            pool.items.push(Item { id: format!("{}-{count:03}", kind.word()), ..item });
            true
        });
        // What was not proposed any more is not exhausted.
        if stopped() {
            return None;
        }
    }
    Some(pool)
}

/// What makes two items the same: the same question on the same data.
fn fingerprint(item: &Item) -> (String, String, Vec<(String, String)>) {
    (item.skeleton.clone(), item.layout.clone(), item.facts.clone())
}
