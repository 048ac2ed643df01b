//! Labels: `Rnd 4`, `Rows 2–12 (14, 16)`, `Next rnd`.

use super::numbers::{Amount, Cell};
use super::phrase::{Phrase, listed};
use super::voice::Voice;
use crate::written::tree::{Label, Number, Shape, Side, Which};

/// The rows or rounds a line works in one size.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Span {
    /// Whether the line is worked at all.
    pub working: bool,
    /// The numbers, where they are known.
    pub rounds: Vec<u32>,
}

impl Span {
    /// First and last number.
    pub fn ends(&self) -> Option<(u32, u32)> {
        Some((*self.rounds.first()?, *self.rounds.last()?))
    }
}

impl Voice<'_> {
    /// The label of a whole line.
    pub fn label(&self, label: &Label, spans: &[Span]) -> Phrase {
        match &label.which {
            Which::One(n) => self.one(label.shape, &self.amount(n)),
            Which::Range(a, b) if self.sizes.is_empty() => {
                self.range(label.shape, &self.amount(a), &self.amount(b))
            }
            Which::Range(_, _) => self.spans(label.shape, spans),
            Which::List(all) => {
                let numbers = all.iter().map(|n| self.amount(n).phrase()).collect();
                self.course_capital(label.shape, true).then(listed(numbers)).kept()
            }
            Which::Onward(n) => self.one(label.shape, &self.amount(n)).text("onwards"),
            Which::EveryOther(n) => self
                .one(label.shape, &self.amount(n))
                .text("and every other")
                .then(self.course(label.shape, false)),
            Which::Next(n) => self.next(label.shape, n),
            Which::Named(name) => self.free(name).then(self.course(label.shape, false)),
        }
    }

    /// The label of one round of a line.
    pub fn label_of_round(&self, label: &Label, spans: &[Span], step: usize) -> Phrase {
        let cells: Vec<Cell> = spans
            .iter()
            .map(|s| s.rounds.get(step).map_or(Cell::Absent, |n| Cell::Worth(i64::from(*n))))
            .collect();
        if cells.iter().all(|c| *c == Cell::Absent) {
            return self.next(label.shape, &Number::ONE);
        }
        // Here every size shows its number or that it has none.
        let absent = cells.contains(&Cell::Absent);
        let amount = if absent { Amount::Graded(cells) } else { Amount::of(cells) };
        self.one(label.shape, &amount)
    }

    /// `(RS)`.
    pub fn side(&self, side: Side) -> Phrase {
        let side = self.word(if side == Side::Right { "RS" } else { "WS" });
        Phrase::default().open("(").then(side).glue(")").kept()
    }

    fn one(&self, shape: Shape, n: &Amount) -> Phrase {
        self.course_capital(shape, false).then(n.phrase()).kept()
    }

    fn range(&self, shape: Shape, a: &Amount, b: &Amount) -> Phrase {
        self.course_capital(shape, true).then(from_to(a, b)).kept()
    }

    fn next(&self, shape: Shape, n: &Number) -> Phrase {
        let n = self.amount(n);
        if n.is_one() {
            return Phrase::of("Next").then(self.course(shape, false)).kept();
        }
        Phrase::of("Next").then(n.phrase()).then(self.course(shape, true)).kept()
    }

    /// A range in each size: `Rnds 3–12 (13, 14)` where all begin alike, else each size's by
    /// itself: `Rnds 12–20 (13–22, 14–24)`, `Rnds 3–12 (3–14, –)`.
    fn spans(&self, shape: Shape, spans: &[Span]) -> Phrase {
        let ends: Vec<Option<(u32, u32)>> =
            spans.iter().map(|s| if s.working { s.ends() } else { None }).collect();
        let all: Option<Vec<(u32, u32)>> = ends.iter().copied().collect();
        let amount = |pick: &dyn Fn(&(u32, u32)) -> u32, all: &[(u32, u32)]| {
            Amount::of(all.iter().map(|e| Cell::Worth(i64::from(pick(e)))).collect())
        };
        match all {
            Some(all) if all.iter().all(|(a, b)| a == b) => {
                self.one(shape, &amount(&|e| e.0, &all))
            }
            Some(all) => self.range(shape, &amount(&|e| e.0, &all), &amount(&|e| e.1, &all)),
            None => {
                let cells: Vec<Cell> = ends
                    .iter()
                    .map(|e| match e {
                        Some((a, b)) if a == b => Cell::Words(a.to_string()),
                        Some((a, b)) => Cell::Words(format!("{a}–{b}")),
                        None => Cell::Absent,
                    })
                    .collect();
                let several = ends.iter().flatten().any(|(a, b)| a != b);
                self.course_capital(shape, several).then(Amount::Graded(cells).phrase()).kept()
            }
        }
    }
}

/// From one number to another: `3–12 (13, 14)` where all sizes begin alike; else each size's
/// two numbers stand together, so that nobody has to pair them out of two lists.
pub(super) fn from_to(a: &Amount, b: &Amount) -> Phrase {
    let joined = || a.phrase().glue("–").glue_phrase(b.phrase());
    let Amount::Graded(from) = a else { return joined() };
    let to = |i: usize| match b {
        Amount::Same(n) => Some(*n),
        Amount::Graded(cells) => match cells.get(i) {
            Some(Cell::Worth(n)) => Some(*n),
            _ => None,
        },
        Amount::Braces(_) => None,
    };
    let pair = |(i, cell): (usize, &Cell)| match (cell, to(i)) {
        (Cell::Worth(a), Some(b)) if *a == b => Some(Cell::Words(a.to_string())),
        (Cell::Worth(a), Some(b)) => Some(Cell::Words(format!("{a}–{b}"))),
        (Cell::Absent, _) => Some(Cell::Absent),
        _ => None,
    };
    let cells: Option<Vec<Cell>> = from.iter().enumerate().map(pair).collect();
    cells.map_or_else(joined, |cells| Amount::Graded(cells).phrase())
}
