//! Arrangements: every way to join one to four sets to a reduction, in groups of equal
//! ratio function.

use std::collections::BTreeMap;

use itertools::Itertools as _;

use crate::brief::{Coupling, TrainWish};
use crate::build::nests;
use crate::search::{CoreFamily, FreeMotions, RatioFunction, SetOrder};
use crate::train::{Core, GearSet, HOUSING, Layout, SetKind};

/// Sets joined to a reduction: one input, one output, members held, nothing to shift.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Arrangement {
    /// With kinds, in canonical numbers.
    pub core: Core,
    /// Set `order[v]` of the core is variable v of its group's function.
    pub order: Vec<usize>,
    /// One set behind the other, each with one member held.
    pub series: bool,
    /// Whether it passes the nesting test.
    pub nests: bool,
}

/// Arrangements with the same ratio at all base ratios.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// In the variables of the group.
    pub function: RatioFunction,
    /// Kind of the set behind each variable.
    pub kinds: Vec<SetKind>,
    /// In increasing order of their cores; never empty.
    pub members: Vec<Arrangement>,
}

/// What the listing has counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ArrangementCount {
    /// Ways to join the sets with input, output and held members chosen, one of each up to
    /// renumbering the sets.
    pub cores: u64,
    /// Of these, ways in which the output turns and every set transmits power.
    pub working: u64,
    /// Of these, ways that are joined as the brief asks.
    pub coupled: u64,
    /// Of these, ways that can be drawn without crossings; all where that is not asked.
    pub nesting: u64,
}

/// Every arrangement of `sets` sets that `wish` allows, grouped by ratio function.
///
/// n sets on n + 1 shafts and the housing leave one motion. A set on whose base ratio the
/// ratio does not depend transmits no power (∂ ln i / ∂ ln ρ is its rolling power per input
/// power), so an arrangement with one is left to a smaller number of sets.
///
/// `None` as soon as `stopped`, which is asked for every core, says so.
pub fn arrangements_unless(
    sets: u8,
    wish: &TrainWish,
    stopped: &dyn Fn() -> bool,
) -> Option<(Vec<Group>, ArrangementCount)> {
    let family = CoreFamily { sets, shafts: sets + 1, held: true, bare_input: false };
    let orders: Vec<SetOrder> =
        (0..usize::from(sets)).permutations(sets.into()).map(SetOrder::new).collect();
    let kinds: Vec<Vec<SetKind>> =
        (0..sets).map(|_| wish.kinds.iter().copied()).multi_cartesian_product().collect();
    let mut count = ArrangementCount::default();
    let mut groups: BTreeMap<(u64, Vec<SetKind>), Vec<Arrangement>> = BTreeMap::new();
    for core in family.cores_unless(stopped)? {
        if stopped() {
            return None;
        }
        // Kinds change which way a set turns, never what is joined to what.
        let series = is_series(&core);
        let joined = series || wish.coupling == Coupling::Any;
        let mut can_be_drawn = None;
        for kinds in &kinds {
            let core = core.with_kinds(kinds.iter().copied());
            count.cores += 1;
            let Some(function) = working(&core) else { continue };
            count.working += 1;
            if !joined {
                continue;
            }
            count.coupled += 1;
            let nests = *can_be_drawn.get_or_insert_with(|| drawable(&core));
            if wish.nests && !nests {
                continue;
            }
            count.nesting += 1;
            let (key, order) = named_once(&function, kinds, &orders);
            groups.entry(key).or_default().push(Arrangement { core, order, series, nests });
        }
    }
    let groups = groups.into_iter().map(|((key, kinds), members)| {
        let function = RatioFunction::from_key(key);
        Group { function, kinds, members: different(members) }
    });
    Some((groups.collect(), count))
}

/// As [`arrangements_unless`], by nobody stopped.
#[cfg(test)]
pub fn arrangements(sets: u8, wish: &TrainWish) -> (Vec<Group>, ArrangementCount) {
    arrangements_unless(sets, wish, &|| false).expect("nobody stops it")
}

/// The ratio of a core in which the output turns and every set transmits power.
fn working(core: &Core) -> Option<RatioFunction> {
    let mut function = None;
    FreeMotions::new(core, &[]).for_each_state(|_, polynomials| function = polynomials.ratio());
    function.filter(|function| function.variables() == (1 << core.sets()) - 1)
}

/// Equal sets of different kinds may be renumbered into each other: one of each is enough.
fn different(mut members: Vec<Arrangement>) -> Vec<Arrangement> {
    let spelling = |member: &Arrangement| crate::train::canonical(&member.core, &[]).core;
    members.sort_by_key(|member| (spelling(member), member.core, member.order.clone()));
    members.dedup_by_key(|member| spelling(member));
    members
}

/// The function under the numbering of its sets that gives the smallest key.
fn named_once(
    function: &RatioFunction,
    kinds: &[SetKind],
    orders: &[SetOrder],
) -> ((u64, Vec<SetKind>), Vec<usize>) {
    let spelled = orders.iter().map(|order| {
        let kinds: Vec<SetKind> = order.sets.iter().map(|&old| kinds[old]).collect();
        ((function.with_sets(order).key(), kinds), order.sets.clone())
    });
    spelled.min().expect("there is always the order as given")
}

/// Whether sets stand one behind the other: every set has one member held and two shafts,
/// and the shafts make a chain from input to output.
fn is_series(core: &Core) -> bool {
    let members = |shaft: u8| core.seats().iter().flatten().filter(|&&seat| seat == shaft).count();
    let one_held = |seats: &[u8; 3]| seats.iter().filter(|&&seat| seat == HOUSING).count() == 1;
    let is_end = |shaft: u8| shaft == core.input || shaft == core.output;
    core.seats().iter().all(one_held)
        && (1..=core.shafts).all(|shaft| members(shaft) == if is_end(shaft) { 1 } else { 2 })
        && chain_length(core) == core.sets()
}

/// Sets met on the way from the input, each through its two shafts.
fn chain_length(core: &Core) -> usize {
    let (mut at, mut met) = (core.input, vec![false; core.sets()]);
    while let Some(set) = (0..core.sets()).find(|&set| !met[set] && core.seats()[set].contains(&at))
    {
        met[set] = true;
        let onward = core.seats()[set].iter().find(|&&seat| seat != HOUSING && seat != at);
        at = *onward.unwrap_or(&at);
    }
    met.into_iter().filter(|&met| met).count()
}

fn drawable(core: &Core) -> bool {
    let any_teeth = vec![GearSet::single(30, 66); core.sets()];
    nests(&Layout::from_core(core, &[], any_teeth))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::BackDriving;

    fn wish(kinds: &[SetKind], coupling: Coupling) -> TrainWish {
        let back_driving = BackDriving::Free;
        TrainWish { sets: vec![1], kinds: kinds.to_vec(), coupling, back_driving, nests: false }
    }

    /// One set: the six ways to drive, hold and take off, two of each direction and kind.
    #[test]
    fn one_set_works_in_six_ways() {
        let (groups, count) = arrangements(1, &wish(&[SetKind::Single], Coupling::Any));
        assert_eq!((count.cores, count.working, count.nesting), (6, 6, 6));
        assert_eq!(groups.len(), 6);
        assert!(groups.iter().all(|group| group.members.iter().all(|member| member.series)));
    }

    /// Chains of n sets by hand: 6 ways a set, each in its place: 6ⁿ, and sets are numbered
    /// along the chain or against it, which renumbering makes the same.
    #[test]
    fn series_are_counted_by_hand() {
        for sets in 1..=3u8 {
            let (groups, count) = arrangements(sets, &wish(&[SetKind::Single], Coupling::Series));
            assert_eq!(count.coupled, 6u64.pow(sets.into()), "{sets}");
            let members: usize = groups.iter().map(|group| group.members.len()).sum();
            assert_eq!(members as u64, count.coupled);
        }
    }

    /// The function of a group is that of each of its members, under the member's order.
    #[test]
    fn members_have_the_ratio_of_their_group() {
        let both = [SetKind::Single, SetKind::Paired];
        let (groups, count) = arrangements(2, &wish(&both, Coupling::Any));
        assert_eq!(count.cores, 4 * 216);
        for group in &groups {
            for member in &group.members {
                let function = working(&member.core).unwrap();
                let order = SetOrder::new(member.order.clone());
                assert_eq!(function.with_sets(&order), group.function);
                let kinds = member.order.iter().map(|&set| member.core.kind(set));
                assert!(kinds.eq(group.kinds.iter().copied()));
            }
        }
    }
}
