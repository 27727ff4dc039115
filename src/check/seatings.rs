//! All cores of a brief by the plain way: every seating of the members, every input and output,
//! none left out for being the same as another but for the numbers of its sets.
//!
//! How many different cores there are is then a matter of counting orbits. Source: W. Burnside,
//! Theory of Groups of Finite Order (1897), § 118: as many as the renumberings of the sets leave
//! cores unchanged, on average.

use itertools::Itertools;

use crate::brief::{Brief, Family};
use crate::num::grouped;
use crate::train::{Core, HOUSING, MAX_SETS, canonical};

/// Members of the most sets there are.
const MEMBERS: usize = 3 * MAX_SETS;
/// Seatings between two questions whether to go on.
const BETWEEN_QUESTIONS: usize = 4096;

/// All cores of the families of a brief that have states enough for its gears.
#[derive(Clone, Debug)]
pub struct CoreSpace {
    kinds: Vec<CoreKind>,
}

/// Cores of the same numbers, which serve layouts of several numbers of elements.
#[derive(Clone, Debug)]
struct CoreKind {
    sets: usize,
    shafts: u8,
    bare_input: bool,
    elements: Vec<u8>,
    /// The shaft of every member, numbered as they come up.
    seatings: Vec<[u8; MEMBERS]>,
}

/// A core of the space, and the numbers of elements that layouts on it have.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedCore {
    pub core: Core,
    pub elements: Vec<u8>,
}

impl CoreSpace {
    /// `None` when stopped.
    pub fn of(brief: &Brief, stopped: &dyn Fn() -> bool) -> Option<Self> {
        let gears = (brief.gears.forward + brief.gears.reverse) as u64;
        let families = brief.space.families();
        let serving = families.iter().filter(|family| family.states() >= gears);
        let mut kinds: Vec<CoreKind> = Vec::new();
        let numbers = |f: &Family| (f.sets, f.shafts, f.held, f.bare_input);
        for (_, alike) in &serving.chunk_by(|family| numbers(family)) {
            let alike: Vec<&Family> = alike.collect();
            kinds.push(CoreKind::new(alike[0], alike.iter().map(|f| f.elements), stopped)?);
        }
        Some(Self { kinds })
    }

    /// Cores with their sets numbered in every way: positions of [`CoreSpace::core`].
    pub fn positions(&self) -> u64 {
        self.kinds.iter().map(CoreKind::positions).sum()
    }

    /// The core at a position; `None` where another position has the same core but for the
    /// numbers of its sets, and stands for it.
    pub fn core(&self, mut position: u64) -> Option<PlacedCore> {
        for kind in &self.kinds {
            if position < kind.positions() {
                return kind.core(position);
            }
            position -= kind.positions();
        }
        None
    }

    /// Most sets of a core.
    pub fn most_sets(&self) -> usize {
        self.kinds.iter().map(|kind| kind.sets).max().unwrap_or(0)
    }

    /// `(cores, layouts, states)`, each exact: different cores, sets of elements on them, and
    /// states that the slots of a core make. `None` when stopped.
    pub fn counts(&self, stopped: &dyn Fn() -> bool) -> Option<[u64; 3]> {
        let mut counts = [0; 3];
        for kind in &self.kinds {
            let cores = kind.different(stopped)?;
            let (shafts, slots) = (u64::from(kind.shafts), kind.slots());
            let engaged = shafts - kind.sets as u64 - 1;
            let choose = |count: u64| num_integer::binomial(slots, count);
            let layouts: u64 = kind.elements.iter().map(|&e| choose(u64::from(e))).sum();
            counts[0] += cores;
            counts[1] += cores * layouts;
            counts[2] += cores * choose(engaged);
        }
        Some(counts)
    }

    /// How many seatings were listed, for people.
    pub fn told(&self) -> String {
        let seatings: usize = self.kinds.iter().map(|kind| kind.seatings.len()).sum();
        format!("{} seatings of members on shafts", grouped(seatings as u64))
    }
}

impl CoreKind {
    fn new(
        family: &Family,
        elements: impl Iterator<Item = u8>,
        stopped: &dyn Fn() -> bool,
    ) -> Option<Self> {
        let mut listing = Listing {
            members: 3 * usize::from(family.sets),
            shafts: family.shafts - u8::from(family.bare_input),
            held: family.held,
            found: Vec::new(),
            stopped,
        };
        listing.seat(0, 0, [HOUSING; MEMBERS])?;
        Some(Self {
            sets: usize::from(family.sets),
            shafts: family.shafts,
            bare_input: family.bare_input,
            elements: elements.collect(),
            seatings: listing.found,
        })
    }

    /// Shafts with members.
    fn joined(&self) -> u64 {
        u64::from(self.shafts) - u64::from(self.bare_input)
    }

    /// Ordered pairs of an input and an output.
    fn pairs(&self) -> u64 {
        if self.bare_input { self.joined() } else { self.joined() * (self.joined() - 1) }
    }

    /// A brake on every shaft but two, a clutch between every two.
    fn slots(&self) -> u64 {
        let shafts = u64::from(self.shafts);
        shafts - 2 + shafts * (shafts - 1) / 2
    }

    fn positions(&self) -> u64 {
        self.seatings.len() as u64 * self.pairs()
    }

    fn core(&self, position: u64) -> Option<PlacedCore> {
        let flat = &self.seatings[usize::try_from(position / self.pairs()).ok()?];
        let seats: Vec<[u8; 3]> =
            flat[..3 * self.sets].chunks(3).map(|s| [s[0], s[1], s[2]]).collect();
        let pair = position % self.pairs();
        let (input, output) = if self.bare_input {
            (self.shafts, pair as u8 + 1)
        } else {
            let (input, output) = (pair / (self.joined() - 1) + 1, pair % (self.joined() - 1) + 1);
            (input as u8, output as u8 + u8::from(output >= input))
        };
        let core = Core::new(&seats, self.shafts, input, output);
        let stands = canonical(&core, &[]).core == core;
        stands.then(|| PlacedCore { core, elements: self.elements.clone() })
    }

    /// How many cores there are up to renumbering the sets.
    fn different(&self, stopped: &dyn Fn() -> bool) -> Option<u64> {
        let orders: Vec<Vec<usize>> = (0..self.sets).permutations(self.sets).collect();
        let mut unchanged = 0;
        for (index, seating) in self.seatings.iter().enumerate() {
            if index % BETWEEN_QUESTIONS == 0 && stopped() {
                return None;
            }
            for order in &orders {
                let Some(fixed) = fixed_shafts(&seating[..3 * self.sets], order) else { continue };
                // An input without members stays where it is.
                unchanged += if self.bare_input { fixed } else { fixed * fixed.saturating_sub(1) };
            }
        }
        Some(unchanged / orders.len() as u64)
    }
}

/// How many shafts keep their members when the sets come in another order; `None` where the
/// seating as a whole becomes another one.
fn fixed_shafts(seating: &[u8], order: &[usize]) -> Option<u64> {
    let mut new = [HOUSING; 16];
    let mut next = 1;
    for (place, &set) in order.iter().enumerate() {
        for role in 0..3 {
            let old = seating[3 * set + role];
            if old != HOUSING && new[usize::from(old)] == HOUSING {
                new[usize::from(old)] = next;
                next += 1;
            }
            if new[usize::from(old)] != seating[3 * place + role] {
                return None;
            }
        }
    }
    Some((1..next).filter(|&shaft| new[usize::from(shaft)] == shaft).count() as u64)
}

/// Lists every seating of members on shafts, shafts numbered as they come up.
struct Listing<'a> {
    members: usize,
    shafts: u8,
    /// Whether members may be held; then at least one is.
    held: bool,
    found: Vec<[u8; MEMBERS]>,
    stopped: &'a dyn Fn() -> bool,
}

impl Listing<'_> {
    /// Seats `member` and all after it; `used` shafts have members so far.
    fn seat(&mut self, member: usize, used: u8, seats: [u8; MEMBERS]) -> Option<()> {
        if member == self.members {
            let held = seats[..member].contains(&HOUSING);
            if used == self.shafts && held == self.held {
                self.found.push(seats);
            }
            let ask = self.found.len().is_multiple_of(BETWEEN_QUESTIONS);
            return if ask && (self.stopped)() { None } else { Some(()) };
        }
        // As many members must be left as shafts still want one.
        if usize::from(self.shafts - used) > self.members - member {
            return Some(());
        }
        let own = member / 3 * 3;
        let lowest = if self.held { HOUSING } else { 1 };
        for seat in lowest..=self.shafts.min(used + 1) {
            // Members of one set that are joined make no set.
            if !seats[own..member].contains(&seat) {
                let mut seats = seats;
                seats[member] = seat;
                self.seat(member + 1, used.max(seat), seats)?;
            }
        }
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn space(text: &str) -> CoreSpace {
        let brief = format!("[space]\n{text}\n[gears]\nforward = 2\nreverse = 0\n");
        CoreSpace::of(&Brief::parse(&brief, "crank").unwrap(), &|| false).unwrap()
    }

    /// 111 cores of two sets on four shafts and 90 on five: the figures of DESIGN.
    #[test]
    fn two_sets_have_the_known_cores() {
        let counts = |text: &str| space(text).counts(&|| false).unwrap();
        assert_eq!(counts("sets = 2\nshafts = 4\nelements = 3"), [111, 111 * 56, 888]);
        assert_eq!(counts("sets = 2\nshafts = 5\nelements = [3, 4]"), [90, 90 * (286 + 715), 7020]);
    }

    #[test]
    fn orbits_are_as_many_as_spellings() {
        for text in [
            "sets = 2\nshafts = [4, 5]\nelements = [3, 4]\nheld_shaft = \"allowed\"\nbare_input = \"allowed\"",
            "sets = 3\nshafts = 5\nelements = 3\nbare_input = \"required\"",
        ] {
            let space = space(text);
            let cores: Vec<Core> = (0..space.positions())
                .filter_map(|position| space.core(position).map(|placed| placed.core))
                .collect();
            let different: BTreeSet<Core> = cores.iter().copied().collect();
            assert_eq!(different.len(), cores.len(), "each core once");
            assert_eq!(space.counts(&|| false).unwrap()[0], cores.len() as u64);
        }
    }
}
