//! Ratios as functions of the base ratios: quotients of two polynomials that are linear in
//! each base ratio and have coefficients −1, 0, 1.

use crate::train::MAX_SETS;

/// Coefficients of one polynomial: bit T of `plus` (`minus`) is set when the product of
/// the ρ of the sets in T has coefficient +1 (−1).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Signs {
    pub plus: u16,
    pub minus: u16,
}

impl Signs {
    pub fn is_zero(self) -> bool {
        self.plus | self.minus == 0
    }

    /// Value at the base ratios, whose products over all subsets are `powers`.
    pub fn at(self, powers: &[f64]) -> f64 {
        let mut value = 0.0;
        for (subset, power) in powers.iter().enumerate() {
            let sign = (self.plus >> subset & 1) as i32 - (self.minus >> subset & 1) as i32;
            value += f64::from(sign) * power;
        }
        value
    }

    pub(super) fn negated(self) -> Self {
        Self { plus: self.minus, minus: self.plus }
    }

    /// The coefficients without set `set` (value 0) or of its ρ (value 1), as a
    /// polynomial in the other sets.
    fn part(self, set: usize, value: u8) -> Self {
        let mask = FACTOR[set];
        if value == 0 {
            Self { plus: self.plus & !mask, minus: self.minus & !mask }
        } else {
            let shift = 1 << set;
            Self { plus: (self.plus & mask) >> shift, minus: (self.minus & mask) >> shift }
        }
    }

    /// The coefficients by subset.
    pub fn coefficients(self) -> [i32; 1 << MAX_SETS] {
        std::array::from_fn(|t| (self.plus >> t & 1) as i32 - (self.minus >> t & 1) as i32)
    }
}

/// Subsets T, as bits, that contain set 0, 1, 2, 3.
const FACTOR: [u16; MAX_SETS] = [0xAAAA, 0xCCCC, 0xF0F0, 0xFF00];

/// A ratio i = numerator / denominator as a function of the base ratios, in lowest terms
/// and with the first coefficient of the denominator positive: equal functions are `==`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RatioFunction {
    pub numerator: Signs,
    pub denominator: Signs,
}

impl RatioFunction {
    /// The reduced function of a live state's two determinants, neither zero.
    pub(super) fn reduced(mut numerator: Signs, mut denominator: Signs) -> Self {
        for set in 0..MAX_SETS {
            let (n0, n1) = (numerator.part(set, 0), numerator.part(set, 1));
            let (d0, d1) = (denominator.part(set, 0), denominator.part(set, 1));
            let depends = !(n1.is_zero() && d1.is_zero());
            if depends && products_meet(n1, d0, n0, d1) && products_agree(n1, d0, n0, d1) {
                // N1 / D1 = N0 / D0: the function does not depend on this ρ at all.
                let simpler = if d0.is_zero() { (n1, d1) } else { (n0, d0) };
                (numerator, denominator) = simpler;
            }
        }
        Self { numerator, denominator }.with_positive_lead()
    }

    /// The same with the first coefficient of the denominator positive.
    fn with_positive_lead(self) -> Self {
        let Self { numerator, denominator } = self;
        let lowest = denominator.plus | denominator.minus;
        if denominator.minus & (lowest & lowest.wrapping_neg()) != 0 {
            return Self { numerator: numerator.negated(), denominator: denominator.negated() };
        }
        self
    }

    /// A key of two determinants as they come, not in lowest terms: equal keys are equal
    /// functions, but not the other way round.
    pub(super) fn raw_key(numerator: Signs, denominator: Signs) -> u64 {
        Self { numerator, denominator }.with_positive_lead().key()
    }

    /// All four words in one, as a key.
    pub fn key(&self) -> u64 {
        let words = [
            self.numerator.plus,
            self.numerator.minus,
            self.denominator.plus,
            self.denominator.minus,
        ];
        words.iter().fold(0, |key, &word| key << 16 | u64::from(word))
    }

    /// The function with this key.
    pub fn from_key(key: u64) -> Self {
        let word = |place: u32| (key >> (16 * place)) as u16;
        Self {
            numerator: Signs { plus: word(3), minus: word(2) },
            denominator: Signs { plus: word(1), minus: word(0) },
        }
    }

    /// The ratio at base ratios whose products over all subsets are `powers`.
    pub fn at(&self, powers: &[f64]) -> f64 {
        self.numerator.at(powers) / self.denominator.at(powers)
    }

    /// Bit s is set when the function depends on ρ of set s.
    pub fn variables(&self) -> u8 {
        let used = self.numerator.plus
            | self.numerator.minus
            | self.denominator.plus
            | self.denominator.minus;
        (0..MAX_SETS).filter(|&set| used & FACTOR[set] != 0).fold(0, |bits, set| bits | 1 << set)
    }

    /// The same function with the sets renumbered.
    #[must_use]
    pub fn with_sets(&self, order: &SetOrder) -> Self {
        let signs = |s: Signs| Signs { plus: order.moved(s.plus), minus: order.moved(s.minus) };
        // Lowest terms stay lowest terms under other names.
        Self { numerator: signs(self.numerator), denominator: signs(self.denominator) }
            .with_positive_lead()
    }
}

/// A renumbering of the sets, ready to be applied to many polynomials.
#[derive(Clone, Debug)]
pub struct SetOrder {
    /// `sets[new] = old`.
    pub sets: Vec<usize>,
    /// Where the bits of the low and of the high byte of a word of subsets go.
    moved: [[u16; 256]; 2],
}

impl SetOrder {
    /// `sets[new] = old`.
    pub fn new(sets: Vec<usize>) -> Self {
        let subset = |t: usize| {
            let inside = sets.iter().enumerate().filter(|&(_, &old)| t >> old & 1 == 1);
            inside.fold(0, |subset, (new, _)| subset | 1 << new)
        };
        let mut moved = [[0u16; 256]; 2];
        for (half, table) in moved.iter_mut().enumerate() {
            for (byte, entry) in table.iter_mut().enumerate() {
                let subsets = (0..8).filter(|bit| byte >> bit & 1 == 1).map(|bit| 8 * half + bit);
                *entry = subsets.fold(0, |bits, t| bits | 1 << subset(t));
            }
        }
        Self { sets, moved }
    }

    fn moved(&self, bits: u16) -> u16 {
        self.moved[0][usize::from(bits & 0xFF)] | self.moved[1][usize::from(bits >> 8)]
    }
}

/// Whether a·b = c·d at one point, modulo 2⁶⁴: products that differ there differ.
fn products_meet(a: Signs, b: Signs, c: Signs, d: Signs) -> bool {
    let at = |signs: Signs| {
        let sum = |bits: u16| {
            let mut left = bits;
            let mut sum = 0u64;
            while left != 0 {
                sum = sum.wrapping_add(POINT[left.trailing_zeros() as usize]);
                left &= left - 1;
            }
            sum
        };
        sum(signs.plus).wrapping_sub(sum(signs.minus))
    };
    at(a).wrapping_mul(at(b)) == at(c).wrapping_mul(at(d))
}

/// Products over all subsets of four numbers without a pattern.
const POINT: [u64; 1 << MAX_SETS] = {
    let numbers: [u64; MAX_SETS] = [
        0x9E37_79B9_7F4A_7C15,
        0xC2B2_AE3D_27D4_EB4F,
        0x1656_67B1_9E37_79F9,
        0x27D4_EB2F_1656_67C5,
    ];
    let mut table = [1u64; 1 << MAX_SETS];
    let mut subset = 1;
    while subset < table.len() {
        let set = subset.trailing_zeros() as usize;
        table[subset] = table[subset & (subset - 1)].wrapping_mul(numbers[set]);
        subset += 1;
    }
    table
};

/// Whether a·b = c·d as polynomials. Exponents reach 2, so products are spread over
/// base-3 digits.
fn products_agree(a: Signs, b: Signs, c: Signs, d: Signs) -> bool {
    let mut difference = [0i32; 81];
    for (x, y, sign) in [(a, b, 1), (c, d, -1)] {
        let (x, y) = (x.coefficients(), y.coefficients());
        for (s, &from) in x.iter().enumerate().filter(|(_, c)| **c != 0) {
            for (t, &with) in y.iter().enumerate().filter(|(_, c)| **c != 0) {
                difference[TERNARY[s] + TERNARY[t]] += sign * from * with;
            }
        }
    }
    difference.iter().all(|&coefficient| coefficient == 0)
}

const TERNARY: [usize; 1 << MAX_SETS] = {
    let mut table = [0; 1 << MAX_SETS];
    let mut subset = 0;
    while subset < table.len() {
        table[subset] =
            (subset & 1) + 3 * (subset >> 1 & 1) + 9 * (subset >> 2 & 1) + 27 * (subset >> 3 & 1);
        subset += 1;
    }
    table
};
