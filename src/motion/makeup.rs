//! What a ratio is made of: one set by itself, several as if one ran behind the other, or the
//! sets coupled.

use num_bigint::BigInt;
use num_traits::{One, Signed};

use super::formula::Formula;
use super::polynomial::Polynomial;
use crate::train::{GearSet, Role, SetKind};

/// What a ratio is made of, for all base ratios at once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Makeup {
    /// The ratio is one: no base ratio enters.
    Direct,
    /// The product of ratios that single sets make with one member held: of one set alone, or
    /// of several, in the order of the sets.
    Ways(Vec<SetWay>),
    /// No such product: the base ratios of several sets are mixed.
    Coupled,
}

/// One set with one member held: Willis gives i = T_output / T_driven with T = 1 for the sun, ρ
/// for the ring and ρ + 1 (single) or ρ − 1 (paired) for the carrier, negative where the carrier
/// of a single set or the ring of a paired one is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct SetWay {
    /// From 0.
    pub set: usize,
    pub driven: Role,
    pub held: Role,
    pub output: Role,
}

impl SetWay {
    fn of(set: usize, driven: Role, output: Role) -> Option<Self> {
        let held = Role::ALL.into_iter().find(|&role| role != driven && role != output)?;
        (driven != output).then_some(Self { set, driven, held, output })
    }

    /// Whether its output turns against its input.
    fn reverses(&self, kind: SetKind) -> bool {
        match kind {
            SetKind::Single => self.held == Role::Carrier,
            SetKind::Paired => self.held == Role::Ring,
        }
    }
}

impl Formula {
    /// What the ratio is made of; `sets` are those of its layout.
    ///
    /// The formula is in lowest terms and its polynomials are linear in each ρ, so it is a
    /// product of single sets' ratios if and only if P and Q both split, variable by variable,
    /// into the factors 1, ρ and ρ ± 1, with the sign that the held members give.
    ///
    /// # Panics
    /// With fewer sets than the formula has variables.
    pub fn makeup(&self, sets: &[GearSet]) -> Makeup {
        let kinds: Vec<SetKind> = sets.iter().map(|set| set.kind).collect();
        let split = |side: &Polynomial| split(side, &kinds);
        let (Some(above), Some(below)) = (split(&self.numerator), split(&self.denominator)) else {
            return Makeup::Coupled;
        };
        let mut ways = Vec::new();
        for (set, (&output, &driven)) in above.roles.iter().zip(&below.roles).enumerate() {
            // Both without ρ: the set does not enter.
            ways.extend(SetWay::of(set, driven, output));
        }
        let turns = ways.iter().filter(|way| way.reverses(kinds[way.set])).count();
        let negative = above.negative != below.negative;
        match ways.len() {
            _ if negative != (turns % 2 == 1) => Makeup::Coupled,
            0 => Makeup::Direct,
            _ => Makeup::Ways(ways),
        }
    }
}

/// A polynomial as a product of the teeth that count of one member for each set.
struct Split {
    roles: Vec<Role>,
    negative: bool,
}

fn split(side: &Polynomial, kinds: &[SetKind]) -> Option<Split> {
    let mut rest = side.clone();
    let mut roles = Vec::new();
    for (set, kind) in kinds.iter().enumerate() {
        let (with, without) = rest.parts(set);
        let carrier = match kind {
            SetKind::Single => with == without,
            SetKind::Paired => with == without.divided(&BigInt::from(-1)),
        };
        let (role, next) = match () {
            () if with.is_zero() => (Role::Sun, without),
            () if without.is_zero() => (Role::Ring, with),
            () if carrier => (Role::Carrier, with),
            () => return None,
        };
        roles.push(role);
        rest = next;
    }
    let constant = rest.coefficient(0);
    constant.abs().is_one().then(|| Split { roles, negative: constant.is_negative() })
}
