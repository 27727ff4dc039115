//! A layout: sets with teeth, named shafts, named elements, named gears.

use super::{Core, GearSet, HOUSING, Member, Role, ShaftId, Slot};

/// The input is always the first shaft.
pub const INPUT: ShaftId = ShaftId(0);
/// The output is always the second shaft.
pub const OUTPUT: ShaftId = ShaftId(1);

/// A core with its shift elements, named and with teeth. Built by reading a layout file or
/// by [`Layout::from_core`]; both keep the promise that every member sits in one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    pub title: Option<String>,
    pub sets: Vec<GearSet>,
    /// [`INPUT`], [`OUTPUT`], then the others.
    pub shafts: Vec<Shaft>,
    /// Members held in the housing permanently.
    pub held: Vec<Member>,
    pub elements: Vec<Element>,
    /// The named gears in the order of the file; may be empty.
    pub gears: Vec<Gear>,
}

/// All members that are permanently joined and turn together; may have none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shaft {
    pub name: String,
    pub members: Vec<Member>,
}

/// A shift element.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Element {
    pub name: String,
    pub grip: Grip,
}

/// What an engaged element ties together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grip {
    /// A shaft to the housing.
    Brake(ShaftId),
    /// Two shafts, in the order in which the file names them (signs depend on it).
    Clutch(ShaftId, ShaftId),
}

impl Grip {
    /// The first-named shaft and the other end, `None` for the housing.
    pub fn ends(self) -> (ShaftId, Option<ShaftId>) {
        match self {
            Self::Brake(shaft) => (shaft, None),
            Self::Clutch(first, second) => (first, Some(second)),
        }
    }
}

/// A set of elements of a layout: bit e for element e.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ElementMask(pub u32);

impl ElementMask {
    pub fn of(elements: impl IntoIterator<Item = usize>) -> Self {
        Self(elements.into_iter().fold(0, |mask, element| mask | 1 << element))
    }

    pub fn contains(self, element: usize) -> bool {
        self.0 >> element & 1 == 1
    }

    pub fn len(self) -> usize {
        self.0.count_ones() as usize
    }

    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// The element numbers, rising.
    pub fn iter(self) -> impl Iterator<Item = usize> {
        (0..32).filter(move |&element| self.contains(element))
    }
}

/// A state that is used, with a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gear {
    pub name: String,
    pub engaged: ElementMask,
}

impl Layout {
    /// Elements that a determinate state engages: shafts − sets − 1, at least 0.
    pub fn engaged(&self) -> usize {
        self.shafts.len().saturating_sub(self.sets.len() + 1)
    }

    /// The shaft on which a member sits, `None` for the housing.
    pub fn place(&self, member: Member) -> Option<ShaftId> {
        self.shafts.iter().position(|shaft| shaft.members.contains(&member)).map(ShaftId)
    }

    /// Seats of a set, `[S, R, C]`; `None` for the housing.
    pub fn seats(&self, set: usize) -> [Option<ShaftId>; 3] {
        Role::ALL.map(|role| self.place(Member::new(set, role)))
    }

    /// Every state that could be determinate: all sets of [`Layout::engaged`] elements,
    /// in order of their element numbers.
    pub fn states(&self) -> impl Iterator<Item = ElementMask> {
        use itertools::Itertools;
        (0..self.elements.len()).combinations(self.engaged()).map(ElementMask::of)
    }

    /// The wiring without names and teeth: shaft k of the layout is seat k + 1.
    pub fn wiring(&self) -> (Core, Vec<Slot>) {
        let number = |shaft: ShaftId| shaft.0 as u8 + 1;
        let seats: Vec<[u8; 3]> = (0..self.sets.len())
            .map(|set| self.seats(set).map(|place| place.map_or(HOUSING, number)))
            .collect();
        let core = Core::new(&seats, self.shafts.len() as u8, number(INPUT), number(OUTPUT))
            .with_kinds(self.sets.iter().map(|set| set.kind));
        let slot = |element: &Element| match element.grip {
            Grip::Brake(shaft) => Slot::brake(number(shaft)),
            Grip::Clutch(a, b) => Slot::clutch(number(a), number(b)),
        };
        (core, self.elements.iter().map(slot).collect())
    }

    /// A layout of a core with elements in `slots` and teeth for its sets. Shafts are named
    /// by their members (`S1-C2`), elements by letters in the order of `slots`.
    ///
    /// # Panics
    /// If there are not as many `sets` as the core has.
    pub fn from_core(core: &Core, slots: &[Slot], sets: Vec<GearSet>) -> Self {
        assert_eq!(core.sets(), sets.len());
        let others = (1..=core.shafts).filter(|&seat| seat != core.input && seat != core.output);
        let order: Vec<u8> = [core.input, core.output].into_iter().chain(others).collect();
        let sitting = |seat: u8| -> Vec<Member> {
            let all = (0..core.sets()).flat_map(|set| Role::ALL.map(|role| Member::new(set, role)));
            all.filter(|member| core.seats()[member.set][member.role as usize] == seat).collect()
        };
        let shafts = order.iter().enumerate().map(|(index, &seat)| {
            let members = sitting(seat);
            Shaft { name: shaft_name(index, &members), members }
        });
        let id = |seat: u8| {
            ShaftId(order.iter().position(|&s| s == seat).expect("a slot names a shaft"))
        };
        let elements = slots.iter().enumerate().map(|(index, slot)| Element {
            name: char::from(b'A' + index as u8).to_string(),
            grip: if slot.is_brake() {
                Grip::Brake(id(slot.second))
            } else {
                Grip::Clutch(id(slot.first), id(slot.second))
            },
        });
        Self {
            title: None,
            shafts: shafts.collect(),
            held: sitting(HOUSING),
            elements: elements.collect(),
            gears: Vec::new(),
            sets,
        }
    }
}

fn shaft_name(index: usize, members: &[Member]) -> String {
    use itertools::Itertools;
    match (index, members.is_empty()) {
        (0, _) => "input".to_owned(),
        (1, _) => "output".to_owned(),
        (_, true) => format!("bare-{}", index + 1),
        (_, false) => members.iter().join("-"),
    }
}
