//! Repeats.

use super::numbers::Amount;
use super::phrase::Phrase;
use super::voice::Voice;
use crate::written::tree::{Extent, Repeat, Step, Times};

/// How deep a repeat lies in others: which marks and brackets are taken.
#[derive(Clone, Copy, Default)]
pub(super) struct Depth {
    pub stars: usize,
    pub brackets: usize,
}

const MARKS: [&str; 4] = ["*", "**", "†", "‡"];

impl Voice<'_> {
    /// A repeat; `None` if it is worked no times. Once is said plainly.
    pub fn repeat(&self, repeat: &Repeat, depth: Depth) -> Option<Phrase> {
        let times = match &repeat.times {
            Times::Total(n) => return self.bracketed(repeat, &self.amount(n), depth),
            Times::More(n) => match self.amount(n) {
                n if n.is_zero() => return Some(self.steps(&repeat.steps, depth)),
                n => self.more(&n),
            },
            Times::Around => self.extent(&Extent::End),
            Times::ToLast { count, place } => {
                self.extent(&Extent::ToLast { count: count.clone(), place: place.clone() })
            }
            Times::ToTurningChain => self.extent(&Extent::ToTurningChain),
        };
        self.starred(repeat, times, depth)
    }

    fn starred(&self, repeat: &Repeat, times: Phrase, depth: Depth) -> Option<Phrase> {
        if depth.stars + 1 >= MARKS.len() {
            return self.enclosed(&repeat.steps, times, depth);
        }
        let mark = MARKS.get(depth.stars).copied().unwrap_or("*");
        let stop = MARKS.get(depth.stars + 1).copied().unwrap_or("‡");
        let stops = repeat.last_stops.filter(|n| *n < repeat.steps.len());
        let inner = Depth { stars: depth.stars + 1 + usize::from(stops.is_some()), ..depth };
        let said = match stops {
            Some(n) => {
                let (head, tail) = repeat.steps.split_at(n);
                let tail: &[Step] = tail;
                let head = self.steps(head, inner).glue(stop);
                let tail = self.steps(tail, inner);
                if tail.is_empty() { head } else { head.glue(",").then(tail) }
            }
            None => self.steps(&repeat.steps, inner),
        };
        if said.is_empty() {
            return None;
        }
        let again = self.word("rep").text("from").text(mark);
        let all = Phrase::default().open(mark).then(said).glue(";").then(again).then(times);
        Some(match stops {
            Some(_) => {
                all.glue(",").text("ending last").then(self.word("rep")).text("at").text(stop)
            }
            None => all,
        })
    }

    fn bracketed(&self, repeat: &Repeat, times: &Amount, depth: Depth) -> Option<Phrase> {
        if times.is_zero() {
            return None;
        }
        if times.is_one() && repeat.last_stops.is_none() {
            return Some(self.steps(&repeat.steps, depth));
        }
        self.enclosed(&repeat.steps, self.times(times), depth)
    }

    /// Steps in brackets, and how often.
    fn enclosed(&self, steps: &[Step], times: Phrase, depth: Depth) -> Option<Phrase> {
        let (open, close) = if depth.brackets.is_multiple_of(2) { ("[", "]") } else { ("(", ")") };
        let inner = Depth { brackets: depth.brackets + 1, ..depth };
        let said = self.steps(steps, inner);
        if said.is_empty() {
            return None;
        }
        let said = Phrase::default().open(open).then(said).glue(close);
        Some(said.then(times))
    }

    /// `twice`, `6 times`.
    pub fn times(&self, n: &Amount) -> Phrase {
        match n {
            Amount::Same(1) => Phrase::of("once"),
            Amount::Same(2) => Phrase::of("twice"),
            _ => n.phrase().text("times").kept(),
        }
    }

    /// `once more`, `5 more times`.
    pub fn more(&self, n: &Amount) -> Phrase {
        match n {
            Amount::Same(1) => Phrase::of("once more"),
            _ => n.phrase().text("more times").kept(),
        }
    }
}
