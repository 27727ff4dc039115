//! What is searched: numbers of sets, shafts and elements, and the two special shafts.

use itertools::iproduct;
use num_integer::binomial;

use super::keys::SEARCH;
use super::written::{OneOrMany, WrittenSpace};
use crate::error::Mistake;

use crate::train::MAX_SETS;

/// Most shift elements of a layout in a search.
const MOST_ELEMENTS: u32 = 8;
/// Most elements that a gear may engage, shafts − sets − 1.
const MOST_ENGAGED: u32 = 4;

/// Whether a thing is left out of the search, tried both ways, or always there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Permission {
    Never,
    Allowed,
    Required,
}

impl Permission {
    /// The words of the brief.
    pub(super) const WORDS: [(&'static str, Self); 3] =
        [("never", Self::Never), ("allowed", Self::Allowed), ("required", Self::Required)];

    /// As written in briefs.
    pub fn word(self) -> &'static str {
        match self {
            Self::Never => "never",
            Self::Allowed => "allowed",
            Self::Required => "required",
        }
    }

    /// Whether layouts with the thing (`there`), or without it, are searched.
    pub fn admits(self, there: bool) -> bool {
        match self {
            Self::Never => !there,
            Self::Allowed => true,
            Self::Required => there,
        }
    }
}

/// What is searched.
#[derive(Clone, Debug, PartialEq)]
pub struct Space {
    /// Numbers of planetary sets, rising, each from 1 to 4.
    pub sets: Vec<u8>,
    /// Numbers of shafts, rising. A bare input counts, the housing does not.
    pub shafts: Vec<u8>,
    /// Fewest and most shift elements, 1 to 8.
    pub elements: (u8, u8),
    /// Members that are held in the housing permanently.
    pub held_shaft: Permission,
    /// An input shaft without members, reached by clutches only.
    pub bare_input: Permission,
    /// What of nesting on one axis is asked.
    pub nests: Nesting,
}

/// Whether layouts must nest: can be put on one axis without crossings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Nesting {
    #[default]
    Required,
    Any,
}

impl Nesting {
    /// The words of the brief.
    pub(super) const WORDS: [(&'static str, Self); 2] =
        [("required", Self::Required), ("any", Self::Any)];

    /// As written in briefs.
    pub fn word(self) -> &'static str {
        match self {
            Self::Required => "required",
            Self::Any => "any",
        }
    }
}

/// Layouts that agree in all numbers that shape the search.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Family {
    /// Planetary sets, 1 to 4.
    pub sets: u8,
    /// Shafts; a bare input counts, the housing does not.
    pub shafts: u8,
    /// Shift elements.
    pub elements: u8,
    /// Whether at least one member is held in the housing permanently.
    pub held: bool,
    /// Whether the input is a shaft without members.
    pub bare_input: bool,
}

impl Family {
    /// Elements that a gear engages: shafts − sets − 1, from 1 to 4 in every family that
    /// [`Space::families`] gives.
    pub fn engaged(&self) -> u8 {
        self.shafts.saturating_sub(self.sets + 1)
    }

    /// States of one layout: the ways to choose [`Family::engaged`] of the elements.
    pub fn states(&self) -> u64 {
        binomial(u64::from(self.elements), u64::from(self.engaged()))
    }

    /// Whether layouts of these numbers can be: gears engage 1 to 4 elements and no more
    /// than there are; the members of one set, being on different shafts or one in the
    /// housing, find room; every shaft but a bare input has a member; and there are as
    /// many slots (a brake on all shafts but two, a clutch between every two) as elements.
    fn exists(&self) -> bool {
        let [sets, shafts, elements] = [self.sets, self.shafts, self.elements].map(u32::from);
        let [held, bare] = [self.held, self.bare_input].map(u32::from);
        let Some(engaged) = shafts.checked_sub(sets + 1) else { return false };
        let joined = shafts - bare;
        let slots = (shafts - 2) + shafts * (shafts - 1) / 2;
        (1..=MOST_ENGAGED).contains(&engaged)
            && (engaged..=slots).contains(&elements)
            && joined + held >= 3
            && joined + held <= 3 * sets
    }
}

impl Space {
    /// The families to search, in order of sets, shafts, held, bare input, elements. Only
    /// families that have layouts: see [`Family`] and its number of engaged elements.
    pub fn families(&self) -> Vec<Family> {
        let elements = self.elements.0..=self.elements.1;
        iproduct!(&self.sets, &self.shafts, [false, true], [false, true], elements)
            .map(|(&sets, &shafts, held, bare_input, elements)| Family {
                sets,
                shafts,
                elements,
                held,
                bare_input,
            })
            .filter(|family| self.held_shaft.admits(family.held))
            .filter(|family| self.bare_input.admits(family.bare_input))
            .filter(Family::exists)
            .collect()
    }
}

/// The space that a brief asks for.
pub(super) fn understand(written: &WrittenSpace) -> Result<Space, Mistake> {
    let list = |key: &str, value: &Option<OneOrMany>, ends| -> Result<Vec<u8>, Mistake> {
        let numbers = SEARCH.wholes(key, &SEARCH.required(key, value)?.list(), ends)?;
        Ok(numbers.into_iter().map(|number| number as u8).collect())
    };
    let permission = |key: &str, value: &Option<String>| {
        value
            .as_deref()
            .map_or(Ok(Permission::Never), |value| SEARCH.word(key, value, &Permission::WORDS))
    };
    let most_shafts = MAX_SETS as u32 + 1 + MOST_ENGAGED;
    let space = Space {
        sets: list("space.sets", &written.sets, (1, MAX_SETS as u32))?,
        shafts: list("space.shafts", &written.shafts, (3, most_shafts))?,
        elements: elements(SEARCH.required("space.elements", &written.elements)?)?,
        held_shaft: permission("space.held_shaft", &written.held_shaft)?,
        bare_input: permission("space.bare_input", &written.bare_input)?,
        nests: match written.nests.as_deref() {
            Some(word) => SEARCH.word("space.nests", word, &Nesting::WORDS)?,
            None => Nesting::default(),
        },
    };
    every_number_serves(&space)?;
    Ok(space)
}

fn elements(written: &OneOrMany) -> Result<(u8, u8), Mistake> {
    let key = "space.elements";
    let ends = (1, MOST_ELEMENTS);
    let (fewest, most) = match written {
        OneOrMany::One(count) => {
            let count = SEARCH.whole(key, *count, ends)?;
            (count, count)
        }
        OneOrMany::Many(values) => SEARCH.span(key, values, ends)?,
    };
    Ok((fewest as u8, most as u8))
}

/// A number of sets or shafts that no family uses was written by mistake; to search on
/// without it would answer another question than the one asked.
fn every_number_serves(space: &Space) -> Result<(), Mistake> {
    let families = space.families();
    let idle_sets = space.sets.iter().find(|&&sets| families.iter().all(|f| f.sets != sets));
    let idle_shafts =
        space.shafts.iter().find(|&&shafts| families.iter().all(|f| f.shafts != shafts));
    let (key, count, noun) = match (idle_sets, idle_shafts) {
        (_, Some(count)) => ("space.shafts", count, "shafts"),
        (Some(count), None) => ("space.sets", count, "sets"),
        (None, None) => return Ok(()),
    };
    let fitting = fitting_shafts(space);
    let problem = format!(
        "{count} {noun} go with nothing else that [space] asks for (sets {:?}, shafts {:?}, \
         elements {} to {})",
        space.sets, space.shafts, space.elements.0, space.elements.1
    );
    if fitting.is_empty() {
        let mend = "a gear engages shafts − sets − 1 elements: from 1 to 4 of them, and no more \
                    than space.elements has; write more elements";
        return Err(Mistake::at(key, problem, mend));
    }
    let mend = format!(
        "a gear engages shafts − sets − 1 elements, from 1 to 4 and no more than there are; with \
         this request {} can be searched",
        fitting.join(", ")
    );
    Err(Mistake::at(key, problem, mend))
}

/// `"2 sets with 4 or 5 shafts"` for each number of sets asked for.
fn fitting_shafts(space: &Space) -> Vec<String> {
    let all = Space { shafts: (3..=9).collect(), ..space.clone() };
    let families = all.families();
    let told = space.sets.iter().filter_map(|&sets| {
        let mut shafts: Vec<u8> =
            families.iter().filter(|f| f.sets == sets).map(|f| f.shafts).collect();
        shafts.dedup();
        shafts.sort_unstable();
        shafts.dedup();
        let (first, last) = (shafts.first()?, shafts.last()?);
        let noun = if sets == 1 { "set" } else { "sets" };
        Some(if first == last {
            format!("{sets} {noun} with {first} shafts")
        } else {
            format!("{sets} {noun} with {first} to {last} shafts")
        })
    });
    told.collect()
}

/// Some family must have states enough for all gears, each gear being a state of its own.
pub(super) fn states_for(space: &Space, gears: usize) -> Result<(), Mistake> {
    let most = space.families().iter().map(Family::states).max().unwrap_or(0);
    if most >= gears as u64 {
        return Ok(());
    }
    let problem = format!(
        "at most {} elements give at most {most} states, fewer than the {gears} gears asked for",
        space.elements.1
    );
    let more = Space { elements: (space.elements.0, MOST_ELEMENTS as u8), ..space.clone() };
    let enough = more.families().into_iter().filter(|f| f.states() >= gears as u64);
    match enough.map(|family| family.elements).min() {
        Some(count) => {
            Err(Mistake::at("space.elements", problem, format!("allow {count} elements or more")))
        }
        None => Err(SEARCH.wrong("space.elements", problem)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn space(sets: &[u8], shafts: &[u8], elements: (u8, u8)) -> Space {
        let never = Permission::Never;
        let (sets, shafts) = (sets.to_vec(), shafts.to_vec());
        Space {
            sets,
            shafts,
            elements,
            held_shaft: never,
            bare_input: never,
            nests: Nesting::Required,
        }
    }

    #[test]
    fn families_come_in_order_and_only_where_they_exist() {
        let asked = Space {
            held_shaft: Permission::Allowed,
            bare_input: Permission::Required,
            ..space(&[1, 2], &[4, 5], (1, 3))
        };
        let told: Vec<_> = asked
            .families()
            .iter()
            .map(|f| (f.sets, f.shafts, f.held, f.bare_input, f.elements))
            .collect();
        // One set: four shafts of which one is bare engage two; three members cannot sit on
        // three shafts and in the housing too. Two sets: four shafts engage one, five two.
        let expected = [
            (1, 4, false, true, 2),
            (1, 4, false, true, 3),
            (2, 4, false, true, 1),
            (2, 4, false, true, 2),
            (2, 4, false, true, 3),
            (2, 4, true, true, 1),
            (2, 4, true, true, 2),
            (2, 4, true, true, 3),
            (2, 5, false, true, 2),
            (2, 5, false, true, 3),
            (2, 5, true, true, 2),
            (2, 5, true, true, 3),
        ];
        assert_eq!(told, expected);
    }

    #[test]
    fn numbers_that_serve_nothing_are_named() {
        for (asked, key) in [
            (space(&[3], &[4], (3, 5)), "space.shafts"),
            (space(&[2, 3], &[4], (3, 5)), "space.sets"),
            (space(&[1], &[5], (3, 5)), "space.shafts"),
            (space(&[3], &[7], (1, 2)), "space.shafts"),
        ] {
            assert_eq!(every_number_serves(&asked).unwrap_err().key, key);
        }
        assert_eq!(every_number_serves(&space(&[3], &[6], (5, 5))), Ok(()));
    }

    #[test]
    fn gears_need_states() {
        assert_eq!(states_for(&space(&[3], &[6], (5, 5)), 10), Ok(()));
        let mistake = states_for(&space(&[3], &[6], (5, 5)), 11).unwrap_err();
        assert!(mistake.mend.contains("6 elements"), "{mistake}");
    }
}
