//! A core and its slots: the wiring of a layout without names and teeth, in a few bytes.

use super::SetKind;

/// Most sets that a core or a layout may have.
pub const MAX_SETS: usize = 4;

/// The seat number of the housing; shafts count from 1.
pub const HOUSING: u8 = 0;

/// Sets and joints with input and output chosen. A seat tells on which shaft a member
/// sits: 1, 2 … or [`HOUSING`] for a member that is held permanently.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Core {
    sets: u8,
    /// `seats[set] = [S, R, C]`; unused sets are all zero, so that equality is plain.
    seats: [[u8; 3]; MAX_SETS],
    paired: [bool; MAX_SETS],
    pub shafts: u8,
    pub input: u8,
    pub output: u8,
}

impl Core {
    /// A core of single sets. Shafts are numbered 1 to `shafts`.
    ///
    /// # Panics
    /// With more than [`MAX_SETS`] sets, or a seat beyond `shafts`.
    pub fn new(seats: &[[u8; 3]], shafts: u8, input: u8, output: u8) -> Self {
        let mut all = [[0; 3]; MAX_SETS];
        all[..seats.len()].copy_from_slice(seats);
        assert!(seats.iter().flatten().all(|&seat| seat <= shafts));
        Self {
            sets: seats.len() as u8,
            seats: all,
            paired: [false; MAX_SETS],
            shafts,
            input,
            output,
        }
    }

    /// The same core with the kinds of its sets.
    #[must_use]
    pub fn with_kinds(mut self, kinds: impl IntoIterator<Item = SetKind>) -> Self {
        for (paired, kind) in self.paired.iter_mut().zip(kinds) {
            *paired = kind == SetKind::Paired;
        }
        self
    }

    /// `[S, R, C]` of every set.
    pub fn seats(&self) -> &[[u8; 3]] {
        &self.seats[..self.sets()]
    }

    pub fn sets(&self) -> usize {
        usize::from(self.sets)
    }

    pub fn kind(&self, set: usize) -> SetKind {
        if self.paired[set] { SetKind::Paired } else { SetKind::Single }
    }

    /// Degrees of freedom of the free core: shafts − sets.
    pub fn freedom(&self) -> usize {
        usize::from(self.shafts).saturating_sub(self.sets())
    }

    /// Elements that a determinate state engages: shafts − sets − 1.
    pub fn engaged(&self) -> usize {
        self.freedom().saturating_sub(1)
    }

    /// Where shift elements can sit: a brake on every shaft but input and output, a
    /// clutch between every two shafts. In increasing order.
    pub fn slots(&self) -> Vec<Slot> {
        let brakes = (1..=self.shafts)
            .filter(|&shaft| shaft != self.input && shaft != self.output)
            .map(Slot::brake);
        let clutches =
            (1..=self.shafts).flat_map(|a| (a + 1..=self.shafts).map(move |b| Slot::clutch(a, b)));
        brakes.chain(clutches).collect()
    }

    /// Whether the sets hang together through their joints. The housing joins nothing.
    pub fn is_connected(&self) -> bool {
        let seats = self.seats();
        let mut reached = vec![false; seats.len()];
        let mut waiting = vec![0];
        while let Some(set) = waiting.pop() {
            if std::mem::replace(&mut reached[set], true) {
                continue;
            }
            let joined = |other: &usize| {
                seats[*other].iter().any(|&seat| seat != HOUSING && seats[set].contains(&seat))
            };
            waiting.extend((0..seats.len()).filter(joined));
        }
        reached.into_iter().all(|set| set)
    }
}

/// A place for a shift element: a clutch between two shafts, or a brake, which is a
/// clutch to the [`HOUSING`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Slot {
    /// The smaller seat number; [`HOUSING`] for a brake.
    pub first: u8,
    pub second: u8,
}

impl Slot {
    pub fn brake(shaft: u8) -> Self {
        Self { first: HOUSING, second: shaft }
    }

    pub fn clutch(a: u8, b: u8) -> Self {
        Self { first: a.min(b), second: a.max(b) }
    }

    pub fn is_brake(self) -> bool {
        self.first == HOUSING
    }
}
