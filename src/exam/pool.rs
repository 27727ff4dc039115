//! The pool: as many items as a brief asks for, kind after kind, each made for itself.

use std::collections::BTreeMap;

use rustc_hash::FxHashSet;

use super::one_set;
use super::shop::Shop;
use crate::brief::ExamBrief;
use crate::problem::{Item, Kind};
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

/// The generator of a kind.
fn generator(kind: Kind) -> Option<Make> {
    Some(match kind {
        Kind::SixWays => one_set::six_ways,
        Kind::Ratio => one_set::ratio,
        Kind::TwoDriven => one_set::two_driven,
        Kind::Torque => one_set::torque,
        Kind::PlanetSpeed => one_set::planet_speed,
        Kind::Assembly => one_set::assembly,
        Kind::FindTeeth => one_set::find_teeth,
        Kind::LeverDrawing => one_set::lever,
        Kind::Recognise => one_set::recognise,
        Kind::Derive => one_set::derive,
        _ => return None,
    })
}

/// Makes the pool of a brief: one item of each kind in turn until there are enough. No two
/// items say the same.
pub fn pool(brief: &ExamBrief) -> Pool {
    let catalogue = Catalogue::build(&brief.numbers.teeth);
    let bench = |&kind: &Kind| {
        let make = generator(kind)?;
        Some((kind, make, Shop::new(brief, &catalogue, kind as u64)))
    };
    let mut benches: Vec<_> = brief.kinds.iter().filter_map(bench).collect();
    let mut pool = Pool { items: Vec::new(), exhausted: Vec::new() };
    let mut made: BTreeMap<Kind, usize> = BTreeMap::new();
    let mut known = FxHashSet::default();
    while pool.items.len() < brief.pool && !benches.is_empty() {
        benches.retain_mut(|(kind, make, shop)| {
            if pool.items.len() >= brief.pool {
                return true;
            }
            let count = made.entry(*kind).or_default();
            let fits = |item: &Item| item.topics.iter().any(|topic| brief.topics.contains(topic));
            let fresh = (0..PROPOSALS)
                .filter_map(|_| make(shop))
                .find(|item| fits(item) && known.insert(fingerprint(item)));
            let Some(item) = fresh else {
                pool.exhausted.push((*kind, *count));
                return false;
            };
            *count += 1;
            pool.items.push(Item { id: format!("{}-{count:03}", kind.word()), ..item });
            true
        });
    }
    pool
}

/// What makes two items the same: the same question on the same data.
fn fingerprint(item: &Item) -> (String, String, Vec<(String, String)>) {
    (item.skeleton.clone(), item.layout.clone(), item.facts.clone())
}
