//! Members and the small typed numbers that name them.

use std::fmt;

/// Which part of its set a member is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    Sun,
    Ring,
    Carrier,
}

impl Role {
    /// In the order in which a set lists its members.
    pub const ALL: [Self; 3] = [Self::Sun, Self::Ring, Self::Carrier];

    /// S, R or C.
    pub fn letter(self) -> char {
        match self {
            Self::Sun => 'S',
            Self::Ring => 'R',
            Self::Carrier => 'C',
        }
    }
}

/// One member: a role in a set. Prints as `S1`, `R2`, `C3`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Member {
    /// Index of the set, from 0.
    pub set: usize,
    pub role: Role,
}

impl Member {
    pub fn new(set: usize, role: Role) -> Self {
        Self { set, role }
    }

    /// Reads `S1`, `R2` …; the set number counts from 1.
    pub fn parse(text: &str) -> Option<Self> {
        let letter = text.chars().next()?;
        let role = Role::ALL.into_iter().find(|role| role.letter() == letter)?;
        let digits = &text[1..];
        if digits.is_empty()
            || digits.starts_with('0')
            || !digits.bytes().all(|b| b.is_ascii_digit())
        {
            return None;
        }
        let number: usize = digits.parse().ok()?;
        Some(Self { set: number - 1, role })
    }
}

impl fmt::Display for Member {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.role.letter(), self.set + 1)
    }
}

/// A shaft of a layout, by its index; the housing is not a shaft.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ShaftId(pub usize);
