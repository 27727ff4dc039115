//! Arithmetic modulo the Mersenne prime 2⁶¹ − 1.
//!
//! Two rational functions with small coefficients that agree at random points of this
//! field are the same function but for a chance of about degree / 2⁶¹ a point: good
//! enough to *group* layouts by what they do, never used to *judge* one.

use std::ops::{Add, Mul, Sub};

const PRIME: u64 = (1 << 61) - 1;

/// A number modulo 2⁶¹ − 1, always kept below it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Residue(u64);

impl Residue {
    pub const ZERO: Self = Self(0);
    pub const ONE: Self = Self(1);

    pub fn new(value: i64) -> Self {
        Self(value.rem_euclid(PRIME as i64) as u64)
    }

    pub fn is_zero(self) -> bool {
        self.0 == 0
    }

    /// The raw word, for hashing and sorting.
    pub fn word(self) -> u64 {
        self.0
    }

    /// The multiplicative inverse by Fermat, zero for zero.
    pub fn inverse(self) -> Self {
        let mut power = PRIME - 2;
        let (mut base, mut result) = (self, Self::ONE);
        while power > 0 {
            if power & 1 == 1 {
                result = result * base;
            }
            base = base * base;
            power >>= 1;
        }
        result
    }
}

impl Add for Residue {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let sum = self.0 + other.0;
        Self(if sum >= PRIME { sum - PRIME } else { sum })
    }
}

impl Sub for Residue {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(if self.0 >= other.0 { self.0 - other.0 } else { self.0 + PRIME - other.0 })
    }
}

impl Mul for Residue {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let product = u128::from(self.0) * u128::from(other.0);
        let folded = (product as u64 & PRIME) + (product >> 61) as u64;
        Self(if folded >= PRIME { folded - PRIME } else { folded })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn field_laws(a in any::<i64>(), b in any::<i64>()) {
            let (x, y) = (Residue::new(a), Residue::new(b));
            prop_assert_eq!(x + y - y, x);
            let product = (i128::from(a) * i128::from(b)).rem_euclid(i128::from(PRIME)) as u64;
            prop_assert_eq!((x * y).word(), product);
            if !x.is_zero() {
                prop_assert_eq!(x * x.inverse(), Residue::ONE);
            }
        }
    }
}
