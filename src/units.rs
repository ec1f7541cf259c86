//! Levels and ratios with their units: dBm, dB, kHz, channel numbers.
//!
//! Tenths are kept as whole numbers, so that what a modem printed comes out again unchanged.

use std::fmt;
use std::ops::{Add, Neg, Sub};

/// A power level in dBm, kept in tenths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Dbm(i32);

/// A ratio in dB, kept in tenths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Db(i32);

macro_rules! tenths {
    ($unit:ident, $word:literal) => {
        impl $unit {
            #[doc = concat!("From tenths of ", $word, ".")]
            pub const fn from_tenths(tenths: i32) -> Self {
                Self(tenths)
            }

            #[doc = concat!("From whole ", $word, ".")]
            pub const fn whole(value: i32) -> Self {
                Self(value.saturating_mul(10))
            }

            #[doc = concat!("In tenths of ", $word, ".")]
            pub const fn tenths(self) -> i32 {
                self.0
            }

            #[doc = concat!("In ", $word, ".")]
            pub fn value(self) -> f64 {
                f64::from(self.0) / 10.0
            }
        }

        impl fmt::Display for $unit {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                if self.0 % 10 == 0 {
                    write!(f, "{} {}", self.0 / 10, $word)
                } else {
                    write!(f, "{:.1} {}", self.value(), $word)
                }
            }
        }
    };
}
tenths!(Dbm, "dBm");
tenths!(Db, "dB");

impl Sub for Dbm {
    type Output = Db;
    fn sub(self, other: Self) -> Db {
        Db(self.0.saturating_sub(other.0))
    }
}

impl Add<Db> for Dbm {
    type Output = Self;
    fn add(self, gain: Db) -> Self {
        Self(self.0.saturating_add(gain.0))
    }
}

impl Neg for Db {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_difference_of_two_levels_is_a_ratio() {
        assert_eq!((Dbm::whole(-90) - Dbm::from_tenths(-1015)).to_string(), "11.5 dB");
        assert_eq!(Dbm::whole(-90) + Db::whole(3), Dbm::whole(-87));
    }
}
