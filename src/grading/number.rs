//! Numbers as formulas know them: a magnitude, its unit, whether it is whole, and what
//! one of it is worth in millimetres.

use crate::quantity::{Length, number as plain};
use serde::Serialize;
use std::fmt;

/// A graded number.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Value {
    /// A whole number: stitches, rows, repeats.
    Count(i64),
    /// A number that is not whole, or was never rounded; not fit for a text.
    Ratio(f64),
    /// A length.
    Length(Length),
}

impl Value {
    /// The whole number, if it is one.
    pub fn count(self) -> Option<i64> {
        match self {
            Value::Count(n) => Some(n),
            _ => None,
        }
    }
    /// The length, if it is one.
    pub fn length(self) -> Option<Length> {
        match self {
            Value::Length(l) => Some(l),
            _ => None,
        }
    }
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Value::Count(n) => write!(f, "{}", plain(*n as f64, 0)),
            Value::Ratio(x) => f.write_str(&plain(*x, 3)),
            Value::Length(l) => f.write_str(&l.exact_text()),
        }
    }
}

/// One rounding that was done on the way.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Rounding {
    /// The number before.
    pub from: f64,
    /// The number after.
    pub to: f64,
    /// What was added (or, below zero, lost) in length, where one stitch, row or repeat
    /// of it has a known length.
    pub length: Option<Length>,
    /// The length that the number before stands for, where it is known.
    pub of: Option<Length>,
    /// Whether nothing it was found from had been rounded before.
    pub first: bool,
}

/// A number inside a formula.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Num {
    /// The magnitude; lengths in millimetres.
    pub n: f64,
    /// The power of length: 0 a plain number, 1 a length, 2 an area.
    pub dim: i32,
    /// Whether it is a whole number by how it was made, not by chance.
    pub whole: bool,
    /// What one of it is worth in millimetres, where a length was divided by a length.
    pub worth: Option<f64>,
    /// Whether it was found from a number that had been rounded.
    pub rounded: bool,
}

/// The largest whole number a formula may make.
const LARGEST_COUNT: f64 = 1e9;

impl Num {
    pub(super) fn whole(n: f64) -> Self {
        Num { n, dim: 0, whole: true, worth: None, rounded: false }
    }
    pub(super) fn ratio(n: f64) -> Self {
        Num { n, dim: 0, whole: false, worth: None, rounded: false }
    }
    pub(super) fn length(l: Length) -> Self {
        Num { n: l.to_mm(), dim: 1, whole: false, worth: None, rounded: false }
    }

    /// How its kind is named to people.
    pub(super) fn kind(&self) -> &'static str {
        match self.dim {
            0 => "a number",
            1 => "a length",
            2 => "an area",
            _ => "neither a number nor a length",
        }
    }

    pub(super) fn value(&self) -> Option<Value> {
        match self.dim {
            0 if self.whole => Some(Value::Count(self.n as i64)),
            0 => Some(Value::Ratio(self.n)),
            1 => Some(Value::Length(Length::mm(self.n))),
            _ => None,
        }
    }

    /// Whether the magnitude is one that can be reckoned with.
    pub(super) fn sound(&self) -> bool {
        self.n.is_finite() && self.n.abs() <= if self.whole { LARGEST_COUNT } else { 1e15 }
    }

    pub(super) fn plus(self, other: Num, sign: f64) -> Num {
        Num {
            n: self.n + sign * other.n,
            dim: self.dim,
            whole: self.whole && other.whole,
            worth: self.worth.or(other.worth),
            rounded: self.rounded || other.rounded,
        }
    }

    pub(super) fn times(self, other: Num) -> Num {
        let worth = match (self.worth, other.worth) {
            (Some(w), _) if other.dim == 0 => share(w, other.n),
            (_, Some(w)) if self.dim == 0 => share(w, self.n),
            _ => None,
        };
        let dim = self.dim.saturating_add(other.dim);
        let whole = self.whole && other.whole;
        Num { n: self.n * other.n, dim, whole, worth, rounded: self.rounded || other.rounded }
    }

    /// The quotient; the caller has ruled out zero below. Whole numbers that divide evenly
    /// stay whole.
    pub(super) fn over(self, other: Num) -> Num {
        let n = self.n / other.n;
        let even = self.whole && other.whole && (n.round() * other.n == self.n);
        let worth = match (self.dim, other.dim) {
            (1, 1) => Some(other.n),
            (0, 0) => self.worth.map(|w| w * other.n),
            _ => None,
        };
        let n = if even { n.round() } else { n };
        let dim = self.dim.saturating_sub(other.dim);
        Num { n, dim, whole: even, worth, rounded: self.rounded || other.rounded }
    }

    /// What a change of this much is worth as a length.
    pub(super) fn worth_of(&self, change: f64) -> Option<Length> {
        match self.dim {
            1 => Some(Length::mm(change)),
            _ => self.worth.map(|w| Length::mm(change * w)),
        }
    }

    /// Equal, less or greater, where a difference too small to be meant is none.
    pub(super) fn order(&self, other: &Num) -> std::cmp::Ordering {
        let slack = SLACK * self.n.abs().max(other.n.abs()).max(1.0);
        if (self.n - other.n).abs() <= slack {
            std::cmp::Ordering::Equal
        } else {
            self.n.total_cmp(&other.n)
        }
    }
}

fn share(w: f64, by: f64) -> Option<f64> {
    (by != 0.0).then(|| w / by)
}

/// Differences below this share are taken for the dust of reckoning in binary: a length
/// given in inches and the same in centimetres must round alike.
const SLACK: f64 = 1e-9;

/// Which way a rounding goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    Nearest,
    Up,
    Down,
}

/// Rounds to `multiple * k + plus` for a whole `k`. A tie goes away from zero in `k`; up
/// and down are towards more and fewer, also below zero.
pub(super) fn round(value: f64, multiple: f64, plus: f64, way: Way) -> f64 {
    let exact = (value - plus) / multiple;
    // Snap to halves first, so that dust decides neither a tie nor a step up.
    let halves = (exact * 2.0).round() / 2.0;
    let near = (exact - halves).abs() <= SLACK * exact.abs().max(1.0);
    let exact = if near { halves } else { exact };
    let k = match way {
        Way::Nearest => exact.round(),
        Way::Up => exact.ceil(),
        Way::Down => exact.floor(),
    };
    k * multiple + plus + 0.0
}
