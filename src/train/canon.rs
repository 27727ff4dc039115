//! The canonical spelling: two wirings are the same, up to renumbering sets and shafts,
//! if and only if their spellings are equal.
//!
//! Of all ways to number the sets, and for each the shafts by first appearance, the one
//! whose code is smallest wins. At most 4! numberings are tried, so the plain way is fine.

use std::fmt;

use itertools::Itertools;

use super::{Core, HOUSING, SetKind, Slot};

/// A wiring in canonical numbers, and how it was reached.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spelling {
    pub core: Core,
    /// The elements' slots, sorted.
    pub slots: Vec<Slot>,
    /// `sets[new] = old`: which set of the given core became which.
    pub sets: Vec<usize>,
    /// `shafts[old] = new` seat numbers; entry 0 is the housing.
    pub shafts: Vec<u8>,
}

/// Prints as `abc.adc:b>c:0a,bd`: a letter a seat (S, R, C of each set in turn, `0` the
/// housing, `*` behind a paired set), then input > output, then the elements.
impl fmt::Display for Spelling {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (set, seats) in self.core.seats().iter().enumerate() {
            let dot = if set > 0 { "." } else { "" };
            let star = if self.core.kind(set) == SetKind::Paired { "*" } else { "" };
            write!(f, "{dot}{}{star}", seats.iter().map(|&seat| letter(seat)).join(""))?;
        }
        write!(f, ":{}>{}", letter(self.core.input), letter(self.core.output))?;
        for (index, slot) in self.slots.iter().enumerate() {
            let mark = if index == 0 { ':' } else { ',' };
            write!(f, "{mark}{}{}", letter(slot.first), letter(slot.second))?;
        }
        Ok(())
    }
}

fn letter(seat: u8) -> char {
    if seat == HOUSING { '0' } else { char::from(b'a' + seat - 1) }
}

/// The canonical spelling of a core with elements in `slots`.
pub fn canonical(core: &Core, slots: &[Slot]) -> Spelling {
    (0..core.sets())
        .permutations(core.sets())
        .flat_map(|order| renumbered(core, slots, &order))
        .min_by(|a, b| (&a.core, &a.slots).cmp(&(&b.core, &b.slots)))
        .expect("there is always the order as given")
}

/// The core with sets in `order` and shafts numbered by first appearance. Shafts without
/// members have no such place: input comes first, then output, then the rest every way.
fn renumbered(core: &Core, slots: &[Slot], order: &[usize]) -> Vec<Spelling> {
    let mut shafts = vec![HOUSING; usize::from(core.shafts) + 1];
    let mut next = 1;
    let members = order.iter().flat_map(|&set| core.seats()[set]);
    for seat in members.chain([core.input, core.output]) {
        if seat != HOUSING && shafts[usize::from(seat)] == HOUSING {
            shafts[usize::from(seat)] = next;
            next += 1;
        }
    }
    let bare: Vec<usize> = (1..shafts.len()).filter(|&old| shafts[old] == HOUSING).collect();
    let ways = bare.iter().copied().permutations(bare.len());
    ways.map(|way| {
        let mut shafts = shafts.clone();
        for (new, old) in (next..).zip(way) {
            shafts[old] = new;
        }
        spell(core, slots, order, shafts)
    })
    .collect()
}

fn spell(core: &Core, slots: &[Slot], order: &[usize], shafts: Vec<u8>) -> Spelling {
    let new = |seat: u8| shafts[usize::from(seat)];
    let seats: Vec<[u8; 3]> = order.iter().map(|&set| core.seats()[set].map(new)).collect();
    let spelled = Core::new(&seats, core.shafts, new(core.input), new(core.output))
        .with_kinds(order.iter().map(|&set| core.kind(set)));
    let slots =
        slots.iter().map(|slot| Slot::clutch(new(slot.first), new(slot.second))).sorted().collect();
    Spelling { core: spelled, slots, sets: order.to_vec(), shafts }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn random_core() -> impl Strategy<Value = (Core, Vec<Slot>)> {
        (2usize..=4, 5u8..=8).prop_flat_map(|(sets, shafts)| {
            let seats = proptest::collection::vec(proptest::array::uniform3(0..=shafts), sets);
            let pairs = proptest::collection::vec((0..=shafts, 1..=shafts), 0..5);
            let kinds = proptest::collection::vec(any::<bool>(), sets);
            (seats, pairs, kinds, 1..=shafts, 1..=shafts).prop_map(
                move |(seats, pairs, kinds, input, output)| {
                    let kinds =
                        kinds.iter().map(|&p| if p { SetKind::Paired } else { SetKind::Single });
                    let core = Core::new(&seats, shafts, input, output).with_kinds(kinds);
                    let slots = pairs.iter().map(|&(a, b)| Slot::clutch(a, b)).collect();
                    (core, slots)
                },
            )
        })
    }

    proptest! {
        #[test]
        fn renaming_changes_nothing((core, slots) in random_core(), seed in any::<u64>()) {
            let mut order: Vec<usize> = (0..core.sets()).collect();
            order.rotate_left(seed as usize % core.sets());
            let shift = (seed >> 8) as u8 % core.shafts;
            let turned = |seat: u8| if seat == 0 { 0 } else { (seat - 1 + shift) % core.shafts + 1 };
            let shafts: Vec<u8> = (0..=core.shafts).map(turned).collect();
            let other = spell(&core, &slots, &order, shafts);
            let (a, b) = (canonical(&core, &slots), canonical(&other.core, &other.slots));
            prop_assert_eq!(a.to_string(), b.to_string());
            prop_assert_eq!((a.core, a.slots), (b.core, b.slots));
        }
    }

    #[test]
    fn spells_a_two_set_layout() {
        let core = Core::new(&[[2, 1, 3], [2, 3, 4]], 5, 5, 3);
        let slots = [Slot::clutch(5, 1), Slot::clutch(5, 2), Slot::brake(2), Slot::brake(4)];
        let text = canonical(&core, &slots).to_string();
        assert_eq!(text, "abc.acd:e>c:0a,0d,ae,be");
    }
}
