//! Kinematic twins by the plain way: a wiring as it is spelled, every order of the teeth, every
//! exchange of elements, until all states have the same ratios.

use itertools::Itertools;

use super::breaches::{Part, Rules, Solved};
use super::exact::exact_ratio;
use super::merged::Merged;
use crate::num::{Fraction, to_f64};
use crate::train::{Core, ElementMask, Gear, HOUSING, Layout, MAX_SETS, SetKind, Slot, canonical};

/// Most shafts that letters are read for.
const MOST_SHAFTS: u8 = 16;

/// The wiring of a canonical spelling such as `abc.adc:b>c:0a,bd`; `None` where it is none.
pub fn read_spelling(text: &str) -> Option<(Core, Vec<Slot>)> {
    let mut parts = text.split(':');
    let (sets, ends) = (parts.next()?, parts.next()?);
    let slots = parts.next().unwrap_or("");
    let seat = |letter: char| match letter {
        '0' => Some(HOUSING),
        'a'..='p' => Some(letter as u8 - b'a' + 1),
        _ => None,
    };
    let seats_of = |text: &str| text.chars().map(seat).collect::<Option<Vec<u8>>>();
    let mut seats = Vec::new();
    let mut kinds = Vec::new();
    for set in sets.split('.') {
        let (letters, kind) = match set.strip_suffix('*') {
            Some(letters) => (letters, SetKind::Paired),
            None => (set, SetKind::Single),
        };
        let letters: [u8; 3] = seats_of(letters)?.try_into().ok()?;
        seats.push(letters);
        kinds.push(kind);
    }
    let (input, output) = ends.split_once('>')?;
    let ends: Vec<u8> = seats_of(&format!("{input}{output}"))?;
    let pairs = slots.split(',').filter(|pair| !pair.is_empty());
    let slots: Vec<Slot> = pairs
        .map(|pair| match seats_of(pair)?[..] {
            [a, b] if a != b => Some(Slot::clutch(a, b)),
            _ => None,
        })
        .collect::<Option<_>>()?;
    let named = seats.iter().flatten().chain(&ends).copied();
    let shafts = named.chain(slots.iter().map(|slot| slot.second)).max()?;
    let sound = input.len() == 1
        && ends.len() == 2
        && parts.next().is_none()
        && seats.len() <= MAX_SETS
        && !ends.contains(&HOUSING)
        && ends[0] != ends[1]
        && shafts <= MOST_SHAFTS;
    sound.then(|| (Core::new(&seats, shafts, ends[0], ends[1]).with_kinds(kinds), slots))
}

/// A layout whose twins are asked for: the ratio of every state, exactly and as a number of its
/// own.
pub struct Original<'a> {
    layout: &'a Layout,
    solved: &'a Solved,
    states: Vec<ElementMask>,
    ratios: Vec<Option<Fraction>>,
    floats: Vec<f64>,
}

impl<'a> Original<'a> {
    pub fn new(layout: &'a Layout, solved: &'a Solved) -> Self {
        let states: Vec<ElementMask> = layout.states().collect();
        let ratios: Vec<Option<Fraction>> =
            states.iter().map(|&state| exact_ratio(layout, state)).collect();
        let floats = sorted(ratios.iter().map(|ratio| ratio.as_ref().map_or(f64::NAN, to_f64)));
        Self { layout, solved, states, ratios, floats }
    }

    /// Why a spelled wiring is no twin of this layout, or not one that may be named.
    pub fn fault(&self, spelling: &str, rules: &Rules<'_>) -> Option<String> {
        let Some((core, slots)) = read_spelling(spelling) else {
            return Some("it is no spelling of a wiring".into());
        };
        let canonical = canonical(&core, &slots).to_string();
        if canonical != spelling {
            return Some(format!("its canonical spelling is {canonical}"));
        }
        let alike = core.sets() == self.layout.sets.len()
            && usize::from(core.shafts) == self.layout.shafts.len()
            && slots.len() == self.layout.elements.len();
        let twin = alike.then(|| self.twin(&core, &slots)).flatten();
        let Some(twin) = twin else {
            return Some(
                "its states have other ratios, however teeth and elements are given".into(),
            );
        };
        let breaches = rules.breaches(&twin, self.solved);
        // The same teeth and ratios: only what depends on the wiring can be broken anew.
        let mut own =
            breaches.iter().filter(|breach| matches!(breach.part, Part::Space | Part::Limits));
        own.next().map(|breach| format!("wanted: {}; found: {}", breach.what, breach.found))
    }

    /// The wiring with the teeth and gears that make it a twin.
    fn twin(&self, core: &Core, slots: &[Slot]) -> Option<Layout> {
        let sets = self.layout.sets.iter().copied();
        let states: Vec<Option<Merged>> = self
            .states
            .iter()
            .map(|state| Merged::new(core, &state.iter().map(|e| slots[e]).collect::<Vec<_>>()))
            .collect();
        for teeth in sets.permutations(self.layout.sets.len()) {
            // Floats sift, fractions decide.
            let base: Vec<f64> = teeth.iter().map(|set| set.base_ratio()).collect();
            let floats = states.iter().map(|s| s.map_or(f64::NAN, |state| state.ratio(&base)));
            if !same(&sorted(floats), &self.floats) {
                continue;
            }
            let mut twin = Layout::from_core(core, slots, teeth);
            if let Some(order) = self.exchange(&twin) {
                let engaged = |gear: &Gear| ElementMask::of(gear.engaged.iter().map(|e| order[e]));
                twin.gears = self
                    .layout
                    .gears
                    .iter()
                    .map(|gear| Gear { name: gear.name.clone(), engaged: engaged(gear) })
                    .collect();
                return Some(twin);
            }
        }
        None
    }

    /// Which element of the twin stands for each of the layout's, so that every state has the
    /// same ratio.
    fn exchange(&self, twin: &Layout) -> Option<Vec<usize>> {
        let elements = twin.elements.len();
        let mut ratio_of: Vec<Option<&Option<Fraction>>> = vec![None; 1 << elements];
        let theirs: Vec<(ElementMask, Option<Fraction>)> =
            self.states.iter().map(|&state| (state, exact_ratio(twin, state))).collect();
        for (state, ratio) in &theirs {
            ratio_of[state.0 as usize] = Some(ratio);
        }
        let mut order = Vec::new();
        self.assign(&ratio_of, elements, &mut order).then_some(order)
    }

    fn assign(
        &self,
        theirs: &[Option<&Option<Fraction>>],
        elements: usize,
        order: &mut Vec<usize>,
    ) -> bool {
        if order.len() == elements {
            return true;
        }
        for element in 0..elements {
            if order.contains(&element) {
                continue;
            }
            order.push(element);
            let newest = order.len() - 1;
            let known =
                self.states.iter().zip(&self.ratios).filter(|(state, _)| {
                    state.contains(newest) && state.iter().all(|e| e <= newest)
                });
            let mut known = known.map(|(state, own)| {
                let other = ElementMask::of(state.iter().map(|e| order[e]));
                theirs[other.0 as usize] == Some(own)
            });
            if known.all(|same| same) && self.assign(theirs, elements, order) {
                return true;
            }
            order.pop();
        }
        false
    }
}

fn sorted(values: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    values
}

fn same(a: &[f64], b: &[f64]) -> bool {
    let close = |(a, b): (&f64, &f64)| (a.is_nan() && b.is_nan()) || (a / b - 1.0).abs() < 1e-6;
    a.len() == b.len() && a.iter().zip(b).all(close)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spelling_is_read_as_it_is_written() {
        for spelling in
            ["abc.dce:a>e:0b,0c,0d,ad,be", "a0b.acd:c>b:0a,bc", "abc.bdc:e>d:0b,0c,ae,be"]
        {
            let (core, slots) = read_spelling(spelling).unwrap();
            assert_eq!(canonical(&core, &slots).to_string(), spelling);
        }
        let (core, slots) = read_spelling("abc.acd*:d>c:0a").unwrap();
        assert_eq!(core.seats(), [[1, 2, 3], [1, 3, 4]]);
        assert_eq!((core.input, core.output, core.kind(1)), (4, 3, SetKind::Paired));
        assert_eq!(slots, [Slot::brake(1)]);
        for wrong in ["", "abc", "abc:a", "abc:a>0:0b", "ab.acd:a>b:0c", "abc:a>b:0", "abc:a>a:0c"]
        {
            assert_eq!(read_spelling(wrong), None, "{wrong}");
        }
    }
}
