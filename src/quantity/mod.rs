//! Numbers with units: what comes in is text such as "8½ in" or "100 g"; what goes out is
//! a typed quantity that converts, compares and prints.
//!
//! Every number inside is finite: what is not a number becomes zero and what is beyond
//! [`LARGEST`] is held there, so that order and equality are always defined.

mod parse;
mod print;

pub use parse::{BadQuantity, LENGTH_UNITS, MASS_UNITS, Measure, Scanned, scan};
pub use print::{inches_text, number, quarters};

use serde::Serialize;
use std::cmp::Ordering;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// The largest magnitude any quantity holds, in its base unit.
pub const LARGEST: f64 = 1e15;

/// Millimetres in an inch (exact: international yard and pound agreement, 1959).
pub const MM_PER_INCH: f64 = 25.4;
/// Millimetres in a yard (exact: 36 in).
pub const MM_PER_YARD: f64 = 914.4;
/// Grams in an avoirdupois ounce (exact: 0.45359237 kg / 16).
pub const GRAMS_PER_OUNCE: f64 = 28.349523125;

/// Makes any number finite, and minus zero plain zero.
fn tame(n: f64) -> f64 {
    if n.is_nan() { 0.0 } else { n.clamp(-LARGEST, LARGEST) + 0.0 }
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, Serialize)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            /// Nothing at all.
            pub const ZERO: $name = $name(0.0);

            /// The magnitude without its sign.
            pub fn abs(self) -> Self {
                $name(self.0.abs())
            }
            /// Whether it is more than nothing.
            pub fn is_positive(self) -> bool {
                self.0 > 0.0
            }
            /// Whether it is nothing.
            pub fn is_zero(self) -> bool {
                self.0 == 0.0
            }
            /// The same magnitude within `slack` of the other.
            pub fn near(self, other: Self, slack: Self) -> bool {
                (self.0 - other.0).abs() <= slack.0.abs()
            }
        }
        impl PartialEq for $name {
            fn eq(&self, other: &Self) -> bool {
                self.cmp(other) == Ordering::Equal
            }
        }
        impl Eq for $name {}
        impl PartialOrd for $name {
            fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
                Some(self.cmp(other))
            }
        }
        impl Ord for $name {
            fn cmp(&self, other: &Self) -> Ordering {
                self.0.total_cmp(&other.0)
            }
        }
        impl Add for $name {
            type Output = $name;
            fn add(self, other: Self) -> Self {
                $name(tame(self.0 + other.0))
            }
        }
        impl Sub for $name {
            type Output = $name;
            fn sub(self, other: Self) -> Self {
                $name(tame(self.0 - other.0))
            }
        }
        impl Neg for $name {
            type Output = $name;
            fn neg(self) -> Self {
                $name(tame(-self.0))
            }
        }
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                items.fold($name::ZERO, |a, b| a + b)
            }
        }
    };
}

/// Quantities that a plain number scales and that divide into a plain ratio.
macro_rules! scalable {
    ($name:ident) => {
        impl Mul<f64> for $name {
            type Output = $name;
            fn mul(self, by: f64) -> Self {
                $name(tame(self.0 * by))
            }
        }
        impl Div<f64> for $name {
            type Output = $name;
            /// A quantity shared by zero is zero, so that no infinity is born.
            fn div(self, by: f64) -> Self {
                $name(if by == 0.0 { 0.0 } else { tame(self.0 / by) })
            }
        }
        impl Div for $name {
            type Output = f64;
            /// How many times the other goes into this; zero times if the other is nothing.
            fn div(self, by: Self) -> f64 {
                if by.0 == 0.0 { 0.0 } else { tame(self.0 / by.0) }
            }
        }
    };
}

quantity! {
    /// A length, held in millimetres.
    Length
}
quantity! {
    /// A mass, held in grams.
    Mass
}
quantity! {
    /// An area, held in square millimetres.
    Area
}
quantity! {
    /// So many in a hundred: `8 %` holds 8.
    Percent
}
scalable!(Length);
scalable!(Mass);
scalable!(Area);

impl Length {
    /// So many millimetres.
    pub fn mm(n: f64) -> Self {
        Length(tame(n))
    }
    /// So many centimetres.
    pub fn cm(n: f64) -> Self {
        Length(tame(n * 10.0))
    }
    /// So many metres.
    pub fn m(n: f64) -> Self {
        Length(tame(n * 1000.0))
    }
    /// So many inches.
    pub fn inches(n: f64) -> Self {
        Length(tame(n * MM_PER_INCH))
    }
    /// So many yards.
    pub fn yards(n: f64) -> Self {
        Length(tame(n * MM_PER_YARD))
    }
    /// In millimetres.
    pub fn to_mm(self) -> f64 {
        self.0
    }
    /// In centimetres.
    pub fn to_cm(self) -> f64 {
        self.0 / 10.0
    }
    /// In metres.
    pub fn to_m(self) -> f64 {
        self.0 / 1000.0
    }
    /// In inches.
    pub fn to_inches(self) -> f64 {
        self.0 / MM_PER_INCH
    }
    /// In yards.
    pub fn to_yards(self) -> f64 {
        self.0 / MM_PER_YARD
    }
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area(tame(self.0 * other.0))
    }
}

impl Mass {
    /// So many grams.
    pub fn grams(n: f64) -> Self {
        Mass(tame(n))
    }
    /// So many avoirdupois ounces.
    pub fn ounces(n: f64) -> Self {
        Mass(tame(n * GRAMS_PER_OUNCE))
    }
    /// In grams.
    pub fn to_grams(self) -> f64 {
        self.0
    }
    /// In avoirdupois ounces.
    pub fn to_ounces(self) -> f64 {
        self.0 / GRAMS_PER_OUNCE
    }
}

impl Area {
    /// So many square millimetres.
    pub fn square_mm(n: f64) -> Self {
        Area(tame(n))
    }
    /// In square millimetres.
    pub fn to_square_mm(self) -> f64 {
        self.0
    }
    /// In square centimetres.
    pub fn to_square_cm(self) -> f64 {
        self.0 / 100.0
    }
}

impl Percent {
    /// So many in a hundred.
    pub fn new(n: f64) -> Self {
        Percent(tame(n))
    }
    /// From a share: 0.08 is eight in a hundred.
    pub fn from_share(share: f64) -> Self {
        Percent(tame(share * 100.0))
    }
    /// The number before the sign.
    pub fn value(self) -> f64 {
        self.0
    }
    /// As a share of one.
    pub fn share(self) -> f64 {
        self.0 / 100.0
    }
}

/// Which of the two unit systems a design thinks in; it is printed first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Units {
    /// Centimetres, metres and grams.
    #[default]
    Metric,
    /// Inches, yards and ounces.
    Imperial,
}
