//! Numbers as they are written for the sizes.

use super::bits::Bit;
use super::phrase::Phrase;
use super::voice::Voice;
use crate::written::tree::Number;

/// The sign in the place of a size that does not work the line.
pub(super) const ABSENT: &str = "–";

/// What a number comes to in one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Cell {
    /// So many.
    Worth(i64),
    /// The size does not work the line.
    Absent,
    /// It cannot be worked out; the words in braces.
    Unknown(String),
    /// Other words in a number's place, as `3–12`.
    Words(String),
}

/// What a number comes to in all sizes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Amount {
    /// The same in all sizes that work the line.
    Same(i64),
    /// A graded number where no sizes are said.
    Braces(String),
    /// One for each size.
    Graded(Vec<Cell>),
}

impl Amount {
    /// From what it comes to in each size: one number if they agree.
    pub fn of(cells: Vec<Cell>) -> Amount {
        let mut worked = cells.iter().filter(|c| **c != Cell::Absent);
        match worked.next() {
            Some(Cell::Worth(n)) if worked.all(|c| *c == Cell::Worth(*n)) => Amount::Same(*n),
            Some(Cell::Unknown(text)) if cells.len() == 1 => Amount::Braces(text.clone()),
            _ => Amount::Graded(cells),
        }
    }

    /// None in every size that works the line.
    pub fn is_zero(&self) -> bool {
        *self == Amount::Same(0)
    }

    /// One in every size that works the line.
    pub fn is_one(&self) -> bool {
        *self == Amount::Same(1)
    }

    /// So many times as much; `None` for words in braces.
    pub fn multiplied(&self, by: i64) -> Option<Amount> {
        match self {
            Amount::Same(n) => Some(Amount::Same(n.saturating_mul(by))),
            Amount::Braces(_) => None,
            Amount::Graded(cells) => Some(Amount::Graded(
                cells
                    .iter()
                    .map(|cell| match cell {
                        Cell::Worth(n) => Cell::Worth(n.saturating_mul(by)),
                        other => other.clone(),
                    })
                    .collect(),
            )),
        }
    }

    /// The number as written.
    pub fn bit(&self) -> Bit {
        self.shown(|n| n.to_string())
    }

    /// The number as a phrase.
    pub fn phrase(&self) -> Phrase {
        Phrase::bit_of(self.bit())
    }

    /// `2nd`, `3rd (4th)`.
    pub fn ordinal(&self) -> Bit {
        match self {
            Amount::Braces(text) => Bit::Text(format!("{{{text}}}th")),
            _ => self.shown(ordinal),
        }
    }

    fn shown(&self, write: impl Fn(i64) -> String) -> Bit {
        match self {
            Amount::Same(n) => Bit::Text(write(*n)),
            Amount::Braces(text) => Bit::Text(format!("{{{text}}}")),
            Amount::Graded(cells) => {
                Bit::Graded(cells.iter().map(|cell| cell.shown(&write)).collect())
            }
        }
    }
}

impl Cell {
    fn shown(&self, write: impl Fn(i64) -> String) -> String {
        match self {
            Cell::Worth(n) => write(*n),
            Cell::Absent => ABSENT.to_owned(),
            Cell::Unknown(text) => format!("{{{text}}}"),
            Cell::Words(text) => text.clone(),
        }
    }
}

/// `1st`, `2nd`, `3rd`, `11th`.
fn ordinal(n: i64) -> String {
    let ending = match (n % 10, n % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{n}{ending}")
}

impl Voice<'_> {
    /// What a number comes to in the sizes that are said.
    pub fn amount(&self, number: &Number) -> Amount {
        match number {
            Number::Plain(n) if !self.strict || self.sizes.is_empty() => {
                Amount::Same(i64::try_from(*n).unwrap_or(i64::MAX))
            }
            Number::Hole(hole) if self.sizes.is_empty() => Amount::Braces(hole.text.clone()),
            _ => {
                let cells: Vec<Cell> =
                    (0..self.sizes.len()).map(|i| self.cell(number, i)).collect();
                if self.strict && cells.contains(&Cell::Absent) {
                    Amount::Graded(cells)
                } else {
                    Amount::of(cells)
                }
            }
        }
    }

    /// What a number comes to in one size.
    pub fn cell(&self, number: &Number, size: usize) -> Cell {
        let (Some(voice), Some(lane)) = (self.sizes.get(size), self.lanes.get(size)) else {
            return Cell::Absent;
        };
        if !lane.working {
            return Cell::Absent;
        }
        if let Number::Hole(hole) = number
            && counts_rounds(&hole.text)
        {
            self.saw_counter.set(true);
        }
        match number {
            Number::Plain(n) => Cell::Worth(i64::try_from(*n).unwrap_or(i64::MAX)),
            Number::Hole(hole) => match voice.numbers.value(hole, lane.counter) {
                Ok(n) => Cell::Worth(n),
                Err(_) => Cell::Unknown(hole.text.clone()),
            },
        }
    }
}

/// Whether the words in braces count rounds: they name `round` or `step`.
pub(super) fn counts_rounds(text: &str) -> bool {
    text.split(|c: char| !(c.is_alphanumeric() || c == '_'))
        .any(|word| word == "round" || word == "step")
}
