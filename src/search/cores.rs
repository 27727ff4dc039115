//! All cores of a family, one of each up to renumbering the sets.
//!
//! Joints first: every way to seat the members on shafts, kept when it is already in
//! canonical numbers. Then input and output: ordered pairs of shafts, one of each orbit
//! under the renumberings that map the joints on themselves.

use itertools::Itertools;

use crate::train::{Core, HOUSING, canonical};

/// Which cores: how many sets and shafts, and two options.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CoreFamily {
    pub sets: u8,
    /// Shafts, an input without members counted, the housing not.
    pub shafts: u8,
    /// Whether some members are held in the housing permanently.
    pub held: bool,
    /// Whether the input has no members, so that only clutches reach it.
    pub bare_input: bool,
}

impl CoreFamily {
    /// The plain family of DESIGN: no held shaft, every shaft with members.
    pub fn plain(sets: u8, shafts: u8) -> Self {
        Self { sets, shafts, held: false, bare_input: false }
    }

    /// Every core of the family once, in canonical numbers and increasing order.
    pub fn cores(&self) -> Vec<Core> {
        self.cores_unless(&|| false).expect("nobody stops it")
    }

    /// As [`CoreFamily::cores`]; `None` as soon as `stopped`, which is asked now and then,
    /// says so: four sets on many shafts have millions of cores.
    pub fn cores_unless(&self, stopped: &dyn Fn() -> bool) -> Option<Vec<Core>> {
        let with_members = self.shafts.saturating_sub(u8::from(self.bare_input));
        if self.sets == 0 || with_members == 0 {
            return Some(Vec::new());
        }
        let (held, found) = (self.held, Vec::new());
        let mut seating = Seating { shafts: with_members, held, found, stopped, left: 0 };
        seating.next(3 * usize::from(self.sets), 0, &mut Vec::new())?;
        let mut cores = Vec::new();
        for (place, seats) in seating.found.iter().enumerate() {
            if place % BETWEEN_QUESTIONS == 0 && stopped() {
                return None;
            }
            cores.extend(self.cores_with(seats));
        }
        Some(cores)
    }

    fn cores_with(&self, seats: &[[u8; 3]]) -> Vec<Core> {
        let shafts = self.shafts;
        let renumberings = symmetries(seats, shafts);
        let inputs = if self.bare_input { shafts..=shafts } else { 1..=shafts };
        let outputs = 1..=shafts - u8::from(self.bare_input);
        inputs
            .cartesian_product(outputs)
            .filter(|(input, output)| input != output)
            .filter(|&(input, output)| {
                renumberings.iter().all(|new| {
                    (new[usize::from(input)], new[usize::from(output)]) >= (input, output)
                })
            })
            .map(|(input, output)| Core::new(seats, shafts, input, output))
            .collect()
    }
}

/// Seatings between two questions whether to go on.
const BETWEEN_QUESTIONS: usize = 1024;

/// Seats of all members on exactly `shafts` shafts, one of each up to renumbering.
struct Seating<'a> {
    shafts: u8,
    held: bool,
    found: Vec<Vec<[u8; 3]>>,
    stopped: &'a dyn Fn() -> bool,
    /// Whole seatings to come before the next question.
    left: usize,
}

impl Seating<'_> {
    /// Extends `flat`, the seats so far, by each seat that the next of `left` members can
    /// take: a shaft in use, the next new one, or the housing; never one that its set already
    /// has. `None` when stopped.
    fn next(&mut self, left: usize, used: u8, flat: &mut Vec<u8>) -> Option<()> {
        if left == 0 {
            return self.whole(used, flat);
        }
        if usize::from(self.shafts - used) > left {
            return Some(());
        }
        let own = flat.len() / 3 * 3;
        let lowest = if self.held { HOUSING } else { 1 };
        for seat in lowest..=self.shafts.min(used + 1) {
            if !flat[own..].contains(&seat) {
                flat.push(seat);
                self.next(left - 1, used.max(seat), flat)?;
                flat.pop();
            }
        }
        Some(())
    }

    /// Keeps a seating of all members if it is the one of its kind.
    fn whole(&mut self, used: u8, flat: &[u8]) -> Option<()> {
        if self.left == 0 {
            self.left = BETWEEN_QUESTIONS;
            if (self.stopped)() {
                return None;
            }
        }
        self.left -= 1;
        let seats: Vec<[u8; 3]> = flat.chunks(3).map(|c| [c[0], c[1], c[2]]).collect();
        let complete = used == self.shafts && self.held == flat.contains(&HOUSING);
        if complete && is_canonical(&seats) {
            self.found.push(seats);
        }
        Some(())
    }
}

/// The seats with sets in `order`, and the new number of every shaft with members.
fn reordered(seats: &[[u8; 3]], order: &[usize], new: &mut [u8; 16]) -> Vec<[u8; 3]> {
    *new = [HOUSING; 16];
    let mut next = 1;
    let mut renumber = |seat: u8| {
        if seat == HOUSING {
            return HOUSING;
        }
        let number = &mut new[usize::from(seat)];
        if *number == HOUSING {
            *number = next;
            next += 1;
        }
        *number
    };
    order.iter().map(|&set| seats[set].map(&mut renumber)).collect()
}

fn is_canonical(seats: &[[u8; 3]]) -> bool {
    let mut new = [HOUSING; 16];
    let mut orders = (0..seats.len()).permutations(seats.len());
    orders.all(|order| reordered(seats, &order, &mut new).as_slice() >= seats)
}

/// The shaft renumberings (index = old number) that map the seats on themselves.
fn symmetries(seats: &[[u8; 3]], shafts: u8) -> Vec<Vec<u8>> {
    let mut new = [HOUSING; 16];
    let orders = (0..seats.len()).permutations(seats.len());
    orders
        .filter_map(|order| (reordered(seats, &order, &mut new) == seats).then_some(new))
        .map(|mut new| {
            // A shaft without members has no place in a set: it keeps its number.
            for seat in 1..=shafts {
                if new[usize::from(seat)] == HOUSING {
                    new[usize::from(seat)] = seat;
                }
            }
            new[..=usize::from(shafts)].to_vec()
        })
        .collect()
}

/// The shaft renumberings, other than the identity, that map a core on itself.
pub fn automorphisms(core: &Core) -> Vec<Vec<u8>> {
    debug_assert_eq!(canonical(core, &[]).core, *core);
    symmetries(core.seats(), core.shafts)
        .into_iter()
        .filter(|new| {
            let kept = |seat: u8| new[usize::from(seat)] == seat;
            kept(core.input) && kept(core.output) && !(1..=core.shafts).all(kept)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// The plain way: every labelled partition with every input and output, spelled.
    fn plain_cores(family: CoreFamily) -> BTreeSet<Core> {
        let mut all = BTreeSet::new();
        let members = 3 * usize::from(family.sets);
        let with_members = family.shafts - u8::from(family.bare_input);
        let lowest = u8::from(!family.held);
        let choices = (0..members).map(|_| lowest..=with_members).multi_cartesian_product();
        for flat in choices {
            let seats: Vec<[u8; 3]> = flat.chunks(3).map(|c| [c[0], c[1], c[2]]).collect();
            let distinct = seats.iter().all(|set| set.iter().all_unique());
            let used: BTreeSet<u8> = flat.iter().copied().collect();
            let all_used = (1..=with_members).all(|seat| used.contains(&seat));
            if !distinct || !all_used || used.contains(&HOUSING) != family.held {
                continue;
            }
            for (input, output) in (1..=family.shafts).cartesian_product(1..=family.shafts) {
                let right_input = !family.bare_input || input == family.shafts;
                if input != output && right_input {
                    let core = Core::new(&seats, family.shafts, input, output);
                    all.insert(canonical(&core, &[]).core);
                }
            }
        }
        all
    }

    #[test]
    fn each_core_once_as_the_plain_way_finds_them() {
        for sets in 1..=2 {
            for shafts in 2..=6 {
                for (held, bare_input) in
                    [(false, false), (true, false), (false, true), (true, true)]
                {
                    let family = CoreFamily { sets, shafts, held, bare_input };
                    let cores = family.cores();
                    let plain = plain_cores(family);
                    assert!(cores.iter().copied().eq(plain), "{family:?}");
                }
            }
        }
    }

    /// Labelled counts divided into orbits, published in the project's design notes.
    #[test]
    fn known_numbers_of_cores() {
        let count = |sets, shafts| CoreFamily::plain(sets, shafts).cores().len();
        assert_eq!(count(2, 4), 111);
        assert_eq!(count(2, 5), 90);
        assert_eq!(count(3, 6), 4551);
    }
}
